"""What ``lift tone`` answers: a colour, a goal, and the direction between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.model.stages import nearest_stage, underpigment_ladder
from lift.practice.cautions import ALWAYS
from lift.practice.goal import parse_goal
from lift.practice.preview import rounded, tone_to_dict
from lift.practice.tone import ToneDirection

Lab = tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class ToneReport:
    """A hair colour, the goal, and the tone direction.

    Parameters
    ----------
    lab : tuple of float
        CIELAB of the hair (D65, 10 degrees).
    goal : tuple of float or None
        CIELAB wanted; None for natural hair of the same L*.
    direction : ToneDirection
        From `lab` to the goal.
    curves : CurveSet
        The curve set used.
    """

    lab: Lab
    goal: Lab | None
    direction: ToneDirection
    curves: CurveSet

    @property
    def warmth(self) -> float:
        """Warmth of the hair [dC*]."""
        return float(natural_path(self.curves).warmth(np.array(self.lab)))

    @property
    def level(self) -> float:
        """Level of natural hair of the same L* [-]."""
        return float(natural_path(self.curves).level_of_lightness(self.lab[0]))

    @property
    def stage(self) -> str:
        """Nearest stage."""
        return str(nearest_stage(np.array(self.lab), self.curves))

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form, with the same ``tone`` object as a preview's."""
        goal = np.array(self.lab) + self.direction.change
        return {
            "inputs": {"lab": rounded(self.lab), "goal": rounded(goal)},
            "at": {
                "lab": rounded(self.lab),
                "level": rounded(self.level),
                "stage": self.stage,
                "warmth": rounded(self.warmth),
            },
            "tone": tone_to_dict(self.direction),
            "cautions": list(ALWAYS),
            "curve_set": self.curves.to_dict(),
        }


def underpigment_lab(level: float, curves: CurveSet) -> Lab:
    """CIELAB of dark hair lightened to a level [1 to 10], between the rungs of the ladder."""
    ladder = underpigment_ladder(curves)
    lab = [float(np.interp(level, ladder.levels, column)) for column in ladder.lab.T]
    return lab[0], lab[1], lab[2]


def goal_lab(text: str, curves: CurveSet) -> Lab:
    """Read a goal for toning: a level means natural hair of it.

    Raises
    ------
    LiftError
        For a warmth allowance, which is no colour.
    """
    goal = parse_goal(text)
    if goal.warmth_allowance is not None:
        raise LiftError(f"goal {text!r}: toning needs a level (8) or a CIELAB (60,5,20)")
    if goal.lab is not None:
        return goal.lab
    lab = natural_path(curves).lab_of_level(goal.level or 0.0)
    return float(lab[0]), float(lab[1]), float(lab[2])
