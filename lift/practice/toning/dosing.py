"""Around the best dose: how forgiving it is, and what too little and too much look like."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.inverse import Inferred
from lift.model.natural import natural_path
from lift.model.strand import Pigment, strand_lab
from lift.optics.colorimetry import delta_e_2000
from lift.practice.tone import tone_direction
from lift.practice.toning.dose_search import Residual
from lift.practice.toning.verdict import NOTICED

HALF, DOUBLE = 0.5, 2.0
FACTORS = np.linspace(0.0, 4.0, 401)
WARM = ("red", "red-orange", "orange", "yellow-orange", "yellow")
COOL = ("blue-green", "blue", "blue-violet", "violet")


@dataclass(frozen=True, eq=False)
class DoseLook:
    """How a dose looks on the hair.

    Parameters
    ----------
    factor : float
        Multiple of the best dose [-].
    lab : numpy.ndarray
        Predicted CIELAB (D65, 10 degrees), shape (3,).
    warmth : float
        C*ab in excess of natural hair of the same L* [dC*].
    cast : str
        Painter's family of what is too much beside natural hair of that L*, or ``natural``.
    """

    factor: float
    lab: Floats
    warmth: float
    cast: str

    @property
    def words(self) -> str:
        """The look in a few words."""
        if self.cast == "natural":
            return "looks natural"
        if self.cast in WARM:
            return f"still warm, {self.cast}"
        way = "past neutral" if self.cast in COOL else "off to one side"
        return f"{way}, {self.cast} cast"


def toned_lab(
    pigment: Pigment, tone: Mapping[str, float], factor: ArrayLike, curves: CurveSet, grey: float
) -> Floats:
    """CIELAB of one or several strands at multiples of a tone, shape (..., 3)."""
    times = np.asarray(factor, dtype=np.float64)
    doses = {dye: dose * times for dye, dose in tone.items()}
    lab = strand_lab(pigment, curves.values, tone=doses, grey_percent=grey)
    return np.broadcast_to(lab, np.broadcast_shapes(lab.shape, (*times.shape, 3)))


def look_at(
    factor: float, pigment: Pigment, tone: Mapping[str, float], curves: CurveSet, grey: float
) -> DoseLook:
    """How a multiple of a tone looks on one strand."""
    lab = toned_lab(pigment, tone, factor, curves, grey)
    direction = tone_direction(lab, None, curves)
    cast = direction.excess_wheel if direction.needed else "natural"
    return DoseLook(factor, lab, float(natural_path(curves).warmth(lab)), cast)


def forgiving_range(
    pigment: Pigment, tone: Mapping[str, float], curves: CurveSet, grey: float
) -> tuple[float, float]:
    """Multiples of the dose around 1 that nobody tells from it."""
    best = toned_lab(pigment, tone, 1.0, curves, grey)
    off = delta_e_2000(toned_lab(pigment, tone, FACTORS, curves, grey), best) - NOTICED
    one = int(np.argmin(np.abs(FACTORS - 1.0)))
    below, above = np.flatnonzero(off[:one] > 0.0), np.flatnonzero(off[one:] > 0.0)
    low, high = float(FACTORS[0]), float(FACTORS[-1])
    if below.size:
        pair = [int(below[-1]) + 1, int(below[-1])]
        low = float(np.interp(0.0, off[pair], FACTORS[pair]))
    if above.size:
        pair = [one + int(above[0]) - 1, one + int(above[0])]
        high = float(np.interp(0.0, off[pair], FACTORS[pair]))
    return low, high


def bands_over(
    inferred: Inferred | None,
    tone: Mapping[str, float],
    residual: Residual,
    cost: float,
    curves: CurveSet,
    grey: float,
) -> tuple[tuple[Floats, Floats] | None, tuple[float, float] | None]:
    """What the doubt about the state makes of the colour and of the dose."""
    if inferred is None:
        return None, None
    columns = inferred.draws.map(lambda p: p[:, None])
    factors = FACTORS[::5]
    lab = toned_lab(columns, tone, factors, curves, grey)
    at_one = int(np.argmin(np.abs(factors - 1.0)))
    low, high = np.percentile(lab[:, at_one], [5.0, 95.0], axis=0)
    if not tone:
        return (low, high), None
    score = residual(lab) + cost * (lab[:, :1, 0] - lab[..., 0])
    least, most = np.percentile(factors[np.argmin(score, axis=-1)], [5.0, 95.0])
    return (low, high), (float(least), float(most))
