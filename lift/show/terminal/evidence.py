"""Terminal output of the evidence."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.table import Table

from lift.research.evidence.bands import BandSensitivity, NearBand, band_rows
from lift.research.evidence.checks import (
    BUILT_IN,
    DEFINED,
    MEASURED,
    PRACTICE_LEFT_OUT,
    Check,
    by_standing,
)
from lift.show.terminal.foot import console, facts
from lift.words import Note, say


def print_evidence(
    checks: Sequence[Check],
    unknown: Iterable[Note],
    near: Iterable[NearBand],
    moved: BandSensitivity,
    to: Console | None = None,
) -> None:
    """Print every check by its standing, what they come to, and what none of them says.

    Parameters
    ----------
    checks : sequence of Check
        From `lift.lab.all_checks`.
    unknown : iterable of Note
        From `lift.research.evidence.unknown.unknown`.
    near, moved : iterable of NearBand, BandSensitivity
        From `lift.lab.near_bands` and `lift.lab.band_sensitivity`.
    to : rich.console.Console, optional
        Default: the terminal.
    """
    to = to or console()
    groups = by_standing(checks)
    table = facts()
    for standing, group in groups.items():
        counts = {"passed": sum(c.passed for c in group), "checks": len(group)}
        said = say(f"evidence.standing.{standing}")
        worth = say(f"evidence.worth.{standing}")
        typed = standing == BUILT_IN
        heading = "evidence.heading.built_in" if typed else "evidence.heading"
        to.print(say(heading, standing=said, worth=worth, **counts))
        for check in group:
            holds = "evidence.built_in" if typed else "evidence.holds"
            to.print(say(holds if check.passed else "evidence.fails", name=check.name))
            for code in ("source", "expected", "got", "finding"):
                if (line := getattr(check, code)) is not None:
                    to.print(say(f"evidence.{code}_line", said=line))
        passed = "evidence.passed.built_in" if typed else "evidence.passed"
        table.add_row(say("evidence.capital", text=said), say(passed, **counts))
    counted = [c for c in checks if not c.built_in]
    counts = {"passed": sum(c.passed for c in counted), "checks": len(counted)}
    table.add_row(say("evidence.all"), say("evidence.passed", **counts))
    to.print(table)
    told = {
        "measured": len(groups[MEASURED]),
        "fitted": sum(c.fitted for c in checks),
        "built_in": len(groups[BUILT_IN]),
        "left_out": len(groups[PRACTICE_LEFT_OUT]),
        "apart": len(groups[DEFINED]),
    }
    to.print(say("evidence.count", checks=len(checks), **told))
    _print_bands(near, moved, to)
    to.print(say("evidence.unknown"))
    for each in unknown:
        to.print(say("evidence.unknown_line", said=each), markup=False)


def _print_bands(near: Iterable[NearBand], moved: BandSensitivity, to: Console) -> None:
    """Where the dye bands lie beside published maxima, and what hangs on it."""
    to.print(say("bands.heading"))
    for each in near:
        to.print(say(each.words), markup=False)
    to.print(say("bands.moved_heading"))
    heads, rows = band_rows(moved)
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head in heads:
        table.add_column(say(head))
    for row in rows:
        table.add_row(*map(say, row))
    to.print(table)
    to.print(say(moved.words))
