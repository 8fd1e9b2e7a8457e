"""``lift plan``."""

from __future__ import annotations

import click

from lift.cli import options
from lift.words import say


@options.command("plan")
@options.argument("file", metavar="file")
@options.option("--strand", metavar="file", says="cli.preview.strand")
@options.curves_option
@options.mixtures_option
@options.plot_option
@options.json_option
def command(
    file: str,
    strand: str | None,
    curves_file: str | None,
    plot_file: str | None,
    as_json: bool,
) -> None:
    """Plan the service of a scenario file."""
    from lift.practice.scenario.scenario_file import load_scenario
    from lift.practice.service.plan import plan

    picture = None if plot_file is None else options.plot_path(plot_file)
    scenario, curves = (
        load_scenario(file, options.known_mixtures()),
        options.read_curves(curves_file),
    )
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
        options.print_answer(result)
        return
    from lift.show.terminal.plan import print_plan

    print_plan(result)
    if picture is not None:
        click.echo(say("cli.picture_drawn", path=picture))
