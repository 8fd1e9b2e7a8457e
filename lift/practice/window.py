"""Window: from when the goal is reached until the strand is too warm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.doors import checked
from lift.errors import Floats
from lift.model.curves import CurveSet, default_curves
from lift.model.domain import longest_minutes
from lift.model.ensemble import MEMBERS, SEED, Ensemble, ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Goal
from lift.practice.inside import Crossings, crossings, nine_in_ten
from lift.practice.target import Target, resolve_goal
from lift.practice.time_line import Span, time_line
from lift.quantities import Quantity
from lift.results import Result

LIMIT_MINUTES = 60.0
"""Lighteners are not left past 50 to 60 minutes: common practice (no source)."""

NEARLY_BEST = 0.97
"""Share of the best chance at which a time to rinse is as good: nobody leaves lightener on for
nothing. A convention (assumed)."""

GOOD = 0.9
"""Share of the best chance that a time to rinse still has to have. A convention (assumed)."""

TIME_LIMIT = Quantity("limit_minutes", 1.0, 120.0, "min", default=LIMIT_MINUTES, step=1.0)

STEPS = ((12.0, 0.5), (30.0, 1.0), (60.0, 2.0), (120.0, 4.0))
"""Up to which time [min] the grid has which step [min]: colour moves fastest at the start."""


@checked
@dataclass(frozen=True, eq=False, repr=False)
class Window(Result):
    """When the goal is met, for the expected strand and for the ensemble.

    It closes when the strand is too warm or too light for the goal, at the time limit else.

    Parameters
    ----------
    opens, closes : float or None
        Processing time [min] of the expected strand; both None when there is no window.
    opens_range, closes_range : tuple of float
        Central 90 % of the members [min]; infinity where members never get there.
    reached_at, too_warm_at, too_light_at : float or None
        When the expected strand reaches the goal, and when it is too warm or too light for it
        [min]; None when not within the time limit.
    closes_by : str
        ``warmth``, ``lightness``, ``time limit`` or ``none``.
    minutes : numpy.ndarray
        Time grid [min], shape (n,).
    each : Crossings
        When each member reaches the goal and passes it [min], time limit or not, shape (members,).
    p_inside : numpy.ndarray
        Share of members that are inside, shape (n,).
    best_minutes, p_best : float
        Soonest time at which nearly as many members are inside as ever [min], and their share;
        both 0 when no member ever is inside.
    target : Target
        The goal made definite.
    limit_minutes : float
        Time limit [min]: nothing past it counts, however long the grid is.

    Examples
    --------
    >>> from lift.practice.goal import Lighten
    >>> window = find_window(Hair(5), Mixture("cream", 20), Lighten(6, warmth=30))
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
    each: Crossings
    p_inside: Floats
    best_minutes: float
    p_best: float
    target: Target
    limit_minutes: float

    @property
    def p_reached(self) -> Floats:
        """Share of members that have reached the goal by each time [-], shape (n,)."""
        return np.asarray(np.mean(self.minutes >= self.each.reached[:, None], axis=0))

    @property
    def p_too_warm(self) -> Floats:
        """Share of members that were too warm for the goal by each time [-], shape (n,)."""
        return np.asarray(np.mean(self.minutes >= self.each.too_warm[:, None], axis=0))

    @property
    def rinse(self) -> tuple[float, float, float]:
        """From when, best, and until when to rinse [min]; all alike when nobody is ever inside.

        In between the chance of being inside stays at `GOOD` of that at the best time, at least.
        """
        if self.p_best <= 0.0:
            return (self.best_minutes,) * 3
        best = int(np.searchsorted(self.minutes, self.best_minutes))
        return rinse_times(self.minutes, self.p_inside, best)

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
    each = crossings(drawn.members, minutes, target)
    in_time = _until(limit, each)
    p_inside = (each.inside(minutes) & (minutes <= limit)).mean(axis=0)
    best = soonest_good(p_inside)
    one = _until(limit, crossings(drawn.central, minutes, target))
    reached_at, too_warm_at, too_light_at = map(_finite, (one.reached, one.too_warm, one.too_light))
    ends = {"warmth": too_warm_at, "lightness": too_light_at, "time limit": limit}
    times = {by: np.inf if at is None else at for by, at in ends.items()}
    # Of two at one time the first is said: hair too warm at the limit is too warm.
    closes_by = min(times, key=times.__getitem__)
    exists = reached_at is not None and (closes_by == "time limit" or times[closes_by] > reached_at)
    return Window(
        opens=reached_at if exists else None,
        closes=times[closes_by] if exists else None,
        opens_range=nine_in_ten(in_time.reached),
        closes_range=nine_in_ten(in_time.passed),
        reached_at=reached_at,
        too_warm_at=too_warm_at,
        too_light_at=too_light_at,
        closes_by=closes_by if exists else "none",
        minutes=minutes,
        each=each,
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

    It opens when the goal is reached and closes when it is passed (`lift.practice.inside`); tone
    carried by the mixture counts, as it lowers warmth while it lasts.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    goal : Blend, Lighten, Match or Tone, optional
        Default: to stay natural; it must not be open.
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
    target = resolve_goal(goal, hair, curves)
    return window_of(drawn, target, limit)


def rinse_times(minutes: Floats, probability: Floats, best: int) -> tuple[float, float, float]:
    """From when, best and until when to rinse [min]: as long as the chance stays `GOOD`.

    Parameters
    ----------
    minutes : numpy.ndarray
        Rising times [min], shape (n,).
    probability : numpy.ndarray
        Chance of being inside at each [-], shape (n,).
    best : int
        Index of the best time.
    """
    good = probability >= GOOD * probability[best]
    before, after = np.flatnonzero(~good[:best]), np.flatnonzero(~good[best:])
    first = int(before[-1]) + 1 if before.size else 0
    last = best + int(after[0]) - 1 if after.size else minutes.size - 1
    return float(minutes[first]), float(minutes[best]), float(minutes[max(last, best)])


def soonest_good(probability: Floats) -> int:
    """Index of the soonest time nearly as good as the best; 0 when none is inside ever."""
    return int(np.argmax(probability >= NEARLY_BEST * probability.max()))


def _until(limit: float, each: Crossings) -> Crossings:
    """Times up to the limit; later ones become infinity, as if never."""
    times = (each.reached, each.too_warm, each.too_light)
    return Crossings(*(np.where(t <= limit, t, np.inf) for t in times))


def _finite(value: ArrayLike) -> float | None:
    number = float(np.asarray(value))
    return number if np.isfinite(number) else None
