"""Natural path: the colour of natural hair over level, and what is read off it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, check_number, check_range
from lift.model.curves import CurveSet, Values
from lift.model.draws import DRAW
from lift.model.strand import hair_share, natural_pigment, strand_lab
from lift.optics.colorimetry import chroma
from lift.results import Result

if TYPE_CHECKING:
    from lift.model.hair import Hair

# The ratio scale goes on beyond 10 so that bleached hair has a depth too; at 16 the pigment is
# 1/1000 of level 3's and the strand is all but unpigmented.
TABLE_LEVELS = np.linspace(-1.0, 16.0, 341)
FINER = 5
COARSE_LEVELS = TABLE_LEVELS[::FINER]
"""Of the paths of many draws."""

_APART = 1e3  # between two rows, laid end to end so that one search reads them all


@dataclass(frozen=True, eq=False, repr=False)
class NaturalPath(Result):
    """CIELAB of natural hair over level, tabulated; of one kind of hair, or of several.

    Parameters
    ----------
    levels : numpy.ndarray
        Levels [-], evenly rising, shape (n,).
    lab : numpy.ndarray
        CIELAB (D65, 10 degrees), L* rising, shape (n, 3), or (paths, n, 3) of several.
    row : numpy.ndarray, optional
        Of several: which path each element is read off, any shape that broadcasts.
    """

    levels: Floats
    lab: Floats
    row: Any = None

    def lab_of_level(self, level: ArrayLike) -> Floats:
        """CIELAB of natural hair of that level [-1 to 16], shape (..., 3)."""
        level = check_range("natural.level", level, self.levels[0], self.levels[-1])
        if self.row is None:
            return _interpolate(level, self.levels, self.lab)
        step = (level - self.levels[0]) / (self.levels[1] - self.levels[0])
        below = np.minimum(step.astype(np.intp), self.levels.size - 2)
        share = (step - below)[..., None]
        return np.asarray(
            (1.0 - share) * self.lab[self.row, below] + share * self.lab[self.row, below + 1]
        )

    def level_of_lightness(self, lightness: ArrayLike) -> Floats:
        """Level of natural hair of that L*; at the ends of the path its end levels."""
        return self._read(lightness, self.levels)

    def lab_of_lightness(self, lightness: ArrayLike) -> Floats:
        """CIELAB of natural hair of that L*, shape (..., 3).

        Beyond the path's ends the L* is kept and the nearest end's a* and b* are used.
        """
        lightness = np.asarray(lightness, dtype=np.float64)
        a, b = (self._read(lightness, self.lab[..., axis]) for axis in (1, 2))
        return np.stack([np.broadcast_to(lightness, a.shape), a, b], axis=-1)

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
        return np.asarray(chroma(lab) - self._read(lab[..., 0], chroma(self.lab)))

    def _read(self, lightness: ArrayLike, table: Floats) -> Floats:
        known = self.lab[..., 0]
        lightness = np.asarray(lightness, dtype=np.float64)
        if self.row is None:
            return np.asarray(np.interp(lightness, known, table))
        return interpolate_rows(lightness, known, table, np.asarray(self.row))


def _interpolate(x: Floats, at: Floats, table: Floats) -> Floats:
    return np.stack([np.interp(x, at, column) for column in table.T], axis=-1)


def interpolate_rows(at: Floats, known: Floats, table: Floats, row: Any) -> Floats:
    """Interpolate each element in a table row of its own.

    Parameters
    ----------
    at : numpy.ndarray
        Where, any shape; beyond a row's ends its end values.
    known : numpy.ndarray
        Rising along the last axis, between 0 and 1000, shape (rows, n).
    table : numpy.ndarray
        Values there, shape (rows, n) or (n,).
    row : numpy.ndarray of int
        Row of each element, broadcasting with `at`.
    """
    apart = _APART * np.arange(len(known))[:, None]
    inside = np.clip(at, known[row, 0], known[row, -1]) + _APART * row
    table = np.broadcast_to(table, known.shape)
    return np.asarray(np.interp(inside, (known + apart).ravel(), table.ravel()))


def natural_paths(values: Values, share: Any) -> NaturalPath:
    """Paths of several sets of values, one each.

    Parameters
    ----------
    values : mapping
        Parameter values, numbers or arrays of shape (paths, 1).
    share : array_like
        Pheomelanin in all melanin [-], a number or of shape (paths, 1).

    Returns
    -------
    NaturalPath
        Without rows: the caller says which element is of which.
    """
    lab = strand_lab(natural_pigment(COARSE_LEVELS, share, values), values)
    lab.setflags(write=False)
    return NaturalPath(COARSE_LEVELS, lab)


@lru_cache(maxsize=64)
def natural_path(curves: CurveSet, pheomelanin_share: float | None = None) -> NaturalPath:
    """Natural path of a curve set, without grey.

    Parameters
    ----------
    curves : CurveSet
        Curve set.
    pheomelanin_share : float, optional
        Pheomelanin in all melanin [-], 0 to 1; default the curve set's, of brown and blond hair.

    Examples
    --------
    >>> from lift import default_curves
    >>> path = natural_path(default_curves())
    >>> path.lab_of_level([3, 7]).round(0)[:, 0].tolist()
    [23.0, 52.0]
    """
    values = curves.values
    if pheomelanin_share is not None:
        check_number("quantity.pheomelanin_share.label", pheomelanin_share, 0.0, 1.0)
    share = hair_share(pheomelanin_share, values)
    lab = strand_lab(natural_pigment(TABLE_LEVELS, share, values), values)
    lab.setflags(write=False)
    return NaturalPath(TABLE_LEVELS, lab)


@lru_cache(maxsize=16)
def _drawn_paths(curves: CurveSet, pheomelanin_share: float | None) -> NaturalPath:
    """Paths of all draws of the curve set's posterior, the central values' last.

    Cubics through four coarse levels each are within 4e-4 of what they stand for; a strand with
    the central values counts from the very path that the curve set's own strand counts from.
    """
    assert curves.posterior is not None
    values = curves.posterior.all_values(curves.values)
    coarse = natural_paths(values, hair_share(pheomelanin_share, values)).lab
    # Draws of what colour does not depend on share one path.
    lab = np.empty((len(curves.posterior) + 1, TABLE_LEVELS.size, 3))
    lab[:] = _cubics() @ coarse
    lab[-1] = natural_path(curves, pheomelanin_share).lab
    lab.setflags(write=False)
    return NaturalPath(TABLE_LEVELS, lab)


@cache
def _cubics() -> Floats:
    """Lagrange's weights of the coarse levels at all levels, shape (levels, coarse levels)."""
    at = np.arange(TABLE_LEVELS.size) / FINER
    first = np.clip(np.floor(at).astype(np.intp) - 1, 0, COARSE_LEVELS.size - 4)
    apart = at - first
    weights = np.zeros((TABLE_LEVELS.size, COARSE_LEVELS.size))
    for k in range(4):
        others = np.delete(np.arange(4.0), k)
        weights[np.arange(at.size), first + k] = np.prod(
            (apart[:, None] - others) / (k - others), axis=1
        )
    return weights


def path_of(hair: Hair, curves: CurveSet, values: Values | None = None) -> NaturalPath:
    """Natural hair of the same kind: what the warmth and the level of a strand count from.

    Parameters
    ----------
    hair : Hair
        Its share of pheomelanin says which kind.
    curves : CurveSet
        Curve set.
    values : mapping, optional
        Values that a strand is simulated with: where they are draws of the curve set's posterior,
        each strand counts from natural hair under its own draw.
    """
    share = hair.pheomelanin_share
    if values is not None and DRAW in values:
        one = None if share is None else float(np.max(share))
        drawn = _drawn_paths(curves, one)
        return NaturalPath(drawn.levels, drawn.lab, values[DRAW])
    if share is None or np.ndim(share) == 0:
        return natural_path(curves, None if share is None else float(share))
    kinds, row = np.unique(share, return_inverse=True)
    lab = np.stack([natural_path(curves, float(kind)).lab for kind in kinds])
    return NaturalPath(TABLE_LEVELS, lab, row.reshape(np.shape(share)))
