"""Plans: the JSON form of a service plan, and what a screen shows of it."""

from __future__ import annotations

from functools import partial

import numpy as np

from lift.answers import to_json
from lift.answers.encode import Code, Part
from lift.answers.parts import said
from lift.practice.service.plan import Plan
from lift.practice.service.zone_plan import ZonePlan
from lift.show.lock.shades import shade_texts
from lift.show.page.answer import (
    Answer,
    Lock,
    Shades,
    answered,
    locks_around,
    locks_beside,
)
from lift.show.page.asked_visit import by_key, unbegun
from lift.show.page.desk import Asked, Desk
from lift.show.page.laid import LaidZone, laid_zones
from lift.show.page.planned import planned
from lift.show.page.question import refused
from lift.show.page.zone_asked import zone_asked
from lift.show.said_plan import (
    fibre_notes,
    first_notes,
    gain_note,
    on_note,
    red_notes,
    toned_notes,
    toner_notes,
    total_note,
    verdict_note,
    zone_looks,
)
from lift.words import plainly, say


class First(Part):
    """What is done with a zone, in the order of doing it, and how it may end."""

    mix: str
    mix_code: Code
    rinse: str
    rinse_code: Code
    tone: str
    tone_code: Code
    risk: str
    risk_code: Code


class PlainFirst(Part):
    """First lines without numbers of a laboratory."""

    mix: str
    rinse: str
    tone: str
    risk: str


class ZoneShown(Part):
    """Words and drawn locks of a zone, at the rinse and after its toner, beside natural hair.

    `plain` are its first lines without numbers of a laboratory, `asked` is what a preview of it is
    asked beside mixture and minutes. Its `sections` in order, and the natural `levels` between
    which they all are.
    """

    on: str
    on_code: Code
    first: First
    plain: PlainFirst
    asked: dict[str, str]
    locks: list[Lock]
    tone: str
    tone_code: Code
    toner: list[str]
    toner_codes: list[Code]
    fibres: list[str]
    fibres_codes: list[Code]
    chance: str
    sections: list[Shades]
    levels: list[Lock]


class PlanShown(Part):
    """Words and drawn locks of a plan; `parts` are before and after.

    `laid` is where every zone lies, for a map of it.
    """

    verdict: str
    verdict_code: Code
    total: str
    total_code: Code
    chance: str
    changes: list[str]
    changes_codes: list[Code]
    red: list[str]
    red_codes: list[Code]
    toned: list[str]
    toned_codes: list[Code]
    zones: dict[str, ZoneShown]
    parts: dict[str, list[Lock]]
    laid: list[LaidZone]


async def plan(desk: Desk, asked: Asked) -> Answer:
    """Plan the service of a visit."""
    text = unbegun(asked.body.visit)
    with refused("visit"):
        return await desk.slow.get(("plan", text), partial(answer_plan, text, desk.packed))


def answer_plan(text: str, packed: bytes) -> Answer:
    """Plan a visit, from its JSON, as ``lift plan`` does; runs in any process."""
    with by_key():
        result = planned(text, packed)
    return answered(to_json(result), _shown(result))


def _shown(result: Plan) -> PlanShown:
    before = result.blend.parts_before
    return PlanShown(
        **said(
            verdict=verdict_note(result),
            total=total_note(result),
            changes=map(gain_note, result.changes),
            red=red_notes(result),
            toned=toned_notes(result),
        ),
        chance=say("chance", p=result.p_inside),
        zones={z.zone.name: _zone(z, result) for z in result.zones},
        parts={
            part: locks_beside(
                {say("plot.before"): before[part], say("page.plan.after"): lab}, result.curves
            )
            for part, lab in result.blend.parts.items()
        },
        laid=laid_zones(result),
    )


def _zone(zone: ZonePlan, result: Plan) -> ZoneShown:
    sections = np.array([s.lab for s in zone.sections])
    first = first_notes(zone, result)
    with plainly():
        plain = PlainFirst(**{name: say(line) for name, line in first.items()})
    return ZoneShown(
        first=First(**said(**first)),
        plain=plain,
        asked=zone_asked(zone, result),
        locks=locks_beside(zone_looks(zone), result.curves),
        **said(on=on_note(zone)),
        **said(
            tone=zone.wheel_and_dye.words,
            toner=toner_notes(zone),
            fibres=(told for _, told in fibre_notes(zone)),
        ),
        chance=say("chance", p=zone.p_inside),
        sections=shade_texts(sections),
        levels=locks_around(sections, result.curves),
    )
