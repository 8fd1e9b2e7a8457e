"""Forward model of measured swatches: every reading at once, for any number of parameter sets.

The physics is that of `lift.model.trajectory.simulate`; here each row has its own mixture, and the
optical parameters may vary too, so that a fit can take all its derivatives in one call.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.chemistry.decay import mean_decay
from lift.chemistry.strength import arrhenius_factor, hydroperoxide_fraction, volume_to_molar
from lift.chemistry.uptake import contact_dose
from lift.errors import Floats, LiftError
from lift.model.curves import Parameter, Values
from lift.model.mixture import tone_formed
from lift.model.strand import (
    DYED_COUNT,
    PLAIN_COUNT,
    Pigment,
    lightened,
    natural_pigment,
)
from lift.optics.dyes import dye_band
from lift.optics.few_wavelengths import few_to_lab, few_wavelengths
from lift.optics.pigments import exponential_shape
from lift.optics.reflectance import diffusion, hair_reflectance
from lift.research.swatches.table import Swatches

PEROXIDE_ORDER = Parameter(
    "peroxide_order",
    1.0,
    "-",
    0.2,
    3.0,
    "assumed",
    "first order in peroxide; twice the strength, twice the rate: common practice (no source)",
)
"""Order of the reaction in peroxide. No part of a curve set, whose order is 1: it may be given in
`values` (and freed in a fit) to ask the data. The rate is that of order 1 at 1 mol/L."""

REFERENCE_MOLAR = 1.0


@dataclass(frozen=True)
class Structure:
    """Which physics the model has; the default is that of the curve set.

    Parameters
    ----------
    half_oxidised : bool
        Whether part of the eumelanin goes by way of half-oxidised melanin; off, its yield is 0.
    uptake : bool
        Whether peroxide has to soak in; off, the fibre is as strong inside as its surface.
    """

    half_oxidised: bool = True
    uptake: bool = True


STANDARD = Structure()


def predict(
    swatches: Swatches,
    values: Values,
    starts: ArrayLike,
    structure: Structure = STANDARD,
    *,
    exposed: ArrayLike | None = None,
) -> Floats:
    """Predicted colour of every reading.

    Parameters
    ----------
    swatches : Swatches
        Conditions of the readings; their colours are not used.
    values : mapping
        Parameter values by name, each a number or an array of shape (sets,), which gives one
        prediction a parameter set; ``peroxide_order`` may be among them, see `PEROXIDE_ORDER`.
    starts : array_like
        Starting level of each swatch [-], shape (swatches,) or (sets, swatches). It may leave 1
        to 10, as the load of pigment goes on beyond.
    structure : Structure
        Which physics to use.
    exposed : array_like, optional
        Exposure of every reading [-], shape (rows,) or (sets, rows); default: `exposure`.

    Returns
    -------
    numpy.ndarray
        CIELAB in the illuminant and observer of the table, shape (rows, 3) or (sets, rows, 3).

    Raises
    ------
    LiftError
        When the shape of `starts` does not fit, or a value is outside the range of a formula.
    """
    start = np.asarray(starts, dtype=np.float64)
    if start.ndim == 0 or start.shape[-1] != len(swatches.names):
        raise LiftError(f"starts have shape {start.shape}; allowed: (..., {len(swatches.names)})")
    # A set of parameters becomes a column, so that it broadcasts against the rows.
    by_set: dict[str, Any] = {
        k: np.asarray(v)[..., None] if np.ndim(v) else v for k, v in values.items()
    }
    if not structure.half_oxidised:
        by_set["half_oxidised_yield"] = 0.0
    natural = natural_pigment(start[..., swatches.swatch], by_set["pheomelanin_share"], by_set)
    if exposed is None:
        exposed = exposure(swatches, by_set, structure)
    pigment = lightened(natural, exposed, by_set)
    reflectance = _reflectance(pigment, _violet(swatches, by_set), by_set)
    return few_to_lab(reflectance, swatches.illuminant, swatches.observer)


def exposure(swatches: Swatches, values: Values, structure: Structure = STANDARD) -> Floats:
    """Rate constant times dose of every reading [-], shape (rows,) or (sets, rows).

    Parameters
    ----------
    swatches : Swatches
        Conditions of the readings.
    values : mapping
        Parameter values: numbers, or arrays of shape (sets, 1).
    structure : Structure
        Which physics to use.
    """
    kind = np.array(swatches.kind)
    usual = np.where(
        kind == "powder",
        values["powder_ph"],
        np.where(kind == "base-break", values["base_break_ph"], values["cream_ph"]),
    )
    ph = np.where(np.isnan(swatches.ph), usual, swatches.ph)
    alkali = hydroperoxide_fraction(ph, values["peroxide_pka"])
    alkali = alkali / hydroperoxide_fraction(values["reference_ph"], values["peroxide_pka"])
    heat = arrhenius_factor(
        swatches.temperature_c, values["reference_temperature"], values["activation_energy"]
    )
    strength = volume_to_molar(swatches.on_head_volume) / REFERENCE_MOLAR
    strength = strength ** values.get("peroxide_order", 1.0) * REFERENCE_MOLAR
    boost = np.where(kind == "powder", values["powder_boost"], 1.0)
    rate = values["lightening_rate"] * strength * alkali * heat * boost
    if structure.uptake:
        finer = (values["reference_fibre"] / swatches.fibre_um) ** 2
        dose = contact_dose(swatches.minutes, values["uptake_rate"] * finer, values["fade_minutes"])
    else:
        dose = swatches.minutes * mean_decay(swatches.minutes / values["fade_minutes"])
    return np.asarray(rate * dose)


def _violet(swatches: Swatches, values: Values) -> Floats:
    """Dose of violet in each row: only a base-break cream carries tone."""
    carried = np.where(
        np.array(swatches.kind) == "base-break", values["base_break_violet_dose"], 0.0
    )
    return tone_formed(swatches.minutes, carried, values["tone_minutes"])


def _reflectance(pigment: Pigment, violet: Floats, values: Values) -> Floats:
    """Reflectance of each row at few wavelengths; optical values may vary by set."""
    dyed = bool(np.any(violet))
    wavelength = few_wavelengths(DYED_COUNT if dyed else PLAIN_COUNT)

    def shape(name: str) -> Floats:
        return exponential_shape(wavelength, _wave(values[f"{name}_slope"]))

    sigma: Any = _wave(values["keratin_strength"]) * shape("keratin")
    for name in ("eumelanin", "pheomelanin", "half_oxidised"):
        sigma = sigma + _wave(getattr(pigment, name)) * shape(name)
    if dyed:
        sigma = sigma + violet[..., None] * dye_band("violet").absorption(wavelength)
    path = diffusion(values["azimuthal_roughness"])
    surface = _wave(values["surface_reflectance"]) * shape("surface")
    # Typed as a number, the path is only multiplied: one a set does as well.
    by_set: Any = path[..., None] if path.ndim else path
    return hair_reflectance(sigma, by_set, surface)


def _wave(value: Any) -> Any:
    """Give a value a last axis for the wavelengths."""
    return np.asarray(value)[..., None]
