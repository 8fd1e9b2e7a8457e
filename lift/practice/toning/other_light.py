"""Other light: the same strand under daylight, lamps and LEDs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from lift.errors import Floats, LiftError
from lift.model.curves import CurveSet, default_curves
from lift.model.hair import Hair
from lift.model.mixture import check_doses
from lift.model.natural import TABLE_LEVELS
from lift.model.strand import Pigment, hair_share, natural_pigment, strand_reflectance
from lift.optics.adaptation import DAYLIGHT, colour_temperature, lab_under
from lift.optics.colorimetry import NOTICEABLE, chroma, delta_e_2000, reflectance_to_lab
from lift.optics.weights import PREPARED
from lift.practice.one_strand import check_grey, check_strand
from lift.quantities import quantities_of
from lift.results import Result
from lift.words import Note, note

SHARE = quantities_of(Hair)["pheomelanin_share"]

SALON_LIGHTS = MappingProxyType(
    {
        "daylight": DAYLIGHT,
        "bulb": "A",
        "warm-led": "LED-B1",
        "white-led": "LED-B3",
        "cold-led": "LED-B5",
        "tube": "FL11",
    }
)
"""What a salon may be lit by, and the CIE illuminant (CIE 15:2018) that stands for it: which lamp
is which in the trade's words is from memory."""


@dataclass(frozen=True, eq=False, repr=False)
class OtherLight(Result):
    """One strand under several lights; arrays of shape (lights,).

    Parameters
    ----------
    lights : tuple of str
        CIE illuminants.
    cct_k : numpy.ndarray
        Correlated colour temperature [K].
    lab : numpy.ndarray
        CIELAB as seen by an eye adapted to the light, relative to D65, shape (lights, 3); of grey
        hair that of the blend.
    shift : numpy.ndarray
        dE00 from the same strand by daylight (D65).
    natural_shift : numpy.ndarray
        dE00 by which natural hair as light as the strand shifts.
    warmth : numpy.ndarray
        C*ab of the pigmented fibres in excess of natural hair of the same L* in the same light
        [dC*].
    daylight_warmth : float
        The same by daylight.
    allowance : float
        Warmth that passes for natural [dC*], in this light as in any.
    """

    lights: tuple[str, ...]
    cct_k: Floats
    lab: Floats
    shift: Floats
    natural_shift: Floats
    warmth: Floats
    daylight_warmth: float
    allowance: float

    @property
    def neutral_by_daylight(self) -> bool:
        """Whether the strand passes for natural by daylight."""
        return self.daylight_warmth <= self.allowance

    @property
    def turns_warm(self) -> tuple[str, ...]:
        """Lights under which a strand no longer passes for natural that does by daylight."""
        if not self.neutral_by_daylight:
            return ()
        more = self.warmth - self.daylight_warmth >= NOTICEABLE
        warm = (self.warmth > self.allowance) & more
        return tuple(name for name, is_warm in zip(self.lights, warm, strict=True) if is_warm)

    @property
    def words(self) -> Note:
        """The outcome in a sentence."""
        most = int(np.argmax(self.shift))
        said = {"shift": float(self.shift[most]), "most": self.label(most)}
        said |= {"allowance": self.allowance}
        if self.turns_warm:
            lights = tuple(self.label(self.lights.index(name)) for name in self.turns_warm)
            return note("light.turns_warm", **said, lights=lights)
        if not self.neutral_by_daylight:
            return note("light.warm_already", **said)
        warmest = int(np.argmax(self.warmth))
        warmth = {"warmth": float(self.warmth[warmest]), "warmest": self.label(warmest)}
        return note("light.stays_neutral", **said, **warmth, lights=len(self.lights))

    def label(self, index: int) -> Note:
        """Name and colour temperature of a light, such as ``LED-B1 (2733 K)``."""
        return note("light.label", name=self.lights[index], kelvin=float(self.cct_k[index]))


def other_light(
    pigment: Pigment,
    tone: Mapping[str, float] | None = None,
    curves: CurveSet | None = None,
    *,
    lights: Iterable[str] = PREPARED,
    grey_percent: float = 0.0,
    resistant_percent: float = 0.0,
    pheomelanin_share: float | None = None,
) -> OtherLight:
    """See a strand under other lights.

    The eye takes a lamp for white after a while; complete CAT16 adaptation says what the strand
    then looks like in daylight terms. Natural hair shifts too, so warmth is counted from natural
    hair of its `pheomelanin_share` [-] in the same light, by default of brown and blond hair.

    `tone` is the dose of each dye [0.01 absorption per fibre radius]; `lights` are CIE illuminants
    out of `lift.optics.weights.PREPARED`.

    Examples
    --------
    >>> from lift.lab import infer_pigment
    >>> other_light(infer_pigment([56, 10, 30]).pigment, lights=("D65", "A")).neutral_by_daylight
    False
    """
    curves = curves or default_curves()
    values = curves.values
    names = tuple(dict.fromkeys(lights))
    if not names:
        raise LiftError("light.none")
    if pheomelanin_share is not None:
        pheomelanin_share = SHARE.number(pheomelanin_share)
    grey_percent, resistant_percent = check_grey(grey_percent, resistant_percent)
    state, doses = check_strand(pigment), check_doses(tone or {})
    pigmented = strand_reflectance(state, values, tone=doses)
    strand = strand_reflectance(
        state, values, tone=doses, grey_percent=grey_percent, resistant_percent=resistant_percent
    )
    by_day = reflectance_to_lab(strand)
    path_by_day = _natural_under(curves, pheomelanin_share, DAYLIGHT)
    like = int(np.argmin(np.abs(path_by_day[:, 0] - by_day[0])))
    lab = np.stack([lab_under(strand, name) for name in names])
    warm = np.stack([lab_under(pigmented, name) for name in names])
    natural = np.stack([_natural_under(curves, pheomelanin_share, name) for name in names])
    return OtherLight(
        lights=names,
        cct_k=np.array([colour_temperature(name) for name in names]),
        lab=lab,
        shift=delta_e_2000(lab, by_day),
        natural_shift=delta_e_2000(natural[:, like], path_by_day[like]),
        warmth=np.array([_excess(one, row) for one, row in zip(warm, natural, strict=True)]),
        daylight_warmth=_excess(lab_under(pigmented, DAYLIGHT), path_by_day),
        allowance=float(values["warmth_allowance"]),
    )


@lru_cache(maxsize=64)
def _natural_under(curves: CurveSet, pheomelanin_share: float | None, light: str) -> Floats:
    """CIELAB of natural hair of each of `TABLE_LEVELS` under a light, shape (levels, 3)."""
    values = curves.values
    natural = natural_pigment(TABLE_LEVELS, hair_share(pheomelanin_share, values), values)
    lab = lab_under(strand_reflectance(natural, values), light)
    lab.setflags(write=False)
    return lab


def _excess(lab: Floats, natural: Floats) -> float:
    """C*ab in excess of natural hair of the same L*, both in one light."""
    return float(chroma(lab) - np.interp(lab[0], natural[:, 0], chroma(natural)))
