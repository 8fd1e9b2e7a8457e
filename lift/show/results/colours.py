"""Screen colours of a result."""

from __future__ import annotations

from typing import Any

import numpy as np

from lift.errors import Floats, LiftError
from lift.optics.colorimetry import lab_to_srgb, srgb_to_hex


class ScreenColour(str):
    """An sRGB colour as ``#rrggbb``.

    Attributes
    ----------
    in_gamut : bool
        Whether the screen can show it; else it is the nearest that it can, channel by channel.
    """

    __slots__ = ("in_gamut",)
    in_gamut: bool

    def __new__(cls, text: str, in_gamut: bool = True) -> ScreenColour:
        """Make one of its text."""
        made = super().__new__(cls, text)
        made.in_gamut = in_gamut
        return made


def lab_of(result: Any) -> Floats | None:
    """CIELAB of a result, shape (..., 3); None where it has none."""
    for name in ("lab", "at_lab"):
        found = getattr(result, name, None)
        if found is not None:
            return np.asarray(found, dtype=np.float64)
    drawn = getattr(result, "drawn", None)
    if drawn is not None:
        return np.asarray(drawn.central.lab[-1])
    after = getattr(result, "after", None)
    return None if after is None else lab_of(after)


def hex_of(result: Any) -> ScreenColour | tuple[ScreenColour, ...]:
    """Screen colour of a result, or of each of its times, levels or zones."""
    lab = lab_of(result)
    if lab is None or lab.ndim == 0 or lab.shape[-1] != 3:
        raise LiftError("results.no_colour", kind=type(result).__name__)
    srgb, shown = lab_to_srgb(lab)
    if lab.ndim == 1:
        return ScreenColour(srgb_to_hex(srgb), bool(shown))
    rows = zip(srgb.reshape(-1, 3), np.ravel(shown), strict=True)
    return tuple(ScreenColour(srgb_to_hex(each), bool(fits)) for each, fits in rows)
