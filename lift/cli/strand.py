"""``lift strand``."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from lift.cli import options, photo_options, strand_options
from lift.practice.trial.observation import READINGS
from lift.quantities import RINSE
from lift.words import note, say


@options.command("strand")
@strand_options.hair_options
@strand_options.mixture_options
@options.option("--seen", metavar="minutes_seen", multiple=True, says="cli.strand.seen")
@photo_options.chart_and_hair
@options.option("--when", is_flag=True, says="cli.strand.when")
@options.option("--by", metavar="reading", says=note("cli.strand.by", readings=(*READINGS,)))
@options.option(
    "--minutes", metavar="minutes", says=note("cli.strand.minutes", low=RINSE.low, high=RINSE.high)
)
@strand_options.goal_option
@options.option("--save", "save_file", metavar="file", says="cli.strand.save")
@options.curves_option
@options.plot_option
@options.brief_option
@options.json_option
def command(
    seen: tuple[str, ...],
    chart: tuple[str, ...],
    hair: tuple[str, ...],
    when: bool,
    by: str | None,
    minutes: str | None,
    goal: str | None,
    save_file: str | None,
    curves_file: str | None,
    picture: Path | None,
    brief: bool,
    as_json: bool,
    **typed: Any,
) -> None:
    """Update or plan a strand test."""
    from lift.errors import LiftError
    from lift.practice.goal import parse_goal
    from lift.practice.trial.strand_test import StrandTest, strand_test
    from lift.show.plots.strand_plots import plot_strand_test
    from lift.show.terminal.strand import print_strand

    if save_file is not None and not seen:
        raise LiftError("cli.strand.save_needs_seen")
    curves = options.read_curves(curves_file)
    observations, photographs = photo_options.read_seen(seen, chart, hair, curves)
    result = strand_test(
        strand_options.read_hair(typed),
        strand_options.read_mixture(typed),
        observations,
        None if goal is None else parse_goal(goal),
        curves,
        rinse_minutes=None if minutes is None else RINSE.parse(minutes),
        reading=by,
    )
    if save_file is not None:
        from lift.practice.trial.strand_file import save_strand

        save_strand(result, save_file)

    def tell(test: StrandTest) -> None:
        print_strand(test, only_when=when, brief=brief)
        if save_file is not None:
            click.echo(say("cli.strand.kept", path=save_file))

    photo_options.tell_measured(photographs, aside=as_json)
    options.answer(result, as_json, tell, (picture, plot_strand_test))
