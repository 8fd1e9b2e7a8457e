"""Names of points on a picture, written where they touch neither a curve nor one another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product
from typing import TYPE_CHECKING, Any

import numpy as np

from lift.errors import Floats
from lift.show import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes

UPWARDS = (0.0, 12.0, -12.0, 24.0, -24.0, 38.0, -38.0, 54.0, -54.0, 72.0, -72.0)
"""How far up from its point a name may stand [points]; the nearest free place is taken."""

ASIDE = 10.0
MARGIN = 2.0
MARK = 6.0
"""How far aside from its point a name stands, what is kept free around it, and half the size of a
mark [points]."""

Box = tuple[float, float, float, float]


def write_apart(
    axes: Axes, names: Sequence[tuple[str, tuple[float, float]]], curves: Iterable[Any], **look: Any
) -> None:
    """Write names beside their points, clear of curves, marks, legend and one another.

    Parameters
    ----------
    axes : matplotlib.axes.Axes
        With its limits set and its legend drawn.
    names : sequence of (str, (float, float))
        Each name and its point, in the coordinates of the data, the most important first.
    curves : iterable of array_like
        What is not to be touched, each shape (2, n), in the coordinates of the data.
    **look
        Of the text.
    """
    figure = axes.get_figure()
    assert figure is not None
    figure.draw_without_rendering()  # type: ignore[union-attr]
    unit = figure.dpi / 72.0
    drawn = [_dense(axes.transData.transform(np.transpose(curve)), unit) for curve in curves]
    lines = np.concatenate([np.empty((0, 2)), *drawn])
    at = axes.transData.transform([point for _, point in names]) if names else np.empty((0, 2))
    taken = [_around(point, MARK * unit) for point in at]
    if (legend := axes.get_legend()) is not None:
        taken.append(_corners(legend.get_window_extent()))
    frame = _corners(axes.get_window_extent())
    for (name, point), pixel in zip(names, at, strict=True):
        text = axes.annotate(name, point, (0.0, 0.0), textcoords="offset points", **look)
        size = text.get_window_extent()
        up, side = _place(pixel, (size.width, size.height), unit, frame, taken, lines)
        text.set_position((side * ASIDE, up))
        text.set(ha="left" if side > 0 else "right", va="center")
        if abs(up) > ASIDE + MARK:
            leader = {"arrowstyle": "-", "color": style.SOFT, "lw": 0.7}
            axes.annotate("", point, (side * ASIDE, up), textcoords="offset points",
                          arrowprops=leader)  # fmt: skip
        taken.append(_box(pixel, (size.width, size.height), unit, up, side))


def _place(
    pixel: Floats,
    size: tuple[float, float],
    unit: float,
    frame: Box,
    taken: list[Box],
    lines: Floats,
) -> tuple[float, float]:
    """How far up [points] and to which side: the first place that is free, else right beside it."""
    for up, side in product(UPWARDS, (1.0, -1.0)):
        box = _box(pixel, size, unit, up, side)
        inside = box[0] >= frame[0] and box[1] >= frame[1] and box[3] <= frame[3]
        # A name may go past the right edge, where nothing is drawn.
        if inside and not any(_meet(box, other) for other in taken) and not _crossed(box, lines):
            return up, side
    return 0.0, 1.0


def _box(pixel: Floats, size: tuple[float, float], unit: float, up: float, side: float) -> Box:
    margin, (width, height) = MARGIN * unit, size
    start = pixel[0] + side * ASIDE * unit
    left = start if side > 0 else start - width
    middle = pixel[1] + up * unit
    half = height / 2.0 + margin
    return left - margin, middle - half, left + width + margin, middle + half


def _around(pixel: Floats, half: float) -> Box:
    return pixel[0] - half, pixel[1] - half, pixel[0] + half, pixel[1] + half


def _corners(extent: Any) -> Box:
    return extent.x0, extent.y0, extent.x1, extent.y1


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _crossed(box: Box, lines: Floats) -> bool:
    x, y = lines.T
    return bool(np.any((x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])))


def _dense(line: Floats, step: float) -> Floats:
    """Points of a line so near one another that no name slips between them, shape (n, 2)."""
    line = line[np.isfinite(line).all(axis=1)]
    if len(line) < 2:
        return line
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    places = np.linspace(0.0, along[-1], max(int(along[-1] / step) + 1, 2))
    return np.stack([np.interp(places, along, axis) for axis in line.T], axis=-1)
