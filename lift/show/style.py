"""One look for every picture: quiet greys, so that hair is the only strong colour."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

INK = "#26231f"
SOFT = "#6f6a63"
FAINT = "#d9d4cb"
PAPER = "#fbfaf7"
COOL = "#2f6f8f"
WARM = "#b3541e"

RC: Any = {
    "figure.facecolor": PAPER,
    "axes.facecolor": PAPER,
    "savefig.facecolor": PAPER,
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "axes.titlecolor": INK,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.titlesize": 12,
    "axes.labelsize": 11,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "grid.color": FAINT,
    "grid.linewidth": 0.6,
    "xtick.color": SOFT,
    "ytick.color": SOFT,
    "text.color": INK,
    "font.size": 10.5,
    "font.family": "sans-serif",
    "legend.frameon": False,
    "figure.dpi": 110,
    "savefig.dpi": 150,
    "svg.hashsalt": "lift",
}

CLASSROOM: Any = {
    **RC,
    "font.size": 14,
    "axes.titlesize": 15,
    "axes.labelsize": 14,
    "legend.fontsize": 12.5,
    "lines.linewidth": 2.5,
    "hatch.color": INK,
    "hatch.linewidth": 0.7,
    "legend.handlelength": 2.6,
}
"""The same look with letters that can be read from the back of a classroom."""

_SIZES = ("font.size", "axes.titlesize", "axes.labelsize", "legend.fontsize", "lines.linewidth")
_LETTERS: ContextVar[float] = ContextVar("letters", default=1.0)
_LOOK: ContextVar[bool] = ContextVar("look", default=False)


def small(letters: float, titles: float, labels: float = RC["axes.labelsize"]) -> Any:
    """The house style with smaller letters, for sheets of many panels [points]."""
    return {**RC, "font.size": letters, "axes.titlesize": titles, "axes.labelsize": labels}


@contextmanager
def letters(scale: float) -> Iterator[None]:
    """Set pictures of a wall for a page: letters and lines this much smaller meanwhile."""
    token = _LETTERS.set(scale)
    try:
        yield
    finally:
        _LETTERS.reset(token)


@contextmanager
def looking(look: Mapping[str, Any]) -> Iterator[None]:
    """Draw in that look, whatever style the caller has set; a sheet's look holds on all of it."""
    if _LOOK.get():
        yield
        return
    from matplotlib import rc_context

    sizes = {key: _LETTERS.get() * look[key] for key in _SIZES if key in look}
    token = _LOOK.set(True)
    try:
        scaled: Any = {**look, **sizes}
        with rc_context(scaled):
            yield
    finally:
        _LOOK.reset(token)
