"""Paints: colours that are not hair's, for hues, for families of the wheel and for dyes."""

from __future__ import annotations

from typing import Any

import numpy as np

from lift.optics.colorimetry import lab_to_srgb, reflectance_to_srgb
from lift.optics.dyes import palette
from lift.optics.hue_names import munsell_hue_degrees
from lift.optics.weights import WAVELENGTHS_NM
from lift.practice.wheel import WHEEL

LIGHTNESS, CHROMA = 62.0, 42.0
FAMILIES = ("5R", "10R", "5YR", "10YR", "5Y", "5GY", "5G", "5BG", "5B", "5PB", "5P", "5RP")
"""Munsell hue that each family of the wheel is painted with."""


def hue_colour(hue_deg: float) -> Any:
    """Screen colour that stands for a CIELAB hue [degree]."""
    turned = np.radians(hue_deg)
    return lab_to_srgb((LIGHTNESS, CHROMA * np.cos(turned), CHROMA * np.sin(turned)))[0]


def family_colour(family: str) -> Any:
    """Screen colour with which a family of the wheel is painted."""
    return hue_colour(munsell_hue_degrees(FAMILIES[WHEEL.index(family)]))


def dye_colour(dye: str) -> Any:
    """Colour of a dye on white: what its bands leave of the light."""
    return reflectance_to_srgb(np.exp(-120.0 * palette()[dye].absorption(WAVELENGTHS_NM)))[0]
