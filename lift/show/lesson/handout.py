"""One A4 page for a class, made from the pictures of the lesson on orange."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

from lift.model.curves import CurveSet, default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import ALWAYS
from lift.practice.exercise import class_exercise
from lift.show import style
from lift.show.plots.departure_plots import plot_departure
from lift.show.plots.overshoot_plots import plot_cases, plot_phases
from lift.show.plots.teach_plots import plot_ladder, plot_melanin

if TYPE_CHECKING:
    from matplotlib.figure import Figure

A4_INCHES = (8.27, 11.69)
LETTERS = 0.56
"""Size on paper of letters that were set for a wall."""

INTRODUCTION = (
    "Hair is a filter that takes blue light. Lightening weakens the filter, but what is left of "
    "it is more orange than what was there. A level is a ratio: each step takes an equal share of "
    "the pigment. Strength, heat and a fine fibre only set how fast hair walks along one curve. "
    "Warmth (dC*) is colour beyond that of natural hair of the same lightness; the window runs "
    "from enough lift to too much warmth, and time past its end is overshoot."
)


def plot_handout(curves: CurveSet | None = None) -> Figure:
    """Draw the handout: pictures, questions, their answers upside down, and cautions.

    Parameters
    ----------
    curves : CurveSet, optional
        Default: the shipped set.

    Returns
    -------
    Figure
        A4, upright.
    """
    with style.letters(LETTERS):
        return _page(curves or default_curves())


@style.classroom
def _page(curves: CurveSet) -> Figure:
    from matplotlib.figure import Figure

    figure = Figure(figsize=A4_INCHES)
    hair, mixture = Hair(level=6.0), Mixture("cream", 20.0)
    plot_ladder(curves, figure.add_axes((0.12, 0.7, 0.82, 0.125)))
    plot_melanin(curves, figure.add_axes((0.1, 0.51, 0.36, 0.135)), measured=False)
    plot_departure(
        Hair(level=5.0),
        Mixture("cream", 30.0),
        40.0,
        curves,
        figure.add_axes((0.545, 0.5, 0.42, 0.175)),
    )
    plot_phases(hair, mixture, None, 30.0, curves, figure.add_axes((0.1, 0.302, 0.36, 0.135)))
    cases = (
        ("level 6,\n20 vol", hair, mixture),
        ("40 vol", hair, mixture.replace(volume=40.0)),
        ("fine fibre", hair.replace(fibre_um="fine"), mixture),
        ("level 3", hair.replace(level=3.0), mixture),
    )
    plot_cases(cases, None, 30.0, curves, figure.add_axes((0.6, 0.302, 0.34, 0.115)))
    _shrink_marks(figure)
    _write(figure, curves)
    return figure


def _shrink_marks(figure: Figure) -> None:
    """Bring lines and marks from the size of a wall to that of a page."""
    from matplotlib.collections import PathCollection
    from matplotlib.lines import Line2D

    found: Any
    for found in figure.findobj(Line2D):
        found.set_linewidth(LETTERS * found.get_linewidth())
        found.set_markersize(LETTERS * found.get_markersize())
    for found in figure.findobj(PathCollection):
        found.set_sizes(LETTERS**2 * found.get_sizes())


def _write(figure: Figure, curves: CurveSet) -> None:
    left, right = 0.06, 0.95
    figure.text(left, 0.965, "Why it turns orange", fontsize=19, weight="bold", va="top")
    figure.text(left, 0.932, fill(INTRODUCTION, 126), fontsize=8.2, va="top", linespacing=1.3)
    questions = class_exercise(curves)
    asked = "\n".join(fill(f"{i}. {q.text}", 125) for i, q in enumerate(questions, 1))
    answers = "\n".join(fill(f"{i}. {q.answer} {q.why}", 165) for i, q in enumerate(questions, 1))
    figure.text(left, 0.262, "For the class", fontsize=11, weight="bold", va="top")
    figure.text(left, 0.243, asked, fontsize=8.2, va="top", linespacing=1.5)
    upside_down: Any = {"rotation": 180, "ha": "right", "va": "bottom", "color": style.SOFT}
    figure.text(right, 0.078, answers, fontsize=6.2, linespacing=1.3, **upside_down)
    standing = f"Curve set {curves.name}: {curves.standing}. Pictures show the expected strand."
    foot = fill(" ".join((*map(str, ALWAYS), standing)), 132)
    figure.text(left, 0.022, foot, fontsize=7.3, va="bottom", weight="bold")
