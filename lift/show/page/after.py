"""Afterwards: what came out of a visit, what to tell the client, and when she comes again."""

from __future__ import annotations

import datetime
import json
from functools import partial
from typing import Any

import numpy as np

from lift.answers.encode import Code, Part, encode
from lift.answers.parts import said
from lift.model.curves import RED_SHARE, CurveSet
from lift.practice.records.what_came import Came, what_came
from lift.practice.visit.after_care import after_care, done_at
from lift.practice.visit.marks import minutes_taken
from lift.practice.visit.next_after import come_again
from lift.practice.visit.visit import Visit
from lift.show.lock.shades import shade_texts
from lift.show.page.answer import Answer, Lock, curves_of
from lift.show.page.asked_visit import read_body_visit
from lift.show.page.desk import Asked, Desk
from lift.show.page.visits import kept_named, visits_of
from lift.show.page.zones_shown import colour_of
from lift.words import note, say

EXPOSES = 1.0
"""Levels of lift from which exposed warmth decides what hair looks like (assumed)."""

OFFERED = (3, 4, 5, 6, 8, 10, 12)
"""Weeks that are offered beside the proposed ones: common practice (no source)."""


class AfterZone(Part):
    """A zone that a mixture lay on: how long, what was expected, and what came out.

    Its level is picked from locks of the `scale`. `minutes` are None where nobody says; `said_by`
    is ``told``, ``clock``, ``plan`` or empty. The `level` that came out is None until it is told;
    `against` is ``open``, ``as_expected``, ``lighter`` or ``darker``, and `words` say so. `locks`
    are before, expected and came out.
    """

    name: str
    scale: str
    minutes: float | None
    said_by: str
    level: float | None
    against: str
    words: str
    exact: str
    locks: list[Lock]


class CareTold(Part):
    """A piece of advice for the client, and where it comes from."""

    said: str
    said_code: Code
    source: str
    source_code: Code


class AfterAnswer(Part):
    """What came out of a visit, how long it took [min], and what to tell the client."""

    zones: list[AfterZone]
    took_minutes: float | None
    took: str
    care: list[CareTold]


class Offered(Part):
    """A day to come again, so many weeks after the visit."""

    weeks: int
    date: str


class NextAnswer(Part):
    """When to come again: the weeks proposed, why, and what else is offered."""

    weeks: int
    date: str
    why: list[str]
    why_codes: list[Code]
    offered: list[Offered]


class Earlier(Part):
    """A visit of the same client that was."""

    name: str
    date: str | None
    title: str
    invented: bool
    zones: list[AfterZone]


class History(Part):
    """Visits of a client that were, the newest first, without the one that is open."""

    visits: list[Earlier]


def after(desk: Desk, asked: Asked) -> AfterAnswer:
    """What came out of a visit against what was expected, and what to tell the client."""
    visit = read_body_visit(asked.body.visit, desk.curves.mixtures)
    took = minutes_taken(visit)
    return AfterAnswer(
        zones=zones_after(visit, desk.curves),
        took_minutes=took,
        took="" if took is None else say("after.took", minutes=took),
        care=[CareTold(**said(said=c.said, source=c.source)) for c in after_care(done_at(visit))],
    )


def history(desk: Desk, asked: Asked) -> History:
    """Earlier visits of the same client: before, after, and what was expected."""
    this = kept_named(desk, asked.name).visit
    with visits_of(desk) as store:
        kept = () if this.client is None else store.of_client(this.client)
    return History(
        [
            Earlier(
                name=visit.name,
                date=visit.date,
                title=visit.scenario.title,
                invented=visit.invented,
                zones=zones_after(visit, desk.curves),
            )
            for visit in (each.visit for each in reversed(kept))
            if visit.name != this.name and visit.came_out
        ]
    )


async def next_day(desk: Desk, asked: Asked) -> Answer:
    """When to come again: before regrowth shows or the tone has faded, whichever is sooner."""
    visit = asked.body.visit
    head = visit.get("visit", {})
    if isinstance(head, dict):  # what is no table is told of by its reader
        head = {key: head[key] for key in ("name", "client", "date") if key in head}
    text = json.dumps({**visit, "visit": head}, sort_keys=True)
    return await desk.slow.get(("next", text), partial(answer_next, text, desk.packed))


def answer_next(text: str, packed: bytes) -> Answer:
    """When to come again, from the JSON of a visit; runs in any process."""
    curves = curves_of(packed)
    visit = read_body_visit(json.loads(text), curves.mixtures)
    found = come_again(visit, curves)
    day = datetime.date.fromisoformat(visit.date) if visit.date else datetime.date.today()
    weeks = sorted({*OFFERED, found.weeks})
    return Answer(
        encode(
            NextAnswer(
                weeks=found.weeks,
                date=found.date(day).isoformat(),
                **said(why=found.why),
                offered=[
                    Offered(each, (day + datetime.timedelta(weeks=each)).isoformat())
                    for each in weeks
                ],
            )
        )
    )


def zones_after(visit: Visit, curves: CurveSet) -> list[AfterZone]:
    """All zones that a mixture lay on."""
    return [_zone(visit, each, curves) for each in what_came(visit, curves)]


def _zone(visit: Visit, came: Came, curves: CurveSet) -> AfterZone:
    looks = {"before": came.before}
    exact = ""
    if came.expected is not None:
        looks["expected"] = came.expected.lab
        range_ = {"low": came.expected.low, "high": came.expected.high}
        exact = say("after.exact", level=came.expected.level, **range_)
    if came.seen is not None:
        looks["came_out"] = colour_of(visit, came.zone, curves)
    shades = shade_texts(np.array(list(looks.values())))
    return AfterZone(
        name=came.zone.name,
        scale=_scale(came),
        minutes=came.minutes,
        said_by=came.said_by,
        level=None if came.level is None else round(came.level, 2),
        against=came.against,
        words=_words(came),
        exact=exact,
        locks=[Lock(s, say(f"after.lock.{n}")) for n, s in zip(looks, shades, strict=True)],
    )


def _scale(came: Came) -> str:
    """Locks that are like what came out: of natural hair, or of what lightening exposes."""
    lifted = came.expected is not None and came.expected.level - came.zone.level_now > EXPOSES
    if lifted:
        return "underpigment"
    return "red" if (came.zone.hair.pheomelanin_share or 0.0) >= RED_SHARE else "natural"


def _words(came: Came) -> str:
    values: dict[str, Any] = {}
    if came.expected is not None:
        values["expected"] = came.expected.level
    if came.level is not None:
        values["level"] = came.level
    if came.against != "open":
        return say(note(f"after.{came.against}", **values))
    if came.expected is None:
        return say("after.no_minutes")
    return say(note("after.to_tell", **values))
