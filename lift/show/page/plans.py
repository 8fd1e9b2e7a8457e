"""Plans: the JSON form of a service plan, what a screen shows of it, and its clock."""

from __future__ import annotations

from typing import Any

import numpy as np

from lift.answers import to_dict
from lift.practice.service.plan import Plan, plan
from lift.practice.service.scenario_file import parse_scenario
from lift.show.page.answers import Answer, curves_of, to_json, with_shown
from lift.show.page.clock_data import clock_data
from lift.show.screen import hex_colours
from lift.show.terminal.plan import gain, verdict
from lift.show.terminal.preview import chance, tone_words


def answer_plan(text: str, packed: bytes) -> Answer:
    """Plan the service of a scenario file's text; runs in whatever process.

    Parameters
    ----------
    text : str
        TOML, as in a scenario file.
    packed : bytes
        Curve set, pickled.

    Returns
    -------
    Answer
        ``plain`` is what ``lift plan FILE --json`` prints.

    Raises
    ------
    LiftError
        Naming line and key of what is wrong.
    """
    result = plan(parse_scenario(text), curves_of(packed))
    plain = to_json(to_dict(result))
    return Answer(plain, with_shown(plain, shown_plan(result)))


def shown_plan(result: Plan) -> dict[str, Any]:
    """Words and screen colours of a plan, and its clock."""
    return {
        "verdict": verdict(result),
        "chance": chance(result.p_inside),
        "changes": [gain(c) for c in result.changes],
        "zones": {z.zone.name: _zone(z) for z in result.zones},
        "parts": {
            part: hex_colours(np.array([result.blend.parts_before[part], lab]))
            for part, lab in result.blend.parts.items()
        },
        "clock": clock_data(result),
    }


def _zone(zone: Any) -> dict[str, Any]:
    rinsed, after = hex_colours(np.array([zone.lab, zone.after]))
    return {
        "colour": rinsed,
        "after": after,
        "tone": tone_words(zone.tone),
        "chance": chance(zone.p_inside),
        "sections": hex_colours(np.array([s.lab for s in zone.sections])),
    }
