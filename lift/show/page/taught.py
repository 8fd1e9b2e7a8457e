"""What visits taught: a curve set of their own, which answers rest on while it is switched on.

It is learned when it is switched on, lies in the page's data folder, and holds after a restart.
"""

from __future__ import annotations

from functools import partial

from lift.answers.encode import Part
from lift.practice.records.flat import rows
from lift.practice.records.learn import LEAST_RECORDS
from lift.practice.records.learned import learn_from_records
from lift.practice.records.record import Record
from lift.show.page.answer import Answer, curves_of
from lift.show.page.desk import Asked, Desk
from lift.show.page.question import TOGETHER, refused
from lift.show.page.records import all_records
from lift.words import note, say

NAME = "own"
"""Of a curve set that visits taught."""


class Taught(Part):
    """Whether the page answers from what visits taught, and from how many it could.

    `words` offer it, or say why it cannot be; `standing` says what answers rest on, empty where
    that is the shipped curve set.
    """

    on: bool
    visits: int
    can: bool
    words: str
    standing: str


class Switch(Part):
    """Whether to answer from what visits taught."""

    on: bool


def read_taught(desk: Desk, asked: Asked) -> Taught:
    """Whether answers rest on what visits taught, and whether they could."""
    return _taught(desk, _records(desk))


async def switch_taught(desk: Desk, asked: Asked) -> Taught:
    """Answer from what visits taught from now on, learned anew, or no longer."""
    records, teaching = _records(desk), desk.teaching
    if asked.body.on:
        with refused("on", TOGETHER):
            key = ("taught", repr(rows(records)))
            learned = await desk.slow.get(key, partial(learn, records, teaching.base.packed))
            teaching.take(learned.plain)
    else:
        teaching.forget()
    return _taught(desk, records)


def learn(records: tuple[Record, ...], packed: bytes) -> Answer:
    """Curve set that records teach, as text of a file; runs in any process."""
    return Answer(
        learn_from_records(records, curves_of(packed), name=NAME).curves.to_toml().encode()
    )


def _records(desk: Desk) -> tuple[Record, ...]:
    """What came out of all visits that are no inventions, where it is said after how long."""
    kept = (record for record in all_records(desk) if record.result.minutes > 0.0)
    return tuple(record for record in kept if not record.invented)


def _taught(desk: Desk, records: tuple[Record, ...]) -> Taught:
    visits, on = len({record.number for record in records}), desk.teaching.desk
    can = len(records) >= LEAST_RECORDS
    offer = note("taught.offer", visits=visits)
    few = note("taught.few", count=len(records), least=LEAST_RECORDS)
    return Taught(
        on=on is not None,
        visits=visits,
        can=can,
        words=say(offer if can else few),
        standing="" if on is None else say("taught.standing", standing=on.curves.standing),
    )
