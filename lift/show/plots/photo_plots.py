"""Picture of what was measured in a photograph: what was taken of it, and the colour that came."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.photo.chart import chart_places, to_picture
from lift.photo.keep import AROUND
from lift.photo.measured import Difference, Measured
from lift.photo.picture import Picture
from lift.photo.region import Taken
from lift.show import style
from lift.show.plots.figure import OWN, bare, head, lettered, picture
from lift.show.plots.lock import draw_beside
from lift.words import note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

DIM = 0.35
"""Light that is left of what was not measured [-]."""

WIDEST = 1400
"""Most pixels across."""


@picture(9.4, 6.4)
def plot_measured(
    found: Measured | Difference, picture: Picture, chart: ArrayLike, figure: Figure = OWN
) -> Figure:
    """What was taken and what was left out, and the colour beside the levels it lies between.

    Only chart and hair are shown of the photograph; the rest of it, a face perhaps, is cut off.

    Parameters
    ----------
    found : Measured or Difference
        What was measured.
    picture : Picture
        The photograph.
    chart : array_like
        Corners of the chart [pixel], shape (4, 2).

    Examples
    --------
    >>> from lift.make.photograph import Scene, photograph, some_hair
    >>> from lift.photo.measure import measure
    >>> from lift.photo.picture import as_picture
    >>> taken = photograph(Scene(some_hair(1)[0]))  # a computed photograph
    >>> opened = as_picture(taken.pixels)
    >>> found = measure(opened, taken.chart, taken.hair[0])
    >>> len(plot_measured(found, opened, taken.chart).axes)
    2
    """
    regions = [found] if isinstance(found, Measured) else [found.first, found.second]
    above, below = figure.subplots(2, 1, height_ratios=(3.0, 1.6))
    draw_taken(above, picture, np.asarray(chart, dtype=float), [each.taken for each in regions])
    codes = ("hair",) if len(regions) == 1 else ("first", "second")
    looks: dict[str, Any] = {
        say(f"measured.{code}.label"): each.lab for code, each in zip(codes, regions, strict=True)
    }
    alt = draw_beside(below, looks, regions[0].curves)
    lettered(below, alt=alt)
    first = regions[0]
    told = note("plot.measured.title", lab=first.lab, sd=first.sd)
    if isinstance(found, Difference):
        told = note("plot.measured.difference", lab=found.lab, sd=found.sd)
    return head(figure, told, fontsize=12)


def draw_taken(axes: Axes, picture: Picture, chart: Floats, regions: list[Taken]) -> Axes:
    """Draw chart and hair of a photograph, dark but for the pixels that were taken."""
    boxes = [np.reshape(each.box, (2, 2)) for each in regions]
    ends = np.vstack([chart, *boxes])
    down, across = picture.around(ends, AROUND)
    top, bottom, left, right = down.start, down.stop, across.start, across.stop
    step = max(1, int(np.ceil((right - left) / WIDEST)))
    shown = picture.on_screen(picture.pixels[top:bottom:step, left:right:step]) / 255.0
    lit = np.zeros(shown.shape[:2], dtype=bool)
    outlined = lit.copy()
    rows, columns = np.mgrid[top:bottom:step, left:right:step]
    for each in regions:
        x0, y0, x1, y1 = each.box
        inside = (columns >= x0) & (columns < x1) & (rows >= y0) & (rows < y1)
        at = (rows[inside] - y0) // each.step, (columns[inside] - x0) // each.step
        lit[inside] |= each.mask[at]
        outlined[inside] |= each.inside[at]
    u, v = np.moveaxis(
        to_picture(np.stack([columns, rows], axis=-1) + 0.5, chart, back=True), -1, 0
    )
    lit |= (u > 0.0) & (u < 1.0) & (v > 0.0) & (v < 1.0)
    shown = np.where(lit[..., None], shown, DIM * shown)
    axes.imshow(shown, extent=(left, right, bottom, top), interpolation="antialiased")
    starts, size = chart_places()
    corners = np.array([[0.25, 0.25], [0.75, 0.25], [0.75, 0.75], [0.25, 0.75], [0.25, 0.25]])
    for start in starts:
        axes.plot(*to_picture(start + corners * size, chart).T, color="white", lw=0.8)
    axes.plot(*chart[[0, 1, 2, 3, 0]].T, color="white", lw=1.2)
    axes.plot(*chart[0], "o", color="white", ms=6)
    if outlined.any():
        axes.contour(columns, rows, outlined, levels=[0.5], colors="white", linewidths=1.2)
    axes.set(xticks=[], yticks=[], anchor="W")
    bare(axes)
    share = float(np.mean([each.share for each in regions]))
    pixels = sum(each.pixels for each in regions)
    return lettered(
        axes,
        note("plot.measured.taken", share=share),
        alt=note("alt.measured", pixels=pixels, share=share),
        fontsize=10,
        color=style.SOFT,
    )
