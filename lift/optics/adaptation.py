"""Chromatic adaptation: what a colour seen under another light looks like by daylight.

The matrices come from colour-science by a kept script, so that its import is not paid here.
"""

from __future__ import annotations

from functools import cache

from numpy.typing import ArrayLike

from lift.errors import Floats, check_choice
from lift.files import DATA
from lift.optics.colorimetry import reflectance_to_xyz, white, xyz_to_lab
from lift.tables import Table, read_table

DAYLIGHT = "D65"


@cache
def _prepared() -> Table:
    return read_table(DATA, "adaptation")


def _row(illuminant: str) -> int:
    names = _prepared().words("illuminant")
    return names.index(check_choice("optics.light", illuminant, names))


def adaptation_matrix(illuminant: str) -> Floats:
    """Matrix from XYZ under an illuminant to the same appearance under D65.

    Parameters
    ----------
    illuminant : str
        One of `lift.optics.weights.PREPARED`.

    Returns
    -------
    numpy.ndarray
        Shape (3, 3), for column vectors, 10 degree observer. Complete CAT16 adaptation: the eye
        takes the lamp for white, as it does after some minutes in a room lit by it.

    Raises
    ------
    LiftError
        For an illuminant that is not prepared.
    """
    cells = _prepared().described
    names = [name for name in cells if "_from_" in name]
    matrix: Floats = _prepared().numbers(*names)[_row(illuminant)].reshape(3, 3)
    return matrix


def colour_temperature(illuminant: str) -> float:
    """Correlated colour temperature [K] of a prepared illuminant."""
    return float(_prepared().numbers("cct_k")[_row(illuminant)])


def lab_under(reflectance: ArrayLike, illuminant: str) -> Floats:
    """CIELAB of a surface seen under a light, adapted to D65 (10 degree observer).

    Parameters
    ----------
    reflectance : array_like
        Spectral reflectance, fraction, shape (..., 81).
    illuminant : str
        See `adaptation_matrix`.

    Returns
    -------
    numpy.ndarray
        L*, a*, b* relative to D65, shape (..., 3); comparable with daylight's.

    Raises
    ------
    LiftError
        For an unknown light or a wrong shape.
    """
    to_daylight = adaptation_matrix(illuminant).T
    adapted = reflectance_to_xyz(reflectance, illuminant) @ to_daylight
    return xyz_to_lab(adapted, white(DAYLIGHT))
