"""Terminal output of a lightening series: its protocol, and what it would settle."""

from __future__ import annotations

import os

from rich.console import Console

from lift.research.planning.day import COVER_MIN, READ_MIN, RINSE_MIN
from lift.research.planning.narrowing import LIGHTNESS, Narrowed
from lift.research.planning.series import STEPS, Series
from lift.show.terminal.bayes import grid
from lift.show.terminal.foot import console, facts, print_foot
from lift.words import known, note, say


def print_series(series: Series, file: str | None = None, to: Console | None = None) -> None:
    """Print the protocol of a series, and what it is expected to leave.

    Parameters
    ----------
    series : Series
        From `lift.research.planning.series.lightening_series`.
    file : str, optional
        File to be filled in, where one was written.
    to : rich.console.Console, optional
        Default: the terminal.
    """
    to = to or console()
    minutes = [f"{t:g}" for t in series.minutes]
    counts = {"tresses": series.tresses, "strands": len(series.swatches)}
    to.print(say("series.title", minutes=minutes, **counts))
    to.print(say("series.why"))
    table = facts()
    for step, said in zip(STEPS, series.steps, strict=True):
        table.add_row(say(f"series.head.{step}"), str(said))
    to.print(table)
    _print_days(series, to)
    to.print(say("series.columns", names=series.columns))
    to.print(say("series.narrows", believed=series.believed), markup=False)
    numbers = ("now", "then", "shrinks")
    rows = grid("quantity", *numbers, "unit", right=numbers)
    for each in series.narrowed:
        rows.add_row(
            _name(each),
            say("tuning.span", low=each.low, high=each.high),
            say("tuning.span", low=each.low_after, high=each.high_after),
            f"{100 * each.shrinks:.0f} %",
            each.unit,
        )
    to.print(rows)
    named = os.path.basename(file) if file else note("series.any_file")
    free = " ".join(f"--free {name}" for name in series.freed)
    to.print(say("series.then", file=named, free=free), markup=False)
    if file:
        to.print(say("series.written", path=file), markup=False)
    print_foot(to, series.cautions, series.curves)


def _print_days(series: Series, to: Console) -> None:
    runs = series.runs
    days, hours = max(run.read_day for run in runs), {"cover": COVER_MIN, "rinse": RINSE_MIN}
    to.print(say("day.title", days=days, strands=len(runs), reading=READ_MIN, **hours))
    numbers = ("run", "minutes", "day", "cover", "rinse_at")
    table = grid("run", "tress", *numbers[1:], "read", right=numbers)
    swatches = series.swatches
    for run in runs:
        table.add_row(
            str(run.number),
            swatches.names[swatches.swatch[run.strand]],
            f"{swatches.minutes[run.strand]:g}",
            str(run.day),
            "" if run.cover is None else f"{run.cover:g}",
            f"{run.rinse:g}",
            say("day.read", day=run.read_day, at=run.read),
        )
    to.print(table)


def _name(each: Narrowed) -> str:
    code = f"series.{each.name}"
    return say(code, lightness=LIGHTNESS) if known(code) else each.name
