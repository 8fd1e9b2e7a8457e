"""Top of the posterior, its curvature there (Laplace's approximation), and the density about it."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.research.posterior.strands import StrandModel

LogDensity = Callable[[Floats], Floats]
"""Log density of points: shape (points, dimensions) to (points,)."""

LEFT_TO_CLIMB = 0.01
"""Log density below the top at which the search has ended."""

FURTHER = 6
"""Looks at most at points that are far from the top."""

TOLERANCES = (1.0, 1e-2, 1e-2, 1e-2)
"""Gradients at which a search ends; later ones only where the top is not reached."""

_STEP = 1e-4
_CURVE_STEP = 1e-3
_FARTHEST = 3.0  # deviates by which a swatch's own is taken to move with the parameters
_LEAST_STRENGTH = 0.2  # a direction that the density hardly bends in is a few units wide


@dataclass(frozen=True, eq=False)
class Mode:
    """Top of the posterior of a model.

    Parameters
    ----------
    model : StrandModel
        What it is the top of.
    point : numpy.ndarray
        Coordinates, shape (dimensions,).
    covariance : numpy.ndarray
        Inverse of the curvature, shape (dimensions, dimensions).
    own, moves : numpy.ndarray
        Likeliest deviates of level and rate there, shape (swatches, 2), and how they move with
        the coordinates, shape (dimensions, swatches, 2).
    height : float
        Log density.
    steps : int
        How often the search looked.
    converged : bool
        Whether the gradient vanishes.
    """

    model: StrandModel
    point: Floats
    covariance: Floats
    own: Floats
    moves: Floats
    height: float
    steps: int
    converged: bool

    def own_at(self, z: Floats) -> Floats:
        """Deviates of level and rate to look from, shape (points, swatches, 2)."""
        off = np.tensordot(z - self.point, self.moves, axes=1)
        return np.asarray(self.own + np.clip(off, -_FARTHEST, _FARTHEST))

    def log_density(self, z: Floats) -> Floats:
        """Log posterior density of coordinates, but for a constant, shape (points,)."""
        told, _ = self.model.log_likelihood(z, self.own_at(z), further=FURTHER)
        return np.asarray(told.sum(axis=1) - 0.5 * np.sum(z**2, axis=1))

    def climb(self, start: Floats) -> tuple[Floats, Floats]:
        """Another top of the same density, above a point, and the covariance about it."""
        found = find_mode(self.model, start)
        return found.point, found.covariance

    def smooth(self, z: Floats) -> Floats:
        """The same, smooth enough for derivatives, and right near the top."""
        told, _ = self.model.log_likelihood(z, self.own_at(z))
        return np.asarray(told.sum(axis=1) - 0.5 * np.sum(z**2, axis=1))


def find_mode(model: StrandModel, start: Floats | None = None, own: Floats | None = None) -> Mode:
    """Climb to the top of the posterior and take its curvature.

    Parameters
    ----------
    model : StrandModel
        Readings and what is asked of them.
    start : numpy.ndarray, optional
        Coordinates to start from, shape (dimensions,); default: the middle of the
        prior, with a wide misfit.
    own : numpy.ndarray, optional
        Deviates of level and rate to look from, shape (swatches, 2); default: found.

    Returns
    -------
    Mode
        With a covariance that is positive definite even where the curvature is not.
    """
    from scipy.optimize import minimize

    point = model.start() if start is None else np.asarray(start, dtype=np.float64)
    own = model.from_afar(point[None]) if own is None else own
    moves = np.zeros((point.size, *own.shape))
    steps = 0
    near = Mode(model, point, np.eye(point.size), own, moves, 0.0, 0, False)
    flat = _information_inverse(near)
    for tolerance in TOLERANCES:
        near = Mode(model, point, flat, own, moves, 0.0, 0, False)

        def below(z: Floats, near: Mode = near) -> tuple[float, Floats]:
            height, slope = gradient(near.smooth, z)
            return -height, -slope

        options = {"gtol": tolerance, "maxiter": 200, "hess_inv0": 0.5 * (flat + flat.T)}
        found = minimize(below, point, jac=True, method="BFGS", options=options)
        point, steps = found.x, steps + int(found.nit)
        own = model.from_afar(point[None])
        if model.exposed is None:
            model = model.where_it_is(point, own)
            own = model.from_afar(point[None])
        moves = _moves(model, point, own)
        top = _top(Mode(model, point, np.eye(point.size), own, moves, 0.0, steps, False))
        # What is the swatches' own was looked for from elsewhere while climbing: once more, then.
        if tolerance < TOLERANCES[0] and top.converged:
            break
        flat = top.covariance
    return top


def _information_inverse(near: Mode) -> Floats:
    """Inverse of what swatches and prior tell about the coordinates, from slopes alone.

    The squares of the swatches' slopes have the curvature for a mean (Berndt, Hall, Hall & Hausman
    1974, Ann. Econ. Soc. Meas. 3:653; from memory): the first steps are then as long as they ought
    to be.
    """
    slopes = by_differences(
        lambda z: near.model.log_likelihood(z, near.own_at(z))[0], near.point, _STEP
    )
    return np.asarray(np.linalg.inv(slopes @ slopes.T + np.eye(len(slopes))))


def _top(near: Mode) -> Mode:
    """The mode with its height, and with the covariance that its curvature gives."""
    point = near.point
    strength, directions = np.linalg.eigh(-curvature(near.smooth, point))
    covariance = (directions / np.maximum(strength, _LEAST_STRENGTH)) @ directions.T
    height, left = gradient(near.smooth, point)
    converged = bool(0.5 * left @ covariance @ left < LEFT_TO_CLIMB)
    return replace(near, covariance=covariance, height=height, converged=converged)


def _moves(model: StrandModel, point: Floats, own: Floats) -> Floats:
    def best(z: Floats) -> Floats:
        return model.settle(z, np.tile(own, (len(z), 1, 1)), 3).best()

    return by_differences(best, point, 10.0 * _CURVE_STEP)


def by_differences(of: Callable[[Floats], Floats], point: Floats, step: float) -> Floats:
    """Slopes of a function of many points by central differences, shape (coordinates, ...)."""
    moved = step * np.eye(point.size)
    found = of(np.concatenate([point + moved, point - moved]))
    return np.asarray((found[: point.size] - found[point.size :]) / (2.0 * step))


def _finite(log_density: LogDensity, points: Floats) -> Floats:
    return np.maximum(log_density(points), -1e12)


def gradient(log_density: LogDensity, x: Floats) -> tuple[float, Floats]:
    """Value and first derivatives, by central differences, all in one call."""
    step = _STEP * np.eye(x.size)
    found = _finite(log_density, np.concatenate([x[None], x + step, x - step]))
    up, down = found[1 : x.size + 1], found[x.size + 1 :]
    return float(found[0]), np.asarray((up - down) / (2.0 * _STEP))


def curvature(log_density: LogDensity, x: Floats) -> Floats:
    """Second derivatives by central differences, all in one call."""
    step = _CURVE_STEP * np.eye(x.size)
    i, j = np.triu_indices(x.size)
    corners = np.concatenate(
        [x + a * step[i] + b * step[j] for a, b in ((1, 1), (1, -1), (-1, 1), (-1, -1))]
    )
    up_up, up_down, down_up, down_down = np.split(_finite(log_density, corners), 4)
    matrix = np.zeros((x.size, x.size))
    matrix[i, j] = matrix[j, i] = (up_up - up_down - down_up + down_down) / (4.0 * _CURVE_STEP**2)
    return matrix


def one_thread() -> AbstractContextManager[Any]:
    """Context in which linear algebra uses one thread, where threadpoolctl is installed.

    The matrices are small: threads gain nothing, and on a busy machine they wait for each other
    until a fit takes ten times as long.
    """
    try:
        from threadpoolctl import threadpool_limits
    except ImportError:
        return nullcontext()
    limits: AbstractContextManager[Any] = threadpool_limits(1, "blas")
    return limits
