"""Whether any tone reaches a goal, and if not, what would have to come first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import NaturalPath, natural_path
from lift.model.stages import underpigment_ladder
from lift.model.strand import Pigment, lightened, strand_lab
from lift.optics.colorimetry import NOTICEABLE, delta_e_2000
from lift.practice.dose_search import QUICK_ROUNDS, Residual, best_doses
from lift.words import LAST_LEVEL, Note, note

VERDICTS = (
    "none_needed", "reached", "goal_lighter", "lift_further", "out_of_reach", "not_lightened",
)  # fmt: skip
STEP = 0.25
"""Levels between two looks for a lift that helps: the goal is reached over a third of a level."""

STEPS = 9
EXPOSURES = 201


@dataclass(frozen=True)
class Verdict:
    """What toning can do.

    Parameters
    ----------
    verdict : str
        One of `VERDICTS`.
    text : Note
        One or two sentences for the stylist.
    lift_to : float or None
        Level to lift to before toning [-], where that makes the goal reachable.
    """

    verdict: str
    text: Note
    lift_to: float | None = None


def verdict(code: str, lift_to: float | None = None, **values: Any) -> Verdict:
    """Verdict of a code, with the numbers of its sentence."""
    return Verdict(code, note(f"toning.{code}.text", **values), lift_to)


def judge(
    hair: Floats,
    toned: Floats,
    goal: Floats | None,
    residual: Residual,
    lift_to: float | None,
    path: NaturalPath,
    *,
    grey: bool = False,
) -> Verdict:
    """Judge the best dose by CIELAB before and after it and the CIELAB wanted, shape (3,) each.

    A `goal` of None is natural hair of any lightness; `lift_to` is what `further_lift` found [-].
    Natural hair is of the `path`. Of `grey` hair the colours are its pigmented fibres', and it says
    so.
    """
    before, after = float(residual(hair)), float(residual(toned))
    which = "natural" if goal is None else "text"
    if before <= NOTICEABLE:
        return Verdict("none_needed", note(f"toning.none_needed.{which}", before=before))
    if after <= NOTICEABLE:
        # Before and after are counted from one colour, that of the lightness toning ends with.
        wanted = path.lab_of_lightness(toned[0]) if goal is None else goal
        text = note(
            f"toning.reached.{which}",
            who=note("toning.they" if grey else "toning.it"),
            before=float(delta_e_2000(hair, wanted)),
            after=after,
            lost=float(hair[0] - toned[0]),
            level=float(path.level_of_lightness(toned[0])),
        )
        return Verdict("reached", text)
    first = note("toning.no_lift") if lift_to is None else note("toning.lift_first", level=lift_to)
    if goal is not None and goal_is_lighter(hair, goal):
        lightness = {"goal": float(goal[0]), "hair": float(hair[0])}
        return verdict("goal_lighter", lift_to, first=first, **lightness)
    code = "out_of_reach" if lift_to is None else "lift_further"
    return verdict(code, lift_to, after=after, first=first)


def goal_is_lighter(hair: Floats, goal: Floats) -> bool:
    """Whether the goal's L* alone is noticeably above the hair's."""
    raised = np.array([goal[0], hair[1], hair[2]])
    return bool(goal[0] > hair[0] and delta_e_2000(raised, hair) > NOTICEABLE)


def further_lift(
    pigment: Pigment,
    dyes: tuple[str, ...],
    residual: Residual,
    curves: CurveSet,
    path: NaturalPath | None = None,
    in_hair: Mapping[str, float] | None = None,
) -> float | None:
    """Least level [-] to lift a strand to so that two dyes bring it within notice of the goal.

    The strand is lightened further along its own stage curve, in steps of level up to the end of
    the scale; each step is toned, over what tone is `in_hair`. Levels are those of the `path`, by
    default of brown and blond hair. None where no further lift helps.
    """
    values = curves.values
    exposure = np.linspace(0.0, float(underpigment_ladder(curves).exposure[-1]), EXPOSURES)
    course = strand_lab(lightened(pigment, exposure, values), values)
    level = (path or natural_path(curves)).level_of_lightness(course[..., 0])
    low, high = float(level[0]), min(float(level[-1]), LAST_LEVEL)
    if low >= high:
        return None
    # A second pass between the two steps around the first that reaches the goal.
    for count in (int(np.ceil((high - low) / STEP)) + 1, STEPS):
        levels = np.linspace(low, high, count)
        lighter = lightened(pigment, np.interp(levels, level, exposure), values)
        found = best_doses(
            lighter, dyes, min(2, len(dyes)), residual, values, rounds=QUICK_ROUNDS, in_hair=in_hair
        )
        reached = np.flatnonzero(found.residual <= NOTICEABLE)
        if reached.size == 0:
            return None
        first = int(reached[0])
        low, high = float(levels[max(first - 1, 0)]), float(levels[first])
    return high
