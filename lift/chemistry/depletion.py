"""How a mixture weakens with time."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_range


def strength_left(minutes: ArrayLike, fade_minutes: ArrayLike) -> Floats:
    """Strength left of a mixture, per strength at the start: ``exp(-t / tau)``.

    Parameters
    ----------
    minutes : array_like
        Time since mixing [min].
    fade_minutes : array_like
        Time constant [min], above 0; infinity: it never weakens.

    Returns
    -------
    numpy.ndarray
        Fraction, 0 to 1, broadcast shape.
    """
    return np.asarray(np.exp(-np.asarray(minutes) / np.asarray(fade_minutes)))


def fit_fade(minutes: ArrayLike, strength: ArrayLike) -> tuple[float, float, float]:
    """Fit an exponential to measured strengths, by least squares.

    A bath of 6 % H2O2 at 32 C and pH 9.4 to 9.5 (J. Soc. Cosmet. Chem. 12(3), 1961, Table 1)
    gives about 700 min. A bath is large against the hair in it; the thin film on a
    head dries and is spent far sooner, so a fade time for the head is not to be read from it.

    Parameters
    ----------
    minutes : array_like
        Times [min], shape (n,), n >= 3, 0 to 1e6, not all equal.
    strength : array_like
        Strength at those times, above 0, any unit, shape (n,).

    Returns
    -------
    fade_minutes, initial, rms : float
        Time constant [min], strength at time 0 and root mean square residual, both in the
        unit of `strength`.

    Raises
    ------
    LiftError
        For a value out of range, too few points, or strengths that do not fall.
    """
    time = check_range("chemistry.time", minutes, 0.0, 1e6, "min")
    seen = check_range("chemistry.strength", strength, 1e-12, 1e12)
    if time.ndim != 1 or time.shape != seen.shape or time.size < 3 or np.ptp(time) == 0.0:
        raise LiftError("chemistry.too_few", times=time.size, strengths=seen.size)
    slope, log_initial = np.polyfit(time, np.log(seen), 1)
    if not slope * np.ptp(time) < -1e-9:  # rounding alone can tilt a constant
        raise LiftError("chemistry.no_fade")

    from scipy.optimize import least_squares

    def residuals(parameters: Any) -> Any:
        # Logarithms keep both parameters positive and of one size, whatever the units.
        return np.exp(parameters[0] - np.exp(-parameters[1]) * time) - seen

    start = [log_initial, -np.log(-slope)]
    fit = least_squares(residuals, start, x_scale="jac", xtol=1e-12, ftol=1e-12, gtol=1e-12)
    initial, fade = np.exp(fit.x)
    return float(fade), float(initial), float(np.sqrt(np.mean(fit.fun**2)))
