"""``lift tone``."""

from __future__ import annotations

from typing import Any

import click

from lift.cli import options
from lift.errors import LiftError, check_choice, check_number


@click.command("tone", short_help="Which change answers a colour, how much, and how it lasts.")
@click.option("--lab", metavar="L,A,B", help="Measured colour of the hair (D65, 10 degrees).")
@click.option("--level", metavar="N", help="Hair lightened to this level, 1 to 10.")
@click.option("--natural", metavar="N", help="Hair of this natural level under a mixture, 1 to 10.")
@click.option("--volume", metavar="VOL", help="With --natural: developer, 0 to 100 vol.")
@click.option("--minutes", metavar="MIN", help="With --natural: processing time, up to 120 min.")
@click.option("--mixture", metavar="KIND", help="With --natural: cream, base-break or powder.")
@click.option("--fibre", metavar="WORD|UM", help="With --natural: fine, medium, coarse, or um.")
@click.option("--damp", is_flag=True, help="With --natural: damp hair.")
@click.option("--carry", metavar="DYE=DOSE,...", help="With --natural: tone in the mixture.")
@click.option("--goal", metavar="GOAL", help="A level (8) or a CIELAB (60,5,20) to reach.")
@click.option(
    "--dyes",
    "--palette",
    metavar="DYE,...",
    help="Choose from these only: violet, blue-violet, blue, blue-green, green.",
)
@click.option(
    "--kind",
    metavar="KIND",
    default="permanent",
    show_default=True,
    help="Tone that is permanent or direct.",
)
@click.option(
    "--washes-per-week", metavar="N", default="3", show_default=True, help="Washes, 0.25 to 14."
)
@options.curves_option
@options.plot_option
@click.option(
    "--circles",
    "circles_file",
    metavar="FILE",
    help="Draw for teaching: CIELAB against the painter's wheel (.png, .svg or .pdf).",
)
@options.json_option
def command(
    lab: str | None,
    level: str | None,
    natural: str | None,
    goal: str | None,
    dyes: str | None,
    kind: str,
    washes_per_week: str,
    curves_file: str | None,
    plot_file: str | None,
    circles_file: str | None,
    as_json: bool,
    **mixture: Any,
) -> None:
    """Find the tone that answers a colour: direction, dose, look under other light, and fading.

    The hair is given by its measured colour, by the level it was lightened to, or by its natural
    level and the mixture that lies on it.
    """
    from lift.practice.toning.fade import FADE_KINDS
    from lift.practice.toning.tone_report import goal_lab, tone_report, underpigment_state

    if sum(given is not None for given in (lab, level, natural)) != 1:
        raise LiftError("give one of --lab L,a,b or --level N or --natural N")
    if natural is None and any(mixture.values()):
        raise LiftError("volume, minutes, mixture, fibre, damp and carry need --natural N")
    check_choice("kind", kind, FADE_KINDS)
    curves = options.read_curves(curves_file)
    picture = None if plot_file is None else options.plot_path(plot_file)
    circles = None if circles_file is None else options.plot_path(circles_file)
    hair: Any
    if lab is not None:
        hair = options.read_lab(lab)
    elif level is not None:
        hair = underpigment_state(check_number("level", level, 1.0, 10.0), curves)
    else:
        hair = _processed(str(natural), **mixture)
    report = tone_report(
        hair,
        None if goal is None else goal_lab(goal, curves),
        None if dyes is None else [dye.strip() for dye in dyes.split(",") if dye.strip()],
        curves,
        kind=kind,
        washes_per_week=check_number("washes per week", washes_per_week, 0.25, 14.0),
    )
    if picture is not None or circles is not None:
        from lift.show.plots.circle_plots import plot_tone, plot_two_circles
        from lift.show.plots.figure import save_figure

        for path, draw in ((picture, plot_tone), (circles, plot_two_circles)):
            if path is not None:
                save_figure(draw(report), path)
    if as_json:
        options.print_json(report.to_dict())
        return
    from lift.show.terminal.tone import print_tone

    print_tone(report)
    for path in (picture, circles):
        if path is not None:
            click.echo(f"Picture: {path}")


def _processed(
    natural: str,
    volume: str | None,
    minutes: str | None,
    mixture: str | None,
    fibre: str | None,
    damp: bool,
    carry: str | None,
) -> Any:
    from lift.practice.toning.tone_report import Processed

    if volume is None or minutes is None:
        raise LiftError("--natural needs --volume VOL and --minutes MIN")
    return Processed(
        options.read_hair({"level": natural, "fibre": fibre, "damp": damp}),
        options.read_mixture({"volume": volume, "mixture": mixture, "carry": carry}),
        check_number("processing time", minutes, 0.1, 120.0, "min"),
    )
