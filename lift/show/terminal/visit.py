"""Terminal output of visits."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.model.curves import CurveSet
from lift.practice.cautions import UNMIXED
from lift.practice.visit.visit import Visit
from lift.practice.visit.visit_store import Kept
from lift.show.said_visit import hair_note, mixture_note, wish_note, zones_note
from lift.show.terminal.foot import console, print_foot
from lift.words import say

HEADS = ("name", "date", "client", "state", "zones")
ZONE_HEADS = ("zone", "hair", "wish", "mixture", "came_out")


def print_visits(kept: Sequence[Kept], to: Console | None = None) -> None:
    """Print visits as a table."""
    to = to or console()
    if not kept:
        to.print(say("visit.empty"))
        return
    table = _table(HEADS)
    for visit in (each.visit for each in kept):
        table.add_row(
            visit.name,
            visit.date or "",
            visit.client or "",
            say("visit.state", state=visit.state),
            say(zones_note(visit)),
            say("record.invented") if visit.invented else "",
        )
    to.print(table)
    print_foot(to, UNMIXED)


def print_visit(
    visit: Visit, curves: CurveSet, pictures: int = 0, to: Console | None = None
) -> None:
    """Print one visit: hair, wishes, mixtures and what came out, by zone; and how many pictures."""
    to = to or console()
    head = say(
        "visit.head",
        title=visit.scenario.title or visit.name,
        client=visit.client or "",
        date=visit.date or "",
        state=visit.state,
    )
    to.print(Text(head, style="bold"))
    for stop in visit.consulted.stops:
        to.print(say(stop.note), soft_wrap=True)
    table = _table(ZONE_HEADS)
    for zone in visit.scenario.zones:
        result = visit.result_of(zone.name)
        table.add_row(
            zone.name,
            say(hair_note(zone)),
            say(wish_note(zone, curves)),
            say(mixture_note(visit.scenario, zone)),
            "" if result is None else say(result.observation.note),
        )
    to.print(table)
    if pictures:
        to.print(say("visit.pictures", count=pictures))
    if visit.next_date is not None:
        to.print(say("visit.next", date=visit.next_date))
    print_foot(to, UNMIXED)


def _table(heads: tuple[str, ...]) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head in (*(f"visit.head.{name}" for name in heads),):
        table.add_column(say(head))
    table.add_column("")
    return table
