"""Colour of smooth spectra from few wavelengths.

A spectrum without sharp features is known everywhere once it is known at a few wavelengths, so
the sum over 81 of them can be folded, once, into weights for those few. The wavelengths are
Chebyshev's, between which polynomial interpolation converges fastest. What is folded is the sum
itself: lamps may have lines, only the reflectance must be smooth.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np

from lift.errors import Floats
from lift.optics.colorimetry import EPSILON, KAPPA, white
from lift.optics.weights import HIGH_NM, LOW_NM, WAVELENGTHS_NM, weights


@cache
def few_wavelengths(count: int) -> Floats:
    """Chebyshev's wavelengths [nm] from 380 to 780, rising, shape (count,), count 4 to 81."""
    middle, half = (HIGH_NM + LOW_NM) / 2.0, (HIGH_NM - LOW_NM) / 2.0
    nodes = middle - half * np.cos(np.pi * np.arange(count) / (count - 1))
    nodes.flags.writeable = False
    return nodes


@cache
def between(count: int) -> Floats:
    """Matrix from values at `few_wavelengths` to those at all wavelengths.

    Parameters
    ----------
    count : int
        Number of wavelengths, 4 to 81.

    Returns
    -------
    numpy.ndarray
        Shape (81, count), read-only; rows sum to 1.

    Notes
    -----
    Barycentric interpolation at Chebyshev points: Berrut & Trefethen 2004, SIAM Review 46:501,
    equations 4.2 and 5.4 (from memory).
    """
    nodes = few_wavelengths(count)
    signs = np.where(np.arange(count) % 2, -1.0, 1.0)
    signs[[0, -1]] *= 0.5
    apart = WAVELENGTHS_NM[:, None] - nodes
    # A wavelength that is itself a node takes that node's value alone.
    apart[np.abs(apart) < 1e-9] = 1e-200
    terms = signs / apart
    found: Floats = terms / terms.sum(axis=1, keepdims=True)
    found.flags.writeable = False
    return found


@cache
def few_weights(count: int, illuminant: str = "D65", observer: int = 10) -> Floats:
    """Weights that turn reflectance at `few_wavelengths` into XYZ by summation.

    Parameters
    ----------
    count : int
        Number of wavelengths, 4 to 81.
    illuminant, observer : str, int
        See `lift.optics.weights.weights`.

    Returns
    -------
    numpy.ndarray
        Shape (count, 3), read-only; sums to the same white as the full weights.
    """
    folded = np.asarray(between(count).T @ weights(illuminant, observer))
    folded.flags.writeable = False
    return folded


def few_to_lab(reflectance: Floats, illuminant: str = "D65", observer: int = 10) -> Floats:
    """CIELAB of a smooth reflectance known at `few_wavelengths`.

    Parameters
    ----------
    reflectance : numpy.ndarray
        Fraction, shape (..., count).
    illuminant, observer : str, int
        See `lift.optics.weights.weights`.

    Returns
    -------
    numpy.ndarray
        CIELAB, shape (..., 3).
    """
    return _lab(_roots(reflectance, illuminant, observer)[0])


def few_to_lab_slopes(
    reflectance: Floats, slopes: Sequence[Floats], illuminant: str = "D65", observer: int = 10
) -> Floats:
    """CIELAB of a smooth reflectance, and of how it changes.

    Parameters
    ----------
    reflectance : numpy.ndarray
        Fraction, shape (..., count).
    slopes : sequence of numpy.ndarray
        Each of its changes per unit of something, same shape.

    Returns
    -------
    numpy.ndarray
        CIELAB, then its change per unit of each, shape (1 + slopes, ..., 3).
    """
    f, ratio, folded = _roots(reflectance, illuminant, observer)
    # Of the cube root, and of the straight part below it.
    steep = np.where(ratio > EPSILON, 1.0 / (3.0 * f**2), KAPPA / 116.0)
    found = np.empty((1 + len(slopes), *f.shape))
    found[0] = _lab(f)
    for out, slope in zip(found[1:], slopes, strict=True):
        out[...] = _lab(steep * (slope @ folded), 0.0)
    return found


def _roots(reflectance: Floats, illuminant: str, observer: int) -> tuple[Floats, Floats, Floats]:
    """CIE's f of X, Y and Z over the white's, that ratio itself, and the weights that make it."""
    folded = few_weights(reflectance.shape[-1], illuminant, observer) / white(illuminant, observer)
    ratio = reflectance @ folded
    # CIE 15:2018, equations 8.3 to 8.8, as `lift.optics.colorimetry.xyz_to_lab` has them.
    f = np.cbrt(ratio)
    dark = ratio <= EPSILON
    if dark.any():
        f[dark] = (KAPPA * ratio[dark] + 16.0) / 116.0
    return f, ratio, folded


def _lab(f: Floats, black: float = 16.0) -> Floats:
    lab = np.empty_like(f)
    lab[..., 0] = 116.0 * f[..., 1] - black
    lab[..., 1] = 500.0 * (f[..., 0] - f[..., 1])
    lab[..., 2] = 200.0 * (f[..., 1] - f[..., 2])
    return lab
