"""Figures: one decorator makes every picture, and they are written whole or not at all.

A picture is a function that draws on its `axes` (a sheet: on its `figure`), gives them back, and
says in numbers what is to be seen. Of Axes and curves that it is not given it takes its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import wraps
from inspect import signature
from io import BytesIO
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.files import write_whole
from lift.model.curves import default_curves
from lift.practice.cautions import UNMIXED, apart
from lift.show import style
from lift.words import LAST_LEVEL, Note, note, say, says

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

P = ParamSpec("P")
T = TypeVar("T")
Length = float | Callable[..., float]
"""Inches, or how many of them for the arguments of a picture."""

OWN: Any = None
"""Default of `axes` and `figure`: the picture makes its own."""

SHIPPED: Any = None
"""Default of `curves`: the shipped curve set."""

_ALT: WeakKeyDictionary[Any, Note] = WeakKeyDictionary()
_CODES: WeakKeyDictionary[Any, tuple[str, str]] = WeakKeyDictionary()


def picture(
    width: Length = 7.0, height: Length = 4.0, look: Any = style.RC
) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """Make a picture of a function that draws.

    Its default curves, its Axes (or, of a sheet, its Figure) and the look of all that it draws
    come from here.

    Parameters
    ----------
    width, height : float, or function of the picture's arguments by name
        Of a figure of its own [inches].
    look : mapping
        Matplotlib settings; pictures on a sheet are drawn in the sheet's.
    """

    def make(draw: Callable[P, T]) -> Callable[P, T]:
        asked = signature(draw)
        canvas = "figure" if "figure" in asked.parameters else "axes"

        @wraps(draw)
        def drawn(*args: P.args, **kwargs: P.kwargs) -> T:
            bound = asked.bind(*args, **kwargs)
            bound.apply_defaults()
            given = bound.arguments
            if given.get("curves", 0) is None:
                given["curves"] = default_curves()
            with style.looking(look):
                if given[canvas] is None:
                    figure = new_figure(
                        *(side(**given) if callable(side) else side for side in (width, height))
                    )
                    given[canvas] = figure if canvas == "figure" else figure.add_subplot()
                return draw(*bound.args, **bound.kwargs)

        return drawn

    return make


def on_scale(lift: ArrayLike, level: ArrayLike) -> Floats:
    """Lift where the level is on the scale, shape (...); past its end nothing is drawn."""
    return np.where(np.asarray(level) <= LAST_LEVEL, lift, np.nan)


def level_axis(axes: Axes) -> None:
    """Let an upright axis of levels end where the scale does; what is past it is cut off."""
    axes.set_ylim(top=min(axes.get_ylim()[1], LAST_LEVEL + 0.2))
    axes.yaxis.set_major_formatter(lambda level, _: say("level.short", level=level))


def lettered(
    axes: Axes,
    title: str | Note = "",
    x: str | Note = "",
    y: str | Note = "",
    *,
    alt: Note | None = None,
    **look: Any,
) -> Axes:
    """Write title and labels, and note in numbers what is to be seen, for alt text."""
    if title:
        axes.set_title(say(title), **look)
    if x:
        axes.set_xlabel(say(x))
    if y:
        axes.set_ylabel(say(y))
    if alt is not None:
        _ALT[axes] = alt
    if x or y:
        _CODES[axes] = (_code(x), _code(y))
    return axes


def _code(label: str | Note) -> str:
    return label.code if isinstance(label, Note) else label


def axis_codes(axes: Axes) -> tuple[str, str]:
    """Codes of the labels of both axes, such as ``axis.minutes``; empty where there is none."""
    return _CODES.get(axes, ("", ""))


def lab_note(lab: ArrayLike) -> Note:
    """CIELAB, shape (3,), as it is said."""
    return note("lab", lab=np.asarray(lab, dtype=float))


def head(figure: Figure, text: str | Note, **look: Any) -> Figure:
    """Write above a sheet."""
    figure.suptitle(say(text), x=0.01, ha="left", **look)
    return figure


def foot(figure: Figure, cautions: Iterable[Note], more: str | Note = "") -> Figure:
    """Write below a sheet: cautions for this mixture and hair, apart, then those that always hold.

    The standing ones are one sentence, and `more` goes on from it.
    """
    width = int(14 * figure.get_figwidth())
    special = [fill(say(each), width) for each in apart(cautions).special]
    standing = fill(" ".join(filter(None, (*says(UNMIXED), str(more)))), width)
    look: Any = {"color": style.INK if special else style.SOFT, "fontsize": 9.5}
    figure.supxlabel("\n".join([*special, standing]), x=0.01, ha="left", **look)
    return figure


def alt_text(figure: Figure, text: str = "") -> str:
    """Titles, which state the finding, and `text`, or else what each picture says in numbers."""
    titles = [figure.get_suptitle()]
    for axes in figure.get_axes():
        titles += [axes.get_title(loc) for loc in ("left", "center", "right")]
    found = [" ".join(title.split()).rstrip(".") for title in titles if title.strip()]
    seen = text or " ".join(say(_ALT[axes]) for axes in figure.get_axes() if axes in _ALT)
    return ". ".join([*found, seen])


def beside(
    axes: Axes, text: str, at: tuple[float, float], away: tuple[float, float], **look: Any
) -> None:
    """Write near a point, so far away from it [points]."""
    axes.annotate(text, at, away, textcoords="offset points", **look)


def bare(axes: Axes) -> None:
    """Take away grid, frame and the marks of ticks."""
    axes.grid(visible=False)
    axes.spines[:].set_visible(False)
    axes.tick_params(length=0)


def block(
    axes: Axes, left: float, low: float, colour: Any, width: float = 1.0, height: float = 0.96,
    **look: Any,
) -> None:  # fmt: skip
    """A filled rectangle; hair is never one, see `lift.show.plots.lock`."""
    from matplotlib.patches import Rectangle

    look = {"lw": 0, "facecolor": colour} | look
    axes.add_patch(Rectangle((left, low), width, height, **look))


def new_figure(width: float, height: float) -> Figure:
    """Empty figure, free of any global state [inches]."""
    from lift.show.plots.shown import Sheet

    return Sheet(figsize=(width, height), layout="constrained")


def ab(lab: Any) -> tuple[Any, Any]:
    """Coordinates a* and b* of CIELAB."""
    return lab[..., 1], lab[..., 2]


def save_figure(figure: Figure, path: Path) -> None:
    """Write a picture, whole or not at all."""
    from matplotlib import rc_context

    drawn = BytesIO()
    ending = path.suffix.lower().removeprefix(".")
    # No date in the file: the same picture gives the same bytes.
    undated: Any = {"svg": {"Date": None}, "pdf": {"CreationDate": None}}.get(ending)
    with rc_context(style.RC):
        figure.savefig(drawn, format=ending, metadata=undated)
    write_whole(path, drawn.getvalue(), "file.picture")
