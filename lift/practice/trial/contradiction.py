"""Contradiction: what no strand of this hair can show is refused, with the reason."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lift.errors import Floats, LiftError
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.practice.trial.observation import BEYOND, Observation, predicted
from lift.words import note

RARE = 1e-4
"""Chance below which observations count as contradicting every strand."""


def refuse_contradictions(
    hair: Hair,
    mixture: Mixture,
    observations: Sequence[Observation],
    curves: CurveSet,
    latent: Floats,
) -> None:
    """Refuse what no strand can show, alone or in pairs.

    Every observation is put on the level scale and held against the whole ensemble, with room for
    a reading error that is passed once in a thousand times.

    Parameters
    ----------
    latent : numpy.ndarray
        Deviates that reach far into the tails, shape (members, 5).

    Raises
    ------
    LiftError
        Naming the observation and what would have been possible.
    """
    toned = any(mixture.properties(curves.values)["tone"].values())
    ordered = sorted(observations, key=lambda seen: seen.minutes)
    depths = [_depth(seen, hair, mixture, curves, latent) for seen in ordered]
    start = _depth(Observation(0.0, hair.level), hair, mixture, curves, latent)[2]
    for seen, (read, sd, could) in zip(ordered, depths, strict=True):
        if not toned:
            _refuse_darkening(seen, read, sd, start)
        _refuse_alone(seen, read, BEYOND * sd, could, toned)
    for i, (early, first) in enumerate(zip(ordered, depths, strict=True)):
        for late, second in zip(ordered[i + 1 :], depths[i + 1 :], strict=True):
            _refuse_pair(early, first, late, second, toned)


def _depth(
    seen: Observation, hair: Hair, mixture: Mixture, curves: CurveSet, latent: Floats
) -> tuple[float, float, Floats]:
    """Reading, its sd and what the members show, all as levels."""
    by_eye = seen.lab is None
    shown = predicted(hair, mixture, np.array([seen.minutes]), curves, latent, by_eye=by_eye)
    if by_eye:
        return float(seen.numbers[0]), float(seen.sd[0]), shown[:, 0, 0]
    level = natural_path(curves).level_of_lightness
    read, sd = seen.numbers[0], seen.sd[0]
    spread = 0.5 * (level(read + sd) - level(read - sd))
    # Near black and near white lightness hardly tells levels apart; the sd must not vanish there.
    return float(level(read)), max(float(spread), 0.05), level(shown[:, 0, 0])


def _refuse_darkening(seen: Observation, read: float, sd: float, start: Floats) -> None:
    # The start was judged too, so its own error and that of the reading add up.
    room = BEYOND * float(np.hypot(np.std(start), sd))
    if read < float(np.mean(start)) - room:
        raise LiftError(
            "contradiction.darker_than_start",
            seen=seen.note,
            start=float(np.mean(start)),
            room=room,
        )


def _refuse_alone(seen: Observation, read: float, room: float, could: Floats, toned: bool) -> None:
    least, most = float(could.min()), float(could.max())
    if read < least - room:
        raise LiftError("contradiction.darker", seen=seen.note, toned=toned, least=least)
    if read > most + room:
        raise LiftError("contradiction.lighter", seen=seen.note, most=most)


def _refuse_pair(
    early: Observation,
    first: tuple[float, float, Floats],
    late: Observation,
    second: tuple[float, float, Floats],
    toned: bool,
) -> None:
    pair = {"early": early.note, "late": late.note}
    gained = second[0] - first[0]
    could = second[2] - first[2]
    room = BEYOND * float(np.hypot(first[1], second[1]))
    if early.minutes == late.minutes and abs(gained) > room:
        raise LiftError("contradiction.one_moment", **pair, apart=abs(gained), room=room)
    if gained < float(could.min()) - room:
        raise LiftError("contradiction.darkened", **pair, toned=toned)
    if gained > float(could.max()) + room:
        raise LiftError("contradiction.too_quick", **pair, gained=gained, most=float(could.max()))


def refuse_misfit(observations: Sequence[Observation], off: Floats, draws: Floats) -> float:
    """Refuse observations that together fit no strand.

    The least of squared residuals plus squared deviates has, for a linear model, the chi-squared
    distribution with as many degrees of freedom as there are numbers.

    Parameters
    ----------
    off : numpy.ndarray
        Residuals in standard deviations, shape (draws, numbers).
    draws : numpy.ndarray
        Deviates from the posterior, shape (draws, 5).

    Returns
    -------
    float
        Chance that observations of a strand of this hair fit as badly [-].

    Raises
    ------
    LiftError
        When that chance is below `RARE`, naming the number that is furthest off.
    """
    from scipy.special import chdtrc

    distance = np.sum(off**2, axis=1) + np.sum(draws**2, axis=1)
    best = int(np.argmin(distance))
    chance = float(chdtrc(off.shape[1], distance[best]))
    if chance < RARE:
        numbers = [
            seen.note if axis is None else note("contradiction.axis", axis=axis, seen=seen.note)
            for seen in observations
            for axis in ((None,) if seen.lab is None else ("L*", "a*", "b*"))
        ]
        worst = int(np.argmax(np.abs(off[best])))
        by = float(off[best, worst])
        raise LiftError("contradiction.misfit", chance=chance, worst=numbers[worst], by=by)
    return chance
