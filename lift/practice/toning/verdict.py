"""Whether any tone reaches a goal, and if not, what would have to come first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.inverse import Inferred
from lift.model.natural import natural_path
from lift.model.strand import Pigment, lightened, strand_lab
from lift.optics.colorimetry import delta_e_2000
from lift.practice.toning.dose_search import QUICK_ROUNDS, Residual, best_doses

NOTICED = 1.0
"""dE00 about the least that is noticed side by side: common practice of colorimetry, assumed."""

VERDICTS = (
    *("none needed", "reached", "goal lighter", "lift further", "out of reach"),
    "not lightened hair",
)
LIGHTEST_LEVEL = 12.0
"""Lightest goal level: more lift than that is no advice."""
FURTHER_EXPOSURE = 6.0
STEPS = 9


@dataclass(frozen=True)
class Verdict:
    """What toning can do.

    Parameters
    ----------
    verdict : str
        One of `VERDICTS`.
    text : str
        One or two sentences for the stylist.
    lift_to : float or None
        Level to lift to before toning [-], where that makes the goal reachable.
    """

    verdict: str
    text: str
    lift_to: float | None = None


def unexplained(inferred: Inferred) -> Verdict:
    """No dose is found for a colour that lightened hair cannot have."""
    return Verdict(
        "not lightened hair",
        f"The colour lies dE00 {inferred.misfit:.1f} from any lightened, untoned hair of this "
        "model: dyed, toned, grey or misread. The direction holds; no dose can be told from it.",
    )


def judge(
    hair: Floats,
    toned: Floats,
    goal: Floats | None,
    residual: Residual,
    lift_to: float | None,
    curves: CurveSet,
) -> Verdict:
    """Put the outcome of the best dose into words.

    Parameters
    ----------
    hair, toned : numpy.ndarray
        CIELAB before and after the best dose, shape (3,).
    goal : numpy.ndarray or None
        CIELAB wanted; None for natural hair of any lightness.
    residual : callable
        From CIELAB to dE00 from the goal.
    lift_to : float or None
        See `further_lift`.
    curves : CurveSet
        Curve set.
    """
    path = natural_path(curves)
    before, after = float(residual(hair)), float(residual(toned))
    if before <= NOTICED:
        return Verdict("none needed", f"The hair is within dE00 {before:.1f} of the goal already.")
    if after <= NOTICED:
        lost, level = hair[0] - toned[0], float(path.level_of_lightness(toned[0]))
        return Verdict(
            "reached",
            f"Toning brings it within dE00 {after:.1f} of the goal, {lost:.1f} L* darker: as light "
            f"as level {level:.1f}.",
        )
    first = (
        "no further lift within the model's reach makes up for it"
        if lift_to is None
        else f"lift further first, to about level {lift_to:.1f}, then tone"
    )
    if goal is not None and goal_is_lighter(hair, goal):
        return Verdict(
            "goal lighter",
            f"The goal is lighter than the hair (L* {goal[0]:.0f} against {hair[0]:.0f}) and "
            f"colour cannot lighten: {first}.",
            lift_to,
        )
    if lift_to is not None:
        return Verdict(
            "lift further",
            f"No tone of this palette comes nearer than dE00 {after:.1f}: {first}.",
            lift_to,
        )
    return Verdict(
        "out of reach",
        f"No tone of this palette comes nearer than dE00 {after:.1f}, and {first}: the goal is "
        "warmer, darker or more coloured than these dyes can make this hair.",
    )


def goal_is_lighter(hair: Floats, goal: Floats) -> bool:
    """Whether the goal's L* alone is noticeably above the hair's."""
    raised = np.array([goal[0], hair[1], hair[2]])
    return bool(goal[0] > hair[0] and delta_e_2000(raised, hair) > NOTICED)


def further_lift(
    pigment: Pigment,
    dyes: tuple[str, ...],
    residual: Residual,
    curves: CurveSet,
    *,
    grey_percent: Any = 0.0,
) -> float | None:
    """Least level [-] to lift a strand to so that two dyes bring it within notice of the goal.

    The strand is lightened further along its own stage curve, in steps; each step is toned.

    Returns
    -------
    float or None
        Level of the underpigment; None where no further lift helps.
    """
    values = curves.values
    low, high = 0.0, FURTHER_EXPOSURE
    # A second pass between the two steps around the first that reaches the goal.
    for _ in range(2):
        exposure = np.linspace(low, high, STEPS)
        lighter = lightened(pigment, exposure, values)
        found = best_doses(
            lighter, dyes, min(2, len(dyes)), residual, values,
            grey_percent=grey_percent, rounds=QUICK_ROUNDS,
        )  # fmt: skip
        reached = np.flatnonzero(found.residual <= NOTICED)
        if reached.size == 0:
            return None
        first = int(reached[0])
        low, high = float(exposure[max(first - 1, 0)]), float(exposure[first])
    lab = strand_lab(lightened(pigment, high, values), values)
    level = float(natural_path(curves).level_of_lightness(lab[0]))
    return level if level <= LIGHTEST_LEVEL else None
