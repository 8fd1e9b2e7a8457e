"""Robust least squares with profile intervals: what the posterior engine is held against.

An engine of its own, checked against lmfit and NIST; the optimiser is scipy's, what is added is
the derivative in one call and the uncertainty.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats, check_choice, check_number, check_range

Residuals = Callable[[Floats], Floats]
"""Residuals of parameter vectors: shape (sets, parameters) to (sets, residuals)."""

LOSSES = ("linear", "soft_l1")
BLIND = 1e-8
"""Singular value, over the largest, below which no residual sees a direction."""

STEP = float(np.finfo(float).eps ** (1.0 / 3.0))


@dataclass(frozen=True, eq=False)
class Sparsity:
    """Which residuals each parameter moves.

    Parameters
    ----------
    groups : numpy.ndarray of int
        Parameters of one group move no residual in common, so that one step serves them all,
        shape (parameters,).
    touches : numpy.ndarray of bool
        Shape (residuals, parameters).
    """

    groups: NDArray[np.intp]
    touches: NDArray[np.bool_]

    def without(self, column: int) -> Sparsity:
        """Sparsity when one parameter is held."""
        return Sparsity(np.delete(self.groups, column), np.delete(self.touches, column, axis=1))


@dataclass(frozen=True, eq=False)
class Fit:
    """Least-squares solution.

    Parameters
    ----------
    x : numpy.ndarray
        Solution, shape (parameters,).
    residuals : numpy.ndarray
        Shape (residuals,).
    jacobian : numpy.ndarray
        Derivative of the residuals, shape (residuals, parameters).
    low, high : numpy.ndarray
        Bounds, shape (parameters,).
    loss, knee : str, float
        Loss, and the residual at which it turns from squares towards absolute values.
    converged : bool
        Whether a tolerance was met.
    message : str
        Which one, or why not.
    evaluations : int
        Calls of the residuals.
    """

    x: Floats
    residuals: Floats
    jacobian: Floats
    low: Floats
    high: Floats
    loss: str
    knee: float
    converged: bool
    message: str
    evaluations: int

    @property
    def misfit(self) -> float:
        """What was made small: the sum of squares, or its robust counterpart."""
        return float(misfit_of(self.residuals, self.loss, self.knee))

    @property
    def degrees(self) -> int:
        """Residuals less parameters that the residuals depend on."""
        return self.residuals.size - int(np.any(self.jacobian != 0.0, axis=0).sum())

    @property
    def variance(self) -> float:
        """Unit variance: by how much the scatter exceeds what the residuals were divided by.

        For squares the residual variance; for the robust loss E psi^2 / E psi', which turns its
        curvature and its profile into those of a log likelihood (Huber 1981, from memory).
        """
        influence, slope = self.influence()
        return float((influence @ influence) / max(self.degrees, 1) / slope.mean())

    @cached_property
    def covariance(self) -> Floats:
        """Covariance of the parameters; infinite on the diagonal where not determined."""
        moved, size, _, strength, directions = self._directions
        covariance = np.zeros((self.x.size, self.x.size))
        covariance[~moved, ~moved] = np.inf
        known = strength > BLIND * strength.max(initial=0.0)
        spread = directions[known].T / strength[known]
        inner = self.variance * (spread @ spread.T) / np.outer(size[moved], size[moved])
        # A parameter with a part in a direction that no residual sees is not determined.
        blind = np.any(np.abs(directions[~known]) > 1e-3, axis=0)
        inner[blind, blind] = np.inf
        covariance[np.ix_(moved, moved)] = inner
        return covariance

    @cached_property
    def leverages(self) -> Floats:
        """Share of a parameter that each residual decides, summing to how many are decided."""
        _, _, along, strength, _ = self._directions
        known = strength > BLIND * strength.max(initial=0.0)
        return np.asarray(np.sum(along[:, known] ** 2, axis=1))

    @cached_property
    def _directions(self) -> tuple[NDArray[np.bool_], Floats, Floats, Floats, Floats]:
        """Singular values of the weighted derivative, each column scaled to one length.

        What is then nearly dependent is so in any unit.
        """
        _, slope = self.influence()
        weighted = self.jacobian * np.sqrt(slope)[:, None]
        size = np.linalg.norm(weighted, axis=0)
        moved = size > 0.0
        along, strength, directions = np.linalg.svd(
            weighted[:, moved] / size[moved], full_matrices=False
        )
        return moved, size, along, strength, directions

    @property
    def standard_errors(self) -> Floats:
        """Standard error of each parameter, infinite where not determined."""
        return np.sqrt(np.diag(self.covariance))

    @property
    def correlations(self) -> Floats:
        """Correlation matrix; 0 beside a parameter that is not determined."""
        error = self.standard_errors
        finite = np.isfinite(error)
        scale = np.where(finite & (error > 0.0), error, 1.0)
        matrix = np.where(np.outer(finite, finite), self.covariance, 0.0) / np.outer(scale, scale)
        np.fill_diagonal(matrix, 1.0)
        return np.asarray(matrix)

    @property
    def at_bound(self) -> NDArray[np.bool_]:
        """Whether each parameter sits at one of its bounds."""
        with np.errstate(invalid="ignore"):
            near = 1e-5 * np.where(np.isfinite(self.high - self.low), self.high - self.low, 0.0)
        return np.asarray((self.x - self.low <= near) | (self.high - self.x <= near))

    def influence(self) -> tuple[Floats, Floats]:
        """Derivative psi of half the misfit by each residual, and the slope of psi."""
        if self.loss == "linear":
            return self.residuals, np.ones(self.residuals.size)
        bent = 1.0 + (self.residuals / self.knee) ** 2
        return self.residuals / np.sqrt(bent), bent**-1.5


def misfit_of(residuals: Floats, loss: str = "linear", knee: float = 1.0) -> Floats:
    """Sum of squares of the last axis, or for ``soft_l1`` its robust counterpart."""
    squares = residuals**2
    if loss == "soft_l1":
        squares = 2.0 * knee**2 * (np.sqrt(1.0 + squares / knee**2) - 1.0)
    return np.asarray(squares.sum(axis=-1))


def jacobian(
    residuals: Residuals, x: Floats, low: Floats, high: Floats, sparsity: Sparsity | None = None
) -> Floats:
    """Derivative of the residuals by central differences, all in one call of them.

    Parameters
    ----------
    residuals : callable
        See `Residuals`.
    x, low, high : numpy.ndarray
        Where, and the bounds that no step leaves, shape (parameters,).
    sparsity : Sparsity, optional
        Default: every parameter moves every residual.

    Returns
    -------
    numpy.ndarray
        Shape (residuals, parameters).
    """
    groups = np.arange(x.size) if sparsity is None else sparsity.groups
    width = high - low
    least = np.where(np.isfinite(width), 1e-2 * width, np.where(x == 0.0, 1.0, 0.0))
    step = STEP * np.maximum(np.abs(x), least)
    moved = groups[None, :] == np.unique(groups)[:, None]
    up = np.minimum(x + np.where(moved, step, 0.0), high)
    down = np.maximum(x - np.where(moved, step, 0.0), low)
    both = residuals(np.concatenate([up, down]))
    change = both[: len(up)] - both[len(up) :]
    row = np.searchsorted(np.unique(groups), groups)
    columns = np.arange(x.size)
    slopes = change[row].T / (up - down)[row, columns]
    return slopes if sparsity is None else np.where(sparsity.touches, slopes, 0.0)


def fit(
    residuals: Residuals,
    starts: Sequence[Floats] | Floats,
    low: Floats,
    high: Floats,
    *,
    loss: str = "linear",
    knee: float = 1.0,
    sparsity: Sparsity | None = None,
    tolerance: float = 1e-9,
    most: int = 200,
) -> Fit:
    """Make residuals small within bounds, from one start or from several.

    Parameters
    ----------
    residuals : callable
        See `Residuals`.
    starts : array_like
        Starting vector, shape (parameters,), or several, of which the best end counts.
    low, high : numpy.ndarray
        Bounds, shape (parameters,); infinite ones are allowed.
    loss : str
        ``linear`` (squares) or ``soft_l1`` (robust).
    knee : float
        Residual at which the robust loss turns towards absolute values.
    sparsity : Sparsity, optional
        See `jacobian`.
    tolerance : float
        Relative change of misfit or parameters at which the fit stops.
    most : int
        Most steps from one start.

    Returns
    -------
    Fit

    Raises
    ------
    LiftError
        For an unknown loss or a bad tolerance.
    """
    from scipy.optimize import least_squares

    check_choice("loss", loss, LOSSES)
    check_number("tolerance", tolerance, 3e-16, 0.1)
    best: Any = None
    calls = 0
    for start in np.atleast_2d(np.asarray(starts, dtype=np.float64)):
        # A trial step may overflow and is then taken back; where two parameters cannot be told
        # apart, scipy's step length divides by zero on its way to a finite one.
        with np.errstate(all="ignore"):
            found = least_squares(
                lambda x: residuals(x[None, :])[0],
                np.clip(start, low, high),
                jac=lambda x: jacobian(residuals, x, low, high, sparsity),
                bounds=(low, high),
                loss=loss,
                f_scale=knee,
                x_scale="jac",
                ftol=tolerance,
                xtol=tolerance,
                gtol=tolerance,
                max_nfev=most,
            )
        calls += found.nfev + found.njev
        if best is None or found.cost < best.cost:
            best = found
    return Fit(
        x=best.x,
        residuals=best.fun,
        jacobian=jacobian(residuals, best.x, low, high, sparsity),
        low=low,
        high=high,
        loss=loss,
        knee=knee,
        converged=bool(best.status > 0),
        message=str(best.message),
        evaluations=calls,
    )


@dataclass(frozen=True, eq=False)
class Interval:
    """Profile interval of one parameter.

    Parameters
    ----------
    low, high : float
        Ends, in the parameter's unit; a bound where `low_open` or `high_open`.
    low_open, high_open : bool
        Whether the data allow every value down (up) to the bound.
    better : numpy.ndarray or None
        Parameter vector with a smaller misfit than the fit's, if one was met on the way.
    """

    low: float
    high: float
    low_open: bool
    high_open: bool
    better: Floats | None = None

    @property
    def open(self) -> bool:
        """Whether the data allow every value of the range: the parameter is not determined."""
        return self.low_open and self.high_open


def profile_interval(
    residuals: Residuals,
    found: Fit,
    column: int,
    *,
    coverage: float = 0.9,
    degrees: int | None = None,
    sparsity: Sparsity | None = None,
) -> Interval:
    """Interval within which the misfit, minimised over all else, stays acceptable.

    The ends are where ``sqrt((misfit - least misfit) / unit variance)`` equals Student's t of the
    coverage; for a linear model and squares this is the usual interval.

    Parameters
    ----------
    residuals : callable
        See `Residuals`.
    found : Fit
        The solution.
    column : int
        Which parameter.
    coverage : float
        Probability that the interval holds the truth [-], 0.01 to 0.999.
    degrees : int, optional
        Degrees of freedom of Student's t; default: the fit's.
    sparsity : Sparsity, optional
        See `jacobian`.

    Returns
    -------
    Interval

    Raises
    ------
    LiftError
        For a coverage out of range.
    """
    from scipy.stats import t

    level = float(check_range("coverage", coverage, 0.01, 0.999))
    wanted = float(t.ppf(0.5 + level / 2.0, degrees or max(found.degrees, 1)))
    profile = _Profile(residuals, found, column, sparsity)
    low, low_open = _end(profile, -1.0, wanted)
    high, high_open = _end(profile, 1.0, wanted)
    return Interval(low, high, low_open, high_open, profile.better)


class _Profile:
    """Root of the misfit's excess with one parameter held, fitted anew over the others."""

    def __init__(
        self, residuals: Residuals, found: Fit, column: int, sparsity: Sparsity | None
    ) -> None:
        self.residuals, self.found, self.column = residuals, found, column
        self.sparsity = None if sparsity is None else sparsity.without(column)
        self.best = found.x[column]
        self.error = float(found.standard_errors[column])
        # Others go along with the held one, to first order.
        along = np.zeros(found.x.size)
        if np.isfinite(self.error) and self.error > 0.0:
            along = found.covariance[:, column] / self.error**2
        self.along = along
        self.known = [found.x]
        self.roots = {float(self.best): 0.0}
        self.better: Floats | None = None

    def at(self, value: float) -> float:
        """Return the root of the excess misfit [standard errors, roughly], >= 0."""
        if value not in self.roots:
            self.roots[value] = self._root(value)
        return self.roots[value]

    def _root(self, value: float) -> float:
        found, column = self.found, self.column
        nearest = min(self.known, key=lambda x: abs(x[column] - value))
        full = nearest + self.along * (value - nearest[column])
        full = np.clip(full, found.low, found.high)
        full[column] = value
        if full.size > 1:
            others: Any = np.arange(full.size) != column

            def with_others(sets: Floats) -> Floats:
                return self.residuals(np.insert(sets, column, value, axis=1))

            full[others] = fit(
                with_others,
                full[others],
                found.low[others],
                found.high[others],
                loss=found.loss,
                knee=found.knee,
                sparsity=self.sparsity,
                tolerance=1e-6,
                most=50,
            ).x
            self.known.append(full)
        misfit = float(misfit_of(self.residuals(full[None, :])[0], found.loss, found.knee))
        if misfit < found.misfit * (1.0 - 1e-6) - 1e-9:
            self.better = full.copy()
        return float(np.sqrt(max(misfit - found.misfit, 0.0) / found.variance))


def _end(profile: _Profile, side: float, wanted: float) -> tuple[float, bool]:
    """One end of the interval, and whether the bound came first."""
    from scipy.optimize import brentq

    found, best = profile.found, profile.best
    bound = float((found.low if side < 0.0 else found.high)[profile.column])
    if best == bound:
        return bound, True
    step = profile.error * wanted
    near, reach = best, best + side * step
    for _ in range(30):
        if not side * reach < side * bound:
            reach = bound
        if profile.at(reach) >= wanted:
            break
        if reach == bound:
            return bound, True
        near, step = reach, 2.0 * step
        reach = best + side * step
    else:
        return bound, True
    end = brentq(
        lambda value: profile.at(value) - wanted,
        near,
        reach,
        xtol=1e-3 * abs(reach - best),
        rtol=1e-10,
    )
    return float(end), False
