"""Passages: the levels that lightening passes, when, how surely, and what would tone each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.ensemble import Ensemble
from lift.model.natural import NaturalPath
from lift.model.stages import named_stage
from lift.model.strand import Pigment
from lift.model.trajectory import Trajectory
from lift.optics.colorimetry import lab_tuple
from lift.practice.inside import first_crossing, nine_in_ten
from lift.practice.toned import toned
from lift.quantities import Lab
from lift.words import LAST_LEVEL

LEAST_LIKELY = 0.05
"""Share of strands that must pass a level within the time limit for it to be told: the end of the
band that nine strands in ten keep to."""


@dataclass(frozen=True)
class Passage:
    """A level on the way.

    Parameters
    ----------
    level : float
        Level [-], a whole one.
    stage : str
        Stage of the expected strand there.
    minutes : float or None
        When the expected strand reaches it [min]; None where not within the time limit.
    between : tuple of float
        Central 90 % of the members [min]; infinity where they do not get there in time.
    p_reached : float
        Share of the members that reach it within the time limit [-].
    lab : tuple of float
        CIELAB of the expected strand there, untoned (D65, 10 degrees).
    tone : mapping of str to float
        Dose of the one dye that would tone it [0.01 absorption per fibre radius]; may be empty.
    after : tuple of float
        CIELAB after that.
    level_after : float
        Level of natural hair as light as that [-].
    """

    level: float
    stage: str
    minutes: float | None
    between: tuple[float, float]
    p_reached: float
    lab: Lab
    tone: Mapping[str, float]
    after: Lab
    level_after: float


def passages(drawn: Ensemble, limit_minutes: float, path: NaturalPath) -> tuple[Passage, ...]:
    """Levels that an ensemble passes within a time limit, in their order.

    Parameters
    ----------
    drawn : Ensemble
        On a grid of times from 0 upward.
    limit_minutes : float
        Longest time considered [min].
    path : NaturalPath
        Natural hair of this kind, which a toner is to bring the hair to.
    """
    minutes, central = drawn.central.minutes, drawn.central
    start = float(central.level[0])
    levels = np.arange(np.floor(start) + 1.0, LAST_LEVEL + 0.5)
    levels = levels[levels > start + 1e-9]
    found = []
    for level in levels:
        times = first_crossing(minutes, drawn.members.level - level + 1e-9)
        times = np.where(times <= limit_minutes, times, np.inf)
        p = float(np.mean(np.isfinite(times)))
        one = float(first_crossing(minutes, central.level - level + 1e-9))
        if p < LEAST_LIKELY or not np.isfinite(one):
            continue
        in_time = one if one <= limit_minutes else None
        between = nine_in_ten(times)
        found.append(_passage(float(level), in_time, one, between, p, central, path))
    return tuple(found)


def _passage(
    level: float,
    minutes: float | None,
    one: float,
    between: tuple[float, float],
    p: float,
    central: Trajectory,
    path: NaturalPath,
) -> Passage:
    def then(values: Any) -> Floats:
        along = np.broadcast_to(values, central.lift.shape)
        return np.asarray(np.interp(one, central.minutes, along))

    lab = np.array([then(central.underpigment[:, axis]) for axis in range(3)])
    pigment: Pigment = central.pigment.map(then)
    carried = {dye: then(dose) for dye, dose in central.tone.items()}
    best = toned(pigment, central.values, path, carried=carried)
    return Passage(
        level=level,
        stage=str(named_stage(lab, then(central.exposed), then(central.level), central.curves)),
        minutes=minutes,
        between=between,
        p_reached=p,
        lab=lab_tuple(lab),
        tone=best.named(),
        after=lab_tuple(best.lab),
        level_after=float(path.level_of_lightness(best.lab[0])),
    )
