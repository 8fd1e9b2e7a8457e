"""Top of a density, and its curvature there: Laplace's approximation."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from lift.errors import Floats

LogDensity = Callable[[Floats], Floats]
"""Log density of points: shape (points, dimensions) to (points,)."""

_STEP = 1e-4
_CURVE_STEP = 1e-3
_AT_ONCE = 500


@dataclass(frozen=True, eq=False)
class Mode:
    """Top of a density and its curvature there.

    Parameters
    ----------
    point : numpy.ndarray
        Shape (dimensions,).
    covariance : numpy.ndarray
        Inverse of the curvature, shape (dimensions, dimensions).
    """

    point: Floats
    covariance: Floats


def find_mode(log_density: LogDensity, start: Floats) -> Mode:
    """Climb to the top of a density and take its curvature.

    Parameters
    ----------
    log_density : callable
        See `LogDensity`; smooth, with a scale near 1 in every dimension.
    start : numpy.ndarray
        Shape (dimensions,).

    Returns
    -------
    Mode
        With a covariance that is positive definite even where the curvature is not.
    """
    from scipy.optimize import minimize

    def finite(points: Floats) -> Floats:
        return np.maximum(log_density(points), -1e12)

    found = minimize(
        lambda x: -float(finite(x[None, :])[0]),
        start,
        jac=lambda x: -_gradient(finite, x),
        method="BFGS",
        options={"gtol": 1e-2, "maxiter": 400},
    )
    strength, directions = np.linalg.eigh(-_curvature(finite, found.x))
    # A direction that the density hardly bends in is taken to be a few units wide.
    covariance = (directions / np.maximum(strength, 0.2)) @ directions.T
    return Mode(found.x, covariance)


def _gradient(log_density: LogDensity, x: Floats) -> Floats:
    step = _STEP * np.eye(x.size)
    both = log_density(np.concatenate([x + step, x - step]))
    return np.asarray((both[: x.size] - both[x.size :]) / (2.0 * _STEP))


def _curvature(log_density: LogDensity, x: Floats) -> Floats:
    step = _CURVE_STEP * np.eye(x.size)
    i, j = np.triu_indices(x.size)
    corners = np.concatenate(
        [x + a * step[i] + b * step[j] for a, b in ((1, 1), (1, -1), (-1, 1), (-1, -1))]
    )
    parts = np.array_split(corners, max(1, len(corners) // _AT_ONCE))
    up_up, up_down, down_up, down_down = np.split(
        np.concatenate([log_density(part) for part in parts]), 4
    )
    matrix = np.zeros((x.size, x.size))
    matrix[i, j] = matrix[j, i] = (up_up - up_down - down_up + down_down) / (4.0 * _CURVE_STEP**2)
    return matrix
