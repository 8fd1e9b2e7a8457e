"""Locks in a picture: whole, as strips, and small ones as marks; nothing else shows hair."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.model.curves import CurveSet
from lift.show import style
from lift.show.lock.beside import levels_around, named, with_levels
from lift.show.lock.image import lock_image, strip_image
from lift.show.lock.shades import ground, in_gamut
from lift.show.plots.figure import OWN, SHIPPED, bare, beside, block, lab_note, lettered, picture
from lift.words import Note, note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Extent = tuple[float, float, float, float]
"""Left, right, bottom and top, in the units of the axes."""

LOCK_PIXELS = (240, 120)
MARK_PIXELS, MARK_GROUND = (46, 44), 4
"""Of the lock in a mark, and the columns of its ground that the mark itself gives."""

STRIP_PIXELS = 64
EDGE = 0.1
"""Ground to either side of a strip, as a share of its height."""

LEVEL_WIDE, LEVEL_LETTERS = 2.4, 0.75
"""Of the natural levels beside strips: width and letters [usual letters' heights]."""
LEVEL_GAP, LEVEL_APART = 2.0, 9.0
"""Between two natural levels, and between them and the strip [points]."""

TALL = 1.8
"""Height of a lock with its ground, in widths."""

FEW = 5
"""Locks side by side from which on their labels must be small."""

MARK = 170.0
"""Usual size of a mark [square points]: its lock is then 8 points wide."""

MARK_SHARE = 0.62
"""Width of the lock in a mark, as a share of the mark's: its corners lie within a circle."""


def draw_lock(axes: Axes, lab: ArrayLike, extent: Extent, **look: Any) -> None:
    """Draw a lock of CIELAB `lab`, shape (3,), on its ground; shine lies at the extent's top."""
    pixels = lock_image(lab, *LOCK_PIXELS)
    axes.imshow(pixels, aspect="auto", extent=extent, interpolation="antialiased", **look)


def draw_strip(axes: Axes, lab: ArrayLike, extent: Extent, **look: Any) -> None:
    """Draw a lock laid on its side, on its ground, that changes colour: CIELAB of shape (n, 3).

    `look` may place it: ``zorder``, ``transform``.
    """
    left, right, bottom, top = extent
    placed: Any = {"zorder": 1.0} | look
    over: Any = placed | {"zorder": placed["zorder"] + 0.01}
    block(axes, left, bottom, ground(), right - left, top - bottom, **placed)
    edge = EDGE * (top - bottom)
    inner = (left, right, bottom + edge, top - edge)
    pixels = strip_image(lab, STRIP_PIXELS)
    axes.imshow(pixels, aspect="auto", extent=inner, interpolation="bilinear", **over)
    if not np.all(in_gamut(lab)):
        axes.text(right, bottom, say("lock.partly_clipped"), ha="right", va="bottom",
                  fontsize="x-small", backgroundcolor=style.PAPER, **over)  # fmt: skip


def draw_levels(
    axes: Axes,
    strips: Iterable[tuple[ArrayLike, float, float]],
    curves: CurveSet,
    upright: Any = None,
) -> None:
    """Draw to the right of strips the natural levels that each lies between, strips like it.

    Of axes whose limits are set: what lies beside them moves these no more.

    Parameters
    ----------
    strips : iterable of (CIELAB of shape (n, 3), bottom, top)
        Colour, and place upright; at least one, the last stands lowest.
    upright : matplotlib transform, optional
        Of `bottom` and `top`; default: the data's.
    """
    from matplotlib import rcParams
    from matplotlib.transforms import Affine2D, ScaledTranslation, blended_transform_factory

    axes.set_autoscale_on(False)
    wide = LEVEL_WIDE * rcParams["font.size"]
    points = Affine2D().scale(1.0 / 72.0) + axes.figure.dpi_scale_trans
    shares: Any = axes.transAxes
    right = points + ScaledTranslation(1.0, 0.0, shares)
    placed = blended_transform_factory(right, upright or axes.transData)
    look: Any = {"transform": placed, "clip_on": False, "zorder": 2.0}
    small = LEVEL_LETTERS * rcParams["font.size"]
    below: Any = {"textcoords": "offset points", "xycoords": placed, "ha": "center", "va": "top",
                  "fontsize": small, "color": style.SOFT}  # fmt: skip
    for lab, bottom, top in strips:
        for place, (level, natural) in enumerate(zip(*levels_around(lab, curves), strict=True)):
            left = LEVEL_APART + place * (wide + LEVEL_GAP)
            draw_strip(axes, [natural, natural], (left, left + wide, bottom, top), **look)
            middle = (left + wide / 2.0, bottom)
            axes.annotate(f"{level:g}", middle, (0.0, -1.5), **below)
    # Below the lowest: above the highest a title may stand.
    between = (LEVEL_APART + wide + LEVEL_GAP / 2.0, bottom)
    axes.annotate(say("axis.natural_level"), between, (0.0, -1.5 - 1.2 * small), **below)


def draw_marks(
    axes: Axes, at: Any, lab: ArrayLike, marker: str = "o", size: float = MARK, **look: Any
) -> None:
    """Draw small locks, each on a ground of the marker's form.

    Parameters
    ----------
    at : tuple of array_like
        Places along x and y, shapes (n,) or ().
    lab : array_like
        CIELAB, shape (n, 3) or (3,).
    size : float
        Of the marker [square points].
    """
    from matplotlib.offsetbox import AnnotationBbox, OffsetImage

    frame: Any = {"edgecolors": style.INK, "zorder": 4} | look
    labs, (xs, ys) = np.atleast_2d(lab), (np.atleast_1d(place) for place in at)
    axes.scatter(xs, ys, s=size, marker=marker, color=ground(), **frame)
    # A triangle has less room inside than what stands on a square's four corners.
    share = MARK_SHARE * (0.7 if marker in "^v<>" else 1.0)
    locks = lock_image(labs, *MARK_PIXELS)[..., MARK_GROUND:-MARK_GROUND, :]
    zoom = share * size**0.5 / locks.shape[-2]
    for x, y, one, pixels in zip(xs, ys, labs, locks, strict=True):
        lock = AnnotationBbox(OffsetImage(pixels, zoom=zoom), (x, y), frameon=False, pad=0.0)
        lock.set(zorder=frame["zorder"] + 0.1, in_layout=False)
        axes.add_artist(lock)
        if not in_gamut(one):
            below = (0.0, -0.7 * size**0.5)
            beside(axes, say("lock.mark_clipped"), (x, y), below, ha="center", va="top")


@picture(1.4, 3.0)
def plot_lock(lab: ArrayLike, axes: Axes = OWN, *, label: str = "") -> Axes:
    """Draw a lock of hair of CIELAB `lab`, shape (3,), with `label` under it."""
    draw_lock(axes, lab, (0.0, 1.0, 0.0, 1.0))
    axes.set(xticks=[], yticks=[], xlabel=named(label, lab))
    bare(axes)
    return lettered(axes, alt=note("alt.lock", lab=lab_note(lab)))


@picture(lambda looks, **_: 1.1 * (len(looks) + 2), 2.6)
def plot_beside(
    looks: Mapping[str, ArrayLike], curves: CurveSet = SHIPPED, axes: Axes = OWN
) -> Axes:
    """Locks beside those of the two natural levels that are nearest to the last in lightness.

    Parameters
    ----------
    looks : mapping of str to array_like
        Label and CIELAB, shape (3,), of each lock.
    """
    alt = draw_beside(axes, looks, curves)
    return lettered(axes, alt=alt)


def draw_beside(axes: Axes, looks: Mapping[str, ArrayLike], curves: CurveSet) -> Note:
    """Draw what `plot_beside` shows, and say what is to be seen."""
    shown = with_levels(looks, curves)
    for place, lab in enumerate(shown.values()):
        draw_lock(axes, lab, (place, place + 1.0, 0.0, 1.0))
    axes.set(xlim=(0.0, len(shown)), ylim=(0.0, 1.0), yticks=[])
    axes.set_xticks(np.arange(len(shown)) + 0.5, [label.replace(" ", "\n", 1) for label in shown])
    small: Any = {"labelsize": 8} if len(shown) > FEW else {}
    axes.tick_params(axis="x", labelcolor=style.INK, **small)
    axes.set_aspect(TALL, anchor="W")
    bare(axes)
    said = [note("alt.beside.one", label=label, lab=lab_note(lab)) for label, lab in shown.items()]
    return note("alt.beside", locks=said)
