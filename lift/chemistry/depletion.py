"""How a mixture weakens with time."""

from __future__ import annotations

from collections.abc import Callable
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


def second_order_left(minutes: ArrayLike, strength: ArrayLike, loss: ArrayLike) -> Floats:
    """Strength left where peroxide meets peroxide, per strength at the start: ``1/(1 + k c t)``.

    That is ``1/c = 1/c0 + k t``, by which a bath on hair weakened (J. Soc. Cosmet. Chem. 12(3),
    1961, Table 1); an exponential misses it.

    Parameters
    ----------
    minutes : array_like
        Time since mixing [min].
    strength : array_like
        Strength at the start, any unit.
    loss : array_like
        Constant of the loss [1/(unit of strength min)], 0 or more.

    Returns
    -------
    numpy.ndarray
        Fraction, 0 to 1, broadcast shape.
    """
    return np.asarray(1.0 / (1.0 + np.asarray(loss) * np.asarray(strength) * np.asarray(minutes)))


def fit_fade(minutes: ArrayLike, strength: ArrayLike) -> tuple[float, float, float]:
    """Fit an exponential to measured strengths, by least squares.

    A bath is large against the hair in it; the thin film on a head dries and is spent far sooner,
    so a fade time for the head is not to be read from it.

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
    time, seen = _measured(minutes, strength)
    slope, log_initial = np.polyfit(time, np.log(seen), 1)
    start = [log_initial, -np.log(-slope)]
    initial, fade, rms = _fit(lambda t, c, tau: c * strength_left(t, tau), start, time, seen)
    return fade, initial, rms


def fit_loss(minutes: ArrayLike, strength: ArrayLike) -> tuple[float, float, float]:
    """Fit a loss of second order to measured strengths, by least squares.

    Parameters
    ----------
    minutes, strength : array_like
        As `lift.chemistry.depletion.fit_fade` takes them.

    Returns
    -------
    loss, initial, rms : float
        Constant [1/(unit of `strength` min)], strength at time 0 and root mean square residual,
        both in the unit of `strength`.

    Raises
    ------
    LiftError
        As `fit_fade` does.
    """
    time, seen = _measured(minutes, strength)
    slope = max(float(np.polyfit(time, 1.0 / seen, 1)[0]), 1e-12)
    start = [np.log(seen[np.argmin(time)]), np.log(slope)]
    initial, loss, rms = _fit(lambda t, c, k: c * second_order_left(t, c, k), start, time, seen)
    return loss, initial, rms


def _measured(minutes: ArrayLike, strength: ArrayLike) -> tuple[Floats, Floats]:
    time = check_range("chemistry.time", minutes, 0.0, 1e6, "min")
    seen = check_range("chemistry.strength", strength, 1e-12, 1e12)
    if time.ndim != 1 or time.shape != seen.shape or time.size < 3 or np.ptp(time) == 0.0:
        raise LiftError("chemistry.too_few", times=time.size, strengths=seen.size)
    slope, _ = np.polyfit(time, np.log(seen), 1)
    if not slope * np.ptp(time) < -1e-9:  # rounding alone can tilt a constant
        raise LiftError("chemistry.no_fade")
    return time, seen


def _fit(
    law: Callable[[Floats, Any, Any], Floats], start: list[float], time: Floats, seen: Floats
) -> tuple[float, float, float]:
    from scipy.optimize import least_squares

    def residuals(logs: Any) -> Any:
        # Logarithms keep both parameters positive and of one size, whatever the units.
        return law(time, *np.exp(logs)) - seen

    fit = least_squares(residuals, start, x_scale="jac", xtol=1e-12, ftol=1e-12, gtol=1e-12)
    initial, constant = np.exp(fit.x)
    return float(initial), float(constant), float(np.sqrt(np.mean(fit.fun**2)))
