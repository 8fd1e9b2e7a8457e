"""Clock of a visit: the tables it runs by, with what its looks have shown."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import lru_cache, partial
from typing import Any

from lift.answers.encode import Part, encode
from lift.practice.scenario.place import PlacedError
from lift.practice.service.plan import Plan
from lift.practice.service.plan import plan as plan_of
from lift.practice.trial.observation import Observation
from lift.practice.visit.visit import Visit
from lift.show.page.answer import Answer, curves_of
from lift.show.page.asked_visit import field_name, read_body_visit
from lift.show.page.clock_data import ClockData, clock_data
from lift.show.page.desk import Asked, Desk
from lift.show.page.question import RefusedError

MARKED = ("version", "clock", "came_out", "about")
"""What of a visit no table of its clock depends on."""


class ClockAnswer(Part):
    """What a clock runs by."""

    clock: ClockData


async def clock(desk: Desk, asked: Asked) -> Answer:
    """Tables of a visit's clock, from its plan and from what was seen of its zones."""
    text = _text({k: v for k, v in asked.body.visit.items() if k not in MARKED})
    digest = hashlib.sha256(text.encode()).hexdigest()
    return await desk.slow.get(("clock", digest), partial(answer_clock, text, desk.packed))


def answer_clock(text: str, packed: bytes) -> Answer:
    """Answer with the clock of a visit, from its JSON; runs in any process."""
    visit = read_body_visit(json.loads(text), curves_of(packed).mixtures)
    planned = {k: v for k, v in json.loads(text).items() if k != "looks"}
    result = _plan(_text(planned), packed)
    return Answer(encode(ClockAnswer(clock_data(result, seen_of(visit)))))


def seen_of(visit: Visit) -> Mapping[str, tuple[Observation, ...]]:
    """What was seen of each zone, on its hair or on a strand of it."""
    return {
        zone.name: tuple(look.observation for look in visit.looks if look.zone == zone.name)
        for zone in visit.scenario.zones
    }


@lru_cache(maxsize=4)
def _plan(text: str, packed: bytes) -> Plan:
    """Plan of a visit, from its JSON: a look moves the clock, and leaves what was planned."""
    curves = curves_of(packed)
    visit = read_body_visit(json.loads(text), curves.mixtures)
    try:
        return plan_of(visit.scenario, curves, consulted=visit.consulted)
    except PlacedError as error:
        raise RefusedError({field_name(error.path): error.note["error"]}) from None


def _text(table: Mapping[str, Any]) -> str:
    """JSON of a visit's table; of its head only the day, which a plan may depend on."""
    own = table.get("visit")
    if not isinstance(own, dict):
        return json.dumps(table, sort_keys=True)
    date = {"date": own["date"]} if own.get("date") else {}
    return json.dumps({**table, "visit": {"name": "planned", **date}}, sort_keys=True)
