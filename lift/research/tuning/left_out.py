"""Prediction of swatches that the fit has not seen."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats
from lift.model.curves import default_curves
from lift.optics.colorimetry import delta_e_2000
from lift.research.posterior.bayes import Posterior
from lift.research.posterior.mode import Mode, find_mode
from lift.research.posterior.problem import Problem
from lift.research.posterior.proposal import Proposal
from lift.research.posterior.sampling import PARETO_LIMIT, pareto_smoothed
from lift.research.posterior.settings import Settings
from lift.research.posterior.strands import StrandModel
from lift.research.swatches.table import Swatches
from lift.results import Result

LOOKS = 6

DRAWS, PROPOSED = 50, 400
"""Draws without each swatch that are kept, and those that they are of after a fit without it."""


@dataclass(frozen=True, eq=False, repr=False)
class HeldOut(Result):
    """Errors on swatches left out, with their starting levels from their earliest readings alone.

    Parameters
    ----------
    rows : numpy.ndarray of int
        Rows that were predicted: all but each swatch's earliest reading, shape (n,).
    tuned, default : numpy.ndarray
        dE00 of the curves tuned without that swatch, and of the shipped set, shape (n,).
    pareto_k : numpy.ndarray
        How much the draws depend on each swatch: Pareto's shape [-], shape (swatches,).
    draws : numpy.ndarray
        Coordinates as the others alone tell them, shape (swatches, `DRAWS`, coordinates).
    points, moved : numpy.ndarray
        Their mean, and how far that is from where all swatches have it, shapes (swatches,
        coordinates).
    refitted, failed : int
        How many had to be fitted anew without the swatch, and how many of those did not converge.
    """

    rows: NDArray[np.intp]
    tuned: Floats
    default: Floats
    pareto_k: Floats
    draws: Floats
    points: Floats
    moved: Floats
    refitted: int
    failed: int

    @property
    def better(self) -> bool:
        """Whether tuned curves predict unseen swatches better than the shipped set, on average."""
        return bool(self.tuned.mean() < self.default.mean())


def leave_out(posterior: Posterior) -> HeldOut:
    """Predict each swatch, of 2 at least, by what the others alone tell.

    Swatches are independent given the parameters, so the draws without one are the draws weighed
    by what it told (Vehtari, Gelman & Gabry 2017, Stat. Comput. 27:1413; from memory). Only where
    these weights are bad is the fit made anew.
    """
    model, mode = posterior.model, posterior.mode
    table = model.problem.swatches
    told, _ = model.log_likelihood(posterior.kept, mode.own_at(posterior.kept))
    middle = posterior.kept.mean(axis=0)
    random = np.random.default_rng(posterior.seed)
    without, moved, draws, shapes, refitted, failed = [], [], [], [], 0, 0
    for swatch, own in enumerate(told.T):
        weights, shape = pareto_smoothed(-own)
        shapes.append(shape)
        if shape < PARETO_LIMIT:
            without.append(np.average(posterior.kept, axis=0, weights=weights))
            moved.append(without[-1] - middle)
            draws.append(posterior.kept[random.choice(len(weights), DRAWS, p=weights)])
            continue
        inside = StrandModel(replace(model.problem, swatches=table.without(swatch)))
        found = find_mode(inside, mode.point, np.delete(mode.own, swatch, axis=0))
        without.append(found.point)
        moved.append(found.point - mode.point)
        draws.append(_drawn(found, random))
        refitted, failed = refitted + 1, failed + (not found.converged)
    rows = np.flatnonzero(~earliest_rows(table))
    points = np.array(without)
    tuned = errors(model.problem, points)
    shipped = Problem(table, default_curves(), (), misfit=False, settings=Settings())
    default = errors(shipped, np.zeros((len(table.names), 1)))
    return HeldOut(
        rows=rows,
        tuned=tuned[rows],
        default=default[rows],
        pareto_k=np.array(shapes),
        draws=np.array(draws),
        points=points,
        moved=np.array(moved),
        refitted=refitted,
        failed=failed,
    )


def _drawn(mode: Mode, random: np.random.Generator) -> Floats:
    """Draws by importance about a top, shape (`DRAWS`, coordinates)."""
    proposal = Proposal.about(mode.point, mode.covariance)
    points = proposal.draw(PROPOSED, random)
    weights, _ = pareto_smoothed(mode.log_density(points) - proposal.log_density(points))
    return np.asarray(points[random.choice(PROPOSED, DRAWS, p=weights)])


def earliest_rows(table: Swatches) -> NDArray[np.bool_]:
    """Whether each row is at its swatch's earliest time, shape (rows,)."""
    first = np.full(len(table.names), np.inf)
    np.minimum.at(first, table.swatch, table.minutes)
    return np.asarray(table.minutes == first[table.swatch])


def errors(problem: Problem, z: Floats) -> Floats:
    """Errors in dE00 of every row by the coordinates of its swatch, shape (rows,).

    The earliest readings decide the starting level; the rate is the common one.
    """
    table = problem.swatches
    first = replace(problem, swatches=table.rows(earliest_rows(table)), own_rates=False)
    model = StrandModel(first)
    z = np.delete(z, len(problem.free), axis=1)[:, : model.dimensions]
    own = model.settle(z, np.tile(model.first, (len(z), 1, 1)), LOOKS).best()
    lab = StrandModel(replace(problem, own_rates=False)).predict(model.strands(z, own), table)
    return delta_e_2000(lab[table.swatch, np.arange(len(table))], table.lab)
