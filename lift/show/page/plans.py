"""Plans: the JSON form of a service plan, what a screen shows of it, and its clock."""

from __future__ import annotations

from typing import Any

import numpy as np

from lift.answers import to_json
from lift.answers.encode import Part
from lift.practice.service.plan import Plan, plan
from lift.practice.service.scenario_file import parse_scenario
from lift.show.card.html import card_html
from lift.show.page.answers import Answer, Colour, answered, curves_of
from lift.show.page.clock_data import ClockData, clock_data
from lift.show.said import tone_note
from lift.show.screen import hex_colours
from lift.show.terminal.plan import gain, verdict
from lift.words import say


class ZoneShown(Part):
    """Words and screen colours of a zone, at the rinse and after its toner."""

    colour: Colour
    after: Colour
    tone: str
    chance: str
    sections: list[Colour]


class PlanShown(Part):
    """Words and screen colours of a plan, and its clock; `parts` are before and after."""

    verdict: str
    chance: str
    changes: list[str]
    zones: dict[str, ZoneShown]
    parts: dict[str, tuple[Colour, Colour]]
    clock: ClockData


def answer_plan(text: str, packed: bytes) -> Answer:
    """Plan the service of a scenario file's text, as ``lift plan``; runs in whatever process."""
    result = _plan(text, packed)
    return answered(to_json(result), _shown(result))


def card(text: str, paper: str, packed: bytes) -> str:
    """Card of a scenario file's text."""
    return card_html(_plan(text, packed), paper)


def _plan(text: str, packed: bytes) -> Plan:
    curves = curves_of(packed)
    return plan(parse_scenario(text, classes=curves.mixtures), curves)


def _shown(result: Plan) -> PlanShown:
    before = result.blend.parts_before
    return PlanShown(
        verdict=verdict(result),
        chance=say("chance", p=result.p_inside),
        changes=[gain(c) for c in result.changes],
        zones={z.zone.name: _zone(z) for z in result.zones},
        parts={
            part: _pair(hex_colours(np.array([before[part], lab])))
            for part, lab in result.blend.parts.items()
        },
        clock=clock_data(result),
    )


def _pair(colours: list[str]) -> tuple[str, str]:
    before, after = colours
    return before, after


def _zone(zone: Any) -> ZoneShown:
    colour, after = hex_colours(np.array([zone.lab, zone.after]))
    return ZoneShown(
        colour=colour,
        after=after,
        tone=say(tone_note(zone.tone)),
        chance=say("chance", p=zone.p_inside),
        sections=hex_colours(np.array([s.lab for s in zone.sections])),
    )
