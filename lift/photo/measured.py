"""What is measured in a photograph: one region, or two and how they differ."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.optics.colorimetry import delta_e_2000
from lift.photo.hairlike import HairLike
from lift.photo.region import Taken
from lift.results import Result
from lift.words import Note

Z90 = 1.645
"""Standard deviations to either side within which nine in ten lie."""


@dataclass(frozen=True, eq=False)
class LeftOut:
    """Errors [dE00] of the chart's patches, each found without itself, by the method taken.

    The method is one of `lift.photo.correction.METHODS`.
    """

    median: float
    worst: float
    method: str


@dataclass(frozen=True, eq=False, repr=False)
class Measured(Result):
    """A colour measured in a photograph.

    Parameters
    ----------
    lab, sd : numpy.ndarray
        CIELAB (D65, 10 degrees) and its standard deviations, shape (3,).
    level : float
        Level of natural hair as light as that [-].
    pigment : HairLike
        The second estimate, by what is known of hair.
    left_out : LeftOut
        What the chart itself is off.
    taken : Taken
        Which pixels were taken.
    warnings, cautions : tuple of Note
        What to do better, and what always holds.
    edition : str
        Of the chart.
    own : numpy.ndarray
        Covariance of `lab` by this region alone, shape (3, 3).
    curves : CurveSet
        Behind level and second estimate.
    """

    lab: Floats
    sd: Floats
    level: float
    pigment: HairLike
    left_out: LeftOut
    taken: Taken
    warnings: tuple[Note, ...]
    cautions: tuple[Note, ...]
    edition: str
    own: Floats
    curves: CurveSet

    @property
    def level_interval(self) -> tuple[float, float]:
        """Levels [-] between which it lies, nine in ten, by its lightness."""
        ends = self.lab[0] + Z90 * self.sd[0] * np.array([-1.0, 1.0])
        low, high = natural_path(self.curves).level_of_lightness(ends)
        return float(low), float(high)

    @property
    def apart(self) -> float:
        """How far the two estimates are apart [dE00]."""
        return float(delta_e_2000(self.lab, self.pigment.lab))


@dataclass(frozen=True, eq=False, repr=False)
class Difference(Result):
    """Two regions of one photograph, and how they differ.

    Parameters
    ----------
    first, second : Measured
        The regions.
    lab, sd : numpy.ndarray
        Second less first in CIELAB, and standard deviations, shape (3,): smaller than of either,
        for what the chart is off they are off together.
    de00 : float
        Distance [dE00].
    """

    first: Measured
    second: Measured
    lab: Floats
    sd: Floats
    de00: float
