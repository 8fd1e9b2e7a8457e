"""``lift preview``."""

from __future__ import annotations

import click

from lift.cli import options


@click.command("preview", short_help="Colour, window, risk and tone for one strand.")
@options.hair_options
@options.mixture_options
@click.option("--minutes", metavar="MIN", required=True, help="Processing time, 0 to 120 min.")
@click.option(
    "--goal",
    metavar="GOAL",
    help="A level (8), a CIELAB (60,5,20), a warmth allowance (warmth=6), or '8 warmth=6'.",
)
@click.option("--strand", metavar="FILE", help="What a strand test showed (lift strand --save).")
@options.curves_option
@options.plot_option
@options.json_option
def command(
    level: str,
    fibre: str,
    damp: bool,
    grey: str,
    red: bool,
    lightened_to: str | None,
    volume: str,
    mixture: str,
    parts: str | None,
    ph: str | None,
    temperature: str,
    carry: str | None,
    minutes: str,
    goal: str | None,
    strand: str | None,
    curves_file: str | None,
    plot_file: str | None,
    as_json: bool,
) -> None:
    """Preview what lightening exposes on one strand, and when it is too warm."""
    from lift.errors import check_number
    from lift.practice.goal import parse_goal
    from lift.practice.preview import preview

    picture = None if plot_file is None else options.plot_path(plot_file)
    hair = options.read_hair(level, fibre, damp, grey, red, lightened_to)
    curves = options.read_curves(curves_file)
    latent = None
    if strand is not None:
        from lift.practice.trial.strand_file import load_strand

        latent = load_strand(strand).latent_for(hair, curves)
    result = preview(
        hair,
        options.read_mixture(volume, mixture, parts, ph, temperature, carry),
        check_number("processing time", minutes, 0.0, 120.0, "min"),
        None if goal is None else parse_goal(goal),
        curves,
        latent=latent,
    )
    if picture is not None:
        from lift.show.plots.figure import save_figure
        from lift.show.plots.preview_plots import plot_preview

        save_figure(plot_preview(result), picture)
    if as_json:
        options.print_json(result.to_dict())
        return
    from lift.show.terminal.preview import print_preview

    print_preview(result)
    if picture is not None:
        click.echo(f"Picture: {picture}")
