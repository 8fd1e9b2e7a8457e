"""A lock of hair, drawn in a computed colour."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.show.plots.figure import OWN, bare, lab_note, lettered, picture, rgb
from lift.words import note

if TYPE_CHECKING:
    from matplotlib.axes import Axes

FIBRES = 60
RELIEF = 5.0
"""How far light and shade go in L*; their mean over the lock is zero."""

STEPS = 32
"""Shades to either side: steps of 0.16 in L*, which nobody sees."""


@lru_cache(maxsize=8)
def lock_relief(height: int, width: int) -> Floats:
    """Light and shade of a lock [L*], shape (height, width), with mean zero.

    Fibres run downward in slight waves; a soft band of shine lies across them.
    """
    random = np.random.default_rng(7)
    down = np.linspace(0.0, 1.0, height)[:, None]
    across = np.linspace(0.0, 1.0, width)[None, :]
    bend = across + 0.035 * np.sin(5.0 * down + 1.0) + 0.012 * np.sin(11.0 * down)
    fibre = np.interp(bend * FIBRES, np.arange(-8, FIBRES + 9), random.normal(size=FIBRES + 17))
    shine = 1.6 * np.exp(-(((down - 0.3 - 0.05 * np.sin(6.0 * across)) / 0.16) ** 2))
    relief = 0.55 * fibre + shine - 1.2 * (2.0 * across - 1.0) ** 2
    relief -= relief.mean()
    relief = np.asarray(RELIEF * relief / np.abs(relief).max())
    relief.setflags(write=False)
    return relief


@lru_cache(maxsize=8)
def _steps(height: int, width: int) -> Any:
    """Shade of each pixel, 0 to twice `STEPS`."""
    steps = np.rint((lock_relief(height, width) / RELIEF + 1.0) * STEPS).astype(np.intp)
    steps.setflags(write=False)
    return steps


def lock_image(lab: ArrayLike, height: int = 220, width: int = 90) -> Any:
    """Screen colours of a lock whose mean CIELAB is `lab`, shape (height, width, 3), 0 to 1.

    Parameters
    ----------
    lab : array_like
        CIELAB, shape (3,).
    height, width : int
        Pixels.
    """
    shades = np.tile(np.asarray(lab, dtype=float), (2 * STEPS + 1, 1))
    # Dark hair leaves little room for shade: scaled down there, so that the mean stays.
    room = min(1.0, float(shades[0, 0]) / (2.0 * RELIEF))
    shades[:, 0] += room * RELIEF * np.linspace(-1.0, 1.0, 2 * STEPS + 1)
    # The colour of each shade is computed once, not that of each pixel.
    return rgb(shades)[_steps(height, width)]


@picture(1.4, 3.0)
def plot_lock(lab: ArrayLike, axes: Axes = OWN, *, label: str = "") -> Axes:
    """Draw a lock of hair of CIELAB `lab`, shape (3,), with `label` under it."""
    axes.imshow(lock_image(lab), aspect="auto", interpolation="bilinear")
    axes.set(xticks=[], yticks=[], xlabel=label)
    bare(axes)
    return lettered(axes, alt=note("alt.lock", lab=lab_note(lab)))
