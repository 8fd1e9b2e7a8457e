"""Terminal output of records and of what they teach."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from rich.console import Console
from rich.table import Table

from lift.practice.cautions import ALWAYS, cautions
from lift.practice.preview import rounded
from lift.practice.records.calibration import Calibration
from lift.practice.records.forecast import SHIFTS, Forecast
from lift.practice.records.prediction_error import COVERED
from lift.practice.records.record import Record, to_row
from lift.show.terminal.preview import console, facts, print_foot

UNUSUAL = 3.29
"""Standard deviations passed once in a thousand times."""


def print_added(record: Record, expected: Forecast, path: Path, to: Console | None = None) -> None:
    """Say what was kept, and how it compares with what was predicted."""
    to = to or console()
    to.print(
        f"[bold]Record {record.number}[/] kept for client [bold]{record.client}[/]"
        f"{' (invented)' if record.invented else ''}: {done_words(record)}"
    )
    mean, sd = expected.mean[0], np.sqrt(np.diag(expected.covariance[0]))
    names = ("level",) if record.result.lab is None else ("L*", "a*", "b*")
    table = facts()
    for name, seen, m, s in zip(names, record.result.numbers, mean, sd, strict=True):
        unusual = "; UNUSUAL, check what was typed" if abs(seen - m) > UNUSUAL * s else ""
        table.add_row(
            name,
            f"seen {seen:g}, predicted {m:.1f} "
            f"({m - COVERED * s:.1f} to {m + COVERED * s:.1f}){unusual}",
        )
    to.print(table)
    to.print(f"File: {path}", soft_wrap=True)
    _foot(to, cautions(record.mixture, record.result.minutes, record.hair))


def added_to_dict(record: Record, expected: Forecast) -> dict[str, Any]:
    """JSON form of an added record and what was predicted for it."""
    return {
        "record": {"number": record.number, **to_row(record)},
        "predicted": {
            "mean": rounded(expected.mean[0]),
            "sd": rounded(np.sqrt(np.diag(expected.covariance[0]))),
        },
        "cautions": list(map(str, cautions(record.mixture, record.result.minutes, record.hair))),
    }


def done_words(record: Record) -> str:
    """What was done, in a few words."""
    hair, mixture = record.hair, record.mixture
    return (
        f"level {hair.level:g}, {hair.fibre_um:g} um{', damp' if hair.damp else ''}; "
        f"{mixture.kind} {mixture.developer_volume:g} vol, {record.result.minutes:g} min"
    )


def print_records(records: Sequence[Record], to: Console | None = None) -> None:
    """Print records as a table."""
    to = to or console()
    if not records:
        to.print("No records.")
        return
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head in ("No.", "Date", "Client", "Zone", "Done", "Seen", ""):
        table.add_column(head, no_wrap=True)
    for record in records:
        table.add_row(
            str(record.number),
            record.date,
            record.client,
            record.zone or "",
            done_words(record),
            record.result.words.rpartition(" at ")[0],
            "invented" if record.invented else "",
        )
    to.print(table)
    _foot(to, ALWAYS)


def print_calibration(result: Calibration, left_aside: int = 0, to: Console | None = None) -> None:
    """Print what records taught and how well it predicts."""
    to = to or console()
    count, clients = len(result.records), len({r.client for r in result.records})
    to.print(
        f"[bold]Learned from {count} {'INVENTED ' if result.invented else ''}records[/] of "
        f"{clients} client{'s' if clients != 1 else ''}"
        + (
            f"; {left_aside} {'real' if result.invented else 'invented'} ones left aside"
            if left_aside
            else ""
        )
    )
    table = facts()
    mean, sd = result.shared.moments()
    for name, m, s, known in zip(SHIFTS, mean, sd, result.determined, strict=True):
        words = shift_words(name, float(m), float(s))
        table.add_row(_NAMES[name], words if known else f"{words}; {_UNKNOWN[name]}")
    before, after = result.before, result.after
    table.add_row(
        "Error",
        f"{before.rms:.2f} levels before; now {after.rms:.2f} (rms, each {result.held_out_by} "
        "left out of what predicts it)",
    )
    table.add_row("Mean error", f"{before.bias:+.2f} levels before; now {after.bias:+.2f}")
    table.add_row(
        "Band", f"{before.width:.2f} levels wide before; now {after.width:.2f} (for 9 in 10)"
    )
    table.add_row("Inside band", f"{before.held} of {count} before; now {after.held} of {count}")
    if result.suspects:
        numbers = ", ".join(str(result.records[i].number) for i in result.suspects)
        table.add_row("Check", f"record {numbers}: looks written down wrongly, and counts little")
    table.add_row("Rests on", f"{result.shared.posterior.effective_size:.0f} effective draws")
    to.print(table)
    print_foot(to, ALWAYS, result.curves.name, result.curves.standing)


_NAMES = {"level": "Eye", "rate": "Rate", "fade": "Fade time", "spread": "Spread"}
_UNKNOWN = {
    "level": "NOT DETERMINED: only an instrument's CIELAB tells",
    "rate": "NOT DETERMINED by these records",
    "fade": "NOT DETERMINED: needs short and long times",
    "spread": "NOT DETERMINED: needs more records",
}


def shift_words(name: str, mean: float, sd: float) -> str:
    """One shared shift in words, with the interval that holds nine of ten."""
    low, high = mean - COVERED * sd, mean + COVERED * sd
    if name == "level":
        side = "dark" if mean >= 0.0 else "light"
        return f"reads levels {abs(mean):.2f} too {side} ({low:+.2f} to {high:+.2f})"
    what = {
        "rate": "of the rate before",
        "fade": "of the fade time before",
        "spread": "of the assumed spread between strands",
    }[name]
    return f"{np.exp(mean):.2f} times ({np.exp(low):.2f} to {np.exp(high):.2f}) {what}"


def _foot(to: Console, lines: Sequence[str]) -> None:
    for line in lines:
        to.print(f"  ! {line}", style="dim" if to.color_system else "")
