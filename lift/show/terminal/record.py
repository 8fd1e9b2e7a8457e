"""Terminal output of records and of what they teach."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.practice.cautions import UNMIXED, cautions
from lift.practice.records.forecast import Forecast
from lift.practice.records.learned import Learned
from lift.practice.records.record import Record
from lift.show.said_record import (
    Rows,
    added_note,
    added_rows,
    done_note,
    learned_note,
    learned_rows,
)
from lift.show.terminal.foot import console, facts, print_foot
from lift.words import say

HEADS = ("number", "date", "client", "zone", "done", "seen")


def print_added(record: Record, expected: Forecast, path: Path, to: Console | None = None) -> None:
    """Say what was kept, and how it compares with what was predicted."""
    to = to or console()
    to.print(Text(say(added_note(record)), style="bold"))
    _print_rows(added_rows(record, expected), to)
    to.print(say("record.file", path=path), soft_wrap=True)
    print_foot(to, cautions(record.mixture, record.result.minutes, record.hair))


def print_records(records: Sequence[Record], to: Console | None = None) -> None:
    """Print records as a table."""
    to = to or console()
    if not records:
        to.print(say("record.none"))
        return
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head in HEADS:
        table.add_column(say(f"record.head.{head}"), no_wrap=True)
    table.add_column("", no_wrap=True)
    for record in records:
        table.add_row(
            str(record.number),
            record.date,
            record.client,
            say("page.record.part", part=record.zone) if record.zone else "",
            say(done_note(record)),
            say(record.result.seen),
            say("record.invented") if record.invented else "",
        )
    to.print(table)
    print_foot(to, UNMIXED)


def print_learned(result: Learned, left_aside: int = 0, to: Console | None = None) -> None:
    """Print what records taught and how well it predicts."""
    to = to or console()
    to.print(Text(say(learned_note(result, left_aside)), style="bold"))
    _print_rows(learned_rows(result), to)
    print_foot(to, UNMIXED, result.curves)


def _print_rows(rows: Rows, to: Console) -> None:
    table = facts()
    for label, what in rows:
        table.add_row(say(label), say(what))
    to.print(table)
