"""Misfit of measured swatches: how much of it there is, told from the scatter of their readings.

Readings of one swatch scatter each by itself, and are off by the swatch's misfit together. For each
swatch and channel both become independent by a rotation of the readings that depends on neither, so
that however large the misfit is, its readings are only scaled (principal components of the misfit
in units of the scatter).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats
from lift.model import misfit
from lift.model.parameter import Parameter
from lift.research.swatches.table import Swatches

SCALES = tuple(
    Parameter(f"misfit_{channel}", 0.5, "CIELAB", 0.05, 20.0, "assumed", "no source")
    for channel in misfit.CHANNELS
)
"""Standard deviation of the misfit from strand to strand in L*, a*, b*, as believed before: 0.5,
within a factor of 2.7 or so, for nobody has compared this physics with lightened hair."""


ROUGH = 0.05
"""Share of the misfit's variance that is each reading's own [-], so that what is not smooth along
the way is not taken for scatter; assumed."""


@dataclass(frozen=True, eq=False)
class Blocks:
    """Readings by swatch, with the way that each has gone.

    Parameters
    ----------
    swatches : Swatches
        Readings.
    exposed : numpy.ndarray or None
        Exposure of each reading, about [-], shape (rows,); None where there is no misfit.
    """

    swatches: Swatches
    exposed: Floats | None

    @cached_property
    def rows(self) -> NDArray[np.intp]:
        """Rows of each swatch, -1 where it has fewer than others, shape (swatches, most)."""
        table = self.swatches
        own = [np.flatnonzero(table.swatch == i) for i in range(len(table.names))]
        rows = np.full((len(own), max(map(len, own))), -1)
        for row, found in zip(rows, own, strict=True):
            row[: len(found)] = found
        return rows

    @cached_property
    def readings(self) -> Floats:
        """Numbers read of each swatch, shape (swatches,)."""
        return np.asarray(3.0 * (self.rows >= 0).sum(axis=1))

    @cached_property
    def _components(self) -> tuple[Floats, Floats]:
        """Strength of each component by a misfit of 1, and the rotations to them."""
        assert self.exposed is not None
        most, smooth = self.rows.shape[1], misfit.weights(self.exposed)[self.rows]
        alike = (1.0 - ROUGH) * smooth @ np.swapaxes(smooth, -1, -2) + ROUGH * np.eye(most)
        precise = np.where(self.rows[..., None] >= 0, 1.0 / self.swatches.sd[self.rows], 0.0)
        over = np.moveaxis(precise, -1, 0)
        covariance = over[..., :, None] * alike * over[..., None, :]
        strength, directions = np.linalg.eigh(covariance)
        return np.maximum(strength, 0.0), np.swapaxes(directions, -1, -2)

    def whitened(self, off: Floats, scales: Floats) -> Floats:
        """Differences over their standard deviation, independent of each other.

        Parameters
        ----------
        off : numpy.ndarray
            Differences over the scatter, shape (looks, points, rows, 3).
        scales : numpy.ndarray
            Misfit in each channel [CIELAB units], shape (points, 3).

        Returns
        -------
        numpy.ndarray
            Shape (looks, swatches, 3 * most, points).
        """
        looks, points = off.shape[:2]
        by_swatch = np.where((self.rows >= 0)[..., None], off[:, :, self.rows], 0.0)
        # Channels and swatches first, and the points last: each is one product of matrices.
        turned = by_swatch.transpose(4, 2, 3, 0, 1).reshape(3, *self.rows.shape, looks * points)
        if self.exposed is not None:
            strength, rotation = self._components
            turned = rotation @ turned
            spread = np.sqrt(1.0 + strength[..., None] * scales.T[:, None, None, :] ** 2)
            turned /= np.tile(spread, looks)
        turned = turned.reshape(3, *self.rows.shape, looks, points).transpose(3, 1, 0, 2, 4)
        return np.asarray(turned.reshape(looks, len(self.rows), -1, points))

    def size(self, scales: Floats) -> Floats:
        """Log of how much larger the scatter is by the misfit, shape (points, swatches)."""
        if self.exposed is None:
            return np.zeros((len(scales), len(self.rows)))
        strength, _ = self._components
        larger = np.log1p(strength[..., None] * scales.T[:, None, None, :] ** 2)
        return np.asarray(0.5 * larger.sum(axis=(0, 2)).T)

    def factor(
        self, off: Floats, scales: Floats, freedom: float, random: np.random.Generator
    ) -> Floats:
        """Factor on the variance of each swatch, drawn given its readings, (draws, swatches).

        Parameters
        ----------
        off : numpy.ndarray
            Readings less what each draw gives them [CIELAB units], shape (draws, rows, 3).
        scales : numpy.ndarray
            Misfit in each channel [CIELAB units], shape (draws, 3).
        freedom : float
            Of that factor before any reading [-]; infinite where it is 1.
        random : numpy.random.Generator
            Draws.
        """
        squares = np.sum(self.whitened((off / self.swatches.sd)[None], scales)[0] ** 2, axis=1).T
        if np.isinf(freedom):
            return np.ones(squares.shape)
        half = 0.5 * (freedom + self.readings)
        return np.asarray(0.5 * (freedom + squares) / random.gamma(half, size=squares.shape))

    def found(
        self,
        swatch: int,
        off: Floats,
        scales: Floats,
        factor: Floats,
        random: np.random.Generator,
    ) -> Floats:
        """Misfits that one swatch may have, but for what is each reading's own, given its readings.

        Parameters
        ----------
        swatch : int
            Which.
        off, scales, random
            See `factor`.
        factor : numpy.ndarray
            On its variance, shape (draws,).

        Returns
        -------
        numpy.ndarray
            At each channel's nodes [CIELAB units], shape (draws, 3, nodes).
        """
        assert self.exposed is not None
        rows = self.rows[swatch][self.rows[swatch] >= 0]
        # A linear regression on the nodes, of each draw and channel.
        at = np.sqrt(1.0 - ROUGH) * misfit.weights(self.exposed[rows])
        variance = scales[:, :, None] ** 2
        noise = self.swatches.sd[rows].T ** 2 + ROUGH * variance
        by_noise = at.T / noise[:, :, None, :]
        spread = np.linalg.inv(np.eye(len(at.T)) / variance[..., None] + by_noise @ at)
        read = np.swapaxes(off[:, rows], 1, 2)[..., None]
        deviate = random.standard_normal((len(off), 3, len(at.T), 1))
        wide = np.sqrt(factor)[:, None, None]
        drawn = (spread @ (by_noise @ read))[..., 0]
        drawn += wide * (np.linalg.cholesky(spread) @ deviate)[..., 0]
        return np.asarray(np.sqrt(1.0 - ROUGH) * drawn)
