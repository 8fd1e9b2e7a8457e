"""The painter's wheel, laid on the hue of excess warmth in hair."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError
from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.optics.hue_names import munsell_hue_degrees

WHEEL = (
    *("red", "red-orange", "orange", "yellow-orange", "yellow", "yellow-green"),
    *("green", "blue-green", "blue", "blue-violet", "violet", "red-violet"),
)
"""Twelve families, 30 degrees of wheel apart; opposite ones mix to neutral in paint."""

YELLOW = 120.0
"""Wheel position of yellow [degrees]."""

RED_PURPLE = 30.0
"""Wheel degrees from red to red-purple, and on to purple."""

DEPTH_LEVELS = (1.0, 8.0)
"""Levels whose underpigment the trade calls red and yellow: common practice (no source)."""


@cache
def _cool_anchors() -> tuple[tuple[float, ...], tuple[float, ...]]:
    """CIELAB hue [degrees] and wheel position [degrees] away from the warm hues."""
    hues = ("5GY", "5G", "5BG", "5B", "5PB", "5P", "5RP")
    return tuple(munsell_hue_degrees(h) for h in hues), tuple(np.arange(150.0, 331.0, 30.0))


def depth_share(lightness: ArrayLike, curves: CurveSet) -> Floats:
    """How far [0 to 1] from red to yellow the name of a warm colour may go at an L* of any shape.

    The trade calls the underpigment of level 1 red and that of level 8 yellow, though their
    hues in CIELAB are not that far apart: a dark yellow is brown, and painters see brown as a
    dark orange or red. So the share is 0 at level 1 and darker, 1 at level 8 and lighter, linear
    in L* between.
    """
    black, yellow = natural_path(curves).lab_of_level(DEPTH_LEVELS)[:, 0]
    share = (np.asarray(lightness, dtype=np.float64) - black) / (yellow - black)
    return np.asarray(np.clip(share, 0.0, 1.0))


def wheel_degrees(hue_deg: ArrayLike, lightness: ArrayLike, curves: CurveSet) -> Floats:
    """Position on the painter's wheel of a CIELAB hue angle at a lightness.

    Hair is named by its excess over natural hair, whose hue runs over some 30 degrees of
    CIELAB while painters speak of red to yellow. Red is Munsell's 5R; where light hair is called
    yellow is calibrated to the trade's stages (``painter_yellow_hue``), and darker hair of that
    hue is named nearer to red (see `depth_share`). The other hues follow Munsell's principal
    hues.

    Parameters
    ----------
    hue_deg : array_like
        CIELAB hue angle [degrees], any shape.
    lightness : array_like
        L* of the hair [CIELAB units], 0 to 100, broadcasting.
    curves : CurveSet
        Gives the calibrated hue.

    Returns
    -------
    numpy.ndarray
        Wheel position [degrees], 0 red, 120 yellow, 240 blue; broadcast shape.
    """
    angle = np.asarray(hue_deg, dtype=np.float64)
    share = depth_share(lightness, curves)
    red, yellow = munsell_hue_degrees("5R"), curves.values["painter_yellow_hue"]
    hues, positions = _cool_anchors()
    at = np.array([red, yellow, *hues, red + 360.0])
    to = np.array([0.0, YELLOW, *positions, 360.0])
    light = np.interp(red + np.mod(angle - red, 360.0), at, to)
    first_cool = positions[0]
    past = (light - YELLOW) / (first_cool - YELLOW)
    beyond = YELLOW * share + past * (first_cool - YELLOW * share)
    dark = np.where(light <= YELLOW, light * share, beyond)
    # On the purple side of red the name may go as little far: nearly black hair is hardly a hue.
    back = 360.0 - light
    steps = back / RED_PURPLE
    purple = np.where(steps <= 1.0, steps * share, share + (steps - 1.0) * (2.0 - share))
    dark = np.where(steps <= 2.0, 360.0 - RED_PURPLE * purple, dark)
    warm = (light < first_cool) | (steps <= 2.0)
    return np.asarray(np.mod(np.where(warm, dark, light), 360.0))


def wheel_family(degrees: ArrayLike) -> Any:
    """Code of the family at a wheel position [degrees]; str or array of str."""
    position = np.asarray(degrees, dtype=np.float64)
    if not np.isfinite(position).all():
        raise LiftError("hue.no_position")
    index = np.mod(np.rint(position / 30.0).astype(int), 12)
    names = np.array(WHEEL)[index]
    return str(names) if names.ndim == 0 else names
