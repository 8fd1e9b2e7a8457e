"""Clock of a visit: the tables it runs by, with what its looks have shown."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import partial

from lift.answers.encode import Part, encode
from lift.practice.trial.observation import Observation
from lift.practice.visit.visit import Visit
from lift.show.page.answer import Answer, curves_of
from lift.show.page.asked_visit import by_key, read_body_visit, unbegun
from lift.show.page.clock_data import ClockData, clock_data
from lift.show.page.desk import Asked, Desk
from lift.show.page.planned import planned


class ClockAnswer(Part):
    """What a clock runs by."""

    clock: ClockData


async def clock(desk: Desk, asked: Asked) -> Answer:
    """Tables of a visit's clock, from its plan and from what was seen of its zones."""
    visit = asked.body.visit
    text, looks = unbegun(visit), json.dumps(visit.get("looks", []), sort_keys=True)
    job = partial(answer_clock, text, looks, desk.packed)
    return await desk.slow.get(("clock", text, looks), job)


def answer_clock(text: str, looks: str, packed: bytes) -> Answer:
    """Answer with the clock of a visit, from its JSON and its looks'; runs in any process."""
    table = {**json.loads(text), "looks": json.loads(looks)}
    visit = read_body_visit(table, curves_of(packed).mixtures)
    with by_key():
        # A look moves the clock, and leaves what was planned.
        result = planned(text, packed)
    return Answer(encode(ClockAnswer(clock_data(result, seen_of(visit)))))


def seen_of(visit: Visit) -> Mapping[str, tuple[Observation, ...]]:
    """What was seen of each zone, on its hair or on a strand of it."""
    return {
        zone.name: tuple(look.observation for look in visit.looks if look.zone == zone.name)
        for zone in visit.scenario.zones
    }
