"""Picture of a model criticism: fit, prediction of left-out swatches, and where each one errs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.research.tuning.criticism import FULL, Criticism
from lift.show import style
from lift.show.plots.figure import new_figure, own_axes

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


def plot_support(found: Criticism, axes: Axes | None = None) -> Axes:
    """AICc above the best structure, on a scale that is straight up to 10."""
    axes = own_axes(axes, 5.0, 3.0)
    rows = np.arange(len(found.tried))
    colours = [style.INK if d <= 10.0 else style.WARM for d in found.delta]
    axes.hlines(rows, 0.0, found.delta, color=colours, lw=2)
    axes.scatter(found.delta, rows, color=colours, s=36, zorder=3)
    axes.axvspan(0.0, 2.0, color=style.COOL, alpha=0.15, lw=0)
    axes.set_xscale("symlog", linthresh=10.0)
    axes.set_xlim(left=-0.5)
    axes.set_xticks([0, 2, 10, 100, 1000], ["0", "2", "10", "100", "1000"])
    axes.set_yticks(rows, [t.variant.name for t in found.tried])
    axes.set_ylim(len(rows) - 0.5, -0.5)
    axes.set_xlabel("AICc above the best (shaded: as good)")
    best = found.tried[int(np.argmin(found.delta))].variant.name
    axes.set_title(f"Best for its cost: {best}")
    return axes


def plot_left_out(found: Criticism, axes: Axes | None = None) -> Axes:
    """Error on swatches left out: each swatch, and the mean."""
    axes = own_axes(axes, 5.0, 3.0)
    for row, t in enumerate(found.tried):
        errors = t.left_out[np.isfinite(t.left_out)]
        offsets = row + 0.22 * np.linspace(-1.0, 1.0, errors.size)
        axes.plot(errors, offsets, "o", color=style.SOFT, ms=3, alpha=0.7)
        axes.plot(errors.mean(), row, "D", color=style.WARM, ms=7)
    axes.set_yticks(range(len(found.tried)), [])
    axes.set_ylim(len(found.tried) - 0.5, -0.5)
    axes.set_xlim(left=0.0)
    axes.set_xlabel("swatch left out, mean dE00 (diamond: all)")
    means = [float(np.nanmean(t.left_out)) for t in found.tried]
    axes.set_title(f"Best on unseen swatches: {found.tried[int(np.argmin(means))].variant.name}")
    return axes


def plot_residuals(found: Criticism, name: str, axes: Axes | None = None) -> Axes:
    """Mean of reading less fit at each time, for one structure, with the full one behind."""
    axes = own_axes(axes, 3.0, 2.4)
    behind: dict[str, Any] = {"alpha": 0.35, "ls": ":"}
    for which, look in ((FULL, behind), (name, {})):
        t = found[which]
        minutes = t.problem.swatches.minutes
        times = np.unique(minutes)
        means = np.array([t.difference[minutes == at].mean(axis=0) for at in times])
        for axis, (label, colour) in enumerate(
            (("L*", style.INK), ("a*", style.WARM), ("b*", style.COOL))
        ):
            axes.plot(times, means[:, axis], marker="o", color=colour, ms=3, label=label, **look)
    axes.axhline(0.0, color=style.SOFT, lw=0.8)
    axes.set_title(name)
    axes.set_xlabel("time [min]")
    return axes


def plot_criticism(found: Criticism) -> Figure:
    """Support, unseen swatches and residuals through time, on one sheet."""
    from matplotlib import rc_context

    with rc_context({**style.RC, "font.size": 9.5, "axes.titlesize": 10.5, "axes.labelsize": 10}):
        figure = new_figure(12.0, 6.2)
        halves: Any = figure.subfigures(2, 1, height_ratios=(1.15, 1.0))
        top, bottom = halves
        left, right = top.subplots(1, 2)
        plot_support(found, left)
        plot_left_out(found, right)
        row = bottom.subplots(1, len(found.tried), sharey=True)
        for axes, t in zip(row, found.tried, strict=True):
            plot_residuals(found, t.variant.name, axes)
        row[0].set_ylabel("reading less fit, mean")
        handles, labels = row[-1].get_legend_handles_labels()
        row[-1].legend(handles[3:], labels[3:], loc="best", fontsize=8.5)
        table = found.tried[0].problem.swatches
        figure.suptitle(
            f"{'INVENTED: ' if table.invented else ''}{len(table)} readings of "
            f"{len(table.names)} swatches; below: what each structure leaves over "
            "(dotted: the full one)",
            x=0.01,
            ha="left",
            fontsize=11,
        )
    return figure
