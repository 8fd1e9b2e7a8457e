"""Absorption of the hair fibre: melanins, half-oxidised melanin and keratin.

Each shape is 1 at 550 nm, where the strengths of the two melanins are published
(absorption per fibre radius; Pharr, Jakob & Humphreys, the PBRT hair model).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_range

REFERENCE_NM = 550.0


def exponential_shape(wavelength_nm: ArrayLike, slope_per_nm: ArrayLike) -> Floats:
    """Absorption shape that falls exponentially with wavelength.

    An exponential in wavelength fits the published extinction of both melanins better than
    a power law over 380 to 790 nm (rms in log units 0.040 against 0.049 for eumelanin,
    0.113 against 0.126 for pheomelanin).

    Parameters
    ----------
    wavelength_nm : array_like
        Wavelength [nm], shape (n,).
    slope_per_nm : array_like
        Slope [1/nm], any shape that broadcasts.

    Returns
    -------
    numpy.ndarray
        Shape, equal to 1 at 550 nm.
    """
    offset = np.asarray(wavelength_nm, dtype=np.float64) - REFERENCE_NM
    return np.exp(-np.asarray(slope_per_nm, dtype=np.float64) * offset)


def fit_exponential(wavelength_nm: ArrayLike, extinction: ArrayLike) -> tuple[float, float, float]:
    """Fit an exponential in wavelength to measured extinction, by least squares of its logarithm.

    Parameters
    ----------
    wavelength_nm : array_like
        Wavelength [nm], shape (n,), n >= 3.
    extinction : array_like
        Extinction, positive, any unit, shape (n,).

    Returns
    -------
    value_550, slope_per_nm, rms_log : float
        Extinction at 550 nm, slope [1/nm], and root mean square residual [natural log units].

    Raises
    ------
    LiftError
        When an extinction is not positive, or there are too few points.
    """
    wavelength = check_range("optics.wavelength", wavelength_nm, 1.0, 1e5, "nm")
    logs = np.log(check_range("optics.extinction", extinction, 1e-12, 1e12))
    if wavelength.shape != logs.shape or np.unique(wavelength).size < 3:
        raise LiftError("optics.too_few", wavelengths=wavelength.size, extinctions=logs.size)
    offset = wavelength - REFERENCE_NM
    slope, intercept = np.polyfit(offset, logs, 1)
    rms = float(np.sqrt(np.mean((logs - intercept - slope * offset) ** 2)))
    return float(np.exp(intercept)), float(-slope), rms


def absorption(
    wavelength_nm: ArrayLike,
    amounts: Floats,
    slopes_per_nm: Sequence[ArrayLike],
) -> Floats:
    """Sum the exponential absorbers of a fibre.

    Parameters
    ----------
    wavelength_nm : array_like
        Wavelength [nm], shape (n,).
    amounts : numpy.ndarray
        Absorption per fibre radius at 550 nm of each absorber, shape (..., k), each >= 0.
    slopes_per_nm : sequence of array_like
        Slope [1/nm] of each of the k absorbers: a number, or an array of shape (...).

    Returns
    -------
    numpy.ndarray
        Absorption per fibre radius, shape (..., n).
    """
    # Slopes that are one number for all are summed by one product of matrices, whatever varies.
    fixed = [index for index, slope in enumerate(slopes_per_nm) if np.ndim(slope) == 0]
    slopes = np.array([slopes_per_nm[index] for index in fixed], dtype=np.float64)
    of_fixed = amounts if len(fixed) == len(slopes_per_nm) else amounts[..., fixed]
    sigma = of_fixed @ exponential_shape(wavelength_nm, slopes[:, None])
    for index in sorted({*range(len(slopes_per_nm))} - {*fixed}):
        shape = exponential_shape(wavelength_nm, np.asarray(slopes_per_nm[index])[..., None])
        sigma = sigma + amounts[..., index, None] * shape
    return np.asarray(sigma)
