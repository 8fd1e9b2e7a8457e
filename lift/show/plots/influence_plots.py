"""Picture of what each swatch and reading does to a tuning."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.research.tuning.influence import Influence
from lift.research.tuning.tune import Tuning
from lift.show import style
from lift.show.plots.figure import OWN, head, lettered, picture
from lift.words import note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MOST_SWATCHES = 40
ONE = 1.96
"""Standard errors beyond which a swatch moves a parameter more than chance would; for the eye."""


def _shown(tuning: Tuning) -> list[Influence]:
    return [each for each in tuning.influences if each.minutes is None][:MOST_SWATCHES]


@picture(11.0, lambda tuning, **_: 2.2 + 0.3 * max(len(_shown(tuning)), 3))
def plot_influence(tuning: Tuning, figure: Figure = OWN) -> Figure:
    """Left-out error, level, rate and pull of each swatch and its readings, the most telling first.

    Examples
    --------
    >>> from lift import lab
    >>> few = lab.read_swatches("shared/invented_swatches.csv").rows(range(8))
    >>> tuning = lab.tune(few, free=("lightening_rate",), starts=1, leave_swatches_out=False)
    >>> len(lab.plot_influence(tuning).axes)
    1
    """
    shown = _shown(tuning)
    if not shown:
        axes = figure.add_subplot()
        axes.set_axis_off()
        lettered(axes, "plot.held_out.none", alt=note("plot.held_out.none"))
        return figure
    row = figure.subplots(1, 4, sharey=True, width_ratios=(1.0, 1.0, 1.0, 1.0))
    off, level, rate, pull = row
    colours = [style.WARM if each.might_be else style.INK for each in shown]
    places = np.arange(len(shown))
    of_name = {each.name: place for each, place in zip(shown, places, strict=True)}
    for each in tuning.influences:
        if each.minutes is not None and each.name in of_name:
            below = of_name[each.name] + 0.22
            colour = style.WARM if each.might_be else style.SOFT
            off.plot(each.left_out, below, "|", color=colour, ms=6)
            pull.plot(each.pull, below, "|", color=colour, ms=6)
    _dots(off, [each.left_out for each in shown], places, colours)
    _dots(level, [each.level - each.judged for each in shown], places, colours)
    _dots(rate, [each.rate for each in shown], places, colours)
    _dots(pull, [each.pull for each in shown], places, colours)
    level.axvline(0.0, color=style.COOL, linewidth=1.0, linestyle="--", zorder=0)
    rate.axvline(1.0, color=style.COOL, linewidth=1.0, linestyle="--", zorder=0)
    rate.set_xscale("log")
    _plain_ticks(rate, [each.rate for each in shown])
    off.set_xlim(left=0.0)
    pull.set_xlim(left=0.0)
    for each, place in zip(shown, places, strict=True):
        if each.might_be:
            words = "; ".join(str(might) for might in each.might_be[:2])
            off.annotate(
                words, (0.0, place), xytext=(4, 7), textcoords="offset points", fontsize=7.5,
                color=style.WARM, va="center",
            )  # fmt: skip
    off.set_yticks(places, [each.name for each in shown], fontsize=8.5)
    off.set_ylim(len(shown) - 0.4, -0.8)
    suspect = sum(bool(each.might_be) for each in shown)
    names = [each.name for each in shown if each.might_be]
    worst = max(shown, key=lambda each: each.pull)
    alt = note("alt.influence", swatches=len(shown), suspects=names or [say("none")],
               most=worst.name, pull=worst.pull)  # fmt: skip
    lettered(off, x="plot.influence.left_out", alt=alt)
    lettered(level, x="plot.influence.level")
    lettered(rate, x="plot.influence.rate")
    lettered(pull, x="plot.influence.pull")
    return head(figure, note("plot.influence", suspects=suspect), fontsize=12)


def _dots(axes: Axes, values: Any, places: Any, colours: list[str]) -> None:
    for value, place, colour in zip(values, places, colours, strict=True):
        axes.plot(value, place, "o", color=colour, ms=5)


def _plain_ticks(axes: Axes, rates: list[float]) -> None:
    """Rates as numbers, not as powers of ten."""
    low, high = min(0.5, min(rates) / 1.1), max(2.0, 1.1 * max(rates))
    ticks = [
        tick for tick in (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0) if low <= tick <= high
    ]
    axes.set_xlim(low, high)
    axes.set_xticks(ticks, [f"{tick:g}" for tick in ticks])
    axes.set_xticks([], minor=True)
