"""Profile intervals: how far a parameter can go before the data object."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats, check_range
from lift.research.tuning.fitting import Fit, Residuals, Sparsity, fit, misfit_of


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
        See `lift.research.tuning.fitting.Residuals`.
    found : Fit
        The solution.
    column : int
        Which parameter.
    coverage : float
        Probability that the interval holds the truth [-], 0.01 to 0.999.
    degrees : int, optional
        Degrees of freedom of Student's t; default: the fit's.
    sparsity : Sparsity, optional
        See `lift.research.tuning.fitting.jacobian`.

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
