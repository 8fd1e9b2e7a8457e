"""``lift preview``."""

from __future__ import annotations

from typing import Any

import click

from lift.cli import options
from lift.words import say


@options.command("preview")
@options.hair_options
@options.mixture_options
@options.minutes_option
@options.goal_option
@options.option("--strand", metavar="file", says="cli.preview.strand")
@options.curves_option
@options.plot_option
@options.json_option
def command(
    minutes: str,
    goal: str | None,
    strand: str | None,
    curves_file: str | None,
    plot_file: str | None,
    as_json: bool,
    **typed: Any,
) -> None:
    """Preview one strand."""
    from lift.practice.goal import parse_goal
    from lift.practice.preview import preview
    from lift.quantities import MINUTES

    picture = None if plot_file is None else options.plot_path(plot_file)
    hair = options.read_hair(typed)
    curves = options.read_curves(curves_file)
    latent = None
    if strand is not None:
        from lift.practice.trial.strand_file import load_strand

        latent = load_strand(strand).latent_for(hair, curves)
    result = preview(
        hair,
        options.read_mixture(typed),
        MINUTES.parse(minutes),
        None if goal is None else parse_goal(goal),
        curves,
        latent=latent,
    )
    if picture is not None:
        from lift.show.plots.figure import save_figure
        from lift.show.plots.preview_plots import plot_preview

        save_figure(plot_preview(result), picture)
    if as_json:
        options.print_answer(result)
        return
    from lift.show.terminal.preview import print_preview

    print_preview(result)
    if picture is not None:
        click.echo(say("cli.picture_drawn", path=picture))
