"""A lock of hair, drawn in a computed colour."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.show.plots import own_axes, rgb

if TYPE_CHECKING:
    from matplotlib.axes import Axes

FIBRES = 60
RELIEF = 5.0
"""How far light and shade go in L*; their mean over the lock is zero."""


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


def lock_image(lab: ArrayLike, height: int = 220, width: int = 90) -> Any:
    """Screen colours of a lock whose mean CIELAB is `lab`, shape (height, width, 3), 0 to 1.

    Parameters
    ----------
    lab : array_like
        CIELAB, shape (3,).
    height, width : int
        Pixels.
    """
    relief = lock_relief(height, width)
    colour = np.broadcast_to(np.asarray(lab, dtype=float), (*relief.shape, 3)).copy()
    # Dark hair leaves little room for shade: scaled down there, so that the mean stays.
    colour[..., 0] += relief * min(1.0, float(colour[0, 0, 0]) / (2.0 * RELIEF))
    return rgb(colour)


def plot_lock(lab: ArrayLike, axes: Axes | None = None, *, label: str = "") -> Axes:
    """Draw a lock of hair.

    Parameters
    ----------
    lab : array_like
        CIELAB, shape (3,).
    axes : matplotlib Axes, optional
        Where to draw.
    label : str
        Written under the lock.
    """
    axes = own_axes(axes, 1.4, 3.0)
    axes.imshow(lock_image(lab), aspect="auto", interpolation="bilinear")
    axes.set(xticks=[], yticks=[], xlabel=label)
    axes.grid(visible=False)
    axes.spines[:].set_visible(False)
    return axes
