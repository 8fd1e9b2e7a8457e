"""The goal of a service: how light, and how warm it may be."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from lift.errors import LiftError, check_number
from lift.model.curves import CurveSet
from lift.model.frozen import store
from lift.model.hair import Hair
from lift.model.natural import natural_path


@dataclass(frozen=True)
class Goal:
    """A level, a CIELAB or a warmth allowance; all unset means any visible lift.

    Parameters
    ----------
    level : float, optional
        Level to reach [-], 1 to 12.
    lab : tuple of float, optional
        CIELAB to reach (D65, 10 degrees).
    warmth_allowance : float, optional
        Warmth above natural hair of that lightness that is still welcome [dC*], 0 to 60;
        default: the curve set's. With `lab` it counts from the goal's own warmth.

    Raises
    ------
    LiftError
        For values out of range, or level and lab both given.
    """

    level: float | None = None
    lab: tuple[float, float, float] | None = None
    warmth_allowance: float | None = None

    def __post_init__(self) -> None:
        if self.level is not None and self.lab is not None:
            raise LiftError("a goal is a level or a CIELAB, not both")
        if self.level is not None:
            store(self, "level", check_number("goal level", self.level, 1.0, 12.0))
        if self.warmth_allowance is not None:
            allowance = check_number("warmth allowance", self.warmth_allowance, 0.0, 60.0, "dC*")
            store(self, "warmth_allowance", allowance)
        if self.lab is not None:
            if np.shape(self.lab) != (3,):
                raise LiftError(f"goal CIELAB {self.lab!r} is not three numbers L*,a*,b*")
            lab = (
                check_number("goal L*", self.lab[0], 0.0, 100.0),
                check_number("goal a*", self.lab[1], -60.0, 60.0),
                check_number("goal b*", self.lab[2], -60.0, 80.0),
            )
            store(self, "lab", lab)


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
    words : str
        The goal in a few words.
    """

    level: float
    lift: float | None
    warmth_limit: float
    words: str


def resolve_goal(goal: Goal | None, hair: Hair, curves: CurveSet) -> Target:
    """Make a goal definite: which level, how much warmth.

    Parameters
    ----------
    goal : Goal or None
        None means any visible lift with the curve set's allowance.
    hair : Hair
        One strand.
    curves : CurveSet
        Gives the default allowance and the least visible lift.

    Returns
    -------
    Target

    Raises
    ------
    LiftError
        When the goal is darker than the hair by more than half a level.
    """
    goal = goal or Goal()
    values = curves.values
    allowance = (
        values["warmth_allowance"] if goal.warmth_allowance is None else goal.warmth_allowance
    )
    start = float(hair.level if hair.lightened_to is None else hair.lightened_to)
    if goal.lab is not None:
        path = natural_path(curves)
        level = float(path.level_of_lightness(goal.lab[0]))
        limit = float(path.warmth(np.array(goal.lab))) + allowance
        words = f"L* {goal.lab[0]:g}, a* {goal.lab[1]:g}, b* {goal.lab[2]:g}"
        _refuse_darker(level, start, words)
        return Target(level, None, limit, words)
    if goal.level is not None:
        _refuse_darker(goal.level, start, f"level {goal.level:g}")
        return Target(goal.level, None, allowance, f"level {goal.level:g}")
    step = values["visible_lift"]
    lift = start - float(hair.level) + step
    return Target(start + step, lift, allowance, f"a visible lift ({step:g} level)")


def _refuse_darker(level: float, start: float, words: str) -> None:
    # Half a level is what the eye is good for; within it, a goal is met from the start.
    if level < start - 0.5:
        raise LiftError(
            f"goal {words} is darker than the hair (level {start:g}): lightening cannot darken; "
            f"nearest: level {start:g}"
        )


_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)"


def parse_goal(text: str) -> Goal:
    """Read a goal as typed: ``8``, ``60,5,20``, ``warmth=6`` or ``8 warmth=6``.

    Raises
    ------
    LiftError
        When the text is none of these, or a value is out of range.
    """
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
    raise LiftError(f"goal {text!r} is not a level (8), a CIELAB (60,5,20) or warmth=6")
