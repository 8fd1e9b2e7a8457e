"""Natural path: the colour of natural hair over level, and what is read off it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, check_range
from lift.model.curves import CurveSet
from lift.model.strand import natural_pigment, strand_lab
from lift.optics.colorimetry import chroma

# The ratio scale goes on beyond 10 so that bleached hair has a depth too; at 16 the pigment is
# 1/200 of level 3's and the strand is all but unpigmented.
TABLE_LEVELS = np.linspace(-1.0, 16.0, 341)


@dataclass(frozen=True, eq=False)
class NaturalPath:
    """CIELAB of natural hair over level, tabulated.

    Parameters
    ----------
    levels : numpy.ndarray
        Levels [-], rising, shape (n,).
    lab : numpy.ndarray
        CIELAB (D65, 10 degrees), shape (n, 3), L* rising.
    """

    levels: Floats
    lab: Floats

    def lab_of_level(self, level: ArrayLike) -> Floats:
        """CIELAB of natural hair of that level [-1 to 16], shape (..., 3)."""
        level = check_range("natural.level", level, self.levels[0], self.levels[-1])
        return _interpolate(level, self.levels, self.lab)

    def level_of_lightness(self, lightness: ArrayLike) -> Floats:
        """Level of natural hair of that L*; at the ends of the path its end levels."""
        return np.asarray(np.interp(np.asarray(lightness), self.lab[:, 0], self.levels))

    def lab_of_lightness(self, lightness: ArrayLike) -> Floats:
        """CIELAB of natural hair of that L*, shape (..., 3).

        Beyond the path's ends the L* is kept and the nearest end's a* and b* are used.
        """
        lightness = np.asarray(lightness, dtype=np.float64)
        lab = _interpolate(lightness, self.lab[:, 0], self.lab)
        lab[..., 0] = lightness
        return lab

    def levels_beside(self, lab: ArrayLike) -> tuple[Floats, Floats]:
        """The two whole levels, 1 to 10, between which natural hair is as light, and their CIELAB.

        Shapes (..., 2) and (..., 2, 3) for CIELAB of shape (..., 3). Hair darker or lighter than
        all natural hair has the two levels at that end beside it.
        """
        level = self.level_of_lightness(np.asarray(lab, dtype=np.float64)[..., 0])
        # Hair that is on a level but for rounding has that one and the next beside it.
        below = np.clip(np.floor(level + 1e-6), 1.0, 9.0)
        levels = below[..., None] + np.array([0.0, 1.0])
        return levels, self.lab_of_level(levels)

    def warmth(self, lab: ArrayLike) -> Floats:
        """C*ab in excess of natural hair of the same L* [CIELAB units], shape (...)."""
        lab = np.asarray(lab, dtype=np.float64)
        natural = np.interp(lab[..., 0], self.lab[:, 0], chroma(self.lab))
        return np.asarray(chroma(lab) - natural)


def _interpolate(x: Floats, at: Floats, table: Floats) -> Floats:
    return np.stack([np.interp(x, at, column) for column in table.T], axis=-1)


@lru_cache(maxsize=32)
def natural_path(curves: CurveSet) -> NaturalPath:
    """Natural path of a curve set: brown and blond hair, no grey.

    Examples
    --------
    >>> from lift import default_curves
    >>> path = natural_path(default_curves())
    >>> path.lab_of_level([3, 7]).round(0)[:, 0].tolist()
    [23.0, 45.0]
    """
    values = curves.values
    pigment = natural_pigment(TABLE_LEVELS, values["pheomelanin_share"], values)
    lab = strand_lab(pigment, values)
    lab.setflags(write=False)
    return NaturalPath(TABLE_LEVELS, lab)
