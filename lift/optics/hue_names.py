"""Munsell names of CIELAB hue angles."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lift.errors import Floats, check_choice, check_range
from lift.files import DATA
from lift.tables import read_table


@cache
def _hues() -> tuple[NDArray[np.str_], Floats]:
    table = read_table(DATA, "munsell_hues")
    angles = np.degrees(np.unwrap(np.radians(table.numbers("hue_deg"))))
    return np.array(table.words("munsell_hue")), angles


def munsell_hue(hue_deg: ArrayLike) -> str | NDArray[np.str_]:
    """Munsell hue, in steps of 2.5, nearest to a CIELAB hue angle [degrees], 0 to 360, any shape.

    The hue angle of one Munsell hue moves by some degrees with value and chroma. The angles used
    are those of warm hues as light as lightened hair shows them and of muted dark cool hues
    (``lift/data/munsell_hues.csv``), for illuminant C and the 2 degree observer. Of the colours of
    the renotation with value 3 to 8 and chroma 4 to 10, nine in ten of those with value 4 to 7 get
    their own name and all others that of a neighbour one step away.
    """
    angle = check_range("hue.angle", hue_deg, 0.0, 360.0, "degrees")
    names, known = _hues()
    turned = known[0] + (angle - known[0]) % 360.0
    steps = np.interp(turned, np.append(known, known[0] + 360.0), np.arange(names.size + 1))
    nearest = names[np.rint(steps).astype(int) % names.size]
    return nearest if nearest.ndim else str(nearest)


def munsell_hue_degrees(name: str) -> float:
    """CIELAB hue angle [degrees], 0 to 360, of one of the forty hues ``2.5R`` to ``10RP``."""
    names, known = _hues()
    check_choice("hue.munsell", name, names.tolist())
    return float(known[names == name][0] % 360.0)
