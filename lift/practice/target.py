"""Target: a goal made definite for one head - the one resolver of all that ask."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lift.errors import Floats, LiftError
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.natural import NaturalPath, path_of
from lift.model.strand import hair_pigment, lightened, strand_lab
from lift.model.trajectory import exposure_before
from lift.optics.colorimetry import chroma, lab_tuple
from lift.practice.assumptions import SERVICE
from lift.practice.goal import Blend, Goal, Lighten, Match
from lift.quantities import Lab
from lift.words import LAST_LEVEL, Note, note

TOO_LIGHT_LEVEL = LAST_LEVEL + 0.5
"""Level from which hair is too light for any goal: half a level, which is what the eye is good for,
past the end of the scale."""

HALF_LEVEL = 0.5
"""What a level judged by eye is good to [levels]: common practice (no source)."""


@dataclass(frozen=True)
class Target:
    """A goal made definite for one head.

    Where a colour is `wanted`, hair is inside within `tolerance` of it, as lightened or, where it
    is `toned`, after the toner that comes nearest. Else it is inside from a level, or a lift, on,
    as long as it is no warmer than a limit. In any case it is past the goal from a level on.

    Parameters
    ----------
    intent : str
        One of ``lift.practice.goal.INTENTS``.
    name : Note
        The goal in a few words, to follow "too warm for".
    level : float
        Level to reach [-].
    lift : float or None
        Lift to reach [levels] where the goal is relative to the hair, else None.
    warmth_limit : float
        Largest welcome warmth [dC*]; infinite where a colour is wanted.
    past_level : float
        Level from which the hair is too light [-].
    wanted : tuple of float or None
        CIELAB wanted (D65, 10 degrees).
    tolerance : float
        How far from it still passes for it [dE00].
    toned : bool
        Whether a toner follows.
    least_lightness : float
        L* that toning must not end below [CIELAB units].
    """

    intent: str
    name: Note
    level: float
    lift: float | None = None
    warmth_limit: float = np.inf
    past_level: float = TOO_LIGHT_LEVEL
    wanted: Lab | None = None
    tolerance: float = np.inf
    toned: bool = False
    least_lightness: float = -np.inf


def resolve_goal(
    goal: Goal | None,
    hair: Hair,
    curves: CurveSet,
    *,
    toned: bool | None = None,
    edge: float | None = None,
) -> Target:
    """Make a goal definite: which level or colour, and how far from it still meets it.

    Parameters
    ----------
    goal : Blend, Lighten, Match or Tone, optional
        None: stay natural.
    hair, curves : Hair, CurveSet
        One strand before today, and the numbers behind.
    toned : bool, optional
        Whether a toner follows; default: after lightening and matching, but for goals with a
        warmth, and not after blending.
    edge : float, optional
        Difference from which an edge shows [dE00]; default: the assumed ``blend_limit``.

    Raises
    ------
    LiftError
        When the goal is darker than the hair, or lighter than the end of the scale, by more than
        half a level; and for an open goal, which has nothing to meet.

    Examples
    --------
    >>> from lift import Hair, default_curves
    >>> found = resolve_goal(Lighten(level=9), Hair(6), default_curves())
    >>> found.toned, found.tolerance
    (True, 3.0)
    """
    goal = goal or Blend()
    path = path_of(hair, curves)
    start = hair.level_now
    if isinstance(goal, Lighten):
        return _lighten(goal, start, path, toned)
    if isinstance(goal, Match):
        return _match(goal, start, path, curves, toned)
    if isinstance(goal, Blend):
        return _blend(goal, hair, start, curves, toned, edge)
    step = curves.values["visible_lift"]
    return Target(
        goal.intent,
        note("goal.tone"),
        start,
        start - float(hair.level),
        past_level=start + step,
        tolerance=_tolerance(goal.tolerance),
        toned=True,
    )


def _lighten(goal: Lighten, start: float, path: NaturalPath, toned: bool | None) -> Target:
    level = goal.to_level
    name = (
        note("goal.level", level=level)
        if goal.stage is None
        else note("goal.stage", stage=goal.stage, level=level)
    )
    _refuse_darker(level, start, name)
    if goal.warmth is not None:
        name = note("goal.no_warmer", name=name, warmth=goal.warmth)
        return Target(goal.intent, name, level, warmth_limit=goal.warmth)
    toned = toned is not False
    return Target(
        goal.intent,
        note("goal.toned", name=name) if toned else name,
        level,
        wanted=lab_tuple(path.lab_of_level(level)),
        tolerance=_tolerance(goal.tolerance),
        toned=toned,
        least_lightness=float(path.lab_of_level(level - HALF_LEVEL)[0]),
    )


def _match(
    goal: Match, start: float, path: NaturalPath, curves: CurveSet, toned: bool | None
) -> Target:
    level = float(path.level_of_lightness(goal.lab[0]))
    name = note("goal.lab", lightness=goal.lab[0], a=goal.lab[1], b=goal.lab[2])
    _refuse_outside(level, start, name)
    if goal.warmth is not None:
        limit = float(path.warmth(np.array(goal.lab))) + goal.warmth
        name = note("goal.no_warmer_than", name=name, warmth=goal.warmth)
        return Target(goal.intent, name, level, warmth_limit=limit)
    return Target(
        goal.intent,
        note("goal.match_of", name=name),
        level,
        wanted=goal.lab,
        tolerance=_tolerance(goal.tolerance),
        toned=toned is not False,
    )


def _blend(
    goal: Blend,
    hair: Hair,
    start: float,
    curves: CurveSet,
    toned: bool | None,
    edge: float | None,
) -> Target:
    values, path = curves.values, path_of(hair, curves)
    if not goal.named:
        step = values["visible_lift"]
        return Target(
            goal.intent,
            note("goal.natural"),
            start + step,
            start - float(hair.level) + step,
            values["warmth_allowance"] if goal.warmth is None else goal.warmth,
        )
    if goal.lab is not None:
        level, wanted = float(path.level_of_lightness(goal.lab[0])), np.array(goal.lab)
        name = note("goal.lab", lightness=goal.lab[0], a=goal.lab[1], b=goal.lab[2])
    else:
        assert goal.level is not None
        level, name = goal.level, note("goal.level", level=goal.level)
        if goal.warmth is None:
            wanted = lightened_lab(hair, level, curves)
        else:
            wanted = path.lab_of_level(level)
            wanted[1:] *= 1.0 + goal.warmth / max(float(chroma(wanted)), 1e-9)
            name = note("goal.of_warmth", name=name, warmth=goal.warmth)
    name = note("goal.blend", name=name)
    _refuse_outside(level, start, name)
    limit = edge or SERVICE["blend_limit"].value
    return Target(
        goal.intent,
        name,
        level,
        wanted=lab_tuple(wanted),
        tolerance=limit if goal.tolerance is None else goal.tolerance,
        toned=bool(toned),
    )


def lightened_lab(hair: Hair, level: float, curves: CurveSet) -> Floats:
    """CIELAB of this hair lightened to a level [-], without tone; natural hair of darker ones."""
    path = path_of(hair, curves)
    if level <= float(hair.level):
        return np.array(path.lab_of_level(level))
    to = hair.replace(lightened_to=level)
    exposure = exposure_before(to, curves.values, path)
    return strand_lab(
        lightened(hair_pigment(to, curves.values), exposure, curves.values), curves.values
    )


def _tolerance(given: float | None) -> float:
    return SERVICE["goal_tolerance"].value if given is None else given


def _refuse_darker(level: float, start: float, name: Note) -> None:
    # Within half a level a goal is met from the start.
    if level < start - HALF_LEVEL:
        raise LiftError("goal.darker", goal=name, level=start)


def _refuse_outside(level: float, start: float, name: Note) -> None:
    _refuse_darker(level, start, name)
    if level > TOO_LIGHT_LEVEL:
        raise LiftError("goal.too_light", goal=name, level=LAST_LEVEL)
