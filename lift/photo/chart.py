"""Where the chart lies in a picture, and what each patch of it shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lift.errors import Floats, LiftError
from lift.photo.editions import COLUMNS, GREYS, PATCHES, ROWS
from lift.photo.picture import Picture
from lift.words import Note, note

GAP = 0.15
"""Between patches, in widths of one: as classic charts are made; measured on none."""

MIDDLE = 0.5
"""Share of a patch's width and height that is read."""

WHOLE = 0.8
"""Share of a patch's width and height that must look like its middle where the chart is flat."""

LEAST_PIXELS = 8
"""Width of the smallest patch that is read [pixel]."""

SAMPLES = 24
"""Most places across and down a patch that are looked at."""

DARKEST, BRIGHTEST = 5, 250
"""Codes of 8 bits outside which a pixel tells little of light: assumed."""

HELD = 3.0
"""Standard deviations from the median within which pixels are averaged."""

STRAY = 0.15
"""How far, in shares of its light, a pixel may lie off its patch's middle: assumed."""

STRAYING = 0.1
"""Share of straying pixels from which a patch does not lie where the corners say: assumed."""

FEWEST_GREYS = 4
"""Greys that must be readable: assumed."""

COLOURED = 0.8
"""Spread of channels, in shares of their mean, from which a row is grey in no light: assumed."""

MOST_LOST = 6
"""Patches that may be unreadable; with more the chart is refused. Assumed."""


Which = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Patches:
    """What the patches show.

    Parameters
    ----------
    light : numpy.ndarray
        Light by the curve of sRGB, 1 for full scale, in R, G, B, shape (24, 3).
    sd : numpy.ndarray
        Standard deviation of `light`, from the pixels' scatter, shape (24, 3).
    place : numpy.ndarray
        Middle of each patch [pixel], shape (24, 2).
    good : numpy.ndarray of bool
        Which can be used, shape (24,).
    warnings : tuple of Note
        What to do about those that cannot.
    """

    light: Floats
    sd: Floats
    place: Floats
    good: Which
    warnings: tuple[Note, ...]


def chart_places() -> tuple[Floats, Floats]:
    """Upper left corner of each patch, shape (24, 2), and size, shape (2,), in the chart's sides.

    Across and down, 0 to 1 from outer edge to outer edge of the patches.
    """
    size = np.array([COLUMNS + (COLUMNS - 1) * GAP, ROWS + (ROWS - 1) * GAP])
    row, column = np.divmod(np.arange(ROWS * COLUMNS), COLUMNS)
    return np.stack([column, row], axis=-1) * (1.0 + GAP) / size, 1.0 / size


def check_corners(chart: ArrayLike, picture: Picture) -> Floats:
    """Corners of the chart [pixel], shape (4, 2), clockwise from the dark-skin patch.

    Raises
    ------
    LiftError
        When they are not four, not in the picture, not clockwise, or the chart is too small.
    """
    corners = as_points(chart)
    if corners is None or len(corners) != 4:
        raise LiftError("photo.no_corners", value=as_typed(chart))
    if not picture.holds(corners):
        height, width = picture.pixels.shape[:2]
        raise LiftError("photo.cut_off", width=width, height=height)
    ends: Floats = np.roll(corners, -1, axis=0)
    sides = ends - corners
    after = np.roll(sides, -1, axis=0)
    turns = sides[:, 0] * after[:, 1] - sides[:, 1] * after[:, 0]
    if not ((turns > 0.0).all() or (turns < 0.0).all()):
        raise LiftError("photo.corners_crossed")
    if turns[0] < 0.0:
        raise LiftError("photo.corners_counterclockwise")
    shortest = np.hypot(*sides.T) / np.array([COLUMNS, ROWS, COLUMNS, ROWS])
    if shortest.min() < LEAST_PIXELS * (1.0 + GAP):
        raise LiftError("photo.chart_small", pixels=float(shortest.min()), least=LEAST_PIXELS)
    return corners


def as_points(given: Any) -> Floats | None:
    """Points [pixel], shape (n, 2), where they are such; otherwise None."""
    try:
        points = np.asarray(given, dtype=np.float64)
    except (TypeError, ValueError):
        return None
    good = points.ndim == 2 and points.shape[1] == 2 and np.isfinite(points).all()
    return points if good else None


def read_points(text: str) -> Any:
    """Points as typed, ``x,y x,y`` [pixel], shape (n, 2); the text itself where it is none."""
    try:
        return [tuple(map(float, point.split(","))) for point in text.split()]
    except ValueError:
        return text


def as_typed(given: Any) -> Any:
    """What was given, as it stands in one line."""
    return given.tolist() if isinstance(given, np.ndarray) else given


def to_picture(places: Floats, corners: Floats, *, back: bool = False) -> Floats:
    """Places in the chart's sides as pixels of a picture, shape (..., 2); or `back`."""
    matrix = _homography(corners)
    if back:
        matrix = np.asarray(np.linalg.inv(matrix), dtype=np.float64)
    moved = places @ matrix[:, :2].T + matrix[:, 2]
    return np.asarray(moved[..., :2] / moved[..., 2:])


def _homography(corners: Floats) -> Floats:
    """Matrix that takes the unit square's corners to these four (Heckbert 1989, from memory)."""
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    rows, right = [], []
    for (u, v), (x, y) in zip(square, corners, strict=True):
        rows += [[u, v, 1.0, 0, 0, 0, -u * x, -v * x], [0, 0, 0, u, v, 1.0, -u * y, -v * y]]
        right += [x, y]
    return np.append(np.linalg.solve(np.array(rows), np.array(right)), 1.0).reshape(3, 3)


def patch_codes(
    picture: Picture, corners: Floats, share: float, samples: int
) -> NDArray[np.uint8 | np.uint16]:
    """Codes of a share of each patch about its middle, shape (24, samples squared, 3)."""
    steps = (np.arange(samples) + 0.5) / samples
    grid = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    starts, size = chart_places()
    inside = (0.5 + share * (grid - 0.5)) * size
    at = to_picture(starts[:, None, :] + inside, corners).astype(np.intp)
    height, width = picture.pixels.shape[:2]
    x, y = np.clip(at[..., 0], 0, width - 1), np.clip(at[..., 1], 0, height - 1)
    return picture.pixels[y, x]


def read_patches(picture: Picture, corners: Floats) -> Patches:
    """Read every patch in its middle half: mean of what lies near the median, and its scatter.

    Raises
    ------
    LiftError
        When the chart is bent, too many patches are unreadable, or the grey row shows that the
        corners begin elsewhere or that a filter was at work.
    """
    starts, size = chart_places()
    codes = patch_codes(picture, corners, MIDDLE, SAMPLES)
    found = picture.light(codes)
    middle = np.median(found, axis=1, keepdims=True)
    spread = 1.4826 * np.median(np.abs(found - middle), axis=1) + picture.step(middle[:, 0])
    # The median itself would be a whole code.
    held = np.abs(found - middle) <= HELD * spread[:, None]
    light = np.where(held, found, 0.0).sum(axis=1) / held.sum(axis=1)
    place = to_picture(starts + size / 2.0, corners)
    across = np.linalg.norm(corners[1] - corners[0]) / (COLUMNS * (1.0 + GAP))
    # Pixels that are looked at more than once tell nothing new.
    independent = float(np.minimum(SAMPLES, MIDDLE * across)) ** 2
    sd = spread / np.sqrt(independent)
    whole = picture.light(patch_codes(picture, corners, WHOLE, SAMPLES))
    stray = np.abs(whole - light[:, None]) > STRAY * light[:, None] + 4.0 * spread[:, None] + 0.01
    straying = stray.any(axis=-1).mean(axis=1) > STRAYING
    level = np.median(codes, axis=1) * (255.0 / picture.full)
    clipped = (level > BRIGHTEST).any(axis=1)
    empty = level < DARKEST
    dark = empty.all(axis=1)
    # A strong colour may lie outside the camera's range: a channel is empty in any light.
    good = ~(straying | clipped | empty.any(axis=1))
    if straying.sum() > MOST_LOST or not _darkens(light, good[GREYS]):
        _refuse_turned(picture, corners)
    _refuse(light, good, straying, clipped, dark)
    return Patches(light, sd, place, good, tuple(_warnings(straying, clipped, dark)))


def _refuse(light: Floats, good: Which, straying: Which, clipped: Which, dark: Which) -> None:
    """Refuse a chart that cannot be used, by the first cause that explains it."""
    for code, lost in (("bright", clipped), ("dark", dark), ("bent", straying)):
        if lost.sum() > MOST_LOST:
            raise LiftError(f"photo.too_{code}", count=int(lost.sum()))
    if (~good).sum() > MOST_LOST:
        raise LiftError("photo.too_many_lost", count=int((~good).sum()))
    usable = good[GREYS]
    if usable.sum() < FEWEST_GREYS:
        raise LiftError("photo.greys_lost", count=int(usable.sum()))
    if not _darkens(light, usable):
        raise LiftError("photo.greys")


def _refuse_turned(picture: Picture, corners: Floats) -> None:
    """Say so where the greys lie along another side than the corners tell."""
    for turn in range(1, 4):
        light = _middles(picture, np.roll(corners, -turn, axis=0))
        if _darkens(light, np.ones(light[GREYS].shape[0], dtype=bool)):
            raise LiftError("photo.turned", corner=turn + 1)


def _middles(picture: Picture, corners: Floats) -> Floats:
    """Light at the middle of each patch, shape (24, 3)."""
    starts, size = chart_places()
    x, y = to_picture(starts + size / 2.0, corners).astype(np.intp).T
    return picture.light(picture.pixels[y, x])


def _darkens(light: Floats, usable: Which) -> bool:
    """Whether the grey row darkens from patch to patch and is grey."""
    row = light[GREYS][usable]
    tint = np.ptp(row / row.mean(axis=1, keepdims=True), axis=1)
    return bool((np.diff(row.mean(axis=1)) < 0.0).all() and np.median(tint) < COLOURED)


def _warnings(straying: Which, clipped: Which, dark: Which) -> list[Note]:
    causes = {"clipped": clipped, "dark": dark, "straying": straying}
    return [
        note(f"photo.warning.{name}", patches=[PATCHES[i] for i in np.flatnonzero(lost)])
        for name, lost in causes.items()
        if lost.any()
    ]
