"""``lift plan``."""

from __future__ import annotations

import click

from lift.cli import options


@click.command("plan", short_help="A whole service: zones, order, times, rinse, blend, next visit.")
@click.argument("file", metavar="FILE")
@click.option("--strand", metavar="FILE", help="What a strand test showed (lift strand --save).")
@options.curves_option
@options.plot_option
@options.json_option
def command(
    file: str,
    strand: str | None,
    curves_file: str | None,
    plot_file: str | None,
    as_json: bool,
) -> None:
    """Plan the service described in a scenario FILE (TOML; see shared/README.md)."""
    from lift.practice.service.plan import plan
    from lift.practice.service.scenario_file import load_scenario

    picture = None if plot_file is None else options.plot_path(plot_file)
    scenario, curves = load_scenario(file), options.read_curves(curves_file)
    latent = None
    if strand is not None:
        from lift.practice.trial.strand_of import strand_of

        latent = strand_of(scenario, strand, curves)
    result = plan(scenario, curves, latent=latent)
    if picture is not None:
        from lift.show.plots.figure import save_figure
        from lift.show.plots.plan_plots import plot_plan

        save_figure(plot_plan(result), picture)
    if as_json:
        from lift.practice.service.plan_json import plan_to_dict

        options.print_json(plan_to_dict(result))
        return
    from lift.show.terminal.plan import print_plan

    print_plan(result)
    if picture is not None:
        click.echo(f"Picture: {picture}")
