"""Colour of lightened strands with its slopes: by the starting level, and by the rate's logarithm.

The physics is `lift.model.strand`'s. All amounts of pigment are in proportion to the melanin at
first, and what lightening does to them is linear, so both slopes are of closed form.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.curves import Values
from lift.model.strand import ABSORBERS, Pigment
from lift.optics.dyes import dye_band
from lift.optics.few_wavelengths import few_to_lab_slopes, few_wavelengths
from lift.optics.pigments import absorption
from lift.optics.reflectance import diffusion, hair_reflectance, surface_reflectance

COUNT = 16
DYED_COUNT = 24
"""Wavelengths that colour is computed from. Against `lift.model.strand`'s, undyed hair is off by
less than 2e-4 CIELAB units, a hundredth of what an instrument scatters and less."""


def lab_slopes(
    pigment: Pigment,
    exposure: Floats,
    values: Values,
    *,
    tone: Mapping[str, Any] | None = None,
    illuminant: str = "D65",
    observer: int = 10,
) -> Floats:
    """CIELAB of a lightened strand, and how it changes.

    Parameters
    ----------
    pigment : Pigment
        After lightening hair that was natural before, shape (...).
    exposure : numpy.ndarray
        Rate constant times dose [-], same shape.
    values : mapping
        Parameter values, numbers or arrays that broadcast with the pigment.
    tone : mapping of str to array_like, optional
        Dose of each dye band [0.01 absorption per fibre radius], broadcasting.
    illuminant, observer : str, int
        Of the colours; default D65, 10 degrees.

    Returns
    -------
    numpy.ndarray
        Shape (3, ..., 3): the colour, its slope by the starting level [1/level] and its slope by
        the logarithm of the rate.
    """
    nm = few_wavelengths(DYED_COUNT if tone else COUNT)
    slopes = [values[f"{name}_slope"] for name in ABSORBERS]
    amounts = np.stack(np.broadcast_arrays(*pigment.amounts), axis=-1)
    melanins = absorption(nm, amounts, slopes)
    bare = np.asarray(values["keratin_strength"], dtype=np.float64)[..., None]
    still: Any = absorption(nm, bare, [values["keratin_slope"]])
    for name, dose in (tone or {}).items():
        still = still + np.asarray(dose, dtype=np.float64)[..., None] * dye_band(name).absorption(
            nm
        )
    path = diffusion(values["azimuthal_roughness"])[..., None]
    surface = surface_reflectance(
        nm,
        np.asarray(values["surface_reflectance"])[..., None],
        np.asarray(values["surface_slope"])[..., None],
    )
    sigma = melanins + still
    reflectance = hair_reflectance(sigma, path, surface)
    steep = (surface - reflectance) * (0.5 * path) / np.sqrt(sigma)
    quicker = absorption(nm, _quicker(amounts, exposure, values), slopes)
    quicker *= steep
    melanins *= steep
    by_level = melanins * -np.asarray(values["level_ratio"])[..., None]
    return few_to_lab_slopes(reflectance, (by_level, quicker), illuminant, observer)


def _quicker(amounts: Floats, exposure: Floats, values: Values) -> Floats:
    """Slope of each amount by the logarithm of the rate, same shape."""
    eumelanin, pheomelanin, half_oxidised, oxidised = np.moveaxis(amounts, -1, 0)
    red = values["pheomelanin_rate_ratio"] * pheomelanin
    found = np.empty_like(amounts)
    found[..., 0] = -eumelanin
    found[..., 1] = -red
    found[..., 2] = (
        values["half_oxidised_yield"] * eumelanin
        - values["half_oxidised_rate_ratio"] * half_oxidised
    )
    found[..., 3] = (
        values["oxidised_pheomelanin_yield"] * red
        - values["oxidised_pheomelanin_rate_ratio"] * oxidised
    )
    found *= np.asarray(exposure)[..., None]
    return found
