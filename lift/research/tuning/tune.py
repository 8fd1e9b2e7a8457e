"""Tuning: stage curves fitted to measured swatches, and how well they are then known."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lift.errors import Floats, LiftError, check_number
from lift.model.course import STANDARD, Structure
from lift.model.curves import CurveSet, default_curves
from lift.optics.colorimetry import delta_e_2000
from lift.research.swatches.table import Swatches
from lift.research.tuning.fitting import Fit, one_thread
from lift.research.tuning.held_out import HeldOut, leave_out
from lift.research.tuning.intervals import Interval, profile_interval
from lift.research.tuning.problem import FREE, Problem, Tie
from lift.research.tuning.variance import FEWEST, LEAST_SPREAD, aicc_of, fit_problem, fit_variances

COVERAGE = 0.9
STARTS = 4
SCREENED = 64

Progress = Callable[[str, int, int], None]
"""Told what is done: name of the step, how many, out of how many."""


@dataclass(frozen=True)
class Estimate:
    """One fitted parameter.

    Parameters
    ----------
    name, unit : str
        As in the curve set.
    value, before : float
        Fitted value and where the fit started.
    standard_error : float
        From the curvature at the solution; infinite when not determined.
    jackknife_error : float or None
        From the fits without each swatch; larger where swatches differ in what the model does not
        have. None when no swatch was left out.
    low, high : float
        Profile interval; a bound of the parameter where it is open.
    low_open, high_open : bool
        Whether the data allow every value down (up) to the bound.
    at_bound : bool
        Whether the value sits at a bound.
    unmoved : bool
        Whether no reading depends on it; it then stays where it was.
    """

    name: str
    unit: str
    value: float
    before: float
    standard_error: float
    jackknife_error: float | None
    low: float
    high: float
    low_open: bool
    high_open: bool
    at_bound: bool
    unmoved: bool

    @property
    def determined(self) -> bool:
        """Whether the data bound it on both sides."""
        return not (self.low_open or self.high_open or self.at_bound or self.unmoved)

    @property
    def verdict(self) -> str:
        """What the data say of it, in a few words."""
        if self.unmoved:
            return "no reading depends on it"
        if self.low_open and self.high_open:
            return "not determined by these data"
        if self.at_bound:
            return "at its bound"
        if self.low_open or self.high_open:
            return f"no {'lower' if self.low_open else 'upper'} end within its range"
        return "determined"


@dataclass(frozen=True, eq=False)
class Tuning:
    """Result of a tuning.

    Parameters
    ----------
    problem : Problem
        What was fitted to what, with the spread of the rates and the scatter that were found.
    fit : Fit
        Solution over free parameters, starting levels and rates of the swatches.
    estimates : tuple of Estimate
        The free parameters, in order.
    coverage : float
        Of the profile intervals [-].
    tried, agreed : int
        Starts tried, and how many of them ended at the least misfit.
    difference : numpy.ndarray
        dE00 between reading and fit, shape (rows,).
    difference_before : numpy.ndarray
        The same with the curve set that the fit started from, its starting levels fitted.
    held_out : HeldOut or None
        Prediction of swatches left out; None when not asked for or with fewer than 3 swatches.
    """

    problem: Problem
    fit: Fit
    estimates: tuple[Estimate, ...]
    coverage: float
    tried: int
    agreed: int
    difference: Floats
    difference_before: Floats
    held_out: HeldOut | None

    @property
    def converged(self) -> bool:
        """Whether the best start met a tolerance."""
        return self.fit.converged

    @property
    def starts(self) -> Floats:
        """Fitted starting level of each swatch [-], shape (swatches,)."""
        return self.problem.split(self.fit.x)[1]

    @property
    def correlations(self) -> Floats:
        """Correlations of the free parameters, shape (free, free)."""
        count = len(self.problem.free)
        return self.fit.correlations[:count, :count]

    @property
    def rates(self) -> Floats:
        """Rate of each swatch over the common one [-], shape (swatches,)."""
        _, starts, deviates = self.problem.split(self.fit.x)
        if deviates.size == 0:
            return np.ones(starts.shape)
        return np.exp(self.problem.rate_spread * deviates)

    @property
    def spread(self) -> float | None:
        """Spread of the logarithm of the rate between swatches [-]; None where not estimated."""
        enough = len(self.problem.swatches.names) >= FEWEST
        return self.problem.rate_spread if enough and self.problem.rate_spread > 0.0 else None

    @property
    def aicc(self) -> float:
        """Akaike's criterion for small samples; only differences between fits count."""
        return aicc_of(self.problem, self.fit)

    def per_swatch(self, values: Floats) -> Floats:
        """Mean of a value per row over each swatch, shape (swatches,)."""
        index = self.problem.swatches.swatch
        return np.asarray(np.bincount(index, weights=values) / np.bincount(index))


def tune(
    swatches: Swatches,
    curves: CurveSet | None = None,
    free: Sequence[str] = FREE,
    ties: Sequence[Tie] = (),
    *,
    structure: Structure = STANDARD,
    loss: str = "soft_l1",
    own_rates: bool = True,
    starts: int = STARTS,
    seed: int = 1,
    coverage: float = COVERAGE,
    leave_swatches_out: bool = True,
    progress: Progress | None = None,
) -> Tuning:
    """Fit chosen parameters of a curve set to measured swatches.

    Every swatch has its own starting level, a nuisance that its readings and, where one is given,
    the level judged by eye decide. It may also have its own rate: strands differ, and a fit that
    does not know it takes what is one swatch's for what is everyone's. How much they differ is
    estimated too, from 4 swatches on.

    Parameters
    ----------
    swatches : Swatches
        Readings.
    curves : CurveSet, optional
        Where the fit starts, and all that is not free; default: the shipped set.
    free, ties : sequence
        What varies; see `Problem`.
    structure : Structure
        Which physics to use.
    loss : str
        ``soft_l1`` (robust) or ``linear`` (squares).
    own_rates : bool
        Whether swatches may differ in rate.
    starts : int
        Starts, 1 to 50: the curve set's values, then the best of a Latin hypercube over the
        ranges of the parameters.
    seed : int
        Seed of that hypercube.
    coverage : float
        Of the profile intervals [-], 0.01 to 0.999.
    leave_swatches_out : bool
        Whether to fit anew without each swatch and predict it.
    progress : callable, optional
        See `Progress`.

    Returns
    -------
    Tuning

    Raises
    ------
    LiftError
        For an unknown or unfit parameter, or with fewer readings than unknowns.
    """
    say = progress or (lambda step, done, of: None)
    curves = curves or default_curves()
    spread = max(float(curves.values["rate_log_sd"]), LEAST_SPREAD) if own_rates else 0.0
    problem = Problem(swatches, curves, free, ties, structure, rate_spread=spread)
    unknowns = len(problem.free) + len(swatches.names)
    if 3 * len(swatches) <= unknowns:
        raise LiftError(
            f"{len(swatches)} readings cannot decide {unknowns} unknowns "
            f"({len(problem.free)} parameters, {len(swatches.names)} starting levels)"
        )
    many = int(check_number("starts", starts, 1, 50))
    with one_thread():
        return _tune(problem, loss, many, seed, coverage, leave_swatches_out, say)


def _tune(
    problem: Problem,
    loss: str,
    starts: int,
    seed: int,
    coverage: float,
    leave_swatches_out: bool,
    say: Progress,
) -> Tuning:
    swatches = problem.swatches
    ends = []
    points = start_points(problem, starts, seed)
    for number, point in enumerate(points):
        ends.append(fit_problem(problem, point, loss))
        say("fitting", number + 1, len(points))
    least = min(end.misfit for end in ends)
    agreed = sum(end.misfit <= least * 1.001 + 1e-9 for end in ends)
    problem, best = fit_variances(problem, ends, loss)
    best, intervals = _profiles(problem, best, coverage, say)
    best = _keep_unmoved(problem, best)
    held_out = None
    if leave_swatches_out and len(swatches.names) >= 3:
        held_out = leave_out(problem, best, loss, say)
    unfitted = replace(problem, free=(), ties=())
    before = fit_problem(unfitted, unfitted.start, loss)
    return Tuning(
        problem=problem,
        fit=best,
        estimates=_estimates(problem, best, intervals, held_out),
        coverage=coverage,
        tried=len(points),
        agreed=agreed,
        difference=delta_e_2000(problem.predict(best.x), swatches.lab),
        difference_before=delta_e_2000(unfitted.predict(before.x), swatches.lab),
        held_out=held_out,
    )


def start_points(problem: Problem, count: int, seed: int) -> list[Floats]:
    """The curve set's own values, then the best of a Latin hypercube."""
    points = [problem.start]
    free = len(problem.free)
    if count == 1 or free == 0:
        return points
    from scipy.stats import qmc

    low, high = (bound[:free] for bound in problem.bounds)
    cube = qmc.LatinHypercube(free, rng=np.random.default_rng(seed)).random(SCREENED)
    tried = np.tile(problem.start, (SCREENED, 1))
    tried[:, :free] = low + cube * (high - low)
    # Absolute values, because far points are all bad: what counts is how many colours are near.
    order = np.argsort(np.abs(problem.residuals(tried)).sum(axis=1), kind="stable")
    return points + [tried[i] for i in order[: count - 1]]


def _profiles(
    problem: Problem, best: Fit, coverage: float, say: Progress
) -> tuple[Fit, list[Interval]]:
    """Profile intervals; a better fit met on the way is taken up, once."""
    degrees = best.degrees
    if problem.rate_spread > 2.0 * LEAST_SPREAD:
        # Where swatches differ, they count, not their readings.
        degrees = max(len(problem.swatches.names) - 1, 1)
    for again in (True, False):
        intervals: list[Interval] = []
        for column in range(len(problem.free)):
            intervals.append(
                profile_interval(
                    problem.residuals,
                    best,
                    column,
                    coverage=coverage,
                    degrees=degrees,
                    sparsity=problem.sparsity,
                )
            )
            say("intervals", column + 1, len(problem.free))
        better = [i.better for i in intervals if i.better is not None]
        if not better or not again:
            break
        found = min(
            (fit_problem(problem, x, best.loss) for x in better), key=lambda end: end.misfit
        )
        if found.misfit >= best.misfit * (1.0 - 1e-6):
            break
        best = found
    return best, intervals


def _keep_unmoved(problem: Problem, best: Fit) -> Fit:
    """Put parameters that no reading depends on back to where they were."""
    moved = np.any(best.jacobian != 0.0, axis=0)
    return replace(best, x=np.where(moved, best.x, problem.start))


def _estimates(
    problem: Problem, best: Fit, intervals: list[Interval], held_out: HeldOut | None
) -> tuple[Estimate, ...]:
    errors, bounds = best.standard_errors, best.at_bound
    jackknife = None if held_out is None else held_out.jackknife_errors
    return tuple(
        Estimate(
            name=parameter.name,
            unit=parameter.unit,
            value=float(best.x[i]),
            before=parameter.value,
            standard_error=float(errors[i]),
            jackknife_error=None if jackknife is None else float(jackknife[i]),
            low=intervals[i].low,
            high=intervals[i].high,
            low_open=intervals[i].low_open,
            high_open=intervals[i].high_open,
            at_bound=bool(bounds[i]),
            unmoved=not np.any(best.jacobian[:, i]),
        )
        for i, parameter in enumerate(problem.parameters)
    )
