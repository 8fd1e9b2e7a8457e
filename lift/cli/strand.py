"""``lift strand``."""

from __future__ import annotations

from typing import Any

import click

from lift.cli import options


@click.command("strand", short_help="Strand test: what was seen, what it moves, when to look.")
@options.hair_options
@options.mixture_options
@click.option(
    "--seen",
    metavar="MIN:WHAT",
    multiple=True,
    help="Minutes and what was seen: a level (5:7.5) or an instrument's CIELAB (5:48,8,22); "
    "may be given several times.",
)
@click.option("--when", is_flag=True, help="Only say when to look (as without --seen).")
@click.option(
    "--instrument", is_flag=True, help="The next look is by instrument, not by eye (see --when)."
)
@click.option(
    "--minutes", metavar="MIN", help="Planned rinse, 0 to 120 min; default: soonest good one."
)
@click.option(
    "--goal",
    metavar="GOAL",
    help="A level (8), a CIELAB (60,5,20), a warmth allowance (warmth=6), or '8 warmth=6'.",
)
@click.option(
    "--save", "save_file", metavar="FILE", help="Keep the result (JSON) for preview --strand."
)
@options.curves_option
@options.plot_option
@options.json_option
def command(
    seen: tuple[str, ...],
    when: bool,
    instrument: bool,
    minutes: str | None,
    goal: str | None,
    save_file: str | None,
    curves_file: str | None,
    plot_file: str | None,
    as_json: bool,
    **typed: Any,
) -> None:
    """Update this strand's curve with what a trial strand showed; without --seen, when to look.

    Levels are judged by eye on the pigmented fibres; CIELAB comes from an instrument (D65,
    10 degrees), not from a photograph.
    """
    from lift.errors import LiftError
    from lift.practice.goal import parse_goal
    from lift.practice.trial.observation import parse_seen
    from lift.practice.trial.strand_test import strand_test

    if save_file is not None and not seen:
        raise LiftError("--save keeps what was seen; give --seen too")
    picture = None if plot_file is None else options.plot_path(plot_file)
    result = strand_test(
        options.read_hair(typed),
        options.read_mixture(typed),
        [parse_seen(text) for text in seen],
        None if goal is None else parse_goal(goal),
        options.read_curves(curves_file),
        rinse_minutes=options.number("rinse time", minutes, 0.0, 120.0, "min"),
        by_eye=False if instrument else None,
    )
    if save_file is not None:
        from lift.practice.trial.strand_file import save_strand

        save_strand(result, save_file)
    if picture is not None:
        from lift.show.plots.figure import save_figure
        from lift.show.plots.strand_plots import plot_strand_test

        save_figure(plot_strand_test(result), picture)
    if as_json:
        options.print_json(result.to_dict())
        return
    from lift.show.terminal.strand import print_strand

    print_strand(result, only_when=when)
    if save_file is not None:
        click.echo(f"Kept: {save_file} (lift preview --strand {save_file})")
    if picture is not None:
        click.echo(f"Picture: {picture}")
