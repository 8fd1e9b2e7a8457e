"""Figures: made in one style, drawn into where asked, and written whole or not at all."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.files import write_whole
from lift.optics.colorimetry import lab_to_srgb
from lift.show import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


def new_figure(width: float, height: float) -> Figure:
    """Empty figure in the house style, free of any global state [inches]."""
    from matplotlib.figure import Figure

    return Figure(figsize=(width, height), layout="constrained")


def own_axes(
    axes: Axes | None, width: float = 7.0, height: float = 4.0, rc: Any = style.RC
) -> Axes:
    """Return the given Axes, or one on a new figure in the style `rc`."""
    if axes is not None:
        return axes
    from matplotlib import rc_context

    with rc_context(rc):
        return new_figure(width, height).add_subplot()


def rgb(lab: ArrayLike) -> Any:
    """Screen colour of CIELAB, shape (..., 3), 0 to 1."""
    return lab_to_srgb(np.asarray(lab, dtype=float))[0]


def save_figure(figure: Figure, path: Path) -> None:
    """Write a picture, in the format of its ending."""
    from matplotlib import rc_context

    ending = path.suffix.lower()
    # No date in the file: the same picture gives the same bytes.
    undated = {".svg": {"Date": None}, ".pdf": {"CreationDate": None}}
    drawn = BytesIO()
    with rc_context(style.RC):
        figure.savefig(drawn, format=ending[1:], metadata=undated.get(ending))
    write_whole(path, drawn.getvalue(), "file.picture")
