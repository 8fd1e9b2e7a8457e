"""When to look at a strand test: how much each time is expected to tell."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lift.errors import Floats, check_number
from lift.model.curves import CurveSet
from lift.model.domain import longest_minutes
from lift.model.ensemble import Ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.inside import first_crossing, goal_margin
from lift.practice.target import Target
from lift.practice.trial.observation import COLOUR_SD, EYE_SD, predicted
from lift.practice.window import LIMIT_MINUTES

OUTER = 160
"""Imagined readings for each time."""

USELESS = 0.25
WEAK = 0.5
NEARLY = 0.9
"""Shares of the best gain: below the first a look is useless, below the second weak; the soonest
time worth a look has the third. Conventions of this tool (assumed)."""


@dataclass(frozen=True, eq=False)
class LookTimes:
    """Expected gain of one more look, by its time.

    Parameters
    ----------
    minutes : numpy.ndarray
        Times of the look [min], shape (n,).
    gain : numpy.ndarray
        Expected share [-] of the variance at the rinse time that a look takes away, mean of that
        of the lift towards the goal and that of warmth, shape (n,).
    p_inside : numpy.ndarray
        Expected chance [-] to rinse inside the window when the rinse is timed by what the look
        shows, shape (n,).
    p_inside_now : float
        The same chance without a look [-].
    rinse_minutes : float
        The rinse time whose outcome is to become certain [min].
    by_eye : bool
        Level by eye, or CIELAB by instrument.
    """

    minutes: Floats
    gain: Floats
    p_inside: Floats
    p_inside_now: float
    rinse_minutes: float
    by_eye: bool

    @property
    def best_minutes(self) -> float:
        """Most informative time within the hour that lighteners are left on at most [min]."""
        return float(self.minutes[self._best])

    @property
    def best_gain(self) -> float:
        """Expected gain at the most informative time [-]."""
        return float(self.gain[self._best])

    @property
    def soonest_minutes(self) -> float:
        """First time whose gain is at least `NEARLY` of the best [min]."""
        return float(self.minutes[np.argmax(self.gain >= NEARLY * self.best_gain)])

    @property
    def p_inside_at_best(self) -> float:
        """Expected chance [-] to rinse inside the window after a look at the best time."""
        return float(self.p_inside[self._best])

    @property
    def _best(self) -> int:
        return int(np.argmax(np.where(self.minutes <= LIMIT_MINUTES, self.gain, -1.0)))

    def at(self, minutes: float) -> float:
        """Expected gain [-] at a time [min], by linear interpolation."""
        return float(np.interp(minutes, self.minutes, self.gain))

    def verdict(self, minutes: float) -> str:
        """Return ``useful``, ``weak`` or ``useless`` for a time [min], by its share of the best."""
        share = self.at(minutes) / max(self.best_gain, 1e-12)
        return "useless" if share < USELESS else "weak" if share < WEAK else "useful"


def look_times(
    hair: Hair,
    mixture: Mixture,
    drawn: Ensemble,
    target: Target,
    curves: CurveSet,
    *,
    by_eye: bool = True,
    until: float = LIMIT_MINUTES,
    seed: int = 0,
) -> LookTimes:
    """Expected gain of a look at each time, by a nested ensemble.

    For each time, readings are imagined from some members; each reading weighs all other members
    by their likelihood, and what is left of the variance at the rinse time is averaged.

    Parameters
    ----------
    drawn : Ensemble
        On the window's grid, with the rinse time as its last column (as a preview holds it).
    until : float
        Last time to judge [min], 1 to 120; the end of the mixture's domain when that is earlier.
    seed : int
        Seed of the imagined reading errors.

    Returns
    -------
    LookTimes
        For every minute up to 20 and every other one after.
    """
    grid = drawn.central.minutes[:-1]
    margin = goal_margin(drawn.members, target)
    warm = drawn.members.warmth - min(target.warmth_limit, 1e3)
    wanted = np.stack([margin[:, -1], warm[:, -1]], axis=-1)
    opens = first_crossing(grid, margin[:, :-1] + 1e-9)[:, None]
    closes = first_crossing(grid, warm[:, :-1])[:, None]
    inside = ((grid >= opens) & (grid < closes)).astype(np.float64)
    longest = longest_minutes(mixture, curves)
    last = min(np.ceil(check_number("look.last", until, 1.0, 120.0, "min") / 2.0) * 2.0, longest)
    minutes = np.union1d(np.arange(0.0, min(last, 20.0) + 0.5), np.arange(0.0, last + 0.5, 2.0))
    minutes = minutes[minutes <= last]
    shown = predicted(hair, mixture, minutes, curves, drawn.latent, by_eye=by_eye)
    shown = shown / np.array([EYE_SD] if by_eye else COLOUR_SD)
    members = shown.shape[0]
    outer = np.linspace(0, members - 1, min(OUTER, members)).astype(int)
    noise = np.random.default_rng(seed).standard_normal((outer.size, shown.shape[2]))
    before = np.var(wanted, axis=0)
    averaged = np.concatenate([wanted, wanted**2, inside], axis=1)
    gain, chance = np.empty(minutes.size), np.empty(minutes.size)
    # One time after the other: the weights of all times at once would take 50 MB and be no faster.
    for i in range(minutes.size):
        mean, square, now = np.split(_weights(shown[:, i], outer, noise) @ averaged, [2, 4], axis=1)
        left = square - mean**2
        share = np.where(before > 1e-12, 1.0 - left.mean(axis=0) / np.maximum(before, 1e-12), 0.0)
        gain[i] = max(float(share.mean()), 0.0)
        chance[i] = float(np.mean(np.max(now, axis=1)))
    return LookTimes(
        minutes=minutes,
        gain=gain,
        p_inside=chance,
        p_inside_now=float(np.max(inside.mean(axis=0))),
        rinse_minutes=float(drawn.central.minutes[-1]),
        by_eye=by_eye,
    )


def _weights(shown: Floats, outer: np.ndarray, noise: Floats) -> Floats:
    """Posterior weights of all members for each imagined reading, its own member left out."""
    readings = shown[outer] + noise
    power = -0.5 * np.sum((readings[:, None, :] - shown) ** 2, axis=-1)
    power[np.arange(outer.size), outer] = -np.inf
    weight = np.exp(power - power.max(axis=1, keepdims=True))
    return np.asarray(weight / weight.sum(axis=1, keepdims=True))
