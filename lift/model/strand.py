"""From a strand's pigment to its colour, with the optics of one curve set."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING, Any

import numpy as np

from lift.chemistry.decay import two_step_intermediate
from lift.errors import Floats
from lift.model.curves import RED_SHARE, Values
from lift.model.misfit import off_by
from lift.optics.colorimetry import EPSILON, KAPPA
from lift.optics.dyes import DyeBand, dye_band
from lift.optics.few_wavelengths import few_to_lab, few_wavelengths, few_weights
from lift.optics.pigments import absorption
from lift.optics.reflectance import diffusion, hair_reflectance, surface_reflectance
from lift.optics.weights import WAVELENGTHS_NM
from lift.results import Result

if TYPE_CHECKING:
    from lift.model.hair import Hair

PLAIN_COUNT = 24
DYED_COUNT = 36
"""Wavelengths that colour is computed from. Against all 81, in CIELAB of daylight, undyed hair is
off by less than 1e-10, a dose of 6 of any dye by less than 2e-6, 60 of every dye by 3e-4."""


Tone = Mapping[Any, Any]
"""Dose by dye, which is the name of a shipped band or a band of one's own."""


@dataclass(frozen=True, eq=False, repr=False)
class Pigment(Result):
    """What absorbs in a fibre, as absorption per fibre radius at 550 nm, any broadcasting shape.

    Parameters
    ----------
    eumelanin, pheomelanin : numpy.ndarray
        Each >= 0.
    half_oxidised, oxidised_pheomelanin : numpy.ndarray
        What lightening makes of each before it is lost, each >= 0.
    off : tuple of numpy.ndarray, optional
        What the colour is off by in L*, a*, b*, see `lift.model.misfit`; None where by nothing.
    """

    eumelanin: Floats
    pheomelanin: Floats
    half_oxidised: Floats
    oxidised_pheomelanin: Floats
    off: tuple[Any, Any, Any] | None = field(default=None, kw_only=True)

    @property
    def amounts(self) -> tuple[Floats, ...]:
        """All amounts, in the order of `ABSORBERS`."""
        return tuple(getattr(self, name) for name in ABSORBERS)

    def map(self, function: Callable[[Floats], Any]) -> Pigment:
        """Return the pigment with a function applied to each amount, and to what it is off by."""
        off: Any = None if self.off is None else tuple(map(function, self.off))
        return Pigment(*map(function, self.amounts), off=off)


ABSORBERS = tuple(f.name for f in fields(Pigment) if f.name != "off")


def natural_pigment(level: Any, pheomelanin_share: Any, values: Values) -> Pigment:
    """Pigment of natural hair: one level is one equal ratio of melanin.

    Level and share of pheomelanin in all melanin [-] broadcast.
    """
    melanin = values["melanin_at_level_3"] * np.exp(
        -values["level_ratio"] * (np.asarray(level, dtype=np.float64) - 3.0)
    )
    share = np.asarray(pheomelanin_share, dtype=np.float64)
    none = np.zeros(np.broadcast_shapes(melanin.shape, share.shape))
    return Pigment(
        values["eumelanin_strength"] * melanin * (1.0 - share),
        values["pheomelanin_strength"] * melanin * share,
        none,
        none,
        off=off_by(values, none),
    )


def lightened(natural: Pigment, exposure: Any, values: Values) -> Pigment:
    """Pigment after lightening.

    Eumelanin decays as ``exp(-exposure)`` and pheomelanin at its own rate, part of either by way
    of an intermediate of its own, which is lost at a rate of its own. The closed form of the
    two-step chain holds for any ratio of rates, equal ones included.

    Parameters
    ----------
    natural : Pigment
        Before any lightening.
    exposure : array_like
        Rate constant times dose [-], >= 0, counted from natural hair, broadcasting.
    values : mapping
        Parameter values.
    """
    exposure = np.asarray(exposure, dtype=np.float64)
    slower = values["pheomelanin_rate_ratio"] * exposure
    lost = values["half_oxidised_rate_ratio"] * exposure
    lost_red = values["oxidised_pheomelanin_rate_ratio"] * exposure
    fed = values["half_oxidised_yield"] * two_step_intermediate(exposure, lost)
    fed_red = values["oxidised_pheomelanin_yield"] * two_step_intermediate(slower, lost_red)
    return Pigment(
        natural.eumelanin * np.exp(-exposure),
        natural.pheomelanin * np.exp(-slower),
        natural.eumelanin * fed + natural.half_oxidised * np.exp(-lost),
        natural.pheomelanin * fed_red + natural.oxidised_pheomelanin * np.exp(-lost_red),
        off=off_by(values, exposure),
    )


@dataclass(frozen=True, eq=False)
class Fibres:
    """Two kinds of fibres that lie side by side, and what the eye makes of them.

    Parameters
    ----------
    pigmented : numpy.ndarray
        Reflectance, shape (..., n), or CIELAB, shape (..., 3), of the pigmented fibres.
    white : numpy.ndarray or None
        The same of the white fibres, those that colour does not take among them; None where no
        hair is grey.
    blend : numpy.ndarray
        The same of both as the eye blends them: reflectances mix linearly.
    """

    pigmented: Floats
    white: Floats | None
    blend: Floats


def strand_reflectance(
    pigment: Pigment,
    values: Values,
    *,
    tone: Tone | None = None,
    grey_percent: Any = 0.0,
    resistant_percent: Any = 0.0,
    wavelength_nm: Floats = WAVELENGTHS_NM,
) -> Floats:
    """Reflectance of the strand as the eye blends its fibres, fraction, shape (..., n).

    Parameters
    ----------
    pigment : Pigment
        Of the pigmented fibres, any broadcasting shape.
    values : mapping
        Parameter values, numbers or arrays that broadcast with the pigment.
    tone : mapping of str to array_like, optional
        Dose of each dye band, by its name or itself [0.01 absorption per fibre radius],
        broadcasting.
    grey_percent : array_like
        White, unpigmented fibres among all [%], mixed linearly side by side.
    resistant_percent : array_like
        White fibres that take no tone, among the white ones [%].
    wavelength_nm : numpy.ndarray
        Wavelengths [nm], shape (n,); default 380 to 780 nm at 5 nm.
    """
    return _reflectances(
        pigment, values, tone, grey_percent, resistant_percent, wavelength_nm
    ).blend


def _reflectances(
    pigment: Pigment,
    values: Values,
    tone: Tone | None,
    grey_percent: Any,
    resistant_percent: Any,
    wavelength_nm: Floats,
) -> Fibres:
    amounts = np.stack(
        np.broadcast_arrays(*pigment.amounts, values["keratin_strength"]),
        axis=-1,
    )
    slopes = [values[f"{name}_slope"] for name in ABSORBERS]
    sigma = absorption(wavelength_nm, amounts, [*slopes, values["keratin_slope"]])
    dyed: Any = 0.0
    for dye, dose in (tone or {}).items():
        band = dye if isinstance(dye, DyeBand) else dye_band(dye)
        dyed = dyed + np.asarray(dose, dtype=np.float64)[..., None] * band.absorption(wavelength_nm)
    path = diffusion(values["azimuthal_roughness"])[..., None]
    surface = surface_reflectance(
        wavelength_nm,
        np.asarray(values["surface_reflectance"])[..., None],
        np.asarray(values["surface_slope"])[..., None],
    )
    pigmented = hair_reflectance(sigma + dyed if tone else sigma, path, surface)
    grey = np.asarray(grey_percent, dtype=np.float64) / 100.0
    if not np.any(grey > 0.0):
        return Fibres(pigmented, None, pigmented)
    bare = absorption(wavelength_nm, amounts[..., -1:], [values["keratin_slope"]])
    white = hair_reflectance(bare + dyed, path, surface)
    resistant = np.asarray(resistant_percent, dtype=np.float64)[..., None] / 100.0
    if tone and np.any(resistant > 0.0):
        white = (1.0 - resistant) * white + resistant * hair_reflectance(bare, path, surface)
    share = grey[..., None]
    return Fibres(pigmented, white, (1.0 - share) * pigmented + share * white)


def strand_lab(
    pigment: Pigment,
    values: Values,
    *,
    tone: Tone | None = None,
    grey_percent: Any = 0.0,
    resistant_percent: Any = 0.0,
    illuminant: str = "D65",
    observer: int = 10,
) -> Floats:
    """CIELAB of the strand as the eye blends its fibres (default D65, 10 degree observer).

    Shape (..., 3). Hair's spectra are smooth, so few wavelengths suffice (see `PLAIN_COUNT`).
    """
    reflectance = strand_reflectance(
        pigment,
        values,
        tone=tone,
        grey_percent=grey_percent,
        resistant_percent=resistant_percent,
        wavelength_nm=few_wavelengths(DYED_COUNT if tone else PLAIN_COUNT),
    )
    lab = few_to_lab(reflectance, illuminant, observer)
    return _off(lab, pigment, 1.0 - np.asarray(grey_percent, dtype=np.float64) / 100.0)


def _off(lab: Floats, pigment: Pigment, share: Any = 1.0) -> Floats:
    """Colours of strands of which a share has this pigment, with what they are off by."""
    if pigment.off is None:
        return lab
    off = np.stack(np.broadcast_arrays(*pigment.off), axis=-1)
    moved = np.asarray(lab + np.asarray(share)[..., None] * off)
    moved[..., 0] = np.clip(moved[..., 0], 0.0, 100.0)
    return moved


def strand_fibres(
    pigment: Pigment,
    values: Values,
    *,
    tone: Tone | None = None,
    grey_percent: Any = 0.0,
    resistant_percent: Any = 0.0,
) -> Fibres:
    """CIELAB of both kinds of fibres and of their blend (D65, 10 degree observer)."""
    few = few_wavelengths(DYED_COUNT if tone else PLAIN_COUNT)
    shown = _reflectances(pigment, values, tone, grey_percent, resistant_percent, few)
    pigmented = _off(few_to_lab(shown.pigmented), pigment)
    if shown.white is None:
        return Fibres(pigmented, None, pigmented)
    share = 1.0 - np.asarray(grey_percent, dtype=np.float64) / 100.0
    blend = _off(few_to_lab(shown.blend), pigment, share)
    return Fibres(pigmented, few_to_lab(shown.white), blend)


def white_lab(values: Values) -> Floats:
    """CIELAB of a white fibre that has taken no colour (D65, 10 degree observer), shape (3,)."""
    return strand_lab(natural_pigment(1.0, 0.0, values), values, grey_percent=100.0)


def strand_lightness(pigment: Pigment, values: Values) -> Floats:
    """L* of the strand, undyed and without grey (D65, 10 degree observer), shape (...)."""
    reflectance = strand_reflectance(pigment, values, wavelength_nm=few_wavelengths(PLAIN_COUNT))
    ratio = reflectance @ few_weights(PLAIN_COUNT)[:, 1] / 100.0
    dark = KAPPA * ratio
    lightness = np.where(ratio > EPSILON, 116.0 * np.cbrt(ratio) - 16.0, dark)
    if pigment.off is None:
        return lightness
    return np.asarray(np.clip(lightness + pigment.off[0], 0.0, 100.0))


def hair_pigment(hair: Hair, values: Values) -> Pigment:
    """Pigment of the hair before any lightening."""
    return natural_pigment(hair.level, hair_share(hair.pheomelanin_share, values), values)


def hair_share(given: Any, values: Values) -> Any:
    """Pheomelanin in all melanin [-], of brown and blond hair where none is given.

    What is given is as uncertain as the share of red hair: it moves with the curve set's.
    """
    if given is None:
        return values["pheomelanin_share"]
    return np.minimum(given * (values["red_share"] / RED_SHARE), 1.0)
