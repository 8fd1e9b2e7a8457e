"""Reflectance of a mass of fibres from the absorption of one."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.optics.pigments import exponential_shape

# Chiang, Bitterli, Tappan & Burley 2016, Comput. Graph. Forum 35:275, doi 10.1111/cgf.12830,
# inverted from albedo to absorption: coefficients of the powers 0 to 5 of the roughness.
DIFFUSION_COEFFICIENTS = (5.969, -0.215, 2.532, -10.73, 5.574, 0.245)


def diffusion(azimuthal_roughness: ArrayLike) -> Floats:
    """Path-length factor D of light scattered through many fibres.

    Parameters
    ----------
    azimuthal_roughness : array_like
        Azimuthal roughness of the fibre [-], 0 to 1, any shape.

    Returns
    -------
    numpy.ndarray
        D [-]; D(0.3) = 5.8884.
    """
    beta = np.asarray(azimuthal_roughness, dtype=np.float64)
    # Horner's rule; numpy's, with the same steps, loads four modules more at every start.
    found = np.zeros_like(beta)
    for coefficient in reversed(DIFFUSION_COEFFICIENTS):
        found = coefficient + found * beta
    return np.asarray(found)


def surface_reflectance(
    wavelength_nm: ArrayLike, at_550: ArrayLike, slope_per_nm: ArrayLike
) -> Floats:
    """Light returned by the cuticle without entering the fibre, fraction, broadcast shape."""
    return np.asarray(at_550) * exponential_shape(wavelength_nm, slope_per_nm)


def hair_reflectance(absorption: ArrayLike, diffusion: ArrayLike, surface: ArrayLike) -> Floats:
    """Diffuse reflectance of a hair mass: ``Rs + (1 - Rs) exp(-D sqrt(sigma))``.

    Parameters
    ----------
    absorption : array_like
        Absorption per fibre radius, shape (..., n), >= 0.
    diffusion : array_like
        Path-length factor [-], see `diffusion`; broadcasts against `absorption`.
    surface : array_like
        Surface reflectance, fraction, broadcasting against `absorption`.

    Returns
    -------
    numpy.ndarray
        Reflectance, fraction 0 to 1, shape (..., n). Source: Chiang et al. 2016.
    """
    inside = np.sqrt(np.asarray(absorption, dtype=np.float64))
    inside *= -np.asarray(diffusion)
    np.exp(inside, out=inside)
    surface = np.asarray(surface, dtype=np.float64)
    inside *= 1.0 - surface
    inside += surface
    return inside
