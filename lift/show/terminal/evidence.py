"""Terminal output of the evidence."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console

from lift.research.evidence.checks import DEFINED, MEASURED, PRACTICE_LEFT_OUT, Check, by_standing
from lift.show.terminal.foot import console, facts
from lift.words import Note, say


def print_evidence(
    checks: Sequence[Check], unknown: Iterable[Note], to: Console | None = None
) -> None:
    """Print every check by its standing, what they come to, and what none of them says.

    Parameters
    ----------
    checks : sequence of Check
        From `lift.lab.all_checks`.
    unknown : iterable of Note
        From `lift.research.evidence.unknown.unknown`.
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
        to.print(say("evidence.heading", standing=said, worth=worth, **counts))
        for check in group:
            line = "evidence.holds" if check.passed else "evidence.fails"
            to.print(say(line, name=check.name))
            for code in ("source", "expected", "got"):
                to.print(say(f"evidence.{code}_line", said=getattr(check, code)))
        table.add_row(say("evidence.capital", text=said), say("evidence.passed", **counts))
    counts = {"passed": sum(c.passed for c in checks), "checks": len(checks)}
    table.add_row(say("evidence.all"), say("evidence.passed", **counts))
    to.print(table)
    told = {
        "measured": len(groups[MEASURED]),
        "fitted": sum(c.fitted for c in checks),
        "left_out": len(groups[PRACTICE_LEFT_OUT]),
        "apart": len(groups[DEFINED]),
    }
    to.print(say("evidence.count", checks=len(checks), **told))
    to.print(say("evidence.unknown"))
    for each in unknown:
        to.print(say("evidence.unknown_line", said=each), markup=False)
