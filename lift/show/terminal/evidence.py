"""Terminal output of the evidence."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console

from lift.research.evidence.checks import Check
from lift.show.terminal.preview import console
from lift.words import say


def print_evidence(checks: Sequence[Check], to: Console | None = None) -> None:
    """Print every check with its source, what was expected and what was got."""
    to = to or console()
    for kind in dict.fromkeys(c.kind for c in checks):
        to.print(say("evidence.kind_line", kind=kind))
        for check in (c for c in checks if c.kind == kind):
            to.print(
                say("evidence.check", passed=check.passed, fitted=check.fitted, name=check.name)
            )
            for code in ("source", "expected", "got"):
                to.print(say(f"evidence.{code}_line", said=getattr(check, code)))
    passed = sum(c.passed for c in checks)
    to.print(say("evidence.passed", passed=passed, checks=len(checks)))
