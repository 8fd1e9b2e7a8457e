"""Pictures of a tuning."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.optics.colorimetry import NOTICEABLE
from lift.research.tuning.findings import Series, series_of
from lift.research.tuning.tune import Tuning
from lift.show import style
from lift.show.plots.figure import OWN, head, lettered, picture
from lift.show.plots.lock import draw_levels, draw_marks, draw_strip
from lift.words import note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MOST_SERIES = 24


@picture(7.0, lambda tuning, **_: 1.0 + 0.36 * min(len(series_of(tuning)), MOST_SERIES))
def plot_series(tuning: Tuning, axes: Axes = OWN) -> Axes:
    """Fitted colour through time above the measured one, one band a swatch and mixture.

    Examples
    --------
    >>> from lift import lab
    >>> few = lab.read_swatches("shared/invented_swatches.csv").rows(range(8))
    >>> tuning = lab.tune(few, free=("lightening_rate",), starts=1, leave_swatches_out=False)
    >>> lab.plot_series(tuning).get_xlabel()
    'Processing time [min]'
    """
    found = series_of(tuning)
    shown = found[:MOST_SERIES]
    last = max(float(s.fine_minutes[-1]) for s in shown)
    for row, series in enumerate(shown):
        _band(axes, row, series)
    axes.set(ylim=(len(shown) - 0.1, -0.4), xlim=(-0.02 * last, 1.03 * last))
    strips = [(series.fine_lab, row + 0.25, row - 0.2) for row, series in enumerate(shown)]
    draw_levels(axes, strips, tuning.problem.curves)
    axes.set_yticks(np.arange(len(shown)) + 0.25, [str(s.label) for s in shown], fontsize=8.5)
    axes.tick_params(axis="y", length=0)
    axes.grid(visible=False)
    numbers = {"difference": tuning.difference.mean(), "shown": len(shown), "series": len(found)}
    title = note("plot.series" if len(found) == len(shown) else "plot.series.first", **numbers)
    alt = note("alt.series", **numbers, minutes=last)
    return lettered(axes, title, "axis.minutes_capital", alt=alt)


def _band(axes: Axes, row: int, series: Series) -> None:
    fine = series.fine_minutes
    extent = (float(fine[0]), float(fine[-1]), row + 0.25, row - 0.2)
    draw_strip(axes, series.fine_lab, extent, zorder=2)
    at = (series.minutes, np.full(series.minutes.size, row + 0.5))
    draw_marks(axes, at, series.lab, "s", 100.0, edgecolors=style.FAINT, linewidths=0.6, zorder=3)


@picture(7.0, lambda tuning, **_: 1.4 + 0.42 * len(tuning.estimates))
def plot_estimates(tuning: Tuning, axes: Axes = OWN) -> Axes:
    """Each parameter with its interval, as a share of its value before.

    Examples
    --------
    >>> from lift import lab
    >>> few = lab.read_swatches("shared/invented_swatches.csv").rows(range(8))
    >>> tuning = lab.tune(few, free=("lightening_rate",), starts=1, leave_swatches_out=False)
    >>> lab.plot_estimates(tuning).get_xlabel()
    'Value over that of set default (dashed) [-]'
    """
    estimates = tuning.estimates
    for row, e in enumerate(estimates):
        scale = e.before if e.before != 0.0 else 1.0
        low, value, high = np.array([e.low, e.value, e.high]) / scale
        colour = style.INK if e.determined else style.WARM
        axes.plot([low, high], [row, row], color=colour, linewidth=2.2, solid_capstyle="butt")
        axes.plot(value, row, "o", color=colour, markersize=6)
        for end, side, mark in ((low, "no_low", "<"), (high, "no_high", ">")):
            if e.verdict in ("open", "unmoved", side):
                axes.plot(end, row, mark, color=colour, markersize=8)
    axes.axvline(1.0, color=style.COOL, linewidth=1.2, linestyle="--", zorder=0)
    axes.set_yticks(range(len(estimates)), [e.name for e in estimates])
    axes.set_ylim(len(estimates) - 0.4, -0.6)
    numbers = {"known": sum(e.determined for e in estimates), "count": len(estimates),
               "coverage": tuning.coverage}  # fmt: skip
    over = note("plot.estimates.over", name=tuning.problem.curves.name)
    values = [f"{e.name} {e.value:.4g} ({e.low:.4g} - {e.high:.4g})" for e in estimates]
    alt = note("alt.estimates", values=values, **numbers)
    return lettered(axes, note("plot.estimates", **numbers), over, alt=alt)


def _tall(tuning: Tuning, **_: Any) -> float:
    return 1.4 + 0.25 * min(len(tuning.problem.swatches.names), 2 * MOST_SERIES)


def _name_swatches(axes: Axes, names: tuple[str, ...]) -> None:
    """One row a swatch, of many some named; errors from nothing on."""
    step = -(-len(names) // (2 * MOST_SERIES))
    axes.set_yticks(range(0, len(names), step), names[::step], fontsize=8.5)
    axes.set_ylim(len(names) - 0.4, -0.6)
    axes.set_xlim(left=0.0)


def _pale(axes: Axes, x: ArrayLike, y: ArrayLike, size: float) -> None:
    axes.plot(x, y, "o", color=style.FAINT, markeredgecolor=style.SOFT, ms=size)


@picture(7.0, _tall)
def plot_differences(tuning: Tuning, axes: Axes = OWN) -> Axes:
    """Residuals in dE00 of each swatch, before and after.

    Examples
    --------
    >>> from lift import lab
    >>> few = lab.read_swatches("shared/invented_swatches.csv").rows(range(8))
    >>> tuning = lab.tune(few, free=("lightening_rate",), starts=1, leave_swatches_out=False)
    >>> lab.plot_differences(tuning).get_xlabel()
    'Fit against reading [dE00]; dashed: just seen side by side'
    """
    swatch, before = tuning.problem.swatches.swatch, tuning.difference_before
    _pale(axes, before, swatch - 0.18, 4.5)
    axes.plot(tuning.difference, swatch + 0.12, "o", color=style.INK, markersize=4)
    axes.axvline(NOTICEABLE, color=style.COOL, linewidth=1.0, linestyle="--", zorder=0)
    _name_swatches(axes, tuning.problem.swatches.names)
    numbers = {"before": before.mean(), "after": tuning.difference.mean()}
    alt = note("alt.differences", readings=len(before), visible=NOTICEABLE, **numbers,
               below=np.mean(tuning.difference < NOTICEABLE))  # fmt: skip
    return lettered(axes, note("plot.differences", **numbers), "plot.differences.fit", alt=alt)


@picture(7.0, _tall)
def plot_held_out(tuning: Tuning, axes: Axes = OWN) -> Axes:
    """Mean error on each swatch left out, tuned curves against the shipped set.

    Examples
    --------
    >>> from lift import lab
    >>> few = lab.read_swatches("shared/invented_swatches.csv").rows(range(8))
    >>> tuning = lab.tune(few, free=("lightening_rate",), starts=1, leave_swatches_out=False)
    >>> lab.plot_held_out(tuning).get_title(loc="left")
    'No swatch was left out'
    """
    held_out = tuning.held_out
    if held_out is None:
        axes.set_axis_off()
        return lettered(axes, "plot.held_out.none", alt=note("plot.held_out.none"))
    own = tuning.problem.swatches.swatch[held_out.rows]
    better = 0
    for i in np.unique(own):
        tuned, shipped = held_out.tuned[own == i].mean(), held_out.default[own == i].mean()
        better += bool(tuned < shipped)
        axes.plot([tuned, shipped], [i, i], color=style.FAINT, linewidth=2.0, zorder=1)
        _pale(axes, shipped, i, 5)
        axes.plot(tuned, i, "o", color=style.INK, markersize=5)
    _name_swatches(axes, tuning.problem.swatches.names)
    numbers = {"tuned": held_out.tuned.mean(), "shipped": held_out.default.mean()}
    alt = note("alt.held_out", better=better, swatches=len(np.unique(own)), **numbers)
    return lettered(axes, note("plot.held_out", **numbers), "plot.held_out.error", alt=alt)


@picture(
    lambda tuning, **_: 2.6 + 0.6 * len(tuning.problem.free),
    lambda tuning, **_: 2.0 + 0.5 * len(tuning.problem.free),
)
def plot_correlations(tuning: Tuning, axes: Axes = OWN) -> Axes:
    """Correlations of the free parameters, each with its number.

    Examples
    --------
    >>> from lift import lab
    >>> few = lab.read_swatches("shared/invented_swatches.csv").rows(range(8))
    >>> tuning = lab.tune(few, free=("lightening_rate",), starts=1, leave_swatches_out=False)
    >>> lab.plot_correlations(tuning).get_title(loc="left")
    'Largest correlation: 0.00'
    """
    names, matrix = tuning.problem.free, tuning.correlations
    axes.imshow(matrix, vmin=-1.0, vmax=1.0, cmap="RdBu_r")
    for (i, j), r in np.ndenumerate(matrix):
        colour = style.PAPER if abs(r) > 0.6 else style.INK
        axes.text(j, i, f"{r:+.2f}", ha="center", va="center", fontsize=8.5, color=colour)
    axes.set_xticks(range(len(names)), names, rotation=30, ha="right")
    axes.set_yticks(range(len(names)), names)
    axes.grid(visible=False)
    apart = np.abs(matrix - np.eye(len(names)))
    most = float(np.nanmax(apart)) if len(names) > 1 else 0.0
    alt = note("alt.correlations", count=len(names), most=most)
    return lettered(axes, note("plot.correlations", most=most), alt=alt)


@picture(
    13.5,
    lambda tuning, **_: max(8.5, 2.0 + 0.42 * min(len(series_of(tuning)), MOST_SERIES)),
)
def plot_tuning(tuning: Tuning, figure: Figure = OWN) -> Figure:
    """One sheet: colours, parameters, residuals and unseen swatches."""
    halves: Any = figure.subfigures(1, 2)
    left, right = halves
    plot_series(tuning, left.add_subplot())
    table = tuning.problem.swatches
    swatches = 2.0 + min(len(table.names), MOST_SERIES)
    heights = (2.0 + len(tuning.estimates), swatches, swatches)
    grid = right.add_gridspec(3, 1, height_ratios=heights)
    for place, draw in zip(grid, (plot_estimates, plot_differences, plot_held_out), strict=True):
        draw(tuning, right.add_subplot(place))
    source = table.source or say("plot.swatches")
    return head(figure, note("plot.tuning", source=source, invented=table.invented), fontsize=13)
