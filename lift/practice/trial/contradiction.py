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
    hair, mixture : Hair, Mixture
        As judged.
    observations : sequence of Observation
        What was seen.
    curves : CurveSet
        Curve set.
    latent : numpy.ndarray
        Deviates that reach far into the tails, shape (members, 4).

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
            f"{seen.words} is darker than the start (level {np.mean(start):.1f}) and the mixture "
            f"carries no tone: lightening does not darken, and two readings differ by {room:.1f} "
            "levels at most; check the reading, the natural level or --carry"
        )


def _refuse_alone(seen: Observation, read: float, room: float, could: Floats, toned: bool) -> None:
    least, most = float(could.min()), float(could.max())
    if read < least - room:
        carried = ", with the tone it carries" if toned else ""
        raise LiftError(
            f"{seen.words} is darker than any strand of this hair{carried}: level {least:.1f} at "
            "least by then; check the time, the mixture and the natural level"
        )
    if read > most + room:
        raise LiftError(
            f"{seen.words} is lighter than any strand of this hair could be: level {most:.1f} at "
            "most by then; check the time, the mixture and the natural level"
        )


def _refuse_pair(
    early: Observation,
    first: tuple[float, float, Floats],
    late: Observation,
    second: tuple[float, float, Floats],
    toned: bool,
) -> None:
    gained = second[0] - first[0]
    could = second[2] - first[2]
    room = BEYOND * float(np.hypot(first[1], second[1]))
    if early.minutes == late.minutes and abs(gained) > room:
        raise LiftError(
            f"{early.words} and {late.words} are one moment {abs(gained):.1f} levels apart; a "
            f"reading is off by {room:.1f} at most"
        )
    if gained < float(could.min()) - room:
        why = "more than the tone carried can darken" if toned else "lightening does not darken"
        raise LiftError(f"{late.words} is darker than {early.words}: {why}; check the two readings")
    if gained > float(could.max()) + room:
        raise LiftError(
            f"from {early.words} to {late.words} is {gained:.1f} levels, more than any strand of "
            f"this hair gains in between ({float(could.max()):.1f} at most)"
        )


def refuse_misfit(observations: Sequence[Observation], off: Floats, draws: Floats) -> float:
    """Refuse observations that together fit no strand.

    The least of squared residuals plus squared deviates has, for a linear model, the chi-squared
    distribution with as many degrees of freedom as there are numbers.

    Parameters
    ----------
    observations : sequence of Observation
        What was seen.
    off : numpy.ndarray
        Residuals in standard deviations, shape (draws, numbers).
    draws : numpy.ndarray
        Deviates from the posterior, shape (draws, 4).

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
        names = [
            f"{name}{seen.words}"
            for seen in observations
            for name in (("",) if seen.lab is None else ("L* of ", "a* of ", "b* of "))
        ]
        worst = int(np.argmax(np.abs(off[best])))
        raise LiftError(
            f"these observations fit no strand of this hair (chance {chance:.1g}); furthest off: "
            f"{names[worst]}, by {off[best, worst]:+.1f} standard deviations"
        )
    return chance
