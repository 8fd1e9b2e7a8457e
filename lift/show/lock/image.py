"""The lock as pixels: whole, and as a strip whose colour changes along its fibres."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lift.errors import Floats
from lift.optics.colorimetry import encode_srgb, lab_to_srgb
from lift.show.lock.shades import GROUND_LAB, linear_shades, screen_shades
from lift.show.lock.shape import MARGIN, SHADES, STOPS, STRANDS, shape, sway


def lock_cover(height: int, width: int) -> NDArray[np.bool_]:
    """Which of height by width pixels the lock covers; its ground is seen in the others."""
    return _places(height, width)[1] < STRANDS


def lock_image(lab: ArrayLike, height: int = 220, width: int = 90) -> Floats:
    """Screen colours of a lock on its ground, sRGB in 0..1, shape (..., height, width, 3).

    Parameters
    ----------
    lab : array_like
        CIELAB, shape (..., 3): the mean, in linear light, over what `lock_cover` names.
    height, width : int
        Pixels.
    """
    along, strand = _places(height, width)
    shades = screen_shades(lab)[..., shape().table, :]
    # Each strand is mixed along its length once, and the ground is one strand more.
    strands = along @ shades
    ground = np.broadcast_to(lab_to_srgb(GROUND_LAB)[0], (*strands.shape[:-3], 1, height, 3))
    rows = np.arange(height)[:, None]
    return np.concatenate((strands, ground), axis=-3)[..., strand, rows, :]


def strip_image(lab: ArrayLike, height: int = 48) -> Floats:
    """Screen colours of a lock laid along an axis, sRGB in 0..1, shape (height, n, 3).

    Parameters
    ----------
    lab : array_like
        CIELAB along the lock, shape (n, 3): the mean, in linear light, of each column.
    height : int
        Pixels.
    """
    light = np.einsum("hs,nsc->hnc", strip_weights(height), linear_shades(lab))
    return np.clip(encode_srgb(light), 0.0, 1.0)


@lru_cache(maxsize=8)
def strip_weights(height: int) -> Floats:
    """Share of each row of a strip that each shade covers [-], shape (height, SHADES)."""
    ends = np.cumsum([0.0, *(width for _, width in shape().threads)])
    rows = np.arange(height + 1) / height
    over = np.zeros((height, SHADES))
    for (shade, _), start, end in zip(shape().threads, ends[:-1], ends[1:], strict=True):
        inside = np.minimum(rows[1:], end) - np.maximum(rows[:-1], start)
        over[:, shade] += height * np.maximum(inside, 0.0)
    over /= over.sum(axis=1, keepdims=True)
    over.setflags(write=False)
    return over


@lru_cache(maxsize=16)
def _places(height: int, width: int) -> tuple[Floats, NDArray[np.intp]]:
    """How much each stop counts in each row, and on which strand each pixel lies."""
    down = (np.arange(height) + 0.5) / height
    at_stop = np.abs(down[:, None] * (STOPS - 1) - np.arange(STOPS))
    place = (np.arange(width) + 0.5) / width
    across = (place - MARGIN - sway(down)[:, None]) / (1.0 - 2.0 * MARGIN)
    strand = np.floor(across * STRANDS).astype(np.intp)
    strand[(strand < 0) | (strand >= STRANDS)] = STRANDS
    return np.maximum(1.0 - at_stop, 0.0), strand
