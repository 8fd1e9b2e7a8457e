"""Pictures that show themselves: at the end of a notebook's cell, with alt text from the numbers.

Loaded with the first picture, for it needs matplotlib.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import ArrayLike

from lift.model.curves import CurveSet, default_curves
from lift.model.natural import natural_path
from lift.quantities import check_labs
from lift.show import style
from lift.show.plots.encoded import figure_html
from lift.show.plots.figure import alt_text, axis_codes, save_figure
from lift.show.plots.lock import draw_lock, draw_marks
from lift.words import say

BESIDE = 0.12
"""Width of a lock beside a picture that measures no colour, as a share of the picture's."""


class _Shown:
    """What an Axes and a Figure of ours have in common."""

    def _sheet(self) -> Figure:
        raise NotImplementedError

    @property
    def alt(self) -> str:
        """What is to be seen, in words and numbers."""
        return alt_text(self._sheet())

    def save(self, path: str | os.PathLike[str]) -> None:
        """Write it, whole or not at all, by the path's ending: ``.png``, ``.svg`` or ``.pdf``."""
        save_figure(self._sheet(), Path(path))

    def __repr__(self) -> str:
        """Return what is to be seen, in words and numbers."""
        return f"{type(self).__name__}: {self.alt}"

    def _repr_html_(self) -> str:
        return figure_html(self._sheet())[0]

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        return {"text/html": self._repr_html_(), "text/plain": self.alt}


class Picture(_Shown, Axes):
    """Axes that show themselves, and take measured colours."""

    name = "lift"

    def _sheet(self) -> Figure:
        found: Any = self.get_figure(root=True)
        return found  # type: ignore[no-any-return]

    def measured(
        self,
        lab: ArrayLike,
        name: str = "",
        *,
        minutes: float | None = None,
        curves: CurveSet | None = None,
    ) -> Picture:
        """Put a colour of your own on the picture, and return the picture.

        Where both axes can be told from the colour - a*, b*, warmth, level - and the `minutes`,
        it is a mark at its place; on any other picture it is a lock beside it.

        Parameters
        ----------
        lab : array_like
            CIELAB of hair (D65, 10 degrees), shape (3,) [CIELAB units].
        name : str
            What it is called.
        minutes : float, optional
            Processing time at which it was measured [min].
        curves : CurveSet, optional
            Whose natural hair warmth and level count from; default: the shipped set.

        Examples
        --------
        >>> import lift
        >>> picture = lift.plot_warmth(lift.preview(lift.Hair(6), lift.Mixture("cream", 20), 20))
        >>> len(picture.measured((44, 12, 26), "tress 1", minutes=20).texts) > 0
        True
        """
        colour = np.asarray(check_labs(lab, "tone.hair"), dtype=np.float64).reshape(3)
        called = name or say("results.measured")
        places = _places(colour, minutes, curves or default_curves())
        x, y = (places.get(code.removesuffix("_capital")) for code in axis_codes(self))
        if x is None or y is None:
            self._beside(colour, called)
        else:
            draw_marks(self, (x, y), colour, marker="s", zorder=6)
            self.annotate(called, (x, y), (10, 0), textcoords="offset points", va="center",
                          color=style.INK, fontsize="small")  # fmt: skip
        return self

    def _beside(self, lab: Any, name: str) -> None:
        count = sum(getattr(each, "of_measured", False) for each in self.child_axes)
        beside: Any = self.inset_axes((1.02 + count * (BESIDE + 0.03), 0.5, BESIDE, 0.4))
        beside.of_measured = True
        draw_lock(beside, lab, (0.0, 1.0, 0.0, 1.0))
        beside.set(xlim=(0.0, 1.0), ylim=(0.0, 1.0), xticks=[], yticks=[])
        beside.set_xlabel(name, fontsize="small")


class Sheet(_Shown, Figure):
    """A figure that shows itself; its subplots are pictures."""

    def _sheet(self) -> Figure:
        return self

    def add_subplot(self, *args: Any, **kwargs: Any) -> Any:
        """Add a `Picture`."""
        if not {"projection", "polar", "axes_class"} & kwargs.keys():
            kwargs["axes_class"] = Picture
        return super().add_subplot(*args, **kwargs)


def _places(lab: Any, minutes: float | None, curves: CurveSet) -> dict[str, float]:
    """Where a colour lies on each axis that can be told from it, by the axis's code."""
    path = natural_path(curves)
    level = float(path.level_of_lightness(lab[0]))
    found = {"axis.a": float(lab[1]), "axis.b": float(lab[2]), "axis.level": level}
    found |= {"axis.natural_level": level, "axis.warmth": float(path.warmth(lab))}
    if minutes is not None:
        found |= {"axis.minutes": float(minutes), "axis.time": float(minutes)}
    return found
