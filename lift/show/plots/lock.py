"""Locks in a picture: whole, as strips, and small ones as marks; nothing else shows hair."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.model.curves import CurveSet
from lift.show import style
from lift.show.lock.beside import named, with_levels
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
