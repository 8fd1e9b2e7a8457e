"""Strength of the developer: units, mixing, the legal limit, and what drives its rate."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, LimitError, check_range

MOLAR_GAS_VOLUME = 22.414
"""Litres that a mole of an ideal gas fills at 0 C and 1 atm [L/mol] (CODATA)."""

MOLAR_MASS = 34.0147
"""Hydrogen peroxide, 2 x 1.00794 + 2 x 15.9994 [g/mol] (IUPAC atomic weights)."""

GAS_CONSTANT = 8.314462618
"""Molar gas constant [J/(mol K)] (CODATA 2018)."""

PEROXIDE_PKA = 11.75
"""pKa of hydrogen peroxide at 20 C (Ka = 1.78e-12)."""

LIMIT_VOLUME = 40.0
"""Highest strength on the head [vol]: Regulation (EC) 1223/2009, Annex III entry 12."""

MAX_VOLUME = 500.0
"""End of the scale [vol]: pure peroxide is about 480 vol (1.45 g/mL, from memory)."""

_MOLAR_PER_VOLUME = 2.0 / MOLAR_GAS_VOLUME  # 2 H2O2 -> 2 H2O + O2
_PERCENT_PER_VOLUME = _MOLAR_PER_VOLUME * MOLAR_MASS / 10.0  # 1 g/L is 0.1 % w/v


def volume_to_molar(volume: ArrayLike) -> Floats:
    """Concentration of a developer from its volume strength.

    "n volume" gives off n volumes of oxygen (0 C, 1 atm), so ``[H2O2] = 2 n / 22.414``.

    Parameters
    ----------
    volume : array_like
        Strength [vol], 0 to 500, any shape.

    Returns
    -------
    numpy.ndarray
        Concentration [mol/L], same shape.

    Raises
    ------
    LiftError
        For a strength out of range or not a number.
    """
    return check_range("strength", volume, 0.0, MAX_VOLUME, "vol") * _MOLAR_PER_VOLUME


def molar_to_volume(molar: ArrayLike) -> Floats:
    """Volume strength [vol] from concentration [mol/L], 0 to 44.6; inverse of `volume_to_molar`.

    Raises
    ------
    LiftError
        For a concentration out of range or not a number.
    """
    top = MAX_VOLUME * _MOLAR_PER_VOLUME
    return check_range("concentration", molar, 0.0, top, "mol/L") / _MOLAR_PER_VOLUME


def volume_to_percent(volume: ArrayLike) -> Floats:
    """Hydrogen peroxide [% w/v] in a developer of a given volume strength.

    Parameters
    ----------
    volume : array_like
        Strength [vol], 0 to 500, any shape.

    Returns
    -------
    numpy.ndarray
        Grams of H2O2 in 100 mL [% w/v], same shape. Labels often round it: 3, 6, 9, 12 %
        for 10, 20, 30, 40 vol.

    Raises
    ------
    LiftError
        For a strength out of range or not a number.
    """
    return check_range("strength", volume, 0.0, MAX_VOLUME, "vol") * _PERCENT_PER_VOLUME


def percent_to_volume(percent: ArrayLike) -> Floats:
    """Volume strength [vol] from H2O2 [% w/v], 0 to 151.8; inverse of `volume_to_percent`.

    Raises
    ------
    LiftError
        For a percentage out of range or not a number.
    """
    top = MAX_VOLUME * _PERCENT_PER_VOLUME
    return check_range("peroxide", percent, 0.0, top, "% w/v") / _PERCENT_PER_VOLUME


def mix_developers(volumes: ArrayLike, parts: ArrayLike) -> float:
    """Strength of several developers poured together, each weighted by its parts.

    Parameters
    ----------
    volumes : array_like
        Strength of each developer [vol], 0 to 500, shape (n,).
    parts : array_like
        Parts by volume of each [-], 0 to 1000, shape (n,); not all zero.

    Returns
    -------
    float
        Strength of the blend [vol].

    Raises
    ------
    LiftError
        For a value out of range, lists of different length, or no parts at all.
    """
    strength = np.atleast_1d(check_range("strength", volumes, 0.0, MAX_VOLUME, "vol"))
    weight = np.atleast_1d(check_range("parts", parts, 0.0, 1000.0))
    if strength.ndim != 1 or strength.shape != weight.shape:
        raise LiftError(
            f"{strength.size} developer strengths and {weight.size} parts do not pair up; "
            "give one number of parts for each developer"
        )
    if not weight.sum() > 0.0:
        raise LiftError("developer parts add up to 0; at least one must be above 0")
    blend = float(weight @ strength / weight.sum())
    # Rounding must not push a blend past its strongest part, and so past a limit.
    return min(max(blend, float(strength.min())), float(strength.max()))


def on_head_volume(
    volume: ArrayLike, developer_parts: ArrayLike, product_parts: ArrayLike = 1.0
) -> Floats:
    """Strength of the mixture on the head, where the product dilutes the developer.

    Parameters
    ----------
    volume : array_like
        Strength of the developer [vol], 0 to 500.
    developer_parts, product_parts : array_like
        Parts by volume of each [-], 0 to 1000; not both zero.

    Returns
    -------
    numpy.ndarray
        Strength ready for use [vol], broadcast shape.

    Raises
    ------
    LiftError
        For a value out of range or an empty mixture.
    """
    strength = check_range("strength", volume, 0.0, MAX_VOLUME, "vol")
    developer = check_range("developer parts", developer_parts, 0.0, 1000.0)
    product = check_range("product parts", product_parts, 0.0, 1000.0)
    whole = developer + product
    if not np.all(whole > 0.0):
        raise LiftError("developer and product parts are both 0; one must be above 0")
    return np.asarray(strength * developer / whole)


def check_on_head(volume: ArrayLike) -> Floats:
    """Return the strength on the head when European law allows it.

    Regulation (EC) 1223/2009, Annex III entry 12 (as replaced by (EU) 2019/831), allows hair
    products at most 12 % H2O2 (40 volumes), present or released, ready for use. The limit is
    held in volumes, where it is exact: 40 vol is 12.1 g in 100 mL and, at 1.04 g/mL (from
    memory), 11.7 % by weight.

    Parameters
    ----------
    volume : array_like
        Strength ready for use [vol], any shape.

    Returns
    -------
    numpy.ndarray
        `volume` as floats.

    Raises
    ------
    LimitError
        Above 40 vol.
    LiftError
        For a strength out of 0 to 500 vol or not a number.
    """
    strength = check_range("strength on the head", volume, 0.0, MAX_VOLUME, "vol")
    # The slack lets through a ratio that comes to 40 but for rounding.
    if np.any(strength > LIMIT_VOLUME * (1.0 + 1e-9)):
        worst = float(strength.max())
        raise LimitError(
            f"strength on the head {worst:.4g} vol ({float(volume_to_percent(worst)):.1f} % H2O2) "
            f"is refused: Regulation (EC) 1223/2009, Annex III entry 12, allows at most 12 % H2O2 "
            f"(40 volumes) in hair products ready for use; nearest allowed: {LIMIT_VOLUME:g} vol"
        )
    return strength


def hydroperoxide_fraction(ph: ArrayLike, pka: ArrayLike = PEROXIDE_PKA) -> Floats:
    """Share of peroxide present as the hydroperoxide anion HO2-, which bleaches.

    ``1 / (1 + 10^(pKa - pH))`` (Henderson-Hasselbalch, dilute solution).

    Parameters
    ----------
    ph : array_like
        pH of the mixture [-], 0 to 14.
    pka : array_like
        pKa of hydrogen peroxide [-], 5 to 16.

    Returns
    -------
    numpy.ndarray
        Fraction, 0 to 1, broadcast shape.

    Raises
    ------
    LiftError
        For a value out of range or not a number.
    """
    acid = check_range("pKa", pka, 5.0, 16.0)
    return np.asarray(1.0 / (1.0 + 10.0 ** (acid - check_range("pH", ph, 0.0, 14.0))))


def arrhenius_factor(
    temperature_c: ArrayLike, reference_c: ArrayLike, activation_kj_per_mol: ArrayLike
) -> Floats:
    """Factor on a rate at one temperature against another.

    ``exp(Ea / R (1 / T_ref - 1 / T))``.

    Parameters
    ----------
    temperature_c, reference_c : array_like
        Temperature of the mixture and of the reference [C], 0 to 100.
    activation_kj_per_mol : array_like
        Activation energy [kJ/mol], 0 to 200.

    Returns
    -------
    numpy.ndarray
        Factor, 1 at the reference, broadcast shape.

    Raises
    ------
    LiftError
        For a value out of range or not a number.
    """
    here = check_range("temperature", temperature_c, 0.0, 100.0, "C") + 273.15
    there = check_range("reference temperature", reference_c, 0.0, 100.0, "C") + 273.15
    energy = check_range("activation energy", activation_kj_per_mol, 0.0, 200.0, "kJ/mol")
    return np.asarray(np.exp(energy * 1000.0 / GAS_CONSTANT * (1.0 / there - 1.0 / here)))
