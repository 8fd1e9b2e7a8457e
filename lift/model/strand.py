"""From a strand's pigment to its colour, with the optics of one curve set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.chemistry.decay import two_step_intermediate
from lift.errors import Floats
from lift.model.curves import Values
from lift.model.hair import Hair
from lift.optics.colorimetry import reflectance_to_lab
from lift.optics.dyes import dye_band
from lift.optics.pigments import absorption
from lift.optics.reflectance import diffusion, hair_reflectance, surface_reflectance
from lift.optics.weights import WAVELENGTHS_NM


@dataclass(frozen=True, eq=False)
class Pigment:
    """What absorbs in a fibre, as absorption per fibre radius at 550 nm, any broadcasting shape.

    Parameters
    ----------
    eumelanin, pheomelanin, half_oxidised : numpy.ndarray
        Each >= 0.
    """

    eumelanin: Floats
    pheomelanin: Floats
    half_oxidised: Floats


def natural_pigment(level: Any, pheomelanin_share: Any, values: Values) -> Pigment:
    """Pigment of natural hair: one level is one equal ratio of melanin.

    Parameters
    ----------
    level : array_like
        Natural level [-].
    pheomelanin_share : array_like
        Pheomelanin in all melanin [-], 0 to 1.
    values : mapping
        Parameter values.

    Returns
    -------
    Pigment
        Shapes broadcast.
    """
    melanin = values["melanin_at_level_3"] * np.exp(
        -values["level_ratio"] * (np.asarray(level, dtype=np.float64) - 3.0)
    )
    share = np.asarray(pheomelanin_share, dtype=np.float64)
    return Pigment(
        values["eumelanin_strength"] * melanin * (1.0 - share),
        values["pheomelanin_strength"] * melanin * share,
        np.zeros(np.broadcast_shapes(melanin.shape, share.shape)),
    )


def lightened(natural: Pigment, exposure: Any, values: Values) -> Pigment:
    """Pigment after lightening.

    Eumelanin decays as ``exp(-exposure)``, part of it by way of half-oxidised melanin, which is
    lost at its own rate; pheomelanin decays at its own rate. The closed form of the two-step
    chain holds for any ratio of rates, equal ones included.

    Parameters
    ----------
    natural : Pigment
        Before any lightening.
    exposure : array_like
        Rate constant times dose [-], >= 0, counted from natural hair.
    values : mapping
        Parameter values.

    Returns
    -------
    Pigment
        Shapes broadcast.
    """
    exposure = np.asarray(exposure, dtype=np.float64)
    intermediate = two_step_intermediate(exposure, values["half_oxidised_rate_ratio"] * exposure)
    return Pigment(
        natural.eumelanin * np.exp(-exposure),
        natural.pheomelanin * np.exp(-values["pheomelanin_rate_ratio"] * exposure),
        natural.eumelanin * values["half_oxidised_yield"] * intermediate + natural.half_oxidised,
    )


def strand_reflectance(
    pigment: Pigment,
    values: Values,
    *,
    tone: Mapping[str, Any] | None = None,
    grey_percent: Any = 0.0,
) -> Floats:
    """Reflectance of the strand, 380 to 780 nm at 5 nm.

    Parameters
    ----------
    pigment : Pigment
        Any broadcasting shape.
    values : mapping
        Parameter values; the optical ones are single numbers.
    tone : mapping of str to array_like, optional
        Dose of each dye band [0.01 absorption per fibre radius], broadcasting.
    grey_percent : array_like
        Unpigmented fibres [%], mixed linearly side by side.

    Returns
    -------
    numpy.ndarray
        Fraction, shape (..., 81).
    """
    tone = tone or {}
    grey = np.asarray(grey_percent, dtype=np.float64) / 100.0
    parts = np.broadcast_arrays(
        pigment.eumelanin,
        pigment.pheomelanin,
        pigment.half_oxidised,
        values["keratin_strength"],
        *tone.values(),
        grey,
    )
    amounts = np.stack(parts[:-1], axis=-1)
    slopes = [values[f"{n}_slope"] for n in ("eumelanin", "pheomelanin", "half_oxidised")]
    sigma = absorption(WAVELENGTHS_NM, amounts[..., :4], [*slopes, values["keratin_slope"]])
    dyed: Any = 0.0
    for index, name in enumerate(tone):
        dyed = dyed + amounts[..., 4 + index, None] * dye_band(name).absorption(WAVELENGTHS_NM)
    sigma += dyed
    path = float(diffusion(values["azimuthal_roughness"]))
    surface = surface_reflectance(
        WAVELENGTHS_NM, values["surface_reflectance"], values["surface_slope"]
    )
    pigmented = hair_reflectance(sigma, path, surface)
    if not np.any(grey > 0.0):
        return pigmented
    bare = amounts[..., 3:4] @ np.exp(-values["keratin_slope"] * (WAVELENGTHS_NM[None, :] - 550.0))
    unpigmented = hair_reflectance(bare + dyed, path, surface)
    share = np.asarray(parts[-1])[..., None]
    return (1.0 - share) * pigmented + share * unpigmented


def strand_lab(
    pigment: Pigment,
    values: Values,
    *,
    tone: Mapping[str, Any] | None = None,
    grey_percent: Any = 0.0,
    illuminant: str = "D65",
    observer: int = 10,
) -> Floats:
    """CIELAB of the strand (default D65, 10 degree observer), shape (..., 3)."""
    reflectance = strand_reflectance(pigment, values, tone=tone, grey_percent=grey_percent)
    return reflectance_to_lab(reflectance, illuminant, observer)


def hair_pigment(hair: Hair, values: Values) -> Pigment:
    """Pigment of the hair before any lightening."""
    share = hair.pheomelanin_share
    return natural_pigment(
        hair.level, values["pheomelanin_share"] if share is None else share, values
    )
