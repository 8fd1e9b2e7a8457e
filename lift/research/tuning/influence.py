"""Influence: what each swatch, and each of its readings, does to a fit.

Without a swatch the fit is what the others tell (`lift.research.tuning.left_out`). What it would be
without one reading, or without a swatch that has no say in it, is one step of Newton's away
(Pregibon 1981, Ann. Statist. 9:705, for what leaving one out does; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats
from lift.optics.colorimetry import delta_e_2000
from lift.research.posterior.mode import by_differences
from lift.research.posterior.problem import Problem
from lift.research.posterior.strands import StrandModel
from lift.research.swatches.columns import OF_THE_SWATCH
from lift.research.swatches.table import Swatches
from lift.research.tuning.aside import Judged
from lift.words import Note, note

STEP = 0.02
LOOKS = 3

MOST_ROWS = 30_000
"""Rows computed for single readings at most: those of the swatches that lean hardest come first."""


@dataclass(frozen=True, eq=False)
class Influence:
    """What one swatch does to the fit, or one of its readings.

    Parameters
    ----------
    name : str
        Of the swatch.
    minutes : float or None
        Of the reading [min]; None for all of the swatch.
    free : tuple of str
        Names of the free parameters.
    counts : bool
        Whether it had a say in the fit.
    left_out : float
        How far off it is as all else predicts it [dE00]; of a swatch the mean; nan where it
        cannot be.
    level, judged, rate : float
        Starting level that its swatch reads like and judged one [-], nan where nobody judged, and
        its rate over the common one [-].
    moves : numpy.ndarray
        Change of each free parameter without it, in its standard errors [-], shape (free,).
    without : numpy.ndarray
        Each free parameter then, in its unit, shape (free,).
    might_be : tuple of Note
        Mistakes that explain the swatch, where it is suspect.
    log_factor : float
        See `lift.research.tuning.suspects.Suspicion`; of its swatch [-].
    """

    name: str
    minutes: float | None
    free: tuple[str, ...]
    counts: bool
    left_out: float
    level: float
    judged: float
    rate: float
    moves: Floats
    without: Floats
    might_be: tuple[Note, ...]
    log_factor: float

    @property
    def most(self) -> int:
        """Index of the free parameter that it moves most."""
        return int(np.argmax(np.abs(self.moves)))

    @property
    def told(self) -> Note:
        """All of it, as one sentence."""
        move = self.moves[self.most] if self.moves.size else 0.0
        code = "influence.swatch" if self.minutes is None else "influence.reading"
        return note(
            code,
            name=self.name,
            minutes=self.minutes,
            left_out="" if np.isnan(self.left_out) else note("influence.off", off=self.left_out),
            level="" if np.isnan(self.judged) else note("influence.judged", judged=self.judged),
            reads=self.level,
            rate=self.rate,
            parameter=self.free[self.most] if self.moves.size else "",
            moves=abs(move),
            up=bool(move > 0.0),
        )

    @property
    def pull(self) -> float:
        """How far it moves that one, in standard errors [-]."""
        return float(np.abs(self.moves).max(initial=0.0))


def influences(found: Judged, problem: Problem) -> tuple[Influence, ...]:
    """Influence of all swatches, suspects first and then by pull, then of readings by pull.

    Parameters
    ----------
    found : Judged
        Fit, and what speaks against each swatch.
    problem : Problem
        With all readings of the file.
    """
    table, kept = problem.swatches, found.posterior.kept
    middle, sd = kept.mean(axis=0), kept.std(axis=0)
    covariance = np.cov(kept.T).reshape(sd.size, -1)
    whole = _where_it_is(replace(found.posterior.model, problem=problem, exposed=None), middle)
    slopes = _slopes(whole, middle)
    without = dict(
        zip(found.posterior.model.problem.swatches.names, found.held_out.moved, strict=True)
    )
    moved = [without.get(name, -covariance @ slopes[:, i]) for i, name in enumerate(table.names)]
    swatches = []
    for i, each in enumerate(found.suspicions):
        own = table.swatch == i
        any_counts = bool(found.counts[own].any())
        its = (found, i, whole, middle, sd, moved[i], None)
        swatches.append(_influence(*its, left_out=each.left_out, counts=any_counts))
    order = sorted(range(len(swatches)), key=lambda i: _place(swatches[i]))
    rows = _rows_of(table, order)
    if rows.size == 0:
        return tuple(swatches[i] for i in order)
    less = _where_it_is(replace(whole, problem=_less(problem, rows), exposed=None), middle)
    off = _errors(less, table, rows, middle)
    steps = covariance @ (_slopes(less, middle) - slopes[:, table.swatch[rows]])
    readings = [
        _influence(
            *(found, int(table.swatch[row]), whole, middle, sd, steps[:, case]),
            int(row),
            left_out=float(off[case]),
            counts=bool(found.counts[row]),
        )
        for case, row in enumerate(rows)
    ]
    return (*(swatches[i] for i in order), *sorted(readings, key=_place))


def _place(each: Influence) -> tuple[float, float]:
    return (-each.log_factor if each.might_be else 0.0, -each.pull)


def _influence(
    found: Judged,
    swatch: int,
    whole: StrandModel,
    middle: Floats,
    sd: Floats,
    moved: Floats,
    row: int | None,
    *,
    left_out: float,
    counts: bool,
) -> Influence:
    suspicion, free = found.suspicions[swatch], len(whole.problem.free)
    table = whole.problem.swatches
    # A mistake of a swatch's one reading is none of its others.
    its = suspicion.suspect and (row is None or row == suspicion.row)
    return Influence(
        name=suspicion.name,
        minutes=None if row is None else float(table.minutes[row]),
        free=tuple(whole.problem.free),
        counts=counts,
        left_out=left_out,
        level=suspicion.level,
        judged=float(table.level[swatch]),
        rate=suspicion.rate,
        moves=moved[:free] / np.maximum(sd[:free], 1e-12),
        without=whole.parameters(middle + moved)[0],
        might_be=suspicion.might_be if its else (),
        log_factor=suspicion.log_factor,
    )


def _where_it_is(model: StrandModel, point: Floats) -> StrandModel:
    """Model with the exposures of a point."""
    return model.where_it_is(point, model.from_afar(point[None]))


def _slopes(model: StrandModel, point: Floats) -> Floats:
    """Slope of each swatch's log likelihood, shape (coordinates, swatches)."""
    own = np.tile(model.from_afar(point[None]), (2 * point.size, 1, 1))
    return by_differences(lambda z: model.log_likelihood(z, own, LOOKS)[0], point, STEP)


def _rows_of(table: Swatches, order: list[int]) -> NDArray[np.intp]:
    """Readings to leave out one by one: of swatches with several, as long as there is room."""
    found: list[int] = []
    room = MOST_ROWS
    for swatch in order:
        own = np.flatnonzero(table.swatch == swatch)
        room -= own.size * (own.size - 1)
        if own.size > 1 and room >= 0:
            found += own.tolist()
    return np.array(found, dtype=np.intp)


def _less(problem: Problem, rows: NDArray[np.intp]) -> Problem:
    """Each reading's swatch without it, as a swatch of its own."""
    table = problem.swatches
    kept = [np.flatnonzero(table.swatch == table.swatch[row]) for row in rows]
    kept = [own[own != row] for own, row in zip(kept, rows, strict=True)]
    every = np.concatenate(kept)
    less = table.replace(
        names=tuple(map(str, rows)),
        swatch=np.repeat(np.arange(len(rows)), [own.size for own in kept]),
        **table.of_rows(every),
        **{name: getattr(table, name)[table.swatch[rows]] for name in OF_THE_SWATCH},
    )
    return replace(problem, swatches=less)


def _errors(model: StrandModel, table: Swatches, rows: NDArray[np.intp], point: Floats) -> Floats:
    """How far each reading is from the curve through the others of its swatch [dE00]."""
    asked = model.problem.swatches.replace(
        swatch=np.arange(len(rows)),
        **table.of_rows(rows),
    )
    own = model.from_afar(point[None])
    lab = model.predict(model.strands(point[None], own[None]), asked)[0]
    return delta_e_2000(lab, table.lab[rows])
