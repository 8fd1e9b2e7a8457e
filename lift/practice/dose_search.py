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
from lift.model.natural import NaturalPath, natural_path
from lift.model.strand import Pigment, strand_lab
from lift.optics.colorimetry import delta_e_2000
from lift.optics.dyes import MAX_DOSE, add_doses
from lift.practice.toned import LIGHTNESS_COST
from lift.results import Result

SECOND_DYE_GAIN = 0.1
"""A second dye is taken only when it lowers residual and cost together by this [dE00]: assumed,
a tenth of a noticeable difference."""

POINTS = 9
ROUNDS = 14
QUICK_ROUNDS = 6

Residual = Callable[[Floats], Floats]
"""From CIELAB, shape (..., 3), to dE00 left to a goal, shape (...)."""


@dataclass(frozen=True, eq=False, repr=False)
class Found(Result):
    """Best doses over a batch of strands, arrays of the batch's shape (...).

    Parameters
    ----------
    dyes : tuple of str
        Names of the palette searched, or bands themselves, n of them.
    doses : numpy.ndarray
        Dose of each dye [0.01 absorption per fibre radius], shape (..., n).
    residual : numpy.ndarray
        dE00 left to the goal.
    score : numpy.ndarray
        Residual plus the cost of the lightness lost [dE00].
    """

    dyes: tuple[Any, ...]
    doses: Floats
    residual: Floats
    score: Floats

    def __getitem__(self, index: int) -> Found:
        """Return what is found of one strand."""
        return Found(self.dyes, self.doses[index], self.residual[index], self.score[index])

    def named(self) -> dict[str, float]:
        """Doses by dye, of a single strand, the larger first; those told from 0 only."""
        taken = {d: float(x) for d, x in zip(self.dyes, self.doses, strict=True) if x > 0.001}
        return dict(sorted(taken.items(), key=lambda item: -item[1]))


@dataclass(frozen=True, eq=False, repr=False)
class Alone(Result):
    """Best dose of each of n dyes by itself, over a batch of strands.

    Parameters
    ----------
    dyes : tuple of str
        Names of the dyes.
    doses, residual, score : numpy.ndarray
        Dose [0.01 absorption per fibre radius], dE00 left to the goal, and that plus the cost of
        the lightness lost [dE00], shape (..., n).
    """

    dyes: tuple[Any, ...]
    doses: Floats
    residual: Floats
    score: Floats

    def __getitem__(self, index: int) -> Alone:
        """Return what each dye does to one strand."""
        return Alone(self.dyes, self.doses[index], self.residual[index], self.score[index])

    @property
    def best(self) -> Found:
        """The dye that does it best, of each strand."""
        winner = np.argmin(self.score, axis=-1)
        taken = np.arange(len(self.dyes)) == winner[..., None]
        return Found(
            self.dyes,
            np.where(taken, self.doses, 0.0),
            _pick(self.residual, winner),
            _pick(self.score, winner),
        )


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


def each_alone(
    pigment: Pigment,
    dyes: tuple[Any, ...],
    residual: Residual,
    values: Values,
    *,
    lightness_cost: float = LIGHTNESS_COST,
    rounds: int = ROUNDS,
    in_hair: Mapping[Any, Any] | None = None,
) -> Alone:
    """Best dose of each dye by itself; parameters as of `best_doses`."""
    tried = _search(pigment, dyes, 1, residual, values, lightness_cost, rounds, in_hair)
    return Alone(dyes, tried.doses[..., 0], tried.residual, tried.score)


def best_doses(
    pigment: Pigment,
    dyes: tuple[Any, ...],
    size: int,
    residual: Residual,
    values: Values,
    *,
    lightness_cost: float = LIGHTNESS_COST,
    rounds: int = ROUNDS,
    in_hair: Mapping[Any, Any] | None = None,
) -> Found:
    """Least residual plus cost of lightness over all doses of `size` dyes.

    `pigment` holds strands of shape (...), of grey hair its pigmented fibres: those are to come
    near the goal, whatever lies beside them. `size` is 1 or 2, `residual` is what `residual_to`
    gives, `lightness_cost` what one unit of L* lost is worth [dE00]. `ROUNDS` find the dose to
    better than 0.001. Doses `in_hair` already, by dye, stay there; what is found goes on besides.
    """
    tried = _search(pigment, dyes, size, residual, values, lightness_cost, rounds, in_hair)
    winner = np.argmin(tried.score, axis=-1)
    doses = np.zeros((*winner.shape, len(dyes)))
    taken = _pick(np.moveaxis(tried.doses, -1, -2), winner[..., None])
    np.put_along_axis(doses, tried.chosen[winner], taken, axis=-1)
    return Found(dyes, doses, _pick(tried.residual, winner), _pick(tried.score, winner))


def one_or_two(one: Found, two: Found) -> Found:
    """Two dyes where a second is worth it (`SECOND_DYE_GAIN`), else one, strand by strand."""
    worth = two.score < one.score - SECOND_DYE_GAIN
    return Found(
        one.dyes,
        np.where(worth[..., None], two.doses, one.doses),
        np.where(worth, two.residual, one.residual),
        np.where(worth, two.score, one.score),
    )


@dataclass(frozen=True, eq=False)
class _Tried:
    """What each combination of dyes gets: places of its dyes, their doses, residual, score."""

    chosen: Any
    doses: Floats
    residual: Floats
    score: Floats


def _search(
    pigment: Pigment,
    dyes: tuple[Any, ...],
    size: int,
    residual: Residual,
    values: Values,
    lightness_cost: float,
    rounds: int,
    in_hair: Mapping[Any, Any] | None,
) -> _Tried:
    """Best doses of every combination, shape (..., combinations), doses (..., combinations, size).

    All are searched at once on a grid that closes in on its own best point: the box halves each
    round. The grid is even in the square root of the dose, so that small doses are as well
    resolved as large ones.
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

    found = MAX_DOSE * centre[..., 0] ** 2
    return _Tried(chosen, found, _pick(left.reshape(flat.shape), best), _pick(flat, best))


def _pick(array: Floats, index: Any) -> Floats:
    return np.take_along_axis(array, np.asarray(index)[..., None], axis=-1)[..., 0]
