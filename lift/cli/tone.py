"""``lift tone``."""

from __future__ import annotations

import click

from lift.cli import options
from lift.errors import LiftError, check_number


@click.command("tone", short_help="Which change answers a colour.")
@click.option("--lab", metavar="L,A,B", help="Measured colour of the hair (D65, 10 degrees).")
@click.option("--level", metavar="N", help="Hair lightened to this level, 1 to 10.")
@click.option("--goal", metavar="GOAL", help="A level (8) or a CIELAB (60,5,20) to reach.")
@options.curves_option
@options.json_option
def command(
    lab: str | None,
    level: str | None,
    goal: str | None,
    curves_file: str | None,
    as_json: bool,
) -> None:
    """Find the tone direction that answers a measured colour or a level's underpigment."""
    from lift.practice.tone import tone_direction
    from lift.practice.tone_report import ToneReport, goal_lab, underpigment_lab

    if (lab is None) == (level is None):
        raise LiftError("give either --lab L,a,b or --level N")
    curves = options.read_curves(curves_file)
    if lab is not None:
        colour = options.read_lab(lab)
    else:
        colour = underpigment_lab(check_number("level", level, 1.0, 10.0), curves)
    wanted = None if goal is None else goal_lab(goal, curves)
    report = ToneReport(colour, wanted, tone_direction(colour, wanted, curves), curves)
    if as_json:
        options.print_json(report.to_dict())
        return
    from lift.show.terminal import print_tone

    print_tone(report)
