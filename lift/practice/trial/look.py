"""When to look at a strand test: how much each time is expected to tell, and which can serve."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats, check_choice, check_number
from lift.model.curves import CurveSet
from lift.model.domain import bound_of, longest_minutes
from lift.model.ensemble import Ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import Trajectory
from lift.practice.inside import colour_margin, first_crossing, goal_margin
from lift.practice.target import Target
from lift.practice.trial.observation import READINGS, predicted
from lift.practice.window import LIMIT_MINUTES, Window
from lift.results import Result

OUTER = 160
"""Imagined readings for each time."""

USELESS = 0.25
WEAK = 0.5
NEARLY = 0.9
"""Shares of the best gain: below the first a look is useless, below the second weak; the soonest
time worth a look has the third. Conventions of this tool (assumed)."""

LEAD_MINUTES = 1.0
"""From a look to water on that hair [min]: to judge, decide and walk to the basin (assumed)."""

LEAST_GAIN = 0.1
LEAST_RISE = 0.01
"""A look tells when to rinse where it settles at least this share of the variance, and raises the
chance to rinse inside by at least this much. Conventions of this tool (assumed)."""


@dataclass(frozen=True)
class Look:
    """One look that can still serve.

    Parameters
    ----------
    reading : str
        Who reads: one of `READINGS`.
    minutes : float
        Since the mixture was laid on that strand [min].
    ahead : float
        How long before the rest that strand is laid [min]; 0 for hair that is laid with the rest.
    gain : float
        Expected share [-] of the variance at the rinse time that the look takes away.
    p_inside : float
        Expected chance [-] to rinse the rest inside the window when timed by what it shows.
    tells : bool
        Whether it tells when to rinse.
    """

    reading: str
    minutes: float
    ahead: float
    gain: float
    p_inside: float
    tells: bool


@dataclass(frozen=True, eq=False, repr=False)
class LookTimes(Result):
    """Expected gain of one more look, by its time, and which times can still serve.

    A look serves on hair that is laid with the rest from when its lift is visible, for before that
    the natural level is judged once more, while it leaves `LEAD_MINUTES` until the rinse. Where
    such a look does not tell, a second strand may be laid ahead: so long before the rest that its
    look comes `LEAD_MINUTES` before the first good minute to rinse.

    Parameters
    ----------
    minutes : numpy.ndarray
        Times of the look [min], shape (n,).
    gain : numpy.ndarray
        Expected share [-] of the variance at the rinse time that a look takes away, mean of that
        of two quantities: lift towards the goal and warmth; or, where a colour is wanted, level
        and the distance from that colour. Shape (n,).
    p_inside : numpy.ndarray
        Expected chance [-] to rinse inside the window when the rinse is timed by what the look
        shows on hair that is laid with the rest, shape (n,): no rinse comes before it.
    p_ahead : numpy.ndarray
        The same for a look on a strand laid ahead, shape (n,).
    p_inside_now : float
        Best chance at any minute without a look [-].
    rinse_minutes : float
        The rinse time whose outcome is to become certain [min].
    rinse_first : float
        First good minute to rinse [min].
    act_by : float
        Rinse that a look has to come before [min]: the best minute, or the planned one if sooner.
    visible_minutes : float
        When lift is visible on the expected strand [min]; infinity when it never is.
    usual_minutes : float
        How long the mixture is usually left on at most [min]: as long as a strand ahead waits.
    looked_minutes : float
        Of the last look that was taken of this strand [min]; 0 when none was.
    reading : str
        Who reads: one of `READINGS`.
    """

    minutes: Floats
    gain: Floats
    p_inside: Floats
    p_ahead: Floats
    p_inside_now: float
    rinse_minutes: float
    rinse_first: float
    act_by: float
    visible_minutes: float
    usual_minutes: float
    looked_minutes: float
    reading: str

    @property
    def by_eye(self) -> bool:
        """Whether a level is judged by eye."""
        return self.reading == "eye"

    @property
    def serves(self) -> Any:
        """Which times can serve on hair that is laid with the rest, shape (n,) of bool."""
        shows = (self.minutes >= self.visible_minutes) & (self.minutes > self.looked_minutes)
        return shows & (self.minutes <= self.act_by - LEAD_MINUTES + 1e-9)

    @property
    def same(self) -> Look | None:
        """Soonest look that tells nearly as much as any that serves; None when none does."""
        at = _soonest(self.gain, self.serves)
        return None if at is None else self._look(at, 0.0, self.p_inside)

    @property
    def best(self) -> Look | None:
        """Most informative of the looks that serve; None when none does."""
        if not np.any(self.serves):
            return None
        return self._look(
            int(np.argmax(np.where(self.serves, self.gain, -1.0))), 0.0, self.p_inside
        )

    @property
    def ahead(self) -> Look | None:
        """The look on a second strand laid ahead, where that tells more by far; else None.

        It tells, and one of hair laid with the rest does not, or settles less than `WEAK` of what
        this one settles.
        """
        at = _soonest(self.gain, self.minutes <= self.usual_minutes)
        if at is None or self.settled:
            return None
        before = float(self.minutes[at]) + LEAD_MINUTES - self.rinse_first
        look, same = self._look(at, before, self.p_ahead), self.same
        better = same is None or not same.tells or same.gain < WEAK * look.gain
        return look if better and look.tells and before > 0.0 else None

    @property
    def advised(self) -> Look | None:
        """The look to take: of hair laid with the rest where that tells, else ahead."""
        same = self.same
        return same if same is not None and same.tells else self.ahead or same

    @property
    def settled(self) -> bool:
        """Whether no look could raise the chance by `LEAST_RISE`."""
        return self.p_inside_now > 1.0 - LEAST_RISE

    @property
    def most_minutes(self) -> float:
        """Most informative time within the hour of a lightener, whether it serves or not [min]."""
        return float(self.minutes[self._most])

    @property
    def most_gain(self) -> float:
        """Expected gain at the most informative time [-]."""
        return float(self.gain[self._most])

    @property
    def _most(self) -> int:
        return int(np.argmax(np.where(self.minutes <= LIMIT_MINUTES, self.gain, -1.0)))

    def at(self, minutes: float) -> float:
        """Expected gain [-] at a time [min], by linear interpolation."""
        return float(np.interp(minutes, self.minutes, self.gain))

    def verdict(self, minutes: float) -> str:
        """Return ``useful``, ``weak`` or ``useless`` for a time [min], by its share of the most."""
        share = self.at(minutes) / max(self.most_gain, 1e-12)
        return "useless" if share < USELESS else "weak" if share < WEAK else "useful"

    def _look(self, at: int, ahead: float, chances: Floats) -> Look:
        gain, chance = float(self.gain[at]), float(chances[at])
        # Both chances are means over members: a rise to the very threshold counts.
        tells = gain >= LEAST_GAIN and chance - self.p_inside_now >= LEAST_RISE - 1e-9
        return Look(self.reading, float(self.minutes[at]), ahead, gain, chance, tells)


def _soonest(gain: Floats, among: Any) -> int | None:
    """Index of the first of some whose gain is at least `NEARLY` of their best; None of none."""
    if not np.any(among):
        return None
    some = np.where(among, gain, -1.0)
    return int(np.argmax(some >= NEARLY * some.max()))


def look_times(
    hair: Hair,
    mixture: Mixture,
    drawn: Ensemble,
    window: Window,
    curves: CurveSet,
    *,
    reading: str = "eye",
    act_by: float | None = None,
    looked: float = 0.0,
    until: float = LIMIT_MINUTES,
    seed: int = 0,
) -> LookTimes:
    """Expected gain of a look at each time, by a nested ensemble.

    For each time, readings are imagined from some members; each reading weighs all other members
    by their likelihood, and what is left of the variance at the rinse time is averaged. The chance
    to rinse inside is that of the best minute for each reading; it counts from the chance without
    a look by the difference that the choice makes, so that a look which leaves the best minute
    open never seems to lower it.

    Parameters
    ----------
    drawn : Ensemble
        On the window's grid, with the rinse time as its last column (as a preview holds it).
    window : Window
        Of the same members.
    reading : str
        Who reads: one of `READINGS`.
    act_by : float, optional
        Planned rinse [min], where it may come before the best minute.
    looked : float
        Time of the last look that was taken of this strand [min].
    until : float
        Last time to judge [min], 1 to 120; the end of the mixture's domain when that is earlier.
    seed : int
        Seed of the imagined reading errors.

    Returns
    -------
    LookTimes
        For every half minute up to 10, every minute up to 20 and every other one after.
    """
    grid = window.minutes
    wanted = _unsure(drawn.members.last, window.target)
    inside = (window.each.inside(grid) & (grid <= window.limit_minutes)).astype(np.float64)
    longest = longest_minutes(mixture, curves)
    last = min(np.ceil(check_number("look.last", until, 1.0, 120.0, "min") / 2.0) * 2.0, longest)
    steps = np.arange(0.0, 10.0, 0.5), np.arange(10.0, 20.0), np.arange(20.0, last + 0.5, 2.0)
    minutes = np.concatenate(steps)
    minutes = minutes[minutes <= last]
    sd = np.array(READINGS[check_choice("look.reading", reading, READINGS)])
    shown = predicted(hair, mixture, minutes, curves, drawn.latent, by_eye=reading == "eye") / sd
    members = shown.shape[0]
    outer = np.linspace(0, members - 1, min(OUTER, members)).astype(int)
    noise = np.random.default_rng(seed).standard_normal((outer.size, shown.shape[2]))
    before = np.var(wanted, axis=0)
    averaged = np.concatenate([wanted, wanted**2, inside], axis=1)
    now = inside.mean(axis=0)
    best, first = int(np.argmax(now)), window.rinse[0]
    gain, same, ahead = (np.empty(minutes.size) for _ in range(3))
    # One time after the other: the weights of all times at once would take 50 MB and be no faster.
    for i, minute in enumerate(minutes):
        mean, square, then = np.split(
            _weights(shown[:, i], outer, noise) @ averaged, [2, 4], axis=1
        )
        left = square - mean**2
        share = np.where(before > 1e-12, 1.0 - left.mean(axis=0) / np.maximum(before, 1e-12), 0.0)
        gain[i] = max(float(share.mean()), 0.0)
        free = minute + LEAD_MINUTES
        for chances, start in ((same, free), (ahead, min(free, first))):
            rest = then[:, grid >= min(start, grid[-1]) - 1e-9]
            rise = float(np.mean(rest.max(axis=1) - then[:, best]))
            chances[i] = np.clip(now[best] + rise, 0.0, 1.0)
    best_minutes = window.best_minutes
    lift = drawn.central.lift[:-1] - drawn.central.lift[0]
    visible = first_crossing(grid, lift - curves.values["visible_lift"])
    return LookTimes(
        minutes=minutes,
        gain=gain,
        p_inside=same,
        p_ahead=ahead,
        p_inside_now=float(now[best]),
        rinse_minutes=float(drawn.central.minutes[-1]),
        rinse_first=first,
        act_by=best_minutes if act_by is None else min(act_by, best_minutes),
        visible_minutes=float(visible),
        usual_minutes=min(LIMIT_MINUTES, bound_of("minutes", mixture, curves).usual_high),
        looked_minutes=looked,
        reading=reading,
    )


def _unsure(rinsed: Trajectory, target: Target) -> Floats:
    """Two numbers of each member at the rinse that are to become certain, shape (members, 2)."""
    if target.wanted is None:
        numbers = goal_margin(rinsed, target), rinsed.warmth
    else:
        numbers = rinsed.level, colour_margin(rinsed, np.zeros(1), target)
    return np.concatenate(numbers, axis=-1)


def _weights(shown: Floats, outer: np.ndarray, noise: Floats) -> Floats:
    """Posterior weights of all members for each imagined reading, its own member left out."""
    readings = shown[outer] + noise
    power = -0.5 * np.sum((readings[:, None, :] - shown) ** 2, axis=-1)
    power[np.arange(outer.size), outer] = -np.inf
    weight = np.exp(power - power.max(axis=1, keepdims=True))
    return np.asarray(weight / weight.sum(axis=1, keepdims=True))
