"""Inside: when each strand of a course has reached its goal, and when it is past it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.curves import Values
from lift.model.strand import Pigment
from lift.model.trajectory import Trajectory
from lift.optics.colorimetry import chroma, delta_e_2000
from lift.practice.target import Target
from lift.practice.toned import suited_dyes, toned

TONED_TIMES = 20
"""Times at which toning is computed; between them its margin is interpolated in the root of time.
Against every time, hair is inside less than a minute sooner or later where it passes the edge of
its goal in a few minutes (tests/practice/test_inside.py)."""

_NEVER_WARM = 1e6  # [dC*]: an infinite limit has no margin to interpolate


@dataclass(frozen=True, eq=False)
class Crossings:
    """When strands reach their goal and pass it [min], infinity where never; arrays (...).

    A strand that is never inside has not `reached` it, and is too warm, or too light, from where
    it came nearest.
    """

    reached: Floats
    too_warm: Floats
    too_light: Floats

    @property
    def passed(self) -> Floats:
        """When they are past it, by warmth or by lightness [min]."""
        return np.minimum(self.too_warm, self.too_light)

    def inside(self, minutes: Floats) -> Any:
        """Whether each is inside its goal at given times [min], shape (..., n)."""
        return (minutes >= self.reached[..., None]) & (minutes < self.passed[..., None])


def first_crossing(minutes: Floats, margin: ArrayLike) -> Floats:
    """Time at which each row first becomes positive, by linear interpolation.

    Parameters
    ----------
    minutes : numpy.ndarray
        Rising times [min], shape (n,).
    margin : array_like
        Shape (..., n).

    Returns
    -------
    numpy.ndarray
        Time [min], shape (...); infinity where the row never is positive.
    """
    margin = np.asarray(margin, dtype=np.float64)
    positive = margin > 0.0
    after = np.argmax(positive, axis=-1)
    before = np.maximum(after - 1, 0)
    high = np.take_along_axis(margin, after[..., None], -1)[..., 0]
    low = np.take_along_axis(margin, before[..., None], -1)[..., 0]
    rise = np.where(high > low, high - low, 1.0)
    share = np.where(after > 0, np.clip(-low / rise, 0.0, 1.0), 0.0)
    crossing = minutes[before] + share * (minutes[after] - minutes[before])
    return np.where(positive.any(axis=-1), crossing, np.inf)


def nine_in_ten(times: Floats) -> tuple[float, float]:
    """Ends between which nine in ten times lie [min].

    Order statistics, because members that never get there stand at infinity.
    """
    low, high = np.quantile(times, [0.05, 0.95], method="inverted_cdf")
    return float(low), float(high)


def goal_margin(course: Trajectory, target: Target) -> Floats:
    """Levels by which the goal is exceeded (negative: not reached), shape of the course."""
    if target.lift is not None:
        return course.lift - target.lift
    return course.level - target.level


def crossings(course: Trajectory, minutes: Floats, target: Target) -> Crossings:
    """When strands reach a goal and pass it.

    Parameters
    ----------
    course : Trajectory
        At rising times, which are its last axis, shape (..., n).
    minutes : numpy.ndarray
        Those times [min], shape (n,).
    target : Target
        The goal made definite.
    """
    light = first_crossing(minutes, course.level - target.past_level)
    if target.wanted is None:
        # A goal met from the start opens at once: nudge the margin so that zero counts as met.
        margin = goal_margin(course, target) + 1e-9
        if target.intent == "blend":
            # Hair that carries much tone is too cool at first: it waits for lift to catch up.
            margin = np.minimum(margin, course.warmth + target.warmth_limit)
        reached = first_crossing(minutes, margin)
        limit = min(target.warmth_limit, _NEVER_WARM)
        return Crossings(reached, first_crossing(minutes, course.warmth - limit), light)
    warmer = None if target.toned else warmer_than(course.pigmented, target.wanted)
    margin, above = colour_margin(course, minutes, target), course.level > target.level
    return margin_crossings(margin, minutes, light, above, warmer)


def margin_crossings(
    margin: Floats, minutes: Floats, light: Floats, above: Any, warmer: Any = None
) -> Crossings:
    """When a margin becomes positive and, past its highest point, negative again.

    From there on the strand is too warm where it is `warmer` then, else too light; and too light
    it is at the times `light` in any case [min]. A strand that never is inside has passed the goal
    only where it lies `above` its level: before that it is not there yet.
    """
    reached = first_crossing(minutes, margin + 1e-9)
    nearest = np.argmax(margin, axis=-1)
    after = np.arange(minutes.size) > nearest[..., None]
    after = after & (above | np.isfinite(reached)[..., None])
    passed = np.where(after, -margin, -np.abs(margin) - 1e-9)
    time = first_crossing(minutes, passed)
    if warmer is None:
        return Crossings(reached, np.full(np.shape(time), np.inf), np.minimum(time, light))
    first = np.argmax(passed > 0.0, axis=-1)
    by_warmth = np.take_along_axis(warmer, first[..., None], -1)[..., 0]
    warm = np.where(by_warmth, time, np.inf)
    return Crossings(reached, warm, np.minimum(np.where(by_warmth, np.inf, time), light))


def warmer_than(shown: Floats, wanted: ArrayLike) -> Any:
    """Whether a colour is past a wanted one by its chroma rather than by its lightness."""
    goal = np.asarray(wanted)
    return chroma(shown) - chroma(goal) > shown[..., 0] - goal[0]


def colour_margin(course: Trajectory, minutes: Floats, target: Target) -> Floats:
    """How far inside a wanted colour's tolerance each strand is [dE00], toned where it is to be.

    Shape of the course, (..., n); negative outside.
    """
    if target.toned:
        return toned_margin(course, minutes, target)
    return target.tolerance - delta_e_2000(course.pigmented, np.asarray(target.wanted))


def toned_margin(course: Trajectory, minutes: Floats, target: Target) -> Floats:
    """How far inside each strand is at each time after the toner that suits it, shape (..., n).

    In dE00 within the tolerance, or in L* above the least allowed, whichever is less; negative
    outside. Computed at a few times and interpolated: the margin is continuous where the dose that
    gives it is not.
    """
    assert target.wanted is not None
    some = few_times(minutes)
    at, values = minutes[some], course.values
    pigment = course.pigment.map(lambda p: np.broadcast_to(p, course.lift.shape)[..., some])
    carried = {
        dye: np.broadcast_to(dose, course.lift.shape)[..., some]
        for dye, dose in course.tone.items()
    }
    margin = pigment_margin(pigment, values, target, carried)
    if at.size == minutes.size:
        return margin
    return between(margin, np.sqrt(at), np.sqrt(minutes))


def pigment_margin(
    pigment: Pigment, values: Values, target: Target, carried: Mapping[str, Floats] | None = None
) -> Floats:
    """How far inside strands of some pigment are after the toner that suits them; see above."""
    assert target.wanted is not None
    middle = pigment.map(lambda p: np.median(p.reshape(-1, p.shape[-1]), axis=0))
    plain = {name: np.median(v) if np.ndim(v) else v for name, v in values.items()}
    lab = toned(
        pigment,
        values,
        target.wanted,
        carried=carried,
        dyes=suited_dyes(middle, plain, target.wanted),
        least_lightness=target.least_lightness,
        tolerance=target.tolerance,
    ).lab
    off = delta_e_2000(lab, np.asarray(target.wanted))
    return np.asarray(np.minimum(target.tolerance - off, lab[..., 0] - target.least_lightness))


def few_times(minutes: Floats) -> Any:
    """Indices of a few of many times, even in the root of time, first and last included."""
    roots = np.sqrt(minutes)
    wanted = np.linspace(roots[0], roots[-1], TONED_TIMES)
    return np.unique(np.searchsorted(roots, wanted - 1e-12).clip(0, minutes.size - 1))


def between(values: Floats, at: Floats, wanted: Floats) -> Floats:
    """Interpolate the last axis of values linearly, from points `at` to points `wanted`."""
    right = np.clip(np.searchsorted(at, wanted), 1, at.size - 1)
    share = (wanted - at[right - 1]) / (at[right] - at[right - 1])
    return np.asarray((1.0 - share) * values[..., right - 1] + share * values[..., right])
