"""Options of a visit as cards to compare: what to use on all its zones, what taking one changes."""

from __future__ import annotations

import json
from functools import partial
from typing import Any

from lift.answers.encode import Code, Part, encode
from lift.answers.parts import finite, rounded, said
from lift.model.curves import CurveSet
from lift.practice.scenario.scenario_table import mixture_table, zone_table
from lift.practice.service.zone_plan import ZonePlan
from lift.practice.visit.options import VisitOption, visit_options
from lift.show.page.answer import Answer, Lock, curves_of, locks_beside
from lift.show.page.asked_visit import read_body_visit, unbegun
from lift.show.page.desk import Asked, Desk
from lift.show.said_plan import first_notes, total_note, zone_looks
from lift.words import plainly, say

TAKEN = ("mixture", "toner", "minutes")
"""What of a zone an option decides."""


class ZoneCard(Part):
    """One zone of a card: what is done, in plain words, how late its rinse may be, its looks."""

    zone: str
    mix: str
    rinse: str
    tone: str
    risk: str
    slack_minutes: float | None
    slack: str
    product_grams: float
    developer_grams: float
    locks: list[Lock]


class Take(Part):
    """What of the visit taking a card changes: its mixtures, and these keys of its zones."""

    mixtures: dict[str, dict[str, Any]]
    zones: dict[str, dict[str, Any]]


class OptionCard(Part):
    """One way to do the visit; `chance` is that every section is inside its goal."""

    p_inside: float
    chance: str
    total_minutes: float
    total: str
    zones: list[ZoneCard]
    take: Take
    cautions: list[str]
    cautions_codes: list[Code]


class OptionsAnswer(Part):
    """Ways to do a visit, the best first; what nobody has wished for yet, and what is refused."""

    options: list[OptionCard]
    open_zones: list[str]
    untold: list[str]
    refused: list[str]
    refused_codes: list[Code]


async def options(desk: Desk, asked: Asked) -> Answer:
    """Ways to do a visit."""
    text = unbegun(asked.body.visit)
    return await desk.slow.get(("options", text), partial(answer_options, text, desk.packed))


def answer_options(text: str, packed: bytes) -> Answer:
    """Search the options of a visit, as JSON; runs in any process."""
    curves = curves_of(packed)
    visit = read_body_visit(json.loads(text), curves.mixtures)
    found = visit_options(visit.scenario, curves, consulted=visit.consulted)
    return Answer(
        encode(
            OptionsAnswer(
                options=[_card(each, curves) for each in found.options],
                open_zones=[*found.open_zones],
                untold=[*found.untold],
                **said(refused=found.refused),
            )
        )
    )


def _card(option: VisitOption, curves: CurveSet) -> OptionCard:
    plan = option.plan
    with plainly():
        zones = [_zone(each, option, curves) for each in plan.zones]
        total = say(total_note(plan, short=True))
    return OptionCard(
        p_inside=rounded(plan.p_inside),
        chance=say("chance", p=plan.p_inside),
        total_minutes=rounded(plan.total_minutes),
        total=total,
        zones=zones,
        take=_take(option),
        **said(cautions=plan.cautions),
    )


def _zone(zone: ZonePlan, option: VisitOption, curves: CurveSet) -> ZoneCard:
    first = {name: say(told) for name, told in first_notes(zone, option.plan).items()}
    slack = option.slack[zone.zone.name]
    return ZoneCard(
        zone=zone.zone.name,
        slack_minutes=finite(slack),
        slack=say("options.slack", minutes=slack),
        product_grams=rounded(zone.bowl.product_grams),
        developer_grams=rounded(zone.bowl.developer_grams),
        locks=locks_beside(zone_looks(zone), curves),
        **first,
    )


def _take(option: VisitOption) -> Take:
    scenario = option.plan.scenario
    used = {z.mixture: scenario.mixtures[z.mixture] for z in scenario.treated if z.mixture}
    zones = {
        zone.name: {k: v for k, v in zone_table(zone).items() if k in TAKEN}
        for zone in scenario.zones
        if zone.treated
    }
    return Take({str(name): mixture_table(m) for name, m in used.items()}, zones)
