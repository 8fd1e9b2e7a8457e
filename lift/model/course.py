"""Course: from the conditions on a strand to its exposure; the one forward model.

Every function broadcasts: over the times and members of one strand (`lift.model.trajectory`), over
the rows and parameter sets of measured swatches (`lift.research.swatches.forward`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from lift.chemistry.decay import mean_decay
from lift.chemistry.strength import arrhenius_factor, hydroperoxide_fraction, volume_to_molar
from lift.chemistry.uptake import contact_dose
from lift.errors import Floats
from lift.model.curves import Parameter, Values
from lift.model.hair import Hair
from lift.model.mixture import Mixture

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
        Whether part of the melanin goes by way of half-oxidised melanin; off, its yield is 0.
    uptake : bool
        Whether peroxide has to soak in; off, the fibre is as strong inside as its surface.
    """

    half_oxidised: bool = True
    uptake: bool = True


STANDARD = Structure()


@dataclass(frozen=True, eq=False)
class Conditions:
    """What acts on a strand; numbers or arrays that broadcast, already checked.

    Parameters
    ----------
    minutes : array_like
        Processing time [min].
    on_head_volume : array_like
        Strength as it lies on the hair [vol].
    ph, temperature_c : array_like
        pH [-] and temperature [C] of the mixture.
    boost : array_like
        Factor of the oxidant beside peroxide on the rate [-].
    fibre_um : array_like
        Fibre diameter [um].
    damp : bool or array_like of bool
        Whether water in the hair dilutes the mixture.
    prior_exposure : array_like
        Exposure that earlier lightening amounts to [-].
    tone : mapping of str to array_like
        Dose of each dye carried [0.01 absorption per fibre radius].
    tone_minutes : array_like
        Time constant with which it forms [min].
    structure : Structure
        Which physics acts.
    """

    minutes: Any
    on_head_volume: Any
    ph: Any
    boost: Any
    temperature_c: Any
    fibre_um: Any
    damp: Any = False
    prior_exposure: Any = 0.0
    tone: Mapping[str, Any] = field(default_factory=dict)
    tone_minutes: Any = 1.0
    structure: Structure = STANDARD


def conditions_of(
    hair: Hair, mixture: Mixture, minutes: Floats, values: Values, prior_exposure: Any = 0.0
) -> Conditions:
    """Conditions on a strand; what the mixture does not give is the curve set's."""
    return Conditions(
        minutes=minutes,
        on_head_volume=mixture.on_head_volume,
        temperature_c=mixture.temperature_c,
        fibre_um=hair.fibre_um,
        damp=hair.damp,
        prior_exposure=prior_exposure,
        **mixture.properties(values),
    )


def rate(on: Conditions, values: Values) -> Floats:
    """Rate of the eumelanin decay once peroxide has soaked in [1/min]."""
    alkali = hydroperoxide_fraction(on.ph, values["peroxide_pka"])
    alkali = alkali / hydroperoxide_fraction(values["reference_ph"], values["peroxide_pka"])
    heat = arrhenius_factor(
        on.temperature_c, values["reference_temperature"], values["activation_energy"]
    )
    molar = volume_to_molar(on.on_head_volume)
    if PEROXIDE_ORDER.name in values:
        molar = (molar / REFERENCE_MOLAR) ** values[PEROXIDE_ORDER.name] * REFERENCE_MOLAR
    water = np.where(on.damp, values["damp_dilution"], 1.0)
    return np.asarray(values["lightening_rate"] * molar * water * alkali * heat * on.boost)


def uptake(on: Conditions, values: Values) -> Floats:
    """Diffusion of peroxide into a fibre, D/r^2 [1/min]; earlier lightening speeds it up."""
    finer = (values["reference_fibre"] / np.asarray(on.fibre_um)) ** 2
    opened = 1.0 + values["porosity_gain"] * -np.expm1(
        -np.asarray(on.prior_exposure) / values["porosity_exposure"]
    )
    return np.asarray(values["uptake_rate"] * finer * opened)


def exposure(on: Conditions, values: Values) -> Floats:
    """Rate constant times dose, counted from natural hair [-]."""
    if on.structure.uptake:
        dose = contact_dose(on.minutes, uptake(on, values), values["fade_minutes"])
    else:
        dose = on.minutes * mean_decay(on.minutes / values["fade_minutes"])
    return np.asarray(on.prior_exposure + rate(on, values) * dose)


def tone_formed(minutes: Any, dose: Any, tone_minutes: Any) -> Floats:
    """Dose formed after a time: ``dose (1 - exp(-t / tau))``, same unit as `dose`."""
    return np.asarray(dose * -np.expm1(-np.asarray(minutes) / tone_minutes))


def tones_formed(on: Conditions) -> dict[str, Floats]:
    """Dose of each dye formed by then [0.01 absorption per fibre radius]."""
    return {dye: tone_formed(on.minutes, dose, on.tone_minutes) for dye, dose in on.tone.items()}
