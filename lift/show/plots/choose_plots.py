"""A choice in pictures: its ways side by side, strips of hair colour with their times to rinse."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.errors import Floats
from lift.model.trajectory import simulate
from lift.practice.choosing.choose import Choice
from lift.practice.choosing.options import Option
from lift.practice.window import time_grid
from lift.quantities import described
from lift.show import style
from lift.show.plots.figure import OWN, foot, head, lettered, picture
from lift.show.plots.lock import draw_levels, draw_marks, draw_strip
from lift.show.said_choose import way_note
from lift.words import Note, note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MARK_APART = 0.04
"""From a strip to the square of its toned colour, as a share of the time shown."""

BEYOND = 1.25
"""How far past the latest rinse a strip goes on, in its time."""


@picture(10.0, 5.2)
def plot_choice(choice: Choice, figure: Figure = OWN) -> Figure:
    """Ways of a choice, a strip of hair colour each, with its time to rinse and the toned colour.

    Examples
    --------
    >>> import lift
    >>> choice = lift.choose(lift.Hair(6), lift.Lighten(8), members=20)
    >>> len(lift.plot_choice(choice).axes)
    1
    """
    plot_ways(choice, figure.add_subplot())
    said = note("plot.choose.hair", hair=described(choice.hair))
    foot(figure, choice.cautions)
    return head(figure, said, color=style.SOFT)


@picture(10.0, 5.0)
def plot_ways(choice: Choice, axes: Axes = OWN) -> Axes:
    """Ways of a choice as strips, the best on top; a bar below each is its time to rinse."""
    ways = [option for option in choice.options if option.mixture is not None]
    shown = max((BEYOND * option.rinse_until for option in ways), default=15.0)
    axes.set(xlim=(0.0, 1.12 * shown), ylim=(-0.65, len(ways) - 0.25))
    strips = []
    for row, option in enumerate(ways):
        at = float(len(ways) - 1 - row)
        strips.append((_draw_way(axes, option, at, choice, shown), at - 0.2, at + 0.3))
    axes.set(xlim=(0.0, 1.12 * shown), ylim=(-0.65, len(ways) - 0.25))
    if strips:
        draw_levels(axes, strips, choice.curves)
    axes.set_yticks(range(len(ways)))
    axes.set_yticklabels([say(_row(option)) for option in reversed(ways)], fontsize=8)
    axes.tick_params(axis="y", length=0)
    axes.grid(visible=False)
    told = [_way(option) for option in ways]
    alt = note("alt.choose", count=len(ways), minutes=shown, ways=told)
    title = note("plot.choose", goal=choice.target.name)
    return lettered(axes, title, "axis.minutes", alt=alt)


def _draw_way(axes: Axes, option: Option, row: float, choice: Choice, shown: float) -> Floats:
    """Draw one way, of `shown` minutes of all; its colours, CIELAB of shape (n, 3)."""
    assert option.mixture is not None
    end = BEYOND * max(option.rinse_until, option.best)
    minutes = np.append(time_grid(max(end, 1.0)), end)
    minutes = np.unique(minutes[minutes <= end])
    longest = option.mixture.chemistry.bound("minutes").high
    minutes = minutes[minutes <= longest]
    hair = choice.hair.replace(grey_percent=0.0)
    strand = simulate(hair, option.mixture, minutes, choice.curves)
    last = float(minutes[-1])
    even = np.linspace(0.0, last, 120)
    lab = np.stack([np.interp(even, minutes, axis) for axis in strand.pigmented.T], axis=-1)
    draw_strip(axes, lab, (0.0, last, row - 0.2, row + 0.3))
    bar: Any = {"height": 0.12, "color": style.COOL, "edgecolor": style.INK, "lw": 0.6}
    axes.barh(row - 0.32, option.rinse_until - option.rinse_from, left=option.rinse_from, **bar)
    axes.plot([option.best] * 2, [row - 0.4, row + 0.3], color=style.INK, lw=1.6)
    said = say("choose.times", first=option.rinse_from, best=option.best, last=option.rinse_until)
    axes.text(option.rinse_from, row - 0.42, said, fontsize=8, va="top", color=style.INK)
    draw_marks(axes, (last + MARK_APART * shown, row + 0.05), np.array(option.after), "s", 520.0)
    return lab


def _row(option: Option) -> Note:
    return note("plot.choose.row", mix=way_note(option), p=option.p_inside)


def _way(option: Option) -> Note:
    return note("alt.choose.way", mix=way_note(option), best=option.best, p=option.p_inside)
