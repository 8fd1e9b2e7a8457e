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
    """Concentration [mol/L] of a developer from its volume strength [vol].

    "n volume" gives off n volumes of oxygen (0 C, 1 atm), so ``[H2O2] = 2 n / 22.414``.
    """
    return np.asarray(np.asarray(volume, dtype=np.float64) * _MOLAR_PER_VOLUME)


def molar_to_volume(molar: ArrayLike) -> Floats:
    """Volume strength [vol] from concentration [mol/L]; inverse of `volume_to_molar`."""
    return np.asarray(np.asarray(molar, dtype=np.float64) / _MOLAR_PER_VOLUME)


def volume_to_percent(volume: ArrayLike) -> Floats:
    """Grams of H2O2 in 100 mL [% w/v] of a developer of a volume strength [vol].

    Labels often round it: 3, 6, 9, 12 % for 10, 20, 30, 40 vol.
    """
    return np.asarray(np.asarray(volume, dtype=np.float64) * _PERCENT_PER_VOLUME)


def percent_to_volume(percent: ArrayLike) -> Floats:
    """Volume strength [vol] from H2O2 [% w/v]; inverse of `volume_to_percent`."""
    return np.asarray(np.asarray(percent, dtype=np.float64) / _PERCENT_PER_VOLUME)


def mix_developers(volumes: ArrayLike, parts: ArrayLike) -> float:
    """Strength [vol] of several developers poured together, each weighted by its parts.

    Parameters
    ----------
    volumes, parts : array_like
        Strength [vol] and parts by volume [-] of each developer, shape (n,).

    Raises
    ------
    LiftError
        For lists of different length, or no parts at all.
    """
    strength = np.atleast_1d(np.asarray(volumes, dtype=np.float64))
    weight = np.atleast_1d(np.asarray(parts, dtype=np.float64))
    if strength.ndim != 1 or strength.shape != weight.shape:
        raise LiftError("chemistry.no_pairs", strengths=strength.size, parts=weight.size)
    if not weight.sum() > 0.0:
        raise LiftError("chemistry.no_parts")
    blend = float(weight @ strength / weight.sum())
    # Rounding must not push a blend past its strongest part, and so past a limit.
    return min(max(blend, float(strength.min())), float(strength.max()))


def on_head_volume(
    volume: ArrayLike, developer_parts: ArrayLike, product_parts: ArrayLike = 1.0
) -> Floats:
    """Strength [vol] ready for use, where the product dilutes the developer.

    Parameters
    ----------
    volume : array_like
        Strength of the developer [vol].
    developer_parts, product_parts : array_like
        Parts by volume of each [-]; not both zero.
    """
    developer = np.asarray(developer_parts, dtype=np.float64)
    whole = developer + np.asarray(product_parts, dtype=np.float64)
    return np.asarray(np.asarray(volume, dtype=np.float64) * developer / whole)


def check_on_head(volume: ArrayLike) -> Floats:
    """Return the strength on the head [vol] when European law allows it.

    Regulation (EC) 1223/2009, Annex III entry 12 (as replaced by (EU) 2019/831), allows hair
    products at most 12 % H2O2 (40 volumes), present or released, ready for use. The limit is
    held in volumes, where it is exact: 40 vol is 12.1 g in 100 mL and, at 1.04 g/mL (from
    memory), 11.7 % by weight.

    Raises
    ------
    LimitError
        Above 40 vol.
    LiftError
        For a strength out of 0 to 500 vol or not a number.
    """
    strength = check_range("chemistry.on_head", volume, 0.0, MAX_VOLUME, "vol")
    # The slack lets through a ratio that comes to 40 but for rounding.
    if np.any(strength > LIMIT_VOLUME * (1.0 + 1e-9)):
        worst = float(strength.max())
        percent = float(volume_to_percent(worst))
        raise LimitError("chemistry.too_strong", volume=worst, percent=percent, most=LIMIT_VOLUME)
    return strength


def hydroperoxide_fraction(ph: ArrayLike, pka: ArrayLike = PEROXIDE_PKA) -> Floats:
    """Share [-] of peroxide present as the hydroperoxide anion HO2-, which bleaches.

    ``1 / (1 + 10^(pKa - pH))`` (Henderson-Hasselbalch, dilute solution); shapes broadcast.
    """
    acid = np.asarray(pka, dtype=np.float64) - np.asarray(ph, dtype=np.float64)
    return np.asarray(1.0 / (1.0 + 10.0**acid))


def arrhenius_factor(
    temperature_c: ArrayLike, reference_c: ArrayLike, activation_kj_per_mol: ArrayLike
) -> Floats:
    """Factor on a rate at one temperature [C] against another [C]; shapes broadcast.

    ``exp(Ea / R (1 / T_ref - 1 / T))``, Ea in kJ/mol.
    """
    here = np.asarray(temperature_c, dtype=np.float64) + 273.15
    there = np.asarray(reference_c, dtype=np.float64) + 273.15
    energy = np.asarray(activation_kj_per_mol, dtype=np.float64) * 1000.0
    return np.asarray(np.exp(energy / GAS_CONSTANT * (1.0 / there - 1.0 / here)))
