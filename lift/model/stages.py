"""Stages: named bands of underpigment, as rungs of one reference lightening.

A stage names exposed warmth. Hair that shows none, because nothing lightened it or hardly, is
`NATURAL`, whatever rung of the ladder its colour lies nearest to.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError
from lift.model.curves import CurveSet
from lift.model.hair import LEVEL_RANGE
from lift.model.natural import natural_path
from lift.model.strand import Pigment, lightened, natural_pigment, strand_lab
from lift.optics.colorimetry import NOTICEABLE, delta_e_2000
from lift.results import Result

STAGE_OF_LEVEL = (
    "red",
    "red",
    "red",
    "red",
    "red-orange",
    "orange",
    "yellow-orange",
    "yellow",
    "pale yellow",
    "palest yellow",
)
"""Trade names of the underpigment exposed at levels 1 to 10: common practice (no source)."""

NATURAL = "natural"
"""The stage of hair with no warmth exposed."""

EXPOSED = NOTICEABLE
"""Warmth [dC*] from which a stage is named: less is not noticed beside natural hair of that
lightness. Common practice (no source); it is also the least that a tone is wanted for."""

LIGHTEST_NATURAL = LEVEL_RANGE[1] + 0.5
"""Level [-] above which no hair is called natural: bleached hair loses its warmth again in the end.
Half a level above the scale's end, for the level is judged by eye (assumed)."""

# One level ratio darker than black, so that level 1 itself is reached by lightening.
LADDER_START = 0.0


@dataclass(frozen=True, eq=False, repr=False)
class Ladder(Result):
    """Underpigment exposed when deep black hair is lightened to each level.

    Parameters
    ----------
    levels : numpy.ndarray
        Levels 1 to 10 [-], shape (10,).
    lab : numpy.ndarray
        CIELAB of the underpigment (D65, 10 degrees), shape (10, 3).
    exposure : numpy.ndarray
        Exposure that reaches each level [-], shape (10,).
    pigment : Pigment
        What is left of the pigment there, shape (10,).
    stages : tuple of str
        Trade name at each level.
    """

    levels: Floats
    lab: Floats
    exposure: Floats
    pigment: Pigment
    stages: tuple[str, ...]

    def lab_of_level(self, level: ArrayLike) -> Floats:
        """CIELAB between the rungs, shape (..., 3); past an end that of the end."""
        level = np.asarray(level, dtype=np.float64)
        return np.stack([np.interp(level, self.levels, axis) for axis in self.lab.T], axis=-1)


@lru_cache(maxsize=32)
def underpigment_ladder(curves: CurveSet) -> Ladder:
    """Compute the ladder of a curve set.

    Colour depends on exposure alone, so strength, time and fibre do not enter.

    Examples
    --------
    >>> from lift import default_curves
    >>> ladder = underpigment_ladder(default_curves())
    >>> dict(zip(ladder.levels[4:6].tolist(), ladder.stages[4:6]))
    {5.0: 'red-orange', 6.0: 'orange'}
    """
    values = curves.values
    natural = natural_pigment(LADDER_START, values["pheomelanin_share"], values)
    exposure = np.linspace(0.0, 40.0, 4001)
    lab = strand_lab(lightened(natural, exposure, values), values)
    levels = np.arange(1.0, 11.0)
    lightness = natural_path(curves).lab_of_level(levels)[:, 0]
    reached = np.interp(lightness, lab[:, 0], exposure)
    left = lightened(natural, reached, values)
    rungs = strand_lab(left, values)
    rungs.setflags(write=False)
    return Ladder(levels, rungs, reached, left, STAGE_OF_LEVEL)


def stage_names() -> tuple[str, ...]:
    """What a strand can be called: natural, then the stages from darkest to lightest, each once.

    Examples
    --------
    >>> stage_names()[:4]
    ('natural', 'red', 'red-orange', 'orange')
    """
    return tuple(dict.fromkeys((NATURAL, *STAGE_OF_LEVEL)))


def named_stage(lab: ArrayLike, exposed: ArrayLike, level: ArrayLike, curves: CurveSet) -> Any:
    """Stage of a strand: the nearest one once warmth is exposed, before that `NATURAL`.

    Parameters
    ----------
    lab : array_like
        CIELAB of the underpigment (D65, 10 degrees), shape (..., 3).
    exposed : array_like
        Warmth beyond what the strand has by nature [dC*], shape (...).
    level : array_like
        Level now [-], shape (...).
    curves : CurveSet
        Gives the ladder.

    Returns
    -------
    str or numpy.ndarray of str
        Shape (...).
    """
    natural = (np.asarray(exposed) < EXPOSED) & (np.asarray(level) <= LIGHTEST_NATURAL)
    names = np.where(natural, NATURAL, nearest_stage(lab, curves))
    return str(names) if names.ndim == 0 else names


def nearest_stage(lab: ArrayLike, curves: CurveSet) -> Any:
    """Stage whose underpigment is nearest in CIEDE2000, shape (...) for CIELAB of (..., 3).

    Raises
    ------
    LiftError
        When an element is not a number or infinite.
    """
    lab = np.asarray(lab, dtype=np.float64)
    if np.isnan(lab).any():
        raise LiftError("ladder.nan")
    ladder = underpigment_ladder(curves)
    rung = np.argmin(delta_e_2000(lab[..., None, :], ladder.lab), axis=-1)
    names = np.array(ladder.stages)[rung]
    return str(names) if names.ndim == 0 else names
