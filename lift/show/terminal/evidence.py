"""Terminal output of the evidence."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console

from lift.research.evidence.checks import Check
from lift.show.terminal.preview import console


def print_evidence(checks: Sequence[Check], to: Console | None = None) -> None:
    """Print every check with its source, what was expected and what was got."""
    to = to or console()
    for kind in dict.fromkeys(c.kind for c in checks):
        to.print(f"[bold]{kind}[/]")
        for check in (c for c in checks if c.kind == kind):
            mark = "pass" if check.passed else "[bold]FAIL[/]"
            fitted = "  (the model was fitted to this)" if check.fitted else ""
            to.print(f"  {mark}  {check.name}{fitted}")
            to.print(f"        source    {check.source}")
            to.print(f"        expected  {check.expected}")
            to.print(f"        got       {check.got}")
    failed = sum(not c.passed for c in checks)
    to.print(f"{len(checks) - failed} of {len(checks)} checks pass.")
