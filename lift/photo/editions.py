"""The classic colour chart of 24 patches: what its editions reflect."""

from __future__ import annotations

from functools import cache

import numpy as np

from lift.errors import Floats, check_choice
from lift.files import DATA
from lift.optics.colorimetry import reflectance_to_xyz, white, xyz_to_lab
from lift.tables import read_table

EDITIONS = ("ohta", "average")
"""Charts that were measured: one (N. Ohta 1997), and the mean of thirty, as colour-science has
them. ISO 17321-1 lists the figures of the first."""

ROWS, COLUMNS = 4, 6
PATCHES = (
    *("dark_skin", "light_skin", "blue_sky", "foliage", "blue_flower", "bluish_green"),
    *("orange", "purplish_blue", "moderate_red", "purple", "yellow_green", "orange_yellow"),
    *("blue", "green", "red", "yellow", "magenta", "cyan"),
    *("white", "neutral_8", "neutral_6_5", "neutral_5", "neutral_3_5", "black"),
)
"""Codes of the patches, row by row."""

GREYS = slice(18, 24)
"""The grey row, white first."""


@cache
def patch_reflectance(edition: str = EDITIONS[0]) -> Floats:
    """Reflectance of the patches of an edition.

    Parameters
    ----------
    edition : str
        One of `EDITIONS`.

    Returns
    -------
    numpy.ndarray
        Fraction, shape (24, 81), at `lift.optics.weights.WAVELENGTHS_NM`, read-only.

    Raises
    ------
    LiftError
        When there is no such edition.

    Examples
    --------
    >>> patch_reflectance("average")[18].max().round(2).item()  # white
    0.93
    """
    check_choice("photo.edition", edition, EDITIONS)
    names = (f"{edition}_{number}" for number in range(1, len(PATCHES) + 1))
    found: Floats = np.ascontiguousarray(read_table(DATA, "chart_patches").numbers(*names).T)
    found.flags.writeable = False
    return found


@cache
def patch_xyz(edition: str = EDITIONS[0]) -> Floats:
    """XYZ of the patches (D65, 10 degrees), shape (24, 3), Y 100 for the perfect diffuser."""
    found = reflectance_to_xyz(patch_reflectance(edition))
    found.flags.writeable = False
    return found


@cache
def patch_lab(edition: str = EDITIONS[0]) -> Floats:
    """CIELAB of the patches (D65, 10 degrees), shape (24, 3)."""
    found = xyz_to_lab(patch_xyz(edition), white())
    found.flags.writeable = False
    return found
