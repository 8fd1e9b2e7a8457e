"""The second estimate: of all that hair of the model can be, what the camera saw.

Sensitivities are known from the chart (`lift.photo.camera`), so the light of every spectrum that
natural and lightened hair can have can be computed, and compared with the light that was seen.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.model.stages import named_stage
from lift.model.strand import (
    PLAIN_COUNT,
    Pigment,
    lightened,
    natural_pigment,
    strand_reflectance,
)
from lift.optics.few_wavelengths import between, few_to_lab, few_wavelengths

LOW, HIGH = np.array([1.0, 0.0, -2.5]), np.array([10.0, 7.0, 2.5])
"""Natural level, exposure and deviate of the pheomelanin share: all hair of the model."""

CELLS = (28, 57, 6)
SHARE_LOG_SD = 0.7
"""Prior of the pheomelanin share, log-normal about the curve set's: assumed, wide."""

ROUGH = 0.03
"""Standard deviation of light [-] that the first, coarse grid is read with."""

FINE = 9
REACH = 2.5
"""Cells along each side of the second grid, and how far it reaches in standard deviations."""

LEAST_MISFIT = 0.01
"""Least standard deviation of each channel's light [-]: of the model's spectra, assumed."""

UNLIKE = 16.27
"""Squared misfit from which it is not hair of the model: chi-square, 3 degrees, 99.9 %."""


@dataclass(frozen=True, eq=False)
class HairLike:
    """What was seen, as hair of the model without tone.

    Parameters
    ----------
    lab, sd : numpy.ndarray
        CIELAB (D65, 10 degrees) and its standard deviations, shape (3,).
    pigment : Pigment
        What is left in the fibres [absorption per fibre radius].
    level : float
        Level by its lightness [-].
    stage : str
        Stage of its underpigment.
    squared_misfit : float
        How far its light lies off what was seen; see `UNLIKE`.
    """

    lab: Floats
    sd: Floats
    pigment: Pigment
    level: float
    stage: str
    squared_misfit: float

    @property
    def plausible(self) -> bool:
        """Whether untoned hair can look so in that light."""
        return self.squared_misfit <= UNLIKE


def hair_like(light: Floats, covariance: Floats, sensitivity: Floats, curves: CurveSet) -> HairLike:
    """Hair of the model whose light was seen.

    Parameters
    ----------
    light : numpy.ndarray
        Even light in R, G, B, shape (3,).
    covariance : numpy.ndarray
        Of the logarithm of light, shape (3, 3).
    sensitivity : numpy.ndarray
        Light times camera, shape (81, 3).
    curves : CurveSet
        What hair is.
    """
    seen = between(PLAIN_COUNT).T @ sensitivity
    wide = covariance + ROUGH**2 * np.eye(3)
    states, reflectance = _grid(curves)
    chance, _ = _chances(states, reflectance @ seen, light, wide)
    middle = chance @ states
    # A share of the coarse cells' own size keeps a reach where one cell has it all.
    size = (HIGH - LOW) / np.array(CELLS)
    spread = np.sqrt(chance @ (states - middle) ** 2 + size**2 / 4.0)
    low = np.maximum(middle - REACH * spread, LOW)
    high = np.minimum(middle + REACH * spread, HIGH)
    states = _states(low, high, (FINE, FINE, FINE))
    reflectance = _reflectance(states, curves)
    narrow = covariance + LEAST_MISFIT**2 * np.eye(3)
    chance, misfit = _chances(states, reflectance @ seen, light, narrow)
    lab = few_to_lab(reflectance)
    found = chance @ lab
    state = chance @ states
    path = natural_path(curves)
    level = float(path.level_of_lightness(found[0]))
    return HairLike(
        lab=found,
        sd=np.sqrt(chance @ (lab - found) ** 2),
        pigment=_pigment(state, curves),
        level=level,
        stage=named_stage(found, path.warmth(found), level, curves),
        squared_misfit=float(misfit.min()),
    )


def _chances(
    states: Floats, light: Floats, wanted: Floats, covariance: Floats
) -> tuple[Floats, Floats]:
    """Chance of each state, shape (n,), and its squared misfit."""
    off = np.log(np.maximum(light, 1e-6) / np.maximum(wanted, 1e-6))
    misfit = np.einsum("nc,nc->n", off @ np.linalg.inv(covariance), off)
    height = -0.5 * (misfit + states[:, 2] ** 2)
    chance = np.exp(height - height.max())
    return chance / chance.sum(), misfit


@lru_cache(maxsize=4)
def _grid(curves: CurveSet) -> tuple[Floats, Floats]:
    states = _states(LOW, HIGH, CELLS)
    return states, _reflectance(states, curves)


def _states(low: Floats, high: Floats, count: tuple[int, ...]) -> Floats:
    sides = (np.linspace(a, b, n) for a, b, n in zip(low, high, count, strict=True))
    return np.stack(np.meshgrid(*sides, indexing="ij"), axis=-1).reshape(-1, 3)


def _reflectance(states: Floats, curves: CurveSet) -> Floats:
    few = few_wavelengths(PLAIN_COUNT)
    return strand_reflectance(_pigment(states, curves), curves.values, wavelength_nm=few)


def _pigment(state: Floats, curves: CurveSet) -> Pigment:
    level, exposure, deviate = np.moveaxis(state, -1, 0)
    about = curves.values["pheomelanin_share"]
    share = np.minimum(about * np.exp(SHARE_LOG_SD * deviate), 1.0)
    return lightened(natural_pigment(level, share, curves.values), exposure, curves.values)
