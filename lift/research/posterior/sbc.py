"""Simulation-based calibration: whether intervals are as wide as they say.

Each laboratory is invented from the prior: parameters, starting levels, rates and scatter are
drawn, swatches are measured, and the posterior is sampled as for a real laboratory. If all is
right, the rank of each true value among its draws is uniform (Talts, Betancourt, Simpson, Vehtari
& Gelman 2018, arXiv:1804.06788; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats, LiftError, check_number
from lift.model.curves import CurveSet, default_curves
from lift.quantities import check_seed
from lift.research.posterior.bayes import KEPT, WANTED
from lift.research.posterior.misfit import SCALES
from lift.research.posterior.mode import find_mode, one_thread
from lift.research.posterior.problem import FREE, Problem
from lift.research.posterior.sampling import explore
from lift.research.posterior.strands import StrandModel, Strands
from lift.research.swatches.forward import predict
from lift.research.swatches.generate import design
from lift.research.swatches.table import Swatches
from lift.results import Result

LABORATORIES = 1500
"""So many that chance alone moves a right sampler's coverage by 0.8 %: a quarter of what is
tolerated. With 600 it is 1.2 %, and of fourteen quantities one is then easily off by 3 %."""

DRAWS = 99
BINS = 20
SEED = 1
COVERAGE = 0.9
MOST_TRIES = 100

PREDICTED = ("predicted_L", "predicted_a", "predicted_b")
"""Level 5 after 35 min of cream, 20 vol, at the common rate."""

FIRST_LEVEL, FIRST_RATE = "first_level", "first_rate"


@dataclass(frozen=True, eq=False, repr=False)
class RankCheck(Result):
    """Ranks and coverage over many invented laboratories.

    Parameters
    ----------
    names : tuple of str
        Quantities: the parameters, then a prediction in L*, a*, b*, then the first swatch's
        starting level.
    ranks : numpy.ndarray of int
        Draws below the truth, 0 to `DRAWS`, shape (laboratories, quantities).
    inside : numpy.ndarray of bool
        Whether the 90 % interval holds the truth, same shape.
    effective : numpy.ndarray
        Effective number of draws of each laboratory, shape (laboratories,).
    seed : int
        Seed.
    """

    names: tuple[str, ...]
    ranks: NDArray[np.intp]
    inside: NDArray[np.bool_]
    effective: Floats
    seed: int

    @property
    def laboratories(self) -> int:
        """How many laboratories."""
        return len(self.ranks)

    @property
    def histograms(self) -> Floats:
        """Laboratories in each bin of ranks, shape (quantities, bins)."""
        width = (DRAWS + 1) // BINS
        return np.array([np.bincount(r // width, minlength=BINS) for r in self.ranks.T], float)

    @property
    def p_values(self) -> Floats:
        """Chi-square probability of ranks as uneven as these by chance, shape (quantities,)."""
        from scipy.stats import chisquare

        return np.asarray(chisquare(self.histograms, axis=1).pvalue)

    @property
    def coverage(self) -> Floats:
        """Share of 90 % intervals that hold the truth [-], shape (quantities,)."""
        return np.asarray(self.inside.mean(axis=0))

    @property
    def passed(self) -> bool:
        """Whether every p-value exceeds 0.01 and every coverage lies in 0.87 to 0.93."""
        near = np.abs(self.coverage - COVERAGE) <= 0.03 + 1e-9
        return bool(np.all(self.p_values > 0.01) and np.all(near))


def small_laboratory() -> Swatches:
    """Conditions of each invented laboratory: five swatches, four times."""
    return design(5, minutes=(0.0, 10.0, 20.0, 40.0))


def check_calibration(
    laboratories: int = LABORATORIES,
    *,
    seed: int = SEED,
    free: Sequence[str] = FREE,
    curves: CurveSet | None = None,
    conditions: Swatches | None = None,
    processes: int = 2,
    distort: float = 1.0,
    progress: Callable[[float], None] | None = None,
) -> RankCheck:
    """Invent laboratories, sample each posterior, and rank the truth.

    Parameters
    ----------
    laboratories : int
        How many, 20 to 100000; at least 200 for a verdict.
    seed : int
        Seed; the same seed gives the same ranks, whatever the number of processes.
    free : sequence of str
        Free parameters.
    curves : CurveSet, optional
        Centre of the priors; default: the shipped set.
    conditions : Swatches, optional
        What each laboratory measures; default `small_laboratory`.
    processes : int
        Processes to share the work, 1 to 64.
    distort : float
        Factor on the scatter that the sampler is told [-], 0.1 to 10; anything but 1 is wrong on
        purpose and must be found out.
    progress : callable, optional
        Told the share done [-], 0 to 1.

    Returns
    -------
    RankCheck

    Raises
    ------
    LiftError
        For a value out of range.

    Examples
    --------
    >>> check_calibration(300).laboratories  # doctest: +SKIP
    300
    """
    count = int(check_number("name.laboratories", laboratories, 20, 100_000))
    workers = int(check_number("name.processes", processes, 1, 64))
    check_number("name.distortion", distort, 0.1, 10.0)
    table = conditions or small_laboratory()
    model = StrandModel(Problem(table, curves or default_curves(), free))
    seeds = np.random.SeedSequence(check_seed(seed)).spawn(count)
    job = partial(_one_laboratory, model, distort)
    results = []
    if workers == 1:
        for own in seeds:
            results.append(job(own))
            _tell(progress, len(results) / count)
    else:
        with ProcessPoolExecutor(workers) as pool:
            for result in pool.map(job, seeds, chunksize=4):
                results.append(result)
                _tell(progress, len(results) / count)
    ranks, inside, effective = (np.array(part) for part in zip(*results, strict=True))
    misfits = (p.name for p in SCALES)
    names = (*model.names, *misfits, *PREDICTED, FIRST_LEVEL, FIRST_RATE)
    return RankCheck(names, ranks, inside, effective, seed)


def _one_laboratory(
    model: StrandModel, distort: float, seed: np.random.SeedSequence
) -> tuple[NDArray[np.intp], NDArray[np.bool_], float]:
    random = np.random.default_rng(seed)
    truth, measured = _measured(model, random)
    told = measured.replace(scatter=tuple(distort * s for s in measured.scatter))
    found = StrandModel(replace(model.problem, swatches=told))
    with one_thread():
        mode = find_mode(found)
        draws = explore(
            mode.log_density,
            mode.point,
            mode.covariance,
            seed=int(random.integers(2**32)),
            wanted=WANTED,
            most=200,
            climb=mode.climb,
        )
    points, _ = draws.kept(KEPT, random)
    _, own = found.log_likelihood(points, mode.own_at(points))
    numbers = _quantities(found, found.strands(points, own.draw(random)))
    true = _quantities(model, truth)[0]
    # Between these two of so few draws the next one lies with the chance that is asked; the usual
    # quantiles are 1 % of it too narrow.
    ends = [(1.0 - COVERAGE) / 2.0, (1.0 + COVERAGE) / 2.0]
    low, high = np.quantile(numbers, ends, axis=0, method="weibull")
    few = numbers[:DRAWS]
    return np.sum(few < true, axis=0), (low <= true) & (true <= high), draws.effective


def _measured(model: StrandModel, random: np.random.Generator) -> tuple[Strands, Swatches]:
    """Truth, and what is measured of it.

    Scatter and misfit have tails in which no colour lies. Such a laboratory is invented anew, truth
    and all: among those that are left, ranks are as uniform.
    """
    for _ in range(MOST_TRIES):
        truth = model.draw_prior(random)
        with suppress(LiftError):
            return truth, model.measure(truth, random)
    raise LiftError("laboratory.no_colour")


def _quantities(model: StrandModel, drawn: Strands) -> Floats:
    """What is ranked, shape (points, quantities)."""
    problem = model.problem
    at = np.array([5.0])
    asked = Swatches(
        names=("asked",),
        level=at,
        swatch=np.zeros(1, int),
        kind=("cream",),
        volume=20.0,
        minutes=35.0,
        lab=np.zeros((1, 3)),
    )
    lab = predict(asked, problem.values(drawn.theta), at, problem.structure)
    lab = np.broadcast_to(lab, (len(drawn.theta), 1, 3))[:, 0]
    spread = drawn.spread[:, None]
    own = [drawn.starts[:, :1], np.log(drawn.rates[:, :1])]
    return np.concatenate([drawn.theta, spread, drawn.misfit, lab, *own], axis=1)


def _tell(progress: Callable[[float], None] | None, share: float) -> None:
    if progress is not None:
        progress(share)
