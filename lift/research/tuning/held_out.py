"""Prediction of swatches that the fit has not seen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats
from lift.model.curves import default_curves
from lift.optics.colorimetry import delta_e_2000
from lift.research.swatches.forward import predict
from lift.research.swatches.table import Swatches
from lift.research.tuning.fitting import Fit, fit
from lift.research.tuning.problem import Problem
from lift.research.tuning.variance import fit_problem

MOST_FOLDS = 60
"""Above this many swatches several are left out at once, evenly."""


@dataclass(frozen=True, eq=False)
class HeldOut:
    """Errors on swatches left out, with their starting levels from their earliest readings alone.

    Parameters
    ----------
    rows : numpy.ndarray of int
        Rows that were predicted: all but each swatch's earliest reading, shape (n,).
    tuned, default : numpy.ndarray
        dE00 of the curves tuned without that swatch, and of the shipped set, shape (n,).
    folds : int
        How often the fit was made anew.
    failed : int
        How many of these fits did not converge.
    parameters : numpy.ndarray
        Free parameters of each fit, shape (folds, free).
    """

    rows: NDArray[np.intp]
    tuned: Floats
    default: Floats
    folds: int
    failed: int
    parameters: Floats

    @property
    def jackknife_errors(self) -> Floats:
        """Standard errors of the free parameters from one swatch to another, shape (free,).

        They hold when swatches differ in ways that the model does not have, as strands do; those
        from the curvature do not (Efron & Tibshirani 1993, eq. 11.5; from memory).
        """
        off = self.parameters - self.parameters.mean(axis=0)
        return np.asarray(np.sqrt((self.folds - 1) / self.folds * np.sum(off**2, axis=0)))

    @property
    def better(self) -> bool:
        """Whether tuned curves predict unseen swatches better than the shipped set, on average."""
        return bool(self.tuned.mean() < self.default.mean())


def leave_out(
    problem: Problem, best: Fit, loss: str, say: Callable[[str, int, int], None]
) -> HeldOut:
    """Fit anew without each swatch in turn and predict it.

    Parameters
    ----------
    problem : Problem
        At least 3 swatches.
    best : Fit
        Fit to all of them, where each fit starts.
    loss : str
        Of the fits.
    say : callable
        Told what is done.

    Returns
    -------
    HeldOut
    """
    table = problem.swatches
    count = len(table.names)
    folds = min(count, MOST_FOLDS)
    later = ~earliest_rows(table)
    tuned = np.full(len(table), np.nan)
    failed = 0
    parameters = []
    theta, starts, deviates = problem.split(best.x)
    for fold in range(folds):
        out = np.arange(count) % folds == fold
        inside = replace(problem, swatches=table.rows(~out[table.swatch]))
        kept = deviates[~out] if deviates.size else deviates
        start = np.concatenate([theta, starts[~out], kept])
        found = fit_problem(inside, start, loss, tolerance=1e-7)
        failed += not found.converged
        parameters.append(found.x[: theta.size])
        unseen = out[table.swatch]
        tuned[unseen] = _errors(problem, found.x[: theta.size], table.rows(unseen))
        say("leaving swatches out", fold + 1, folds)
    shipped = Problem(table, default_curves(), ())
    default = _errors(shipped, np.empty(0), table)
    rows = np.flatnonzero(later)
    return HeldOut(rows, tuned[rows], default[rows], folds, failed, np.array(parameters))


def earliest_rows(table: Swatches) -> NDArray[np.bool_]:
    """Whether each row is at its swatch's earliest time, shape (rows,)."""
    first = np.full(len(table.names), np.inf)
    np.minimum.at(first, table.swatch, table.minutes)
    return np.asarray(table.minutes == first[table.swatch])


def _errors(problem: Problem, theta: Floats, unseen: Swatches) -> Floats:
    """Errors in dE00 of every row of `unseen`, whose starting levels their first rows decide."""
    first = unseen.rows(earliest_rows(unseen))
    # Only the starting levels vary: the parameters stay those of the fit, the rate the common one.
    held = replace(problem, swatches=first, rate_spread=0.0)
    alone = replace(held, free=(), ties=())
    values = held.values(theta)

    def residuals(sets: Floats) -> Floats:
        return held.residuals(
            np.concatenate([np.broadcast_to(theta, (len(sets), theta.size)), sets], axis=1)
        )

    found = fit(residuals, alone.start, *alone.bounds, sparsity=alone.sparsity, tolerance=1e-7)
    return delta_e_2000(predict(unseen, values, found.x, problem.structure), unseen.lab)
