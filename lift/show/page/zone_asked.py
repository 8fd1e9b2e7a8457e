"""What a preview is asked about one zone of a plan, but for its mixture and minutes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from lift.model.hair import Hair
from lift.optics.colorimetry import lab_tuple
from lift.practice.goal import Blend
from lift.practice.scenario.scenario_table import goal_text, plain_number
from lift.practice.service.plan import Plan
from lift.practice.service.zone_plan import ZonePlan
from lift.quantities import FLAGS, quantities_of

DECIMALS = 2
"""Of a colour to blend with: finer than any eye."""


def zone_asked(zone: ZonePlan, result: Plan) -> dict[str, str]:
    """Hair, goal and temperature of a zone as they are typed; what has its default is left out.

    A blend with another zone's blonde becomes one with the colour that the plan found for it.
    """
    scenario, own = result.scenario, zone.zone
    typed = {"temperature": plain_number(scenario.temperature_on(own))}
    for name, q in quantities_of(Hair).items():
        value = getattr(own.hair, name)
        if q.typed and (q.required or value != q.default):
            typed[q.typed] = FLAGS[1] if value is True else plain_number(value)
    goal = own.goal.goal
    if own.goal.match is not None and isinstance(goal, Blend) and zone.target is not None:
        goal = replace(goal, lab=lab_tuple(np.round(zone.target, DECIMALS)))
    if own.goal.said:
        typed["goal"] = goal_text(goal)
    return typed
