"""Window: from when the goal is reached until the strand is too warm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.curves import CurveSet, default_curves
from lift.model.domain import longest_minutes
from lift.model.ensemble import MEMBERS, SEED, Ensemble, ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import Trajectory
from lift.practice.goal import TOO_LIGHT_LEVEL, Goal, Target, resolve_goal
from lift.practice.time_line import Span, time_line
from lift.quantities import Quantity

LIMIT_MINUTES = 60.0
"""Lighteners are not left past 50 to 60 minutes: common practice (no source)."""

TIME_LIMIT = Quantity("limit_minutes", 1.0, 120.0, "min", default=LIMIT_MINUTES, step=1.0)

STEPS = ((12.0, 0.5), (30.0, 1.0), (60.0, 2.0), (120.0, 4.0))
"""Up to which time [min] the grid has which step [min]: colour moves fastest at the start."""


@dataclass(frozen=True, eq=False)
class Window:
    """When the goal is met, for the expected strand and for the ensemble.

    It closes when the strand is too warm for the goal or too light for any, at the time limit else.

    Parameters
    ----------
    opens, closes : float or None
        Processing time [min] of the expected strand; both None when there is no window.
    opens_range, closes_range : tuple of float
        Central 90 % of the members [min]; infinity where members never get there.
    reached_at, too_warm_at, too_light_at : float or None
        When the expected strand reaches the goal, and when it passes the warmth limit and the end
        of the scale of levels [min]; None when not within the time limit.
    closes_by : str
        ``warmth``, ``lightness``, ``time limit`` or ``none``.
    minutes : numpy.ndarray
        Time grid [min], shape (n,).
    p_reached, p_too_warm, p_inside : numpy.ndarray
        Share of members that have reached the goal, are too warm, and are inside, shape (n,).
    best_minutes, p_best : float
        Time with the highest probability of being inside [min], and that probability;
        both 0 when no member ever is inside.
    target : Target
        The goal made definite.
    limit_minutes : float
        Time limit [min]: nothing past it counts, however long the grid is.

    Examples
    --------
    >>> window = find_window(Hair(5), Mixture("cream", 20), Goal(level=6, warmth_allowance=30))
    >>> window.exists, window.width > 3
    (True, True)
    """

    opens: float | None
    closes: float | None
    opens_range: tuple[float, float]
    closes_range: tuple[float, float]
    reached_at: float | None
    too_warm_at: float | None
    too_light_at: float | None
    closes_by: str
    minutes: Floats
    p_reached: Floats
    p_too_warm: Floats
    p_inside: Floats
    best_minutes: float
    p_best: float
    target: Target
    limit_minutes: float

    @property
    def exists(self) -> bool:
        """Whether the expected strand meets the goal at any time."""
        return self.opens is not None

    @property
    def width(self) -> float:
        """Length of the window [min], 0 when there is none."""
        return 0.0 if self.opens is None or self.closes is None else self.closes - self.opens

    def spans(self, end: float) -> tuple[Span, ...]:
        """Named spans of the expected strand's time line, from 0 to `end` [min]."""
        passed = {"too_warm": self.too_warm_at, "too_light": self.too_light_at}
        return time_line(end, self.limit_minutes, self.reached_at, passed)


def time_grid(limit_minutes: float = LIMIT_MINUTES) -> Floats:
    """Times on which windows are sought [min], from 0 to the limit, in growing steps.

    Crossings read off it differ from those read off steps of 1.5 s by 0.002 min in the middle
    and 0.05 min at most (random services, those of weak developers the most).
    """
    limit = TIME_LIMIT.number(limit_minutes)
    starts = (0.0, *(end for end, _ in STEPS))
    pieces = [np.arange(a, b, step) for a, (b, step) in zip(starts, STEPS, strict=False)]
    times = np.concatenate(pieces)
    return np.append(times[times < limit], limit)


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


def goal_margin(trajectory: Trajectory, target: Target) -> Floats:
    """Levels by which the goal is exceeded (negative: not reached), shape of the trajectory."""
    if target.lift is not None:
        return trajectory.lift - target.lift
    return trajectory.level - target.level


def window_of(drawn: Ensemble, target: Target, limit_minutes: float = LIMIT_MINUTES) -> Window:
    """Read the window off an ensemble whose times are a grid from 0 upward.

    Parameters
    ----------
    drawn : Ensemble
        With at least two times.
    target : Target
        The goal made definite.
    limit_minutes : float
        Longest time allowed [min], 1 to 120; the end of the grid when that is earlier.
    """
    minutes = drawn.central.minutes
    limit = min(TIME_LIMIT.number(limit_minutes), float(minutes[-1]))
    # A goal met from the start opens at once: nudge the margin so that zero counts as met.
    reached = goal_margin(drawn.members, target) + 1e-9
    warm = drawn.members.warmth - target.warmth_limit
    opens = _within(limit, first_crossing(minutes, reached))
    light = first_crossing(minutes, drawn.members.level - TOO_LIGHT_LEVEL)
    closes = _within(limit, np.minimum(first_crossing(minutes, warm), light))
    inside = (minutes >= opens[:, None]) & (minutes < closes[:, None]) & (minutes <= limit)
    p_inside = inside.mean(axis=0)
    best = _middle_of_peak(minutes, p_inside)
    central = drawn.central
    reached_at = _finite(
        _within(limit, first_crossing(minutes, goal_margin(central, target) + 1e-9))
    )
    too_warm_at = _finite(
        _within(limit, first_crossing(minutes, central.warmth - target.warmth_limit))
    )
    too_light_at = _finite(_within(limit, first_crossing(minutes, central.level - TOO_LIGHT_LEVEL)))
    ends = {"warmth": too_warm_at, "lightness": too_light_at, "time limit": limit}
    times = {by: np.inf if at is None else at for by, at in ends.items()}
    # Of two at one time the first is said: hair too warm at the limit is too warm.
    closes_by = min(times, key=times.__getitem__)
    exists = reached_at is not None and (closes_by == "time limit" or times[closes_by] > reached_at)
    return Window(
        opens=reached_at if exists else None,
        closes=times[closes_by] if exists else None,
        opens_range=_range(opens),
        closes_range=_range(closes),
        reached_at=reached_at,
        too_warm_at=too_warm_at,
        too_light_at=too_light_at,
        closes_by=closes_by if exists else "none",
        minutes=minutes,
        p_reached=(reached > 0.0).mean(axis=0),
        p_too_warm=(warm > 0.0).mean(axis=0),
        p_inside=p_inside,
        best_minutes=float(minutes[best]),
        p_best=float(p_inside[best]),
        target=target,
        limit_minutes=limit,
    )


def limit_within(mixture: Mixture, limit_minutes: float, curves: CurveSet) -> float:
    """Time limit [min], checked; the end of the mixture's domain when that is earlier."""
    return min(TIME_LIMIT.number(limit_minutes), longest_minutes(mixture, curves))


def find_window(
    hair: Hair,
    mixture: Mixture,
    goal: Goal | None = None,
    curves: CurveSet | None = None,
    *,
    limit_minutes: float = LIMIT_MINUTES,
    members: int = MEMBERS,
    seed: int = SEED,
    latent: ArrayLike | None = None,
) -> Window:
    """Find the window of a strand.

    It opens when lift reaches the goal and closes when warmth passes the goal's limit or the level
    the end of the scale; tone carried by the mixture counts, as it lowers warmth while it lasts.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    goal : Goal, optional
        Default: any visible lift within the curve set's warmth allowance.
    limit_minutes : float
        Longest time considered [min], 1 to 120; the end of the mixture's domain when that is
        earlier.
    members, seed : int
        Size and seed of the ensemble.
    latent : array_like, optional
        Deviates to use in place of a draw, shape (members, 5).

    Examples
    --------
    >>> window = find_window(Hair(7, "fine", damp=True), Mixture("base-break", 10))
    >>> window.exists, window.closes_by
    (True, 'warmth')
    """
    curves = curves or default_curves()
    limit = limit_within(mixture, limit_minutes, curves)
    drawn = ensemble(
        hair,
        mixture,
        time_grid(limit),
        curves,
        members=members,
        seed=seed,
        latent=latent,
    )
    return window_of(drawn, resolve_goal(goal, hair, curves), limit)


def _middle_of_peak(minutes: Floats, probability: Floats) -> int:
    """Index in the middle of the first run of the highest value; 0 when all are zero."""
    first = int(np.argmax(probability))
    if probability[first] <= 0.0:
        return 0
    below = np.flatnonzero(probability[first:] < probability[first])
    last = first + int(below[0]) - 1 if below.size else probability.size - 1
    middle = 0.5 * (minutes[first] + minutes[last])
    return first + int(np.argmin(np.abs(minutes[first : last + 1] - middle)))


def _within(limit: float, times: Floats) -> Floats:
    """Times up to the limit; later ones become infinity, as if never."""
    return np.where(times <= limit, times, np.inf)


def _finite(value: ArrayLike) -> float | None:
    number = float(np.asarray(value))
    return number if np.isfinite(number) else None


def _range(times: Floats) -> tuple[float, float]:
    # Order statistics, because members that never get there stand at infinity.
    low, high = np.quantile(times, [0.05, 0.95], method="inverted_cdf")
    return float(low), float(high)
