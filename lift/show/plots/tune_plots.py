"""Pictures of a tuning."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.research.tuning.tune import Tuning
from lift.research.tuning.tune_report import VISIBLE, Series, series_of
from lift.show import style
from lift.show.plots.figure import new_figure, own_axes, rgb

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MOST_SERIES = 24


@style.house
def plot_series(tuning: Tuning, axes: Axes | None = None) -> Axes:
    """Fitted colour through time above the measured one, one band a swatch and mixture."""
    found = series_of(tuning)
    shown = found[:MOST_SERIES]
    axes = own_axes(axes, 7.0, 1.0 + 0.36 * len(shown))
    last = max(float(s.fine_minutes[-1]) for s in shown)
    for row, series in enumerate(shown):
        _band(axes, row, series, last)
    axes.set_ylim(len(shown) - 0.1, -0.4)
    axes.set_xlim(-0.02 * last, 1.03 * last)
    axes.set_yticks(np.arange(len(shown)) + 0.25, [s.label for s in shown], fontsize=8.5)
    axes.tick_params(axis="y", length=0)
    axes.grid(visible=False)
    axes.set_xlabel("Processing time [min]")
    more = f" (first {MOST_SERIES} of {len(found)})" if len(found) > MOST_SERIES else ""
    axes.set_title(
        f"Fitted (bands) and measured (squares): mean dE00 {tuning.difference.mean():.2f}{more}"
    )
    return axes


def _band(axes: Axes, row: int, series: Series, last: float) -> None:
    fine = series.fine_minutes
    axes.imshow(
        rgb(series.fine_lab)[None, :, :],
        aspect="auto",
        extent=(float(fine[0]), float(fine[-1]), row + 0.25, row - 0.2),
        interpolation="bilinear",
        zorder=2,
    )
    axes.scatter(
        series.minutes,
        np.full(series.minutes.size, row + 0.5),
        s=70,
        marker="s",
        c=rgb(series.lab),
        edgecolors=style.FAINT,
        linewidths=0.6,
        zorder=3,
    )


@style.house
def plot_estimates(tuning: Tuning, axes: Axes | None = None) -> Axes:
    """Each parameter with its profile interval, as a share of its value before."""
    estimates = tuning.estimates
    axes = own_axes(axes, 7.0, 1.4 + 0.42 * len(estimates))
    for row, e in enumerate(estimates):
        scale = e.before if e.before != 0.0 else 1.0
        low, value, high = np.array([e.low, e.value, e.high]) / scale
        colour = style.INK if e.determined else style.WARM
        axes.plot([low, high], [row, row], color=colour, linewidth=2.2, solid_capstyle="butt")
        axes.plot(value, row, "o", color=colour, markersize=6)
        for end, is_open, mark in ((low, e.low_open, "<"), (high, e.high_open, ">")):
            if is_open:
                axes.plot(end, row, mark, color=colour, markersize=8)
    axes.axvline(1.0, color=style.COOL, linewidth=1.2, linestyle="--", zorder=0)
    axes.set_yticks(range(len(estimates)), [e.name for e in estimates])
    axes.set_ylim(len(estimates) - 0.4, -0.6)
    axes.set_xlabel(f"Value over that of set {tuning.problem.curves.name} (dashed) [-]")
    known = sum(e.determined for e in estimates)
    axes.set_title(
        f"{known} of {len(estimates)} parameters determined ({tuning.coverage:.0%} intervals)"
    )
    return axes


def _name_swatches(axes: Axes, names: tuple[str, ...]) -> None:
    """One row a swatch; of many, some are named."""
    step = -(-len(names) // (2 * MOST_SERIES))
    axes.set_yticks(range(0, len(names), step), names[::step], fontsize=8.5)
    axes.set_ylim(len(names) - 0.4, -0.6)


@style.house
def plot_differences(tuning: Tuning, axes: Axes | None = None) -> Axes:
    """Residuals in dE00 of each swatch, before and after."""
    names = tuning.problem.swatches.names
    axes = own_axes(axes, 7.0, 1.4 + 0.25 * min(len(names), 2 * MOST_SERIES))
    swatch = tuning.problem.swatches.swatch
    before = tuning.difference_before
    axes.plot(before, swatch - 0.18, "o", color=style.FAINT, markeredgecolor=style.SOFT, ms=4.5)
    axes.plot(tuning.difference, swatch + 0.12, "o", color=style.INK, markersize=4)
    axes.axvline(VISIBLE, color=style.COOL, linewidth=1.0, linestyle="--", zorder=0)
    _name_swatches(axes, names)
    axes.set_xlim(left=0.0)
    axes.set_xlabel("Fit against reading [dE00]; dashed: just seen side by side")
    axes.set_title(
        f"Mean dE00 {before.mean():.2f} before (light), {tuning.difference.mean():.2f} tuned (dark)"
    )
    return axes


@style.house
def plot_held_out(tuning: Tuning, axes: Axes | None = None) -> Axes:
    """Mean error on each swatch left out, tuned curves against the shipped set."""
    names, held_out = tuning.problem.swatches.names, tuning.held_out
    axes = own_axes(axes, 7.0, 1.4 + 0.25 * min(len(names), 2 * MOST_SERIES))
    if held_out is None:
        axes.set_title("No swatch was left out")
        axes.set_axis_off()
        return axes
    own = tuning.problem.swatches.swatch[held_out.rows]
    for i in np.unique(own):
        tuned, shipped = held_out.tuned[own == i].mean(), held_out.default[own == i].mean()
        axes.plot([tuned, shipped], [i, i], color=style.FAINT, linewidth=2.0, zorder=1)
        axes.plot(shipped, i, "o", color=style.FAINT, markeredgecolor=style.SOFT, markersize=5)
        axes.plot(tuned, i, "o", color=style.INK, markersize=5)
    _name_swatches(axes, names)
    axes.set_xlim(left=0.0)
    axes.set_xlabel("Mean error on a swatch left out [dE00]")
    axes.set_title(
        f"Left out: {held_out.tuned.mean():.2f} tuned (dark), "
        f"{held_out.default.mean():.2f} shipped (light)"
    )
    return axes


@style.house
def plot_correlations(tuning: Tuning, axes: Axes | None = None) -> Axes:
    """Correlations of the free parameters, each with its number."""
    names = tuning.problem.free
    axes = own_axes(axes, 2.6 + 0.6 * len(names), 2.0 + 0.5 * len(names))
    matrix = tuning.correlations
    axes.imshow(matrix, vmin=-1.0, vmax=1.0, cmap="RdBu_r")
    for i in range(len(names)):
        for j in range(len(names)):
            light = abs(matrix[i, j]) > 0.6
            axes.text(
                j,
                i,
                f"{matrix[i, j]:+.2f}",
                ha="center",
                va="center",
                fontsize=8.5,
                color=style.PAPER if light else style.INK,
            )
    axes.set_xticks(range(len(names)), names, rotation=30, ha="right")
    axes.set_yticks(range(len(names)), names)
    axes.grid(visible=False)
    apart = np.abs(matrix - np.eye(len(names)))
    most = float(np.nanmax(apart)) if len(names) > 1 else 0.0
    axes.set_title(f"Largest correlation: {most:.2f}")
    return axes


def plot_tuning(tuning: Tuning) -> Figure:
    """One sheet: colours, parameters, residuals and unseen swatches."""
    from matplotlib import rc_context

    with rc_context(style.RC):
        rows = min(len(series_of(tuning)), MOST_SERIES)
        figure = new_figure(13.5, max(8.5, 2.0 + 0.42 * rows))
        halves: Any = figure.subfigures(1, 2)
        left, right = halves
        plot_series(tuning, left.add_subplot())
        swatches = min(len(tuning.problem.swatches.names), MOST_SERIES)
        grid = right.add_gridspec(
            3, 1, height_ratios=(2.0 + len(tuning.estimates), 2.0 + swatches, 2.0 + swatches)
        )
        plot_estimates(tuning, right.add_subplot(grid[0]))
        plot_differences(tuning, right.add_subplot(grid[1]))
        plot_held_out(tuning, right.add_subplot(grid[2]))
        table = tuning.problem.swatches
        mark = " - INVENTED readings" if table.invented else ""
        figure.suptitle(
            f"Tuning to {table.source or 'swatches'}{mark}", x=0.01, ha="left", fontsize=13
        )
    return figure
