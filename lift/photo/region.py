"""Which pixels of a region are taken for the hair, and which are left out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lift.errors import Floats, LiftError
from lift.photo.chart import BRIGHTEST, DARKEST, as_points, as_typed, to_picture
from lift.photo.picture import Picture

WITHIN = 2.5
"""Standard deviations, by the median deviation, within which a pixel's brightness must lie of the
median: what is brighter is shine, what is darker is shadow. Found anew until it stays. Assumed."""

ROUNDS = 6
FEWEST = 200
"""Least pixels that are measured: assumed."""

MOST = 120_000
"""Pixels that are looked at, evenly spread; more tell nothing new."""

TILES = 4
"""Tiles across and down, over which the hair's colour is seen to vary."""


@dataclass(frozen=True, eq=False)
class Taken:
    """Pixels of a region.

    Parameters
    ----------
    box : tuple of int
        Left, top, right and bottom of the smallest box around the region [pixel].
    step : int
        Every how many pixels one was looked at.
    inside, mask : numpy.ndarray of bool
        What lies in the region, and what of it was taken, shape (rows, columns) of the box at
        `step`.
    spread : float
        Standard deviation of the logarithm of what was taken, by the median deviation [-].
    """

    box: tuple[int, int, int, int]
    step: int
    inside: NDArray[np.bool_]
    mask: NDArray[np.bool_]
    spread: float

    @property
    def pixels(self) -> int:
        """How many were taken."""
        return int(self.mask.sum())

    @property
    def share(self) -> float:
        """Which part of the region was taken [-]."""
        return float(self.mask.sum() / max(self.inside.sum(), 1))

    @property
    def places(self) -> Floats:
        """Places of the pixels that were taken [pixel], shape (n, 2)."""
        rows, columns = np.nonzero(self.mask)
        left, top = self.box[:2]
        found = np.stack([left + columns * self.step, top + rows * self.step], axis=-1)
        return np.asarray(found + 0.5, dtype=np.float64)

    @property
    def tiles(self) -> NDArray[np.intp]:
        """Tile of each pixel that was taken, 0 to 15, shape (n,)."""
        rows, columns = np.nonzero(self.mask)
        high, wide = self.mask.shape
        return np.asarray(rows * TILES // high * TILES + columns * TILES // wide)


def take(
    picture: Picture, region: ArrayLike, chart: Floats
) -> tuple[Taken, NDArray[np.uint8 | np.uint16]]:
    """Pixels of a region that show hair as it is, and their codes, shape (n, 3).

    Parameters
    ----------
    picture : Picture
        What was photographed.
    region : array_like
        Two corners of a box, or three and more of an outline [pixel], shape (n, 2).
    chart : numpy.ndarray
        Corners of the chart [pixel], shape (4, 2).

    Raises
    ------
    LiftError
        When it is no region of the picture, lies on the chart, or too little of it can be used.
    """
    outline, box = _outline(region, picture)
    if (np.abs(to_picture(outline.mean(axis=0), chart, back=True) - 0.5) < 0.5).all():
        raise LiftError("photo.on_chart")
    left, top, right, bottom = box
    step = max(1, int(np.ceil(np.sqrt((right - left) * (bottom - top) / MOST))))
    codes = picture.pixels[top:bottom:step, left:right:step]
    y, x = np.mgrid[top:bottom:step, left:right:step] + 0.5
    inside = _within(x, y, outline)
    scaled = codes * (255.0 / picture.full)
    told = inside & (scaled > DARKEST).all(axis=-1) & (scaled < BRIGHTEST).all(axis=-1)
    lost = 1.0 - told.sum() / max(inside.sum(), 1)
    if inside.sum() < FEWEST:
        raise LiftError("photo.few_pixels", pixels=int(inside.sum()), least=FEWEST)
    if lost > 0.5:
        bright = (scaled[inside] >= BRIGHTEST).any(axis=-1).mean() > 0.25
        raise LiftError("photo.hair_clipped" if bright else "photo.hair_dark", share=lost)
    brightness = np.log(picture.light(codes[told])[:, 1])
    kept = np.ones(brightness.size, dtype=bool)
    for _ in range(ROUNDS):
        middle = np.median(brightness[kept])
        spread = 1.4826 * np.median(np.abs(brightness[kept] - middle)) + 0.01
        kept = np.abs(brightness - middle) < WITHIN * spread
    mask = told.copy()
    mask[told] = kept
    if mask.sum() < FEWEST:
        raise LiftError("photo.few_pixels", pixels=int(mask.sum()), least=FEWEST)
    return Taken(box, step, inside, mask, float(spread)), codes[mask]


def _outline(region: ArrayLike, picture: Picture) -> tuple[Floats, tuple[int, int, int, int]]:
    """Outline of a region [pixel], shape (n, 2), and the box around it."""
    points = as_points(region)
    if points is None or len(points) < 2:
        raise LiftError("photo.no_region", value=as_typed(region))
    if not picture.holds(points):
        height, width = picture.pixels.shape[:2]
        raise LiftError("photo.region_outside", width=width, height=height)
    low, high = points.min(axis=0), points.max(axis=0)
    if len(points) == 2:
        points = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
    left, top = np.floor(low).astype(int)
    right, bottom = np.ceil(high).astype(int)
    return points, (int(left), int(top), int(right), int(bottom))


def _within(x: Floats, y: Floats, outline: Floats) -> NDArray[np.bool_]:
    """Whether points lie in an outline, by how often a line to the right crosses it."""
    found = np.zeros(x.shape, dtype=bool)
    for (x1, y1), (x2, y2) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if y1 != y2:
            found ^= ((y1 > y) != (y2 > y)) & (x < (x2 - x1) * (y - y1) / (y2 - y1) + x1)
    return found
