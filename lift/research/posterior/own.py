"""What is one swatch's own, its starting level and rate: likeliest values, and integrated out.

About a point the colours are straight in both, so that squares of the readings are a polynomial
and no further colour has to be computed. Level and rate are standard normal deviates under the
prior; the scatter of a swatch is integrated out, which makes its readings a multivariate t
variable: a swatch that scatters more than it should counts less.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats

NODES = 5
STEPS = 8
PER_POINT = ("at", "squares", "slope", "bend", "size")
LONGEST = 3.0  # step of a deviate within one look


@dataclass(frozen=True, eq=False)
class Own:
    """Misfit of each swatch about some deviates of level and rate.

    Parameters
    ----------
    at : numpy.ndarray
        The deviates, shape (points, swatches, 2).
    squares : numpy.ndarray
        Squares of the scaled differences there, shape (points, swatches).
    slope, bend : numpy.ndarray
        Half the first and second derivatives of the squares, shapes (points, swatches, 2) and
        (points, swatches, 2, 2).
    size : numpy.ndarray
        Log of how much larger the scatter is by the misfit, shape (points, swatches).
    readings : numpy.ndarray
        Numbers read of each swatch, shape (swatches,).
    freedom : float
        Of the t distribution; infinite for a normal one.
    """

    at: Floats
    squares: Floats
    slope: Floats
    bend: Floats
    size: Floats
    readings: Floats
    freedom: float

    @staticmethod
    def joined(parts: Sequence[Own]) -> Own:
        """Points of several as one."""
        joined: dict[str, Any] = {
            n: np.concatenate([getattr(p, n) for p in parts]) for n in PER_POINT
        }
        return replace(parts[0], **joined)

    def with_points(self, which: NDArray[np.intp], others: Own) -> Own:
        """Some points as others tell of them."""
        changed: dict[str, Any] = {}
        for name in PER_POINT:
            changed[name] = getattr(self, name).copy()
            changed[name][which] = getattr(others, name)
        return replace(self, **changed)

    def log_density(self, off: Floats | float = 0.0) -> Floats:
        """Log density at deviates `off` further on, but for a constant, shape (..., swatches)."""
        off = np.asarray(off) * np.ones(2)
        squares = self.squares_at(off)
        if np.isinf(self.freedom):
            told = 0.5 * squares
        else:
            told = 0.5 * (self.freedom + self.readings) * np.log1p(squares / self.freedom)
        return np.asarray(-told - self.size - 0.5 * _dot(self.at + off, self.at + off))

    def squares_at(self, off: Floats) -> Floats:
        """Squares of the scaled differences at deviates `off` further on."""
        bent = self.slope + 0.5 * _times(self.bend, off)
        return np.asarray(np.maximum(self.squares + 2.0 * _dot(bent, off), 0.0))

    def weight(self, off: Floats) -> Floats:
        """How much the readings count, 1 where they scatter as they should."""
        if np.isinf(self.freedom):
            return np.ones(self.squares.shape)
        return (self.freedom + self.readings) / (self.freedom + self.squares_at(off))

    def step(self) -> Floats:
        """Way to the likeliest deviates: least squares, weighted anew each time."""
        off = np.zeros(self.at.shape)
        for _ in range(STEPS):
            weight = self.weight(off)
            down = weight[..., None] * (self.slope + _times(self.bend, off)) + self.at + off
            off = off - _solved(weight[..., None, None] * self.bend + np.eye(2), down)
        return np.clip(off, -LONGEST, LONGEST)

    def best(self) -> Floats:
        """Likeliest deviates, shape (points, swatches, 2)."""
        return self.at + self.step()

    def root(self, off: Floats) -> Floats:
        """Root of the covariance about deviates `off` further on, (points, swatches, 2, 2)."""
        weight = self.weight(off)[..., None, None]
        flat = weight * self.bend + np.eye(2)
        slope = self.slope + _times(self.bend, off)
        curved = flat
        if np.isfinite(self.freedom):
            pull = slope[..., :, None] * slope[..., None, :]
            curved = flat - 2.0 * weight**2 * pull / (self.freedom + self.readings)[:, None, None]
        # Far from the top the density need not bend down in every direction.
        fine = _determinant(curved) > 0.1 * _determinant(flat)
        return np.asarray(
            np.linalg.cholesky(_inverse(np.where(fine[..., None, None], curved, flat)))
        )

    def draw(self, random: np.random.Generator, tries: int = 16) -> Floats:
        """One draw of the deviates for each point, shape (points, swatches, 2).

        Of some normal draws one is taken, each as likely as the density is over the normal one.
        """
        off = self.step()
        root = self.root(off)
        deviate = random.standard_normal((tries, *off.shape))
        there = off + _times(root, deviate)
        weight = self.log_density(there) + 0.5 * np.sum(deviate**2, axis=-1)
        # Gumbel's trick draws each with its weight, all points at once.
        pick = np.argmax(weight + random.gumbel(size=weight.shape), axis=0)
        return np.asarray(self.at + np.take_along_axis(there, pick[None, ..., None], axis=0)[0])


def level_and_rate(found: Own, nodes: int = NODES) -> Floats:
    """Log of the density integrated over level and rate, shape (points, swatches).

    By Gauss and Hermite's rule about the likeliest deviates (Liu & Pierce 1994, Biometrika 81:624;
    from memory).
    """
    from scipy.special import logsumexp

    node, weight = np.polynomial.hermite_e.hermegauss(nodes)
    grid = np.stack(np.meshgrid(node, node, indexing="ij"), axis=-1).reshape(-1, 2)
    log_weight = np.log(np.multiply.outer(weight, weight)).ravel() + 0.5 * np.sum(grid**2, axis=1)
    off = found.step()
    root = found.root(off)
    terms = [
        found.log_density(off + _times(root, u)) + w for u, w in zip(grid, log_weight, strict=True)
    ]
    size = np.log(root[..., 0, 0]) + np.log(root[..., 1, 1])
    return np.asarray(logsumexp(terms, axis=0) + size - np.log(2.0 * np.pi))


def _dot(one: Floats, other: Floats) -> Floats:
    return np.asarray(one[..., 0] * other[..., 0] + one[..., 1] * other[..., 1])


def _times(matrix: Floats, vector: Floats) -> Floats:
    # Spelled out: numpy is slow at sums over an axis of two.
    return np.asarray(matrix[..., 0] * vector[..., :1] + matrix[..., 1] * vector[..., 1:])


def _determinant(matrix: Floats) -> Floats:
    return np.asarray(matrix[..., 0, 0] * matrix[..., 1, 1] - matrix[..., 0, 1] * matrix[..., 1, 0])


def _inverse(matrix: Floats) -> Floats:
    swapped = matrix[..., ::-1, ::-1] * np.array([[1.0, -1.0], [-1.0, 1.0]])
    return np.asarray(swapped / _determinant(matrix)[..., None, None])


def _solved(matrix: Floats, vector: Floats) -> Floats:
    return _times(_inverse(matrix), vector)
