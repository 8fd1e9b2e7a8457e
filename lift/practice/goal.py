"""The goal of a service: how light, and how warm it may be."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.frozen import store
from lift.model.hair import Hair
from lift.model.natural import path_of
from lift.quantities import Lab, check_fields, check_lab, quantity
from lift.words import LAST_LEVEL, Note, note

TOO_LIGHT_LEVEL = LAST_LEVEL + 0.5
"""Level from which hair is too light for any goal: half a level, which is what the eye is good for,
past the end of the scale."""


@dataclass(frozen=True)
class Goal:
    """A level, a CIELAB or a warmth allowance; all unset means any visible lift.

    `level` is the level to reach; `lab` the CIELAB to reach (D65, 10 degrees); `warmth_allowance`
    the warmth above natural hair of that lightness that is still welcome [dC*], by default the
    curve set's. With `lab` it counts from the goal's own warmth. Of grey hair it is the pigmented
    fibres that are to meet it.

    Raises
    ------
    LiftError
        For values out of range, or level and lab both given.

    Examples
    --------
    >>> Goal(level=8, warmth_allowance=6).level
    8.0
    """

    level: float | None = quantity(
        name="goal_level", low=1.0, high=LAST_LEVEL, step=0.1, source="the scale ends at 10"
    )
    lab: Lab | None = None
    warmth_allowance: float | None = quantity(
        low=0.0, high=60.0, unit="dC*", step=0.5, file="warmth"
    )

    def __post_init__(self) -> None:
        if self.level is not None and self.lab is not None:
            raise LiftError("goal.both")
        check_fields(self, store)
        if self.lab is not None:
            store(self, "lab", check_lab(self.lab, note("goal.lab_name")))


@dataclass(frozen=True)
class Target:
    """A goal made definite for one head.

    Parameters
    ----------
    level : float
        Level to reach [-].
    lift : float or None
        Lift to reach [levels] where the goal is relative to the hair, else None.
    warmth_limit : float
        Largest welcome warmth [dC*].
    name : Note
        The goal in a few words.
    """

    level: float
    lift: float | None
    warmth_limit: float
    name: Note


def resolve_goal(goal: Goal | None, hair: Hair, curves: CurveSet) -> Target:
    """Make a goal definite: which level, how much warmth.

    None means any visible lift, with the curve set's allowance.

    Raises
    ------
    LiftError
        When the goal is darker than the hair, or lighter than the end of the scale, by more than
        half a level.
    """
    goal = goal or Goal()
    values = curves.values
    allowance = (
        values["warmth_allowance"] if goal.warmth_allowance is None else goal.warmth_allowance
    )
    start = float(hair.level if hair.lightened_to is None else hair.lightened_to)
    if goal.lab is not None:
        path = path_of(hair, curves)
        level = float(path.level_of_lightness(goal.lab[0]))
        limit = float(path.warmth(np.array(goal.lab))) + allowance
        name = note("goal.lab", lightness=goal.lab[0], a=goal.lab[1], b=goal.lab[2])
        _refuse_darker(level, start, name)
        if level > TOO_LIGHT_LEVEL:
            raise LiftError("goal.too_light", goal=name, level=LAST_LEVEL)
        return Target(level, None, limit, name)
    if goal.level is not None:
        name = note("goal.level", level=goal.level)
        _refuse_darker(goal.level, start, name)
        return Target(goal.level, None, allowance, name)
    step = values["visible_lift"]
    lift = start - float(hair.level) + step
    return Target(start + step, lift, allowance, note("goal.visible_lift", step=step))


def _refuse_darker(level: float, start: float, name: Note) -> None:
    # Half a level is what the eye is good for; within it, a goal is met from the start.
    if level < start - 0.5:
        raise LiftError("goal.darker", goal=name, level=start)


_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)"


def parse_goal(text: str) -> Goal:
    """Read a goal as typed: ``8``, ``60,5,20``, ``warmth=6`` or ``8 warmth=6``."""
    rest = text.strip()
    allowance = None
    found = re.search(rf"(?:^|\s)warmth\s*=\s*({_NUMBER})\s*$", rest)
    if found:
        allowance = float(found.group(1))
        rest = rest[: found.start()].strip()
    if not rest and allowance is not None:
        return Goal(warmth_allowance=allowance)
    if re.fullmatch(_NUMBER, rest):
        return Goal(level=float(rest), warmth_allowance=allowance)
    parts = [p.strip() for p in rest.split(",")]
    if len(parts) == 3 and all(re.fullmatch(_NUMBER, p) for p in parts):
        lab = (float(parts[0]), float(parts[1]), float(parts[2]))
        return Goal(lab=lab, warmth_allowance=allowance)
    raise LiftError("goal.form", value=text)
