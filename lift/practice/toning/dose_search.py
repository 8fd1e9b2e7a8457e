"""Search for the dose of one or two dyes that brings a strand nearest its goal."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.curves import CurveSet, Values
from lift.model.mixture import add_doses
from lift.model.natural import NaturalPath, natural_path
from lift.model.strand import Pigment, strand_lab
from lift.optics.colorimetry import delta_e_2000
from lift.optics.dyes import MAX_DOSE
from lift.practice.toned import LIGHTNESS_COST

SECOND_DYE_GAIN = 0.1
"""A second dye is taken only when it lowers residual and cost together by this [dE00]: assumed,
a tenth of a noticeable difference."""

POINTS = 9
ROUNDS = 14
QUICK_ROUNDS = 6

Residual = Callable[[Floats], Floats]


@dataclass(frozen=True, eq=False)
class Found:
    """Best doses over a batch of strands, arrays of the batch's shape (...).

    Parameters
    ----------
    dyes : tuple of str
        Names of the palette searched, n of them.
    doses : numpy.ndarray
        Dose of each dye [0.01 absorption per fibre radius], shape (..., n).
    residual : numpy.ndarray
        dE00 left to the goal.
    score : numpy.ndarray
        Residual plus the cost of the lightness lost [dE00].
    """

    dyes: tuple[str, ...]
    doses: Floats
    residual: Floats
    score: Floats

    def named(self) -> dict[str, float]:
        """Doses by dye, of a single strand, the larger first; those told from 0 only."""
        taken = {d: float(x) for d, x in zip(self.dyes, self.doses, strict=True) if x > 0.001}
        return dict(sorted(taken.items(), key=lambda item: -item[1]))


def residual_to(
    goal: ArrayLike | None, curves: CurveSet, path: NaturalPath | None = None
) -> Residual:
    """Distance, from CIELAB, shape (..., 3), to dE00, shape (...), from a goal.

    The goal is a CIELAB, shape (3,), or None: natural hair of whatever lightness the strand has, of
    the `path`, by default that of brown and blond hair.
    """
    path = path or natural_path(curves)

    def residual(lab: Floats) -> Floats:
        wanted = path.lab_of_lightness(lab[..., 0]) if goal is None else np.asarray(goal)
        return delta_e_2000(lab, wanted)

    return residual


def best_doses(
    pigment: Pigment,
    dyes: tuple[str, ...],
    size: int,
    residual: Residual,
    values: Values,
    *,
    lightness_cost: float = LIGHTNESS_COST,
    rounds: int = ROUNDS,
    in_hair: Mapping[str, Any] | None = None,
) -> Found:
    """Least residual plus cost of lightness over all doses of `size` dyes.

    Every combination is searched at once on a grid that closes in on its own best point: the
    box halves each round. The grid is even in the square root of the dose, so that small
    doses are as well resolved as large ones.

    `pigment` holds strands of shape (...), of grey hair its pigmented fibres: those are to come
    near the goal, whatever lies beside them. `size` is 1 or 2, `residual` is what `residual_to`
    gives, `lightness_cost` what one unit of L* lost is worth [dE00]. `ROUNDS` find the dose to
    better than 0.001. Doses `in_hair` already, by dye, stay there; what is found goes on besides.
    """
    already = dict(in_hair or {})
    chosen = np.array(list(combinations(range(len(dyes)), size)))
    grid_axes = (1,) * (1 + size)
    strands = pigment.map(lambda p: np.reshape(p, np.shape(p) + grid_axes))
    start = strand_lab(pigment, values, tone=already)[..., 0]
    start = start.reshape(start.shape + grid_axes)
    batch = start.shape[: -len(grid_axes)]

    box = np.zeros((*batch, len(chosen), size, 1)), np.ones((*batch, len(chosen), size, 1))
    for _ in range(rounds):
        low, high = box
        root = low + (high - low) * np.linspace(0.0, 1.0, POINTS)
        doses = MAX_DOSE * root**2
        # Each dye of a combination gets a grid axis of its own.
        grids = (
            [doses[..., 0, :, None], doses[..., 1, None, :]] if size == 2 else [doses[..., 0, :]]
        )
        tone = {
            dye: sum(
                grid * (chosen[:, place] == index).reshape(-1, *(1,) * size)
                for place, grid in enumerate(grids)
            )
            for index, dye in enumerate(dyes)
        }
        lab = strand_lab(strands, values, tone=add_doses(tone, already))
        left = residual(lab)
        score = left + lightness_cost * (start - lab[..., 0])
        flat = score.reshape(*batch, len(chosen), -1)
        best = np.argmin(flat, axis=-1)
        places = np.stack(np.unravel_index(best, (POINTS,) * size), axis=-1)[..., None]
        centre = np.take_along_axis(root, places, axis=-1)
        reach = (high - low) / 4.0
        box = np.maximum(centre - reach, 0.0), np.minimum(centre + reach, 1.0)

    left = _pick(left.reshape(flat.shape), best)
    score, found = _pick(flat, best), MAX_DOSE * centre[..., 0] ** 2
    winner = np.argmin(score, axis=-1)
    doses = np.zeros((*batch, len(dyes)))
    np.put_along_axis(
        doses, chosen[winner], _pick(np.moveaxis(found, -1, -2), winner[..., None]), axis=-1
    )
    return Found(dyes, doses, _pick(left, winner), _pick(score, winner))


def _pick(array: Floats, index: Any) -> Floats:
    return np.take_along_axis(array, np.asarray(index)[..., None], axis=-1)[..., 0]
