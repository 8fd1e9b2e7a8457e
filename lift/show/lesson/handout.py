"""One A4 page for a class, made from the pictures of the lesson on orange."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import ALWAYS
from lift.practice.exercise import class_exercise
from lift.show import style
from lift.show.plots.figure import OWN, SHIPPED, picture
from lift.show.plots.lightening_plots import plot_cases, plot_departure, plot_phases
from lift.show.plots.teach_plots import plot_ladder, plot_melanin
from lift.words import say

if TYPE_CHECKING:
    from matplotlib.figure import Figure

A4_INCHES = (8.27, 11.69)
LETTERS = 0.56
"""Size on paper of letters that were set for a wall."""


def plot_handout(curves: CurveSet = SHIPPED) -> Figure:
    """Draw the handout, A4 upright: pictures, questions, answers upside down, and cautions.

    Examples
    --------
    >>> from lift.teach import plot_handout
    >>> len(plot_handout().axes) >= 5
    True
    """
    with style.letters(LETTERS):
        return _page(curves)


@picture(*A4_INCHES, look=style.CLASSROOM)
def _page(curves: CurveSet, figure: Figure = OWN) -> Figure:
    figure.set_layout_engine("none")
    hair, mixture = Hair(level=6.0), Mixture("cream", 20.0)
    plot_ladder(curves, figure.add_axes((0.12, 0.682, 0.82, 0.111)))
    plot_melanin(curves, figure.add_axes((0.1, 0.51, 0.36, 0.135)), measured=False)
    hair_5, mixture_30 = hair.replace(level=5.0), mixture.replace(volume=30.0)
    place = figure.add_axes((0.545, 0.5, 0.42, 0.16))
    plot_departure(hair_5, mixture_30, 40.0, curves, place)
    plot_phases(hair, mixture, None, 30.0, curves, figure.add_axes((0.1, 0.302, 0.33, 0.135)))
    strong, dark = mixture.replace(volume=40.0), hair.replace(level=3.0)
    cases = (
        (say("handout.case.first", level=hair.level, volume=mixture.volume), hair, mixture),
        (say("plot.volume", volume=strong.volume), hair, strong),
        (say("handout.case.fine"), hair.replace(fibre_um="fine"), mixture),
        (say("plot.at_level", level=dark.level), dark, mixture),
    )
    plot_cases(cases, None, 30.0, curves, figure.add_axes((0.6, 0.302, 0.265, 0.115)))
    _shrink_marks(figure)
    _write(figure, curves)
    return figure


def _shrink_marks(figure: Figure) -> None:
    """Bring lines and marks from the size of a wall to that of a page."""
    from matplotlib.collections import PathCollection
    from matplotlib.lines import Line2D
    from matplotlib.offsetbox import OffsetImage

    found: Any
    for found in figure.findobj(Line2D):
        found.set_linewidth(LETTERS * found.get_linewidth())
        found.set_markersize(LETTERS * found.get_markersize())
    for found in figure.findobj(PathCollection):
        found.set_sizes(LETTERS**2 * found.get_sizes())
    for found in figure.findobj(OffsetImage):
        found.set_zoom(LETTERS * found.get_zoom())


def _write(figure: Figure, curves: CurveSet) -> None:
    left, right = 0.06, 0.95
    small: Any = {"fontsize": 8.2, "va": "top"}
    figure.text(left, 0.965, say("handout.title"), fontsize=19, weight="bold", va="top")
    figure.text(left, 0.932, fill(say("handout.introduction"), 126), linespacing=1.3, **small)
    screen = fill(say("lock.screen"), 132)
    figure.text(left, 0.872, screen, linespacing=1.3, color=style.SOFT, **small)
    asked, answers = [], []
    for number, q in enumerate(class_exercise(curves), 1):
        asked.append(fill(f"{number}. {q.text}", 125))
        answers.append(fill(f"{number}. {q.answer} {q.why}", 165))
    figure.text(left, 0.262, say("handout.class"), fontsize=11, weight="bold", va="top")
    figure.text(left, 0.243, "\n".join(asked), linespacing=1.5, **small)
    upside_down: Any = {"rotation": 180, "ha": "right", "va": "bottom", "color": style.SOFT}
    figure.text(right, 0.078, "\n".join(answers), fontsize=6.2, linespacing=1.3, **upside_down)
    standing = say("handout.standing", name=curves.name, standing=curves.standing)
    foot = fill(" ".join((*map(str, ALWAYS), standing)), 132)
    figure.text(left, 0.022, foot, fontsize=7.3, va="bottom", weight="bold")
