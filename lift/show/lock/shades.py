"""Shades of a lock: light and dark of one colour, whose mean over the lock is that colour."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lift.errors import Floats
from lift.optics.colorimetry import encode_srgb, lab_to_linear, lab_to_srgb
from lift.show.lock.shape import shape

GROUND_LAB = (50.0, 0.0, 0.0)
"""What every lock lies on: neutral grey of L* 50, the surround under which CIEDE2000 was found to
hold (CIE 101-1993, from memory); white makes hair look darker and duller than it is."""

RELIEF = 1.5
"""Light of the lightest shade above that of the darkest, in means of the lock; invented."""

WHITE = 0.10
"""White light at full shine, as a share of the light falling on it; invented, for looks."""

KEPT = 0.6
"""Of what the darkest shade has in its weakest channel, the most that white shine may take."""


def linear_shades(lab: ArrayLike) -> Floats:
    """Linear sRGB of the shades of a lock of CIELAB `lab`, shape (..., SHADES, 3), darkest first.

    Light adds up in linear sRGB, so there the shades average to the colour. Where the lightest
    would be brighter than a screen can be, relief and shine are made smaller until it fits: the
    mean stays. A colour that no screen can show is clipped first; see `in_gamut`.
    """
    drawn = shape()
    mean = np.clip(lab_to_linear(lab), 0.0, 1.0)[..., None, :]
    light = RELIEF * drawn.light[:, None]
    # White shine is taken off all shades, and may not take more than the darkest one has.
    weakest = mean.min(axis=-1, keepdims=True) * (1.0 + light[0])
    white = np.minimum(WHITE, KEPT * weakest / -drawn.gloss[0])
    above = mean * light + white * drawn.gloss[:, None]
    lightest = np.maximum(above[..., -1:, :], np.finfo(float).tiny)
    room = ((1.0 - mean) / lightest).min(axis=-1, keepdims=True)
    return np.asarray(mean + np.minimum(room, 1.0) * above)


def screen_shades(lab: ArrayLike) -> Floats:
    """Screen colours of the shades, sRGB in 0..1 in steps of 8 bits, shape (..., SHADES, 3)."""
    return np.asarray(np.rint(encode_srgb(linear_shades(lab)) * 255.0) / 255.0)


def in_gamut(lab: ArrayLike) -> NDArray[np.bool_]:
    """Whether a screen can show the colour, shape (...) for CIELAB of shape (..., 3)."""
    return lab_to_srgb(lab)[1]


def shade_texts(lab: ArrayLike) -> list[str]:
    """Shades of many locks, CIELAB of shape (n, 3): ``rrggbb`` of each, darkest first, in one text.

    This is what the page draws a lock from.
    """
    channels = np.rint(screen_shades(np.atleast_2d(lab)) * 255.0).astype(np.uint8)
    return [lock.tobytes().hex() for lock in channels]


def ground() -> str:
    """Screen colour of the ground, ``#rrggbb``."""
    red, green, blue = np.rint(255.0 * lab_to_srgb(GROUND_LAB)[0]).astype(int)
    return f"#{red:02x}{green:02x}{blue:02x}"
