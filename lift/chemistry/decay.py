"""First-order decay, and the chain of two decays, in closed form."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats


def mean_decay(exposure: Floats, out: Floats | None = None) -> Floats:
    """Mean of ``e^-x`` for x from 0 to an exposure: ``(1 - e^-exposure) / exposure``.

    Parameters
    ----------
    exposure : numpy.ndarray
        Rate constant times dose [-], >= 0; overwritten when `out` is given.
    out : numpy.ndarray, optional
        Where to put the result, same shape.

    Returns
    -------
    numpy.ndarray
        Fraction, 0 to 1; 1 at exposure 0.
    """
    spare = None if out is None else exposure
    # 1e-300 stands for 0: the quotient is then exactly 1.
    passed = np.minimum(np.negative(exposure, out=spare), -1e-300, out=spare)
    return np.asarray(np.divide(np.expm1(passed, out=out), passed, out=out))


def exponential_slope(first: Floats, second: Floats) -> Floats:
    """Mean fall of ``e^-x`` between two exposures, ``(e^-first - e^-second) / (second - first)``.

    Every chain of two first-order steps comes down to it. Counted from the smaller of the two
    it neither cancels nor divides by zero where they meet.

    Parameters
    ----------
    first, second : numpy.ndarray
        Exposures [-], >= 0, broadcasting.

    Returns
    -------
    numpy.ndarray
        Fall per exposure, 0 to 1; ``e^-x`` where both are x.
    """
    return np.exp(-np.minimum(first, second)) * mean_decay(np.abs(second - first))


def two_step_intermediate(first: ArrayLike, second: ArrayLike) -> Floats:
    """Amount of B in the chain A -> B -> gone, per amount of A at the start.

    ``k1 / (k2 - k1) (e^-k1 u - e^-k2 u)`` (Bateman 1910), with its limit at equal rates.

    Parameters
    ----------
    first, second : array_like
        Exposure to each step, rate constant times dose [-], >= 0, broadcasting.

    Returns
    -------
    numpy.ndarray
        Fraction, 0 to 1, broadcast shape; A itself is ``e^-first``.
    """
    made, lost = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    return np.asarray(made * exponential_slope(made, lost))
