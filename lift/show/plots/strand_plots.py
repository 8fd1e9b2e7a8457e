"""Pictures of a strand test: bands before and after, and what each time to look would tell."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lift.model.natural import natural_path
from lift.practice.preview import Preview
from lift.practice.trial.look import USELESS, LookTimes
from lift.practice.trial.observation import Observation
from lift.practice.trial.strand_test import StrandTest
from lift.show import style
from lift.show.plots.figure import new_figure, own_axes

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LABELS = {"level": "level", "warmth": "warmth [dC*]"}


@style.house
def plot_moved(test: StrandTest, quantity: str, axes: Axes | None = None) -> Axes:
    """Band of a quantity through time, before and after the test, with what was seen.

    Parameters
    ----------
    test : StrandTest
        Result.
    quantity : str
        ``level`` or ``warmth``.
    axes : matplotlib Axes, optional
        Where to draw.
    """
    axes = own_axes(axes)
    shown = shown_minutes(test)
    _band(axes, test.before, quantity, shown, style.SOFT, "before")
    if test.observations:
        _band(axes, test.after, quantity, shown, style.COOL, "after the test")
    for i, seen in enumerate(test.observations):
        at = reading(seen, quantity, test.before)
        if at is not None:
            axes.errorbar(
                seen.minutes,
                at[0],
                yerr=1.645 * at[1],
                fmt="o",
                color=style.INK,
                capsize=3,
                label="seen, 9 in 10" if i == 0 else None,
                zorder=4,
            )
    axes.axvline(test.before.minutes, color=style.INK, lw=1, ls=":", label="planned rinse")
    if quantity == "warmth":
        limit = test.before.window.target.warmth_limit
        axes.axhline(limit, color=style.WARM, lw=1.2, ls="--", label=f"limit {limit:.1f} dC*")
    before, after = test.width(quantity)
    what = quantity.capitalize()
    axes.set_title(
        f"{what} at {test.before.minutes:g} min: band {before:.2f} wide"
        if not test.observations
        else f"{what} at {test.before.minutes:g} min: band {before:.2f} wide, now {after:.2f}"
    )
    axes.set_xlabel("processing time [min]")
    axes.set_ylabel(LABELS[quantity])
    axes.set_xlim(0.0, shown)
    axes.legend(loc="upper left" if quantity == "level" else "best")
    return axes


@style.house
def plot_looks(test: StrandTest, axes: Axes | None = None) -> Axes:
    """Expected gain against the time of the look, before the test and for one more look."""
    axes = own_axes(axes)
    looks = test.looks
    _gain(axes, looks, style.SOFT, "before anything was seen")
    now = looks
    if test.observations:
        now = test.next_look
        _gain(axes, now, style.COOL, "one more look")
    axes.axhspan(0.0, 100.0 * USELESS * looks.best_gain, color=style.FAINT, alpha=0.5, lw=0)
    axes.text(
        0.99,
        50.0 * USELESS * looks.best_gain,
        "useless",
        transform=axes.get_yaxis_transform(),
        ha="right",
        va="center",
        color=style.SOFT,
    )
    for seen, gain in zip(test.observations, test.gains, strict=True):
        axes.plot([seen.minutes], [100.0 * gain], "o", color=style.INK, ms=7, zorder=4)
    axes.plot([now.best_minutes], [100.0 * now.best_gain], "D", color=style.WARM, ms=8, zorder=4)
    how = "by eye" if now.by_eye else "by instrument"
    axes.set_title(f"Most informative look: {now.best_minutes:.0f} min, {how}")
    axes.set_xlabel("time of the look [min]")
    axes.set_ylabel("variance settled at the rinse [%]")
    axes.set_xlim(0.0, float(looks.minutes[-1]))
    # Room above the curves for the legend.
    axes.set_ylim(0.0, 130.0 * max(looks.best_gain, now.best_gain, *test.gains, 0.01))
    axes.legend(loc="upper left", ncols=2)
    return axes


def plot_strand_test(test: StrandTest) -> Figure:
    """Level, warmth and times to look, on one sheet."""
    from matplotlib import rc_context

    with rc_context(style.RC):
        figure = new_figure(11.0, 7.0)
        grid = figure.add_gridspec(2, 2)
        plot_moved(test, "level", figure.add_subplot(grid[0, 0]))
        plot_moved(test, "warmth", figure.add_subplot(grid[0, 1]))
        plot_looks(test, figure.add_subplot(grid[1, :]))
        hair, mixture = test.before.hair, test.before.mixture
        figure.suptitle(
            f"Strand test: {mixture.kind}, {mixture.developer_volume:g} vol, natural level "
            f"{hair.level:g}, {hair.fibre_um:g} um{', damp' if hair.damp else ''}"
            " \u2014 estimate; allergy test first, follow the maker's directions",
            x=0.01,
            ha="left",
            color=style.SOFT,
        )
    return figure


def shown_minutes(test: StrandTest) -> float:
    """How much time to show: past the rinse and every look, not all of an empty hour."""
    ends = [15.0, 2.0 * test.before.minutes, *(1.15 * seen.minutes for seen in test.observations)]
    return float(min(max(ends), test.before.window.minutes[-1]))


def reading(seen: Observation, quantity: str, result: Preview) -> tuple[float, float] | None:
    """Value and sd of a reading on the axis of a quantity; None where the eye cannot tell."""
    if seen.lab is None:
        return (float(seen.numbers[0]), float(seen.sd[0])) if quantity == "level" else None
    path = natural_path(result.curves)
    if quantity == "warmth":
        return float(path.warmth(seen.numbers)), float(np.hypot(*seen.sd[1:]) / np.sqrt(2.0))
    around = path.level_of_lightness(seen.lab[0] + np.array([-1.0, 0.0, 1.0]) * seen.sd[0])
    return float(around[1]), 0.5 * float(around[2] - around[0])


def _band(
    axes: Axes, result: Preview, quantity: str, until: float, colour: str, label: str
) -> None:
    low, median, high = (b[:-1] for b in result.drawn.band(quantity))
    minutes = result.window.minutes
    inside = minutes <= until + 1e-9
    axes.fill_between(minutes[inside], low[inside], high[inside], color=colour, alpha=0.2, lw=0)
    dashes = "--" if label == "before" else "-"
    axes.plot(minutes[inside], median[inside], dashes, color=colour, lw=2, label=label)


def _gain(axes: Axes, looks: LookTimes, colour: str, label: str) -> None:
    axes.plot(looks.minutes, 100.0 * looks.gain, color=colour, lw=2, label=label)
