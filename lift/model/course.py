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
from lift.model.curves import Values
from lift.model.hair import Hair
from lift.model.mixture import Mixture

REFERENCE_MOLAR = 1.0
"""Strength at which the rate is the same whatever the response to HO2- [mol/L]."""

RATES = ("lightening_rate", "persulfate_rate")
"""Of each oxidant; a strand that is slow to lighten is slow to either."""

SPENT = (
    (0.322547689619392, 0.603154104341634),
    (1.745761101158347, 0.357418692437800),
    (4.536620296921128, 0.038887908515005),
    (9.395070912301133, 0.000539294705561),
)
"""Exponentials that stand for the second-order loss of peroxide: nodes and weights of the rule of
Gauss and Laguerre for four points (Abramowitz & Stegun 1964, table 25.9; from memory, tested)."""


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
        Factor on the rate of peroxide [-], of a mixture that is measured to be quicker.
    persulfate : array_like
        Rate of persulfate by itself, per share of powder in the mixture [1/min].
    powder_share : array_like
        Powder in the mixture [-], 0 to 1.
    film_ratio : array_like
        How long the film lasts against the curve set's ``fade_minutes`` [-].
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
    persulfate: Any = 0.0
    powder_share: Any = 0.0
    film_ratio: Any = 1.0
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
    water = np.where(on.damp, values["damp_dilution"], 1.0)
    anion = volume_to_molar(on.on_head_volume) * water * alkali / REFERENCE_MOLAR
    rate_of_anion = values["lightening_rate"] * anion ** values["hydroperoxide_order"]
    return np.asarray(rate_of_anion * REFERENCE_MOLAR * _heat(on, values) * on.boost)


def paced(values: Values, factor: Any) -> Values:
    """Values of a strand that is so many times as quick to lighten."""
    return {**values, **{name: values[name] * factor for name in RATES}}


def _heat(on: Conditions, values: Values) -> Floats:
    return arrhenius_factor(
        on.temperature_c, values["reference_temperature"], values["activation_energy"]
    )


def persulfate_rate(on: Conditions, values: Values) -> Floats:
    """Rate at which persulfate alone oxidises eumelanin once it has soaked in [1/min]."""
    water = np.where(on.damp, values["damp_dilution"], 1.0)
    return np.asarray(on.persulfate * on.powder_share * _heat(on, values) * water)


def uptake(on: Conditions, values: Values) -> Floats:
    """Diffusion of peroxide into a fibre, D/r^2 [1/min].

    Alkaline swelling speeds it up over the published one of neutral hair, and so does earlier
    lightening.
    """
    finer = (values["reference_fibre"] / np.asarray(on.fibre_um)) ** 2
    opened = 1.0 + values["porosity_gain"] * -np.expm1(
        -np.asarray(on.prior_exposure) / values["porosity_exposure"]
    )
    return np.asarray(values["uptake_rate"] * values["swelling_gain"] * finer * opened)


def exposure(on: Conditions, values: Values) -> Floats:
    """What oxidises the melanin, summed over time and counted from natural hair [-].

    Peroxide and persulfate each add their own part. Both soak in and dry with the film; peroxide
    is also spent, ``1/c = 1/c0 + k t``, which is an integral over exponentials and is summed at
    Gauss and Laguerre's nodes: of the strength, off by less than 3e-7 where k c0 t < 0.3, as in
    all usual services, and by less than 4e-4 up to 1.
    """
    film = values["fade_minutes"] * on.film_ratio
    soaked = uptake(on, values) if on.structure.uptake else None
    spent = values["peroxide_loss"] * volume_to_molar(on.on_head_volume)
    if np.any(np.asarray(spent) > 0.0):
        dose = sum(
            weight * _dose(on.minutes, soaked, 1.0 / (1.0 / film + node * spent))
            for node, weight in SPENT
        )
    else:
        dose = _dose(on.minutes, soaked, film)
    exposed = on.prior_exposure + rate(on, values) * dose
    if np.any(np.asarray(on.persulfate) > 0.0):
        exposed = exposed + persulfate_rate(on, values) * _dose(on.minutes, soaked, film)
    return np.asarray(exposed)


def _dose(minutes: Any, soaked: Any, film: Any) -> Any:
    """Time integral of what is inside, per strength at the start [min]."""
    if soaked is None:
        return minutes * mean_decay(minutes / film)
    return contact_dose(minutes, soaked, film)


def tone_formed(minutes: Any, dose: Any, tone_minutes: Any) -> Floats:
    """Dose formed after a time: ``dose (1 - exp(-t / tau))``, same unit as `dose`."""
    return np.asarray(dose * -np.expm1(-np.asarray(minutes) / tone_minutes))


def tones_formed(on: Conditions) -> dict[str, Floats]:
    """Dose of each dye formed by then [0.01 absorption per fibre radius]."""
    return {dye: tone_formed(on.minutes, dose, on.tone_minutes) for dye, dose in on.tone.items()}
