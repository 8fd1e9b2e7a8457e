"""Picture of a model criticism: fit, prediction of left-out swatches, and where each one errs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.research.tuning.criticism import FULL, Criticism
from lift.show import style
from lift.show.plots.figure import OWN, head, lettered, picture
from lift.words import note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

AXES = (("L*", style.INK, "o"), ("a*", style.WARM, "s"), ("b*", style.COOL, "^"))


@picture(5.0, 3.0)
def plot_support(found: Criticism, axes: Axes = OWN) -> Axes:
    """AICc above the best structure, on a scale that is straight up to 10."""
    rows = np.arange(len(found.tried))
    colours = [style.INK if d <= 10.0 else style.WARM for d in found.delta]
    axes.hlines(rows, 0.0, found.delta, color=colours, lw=2)
    axes.scatter(found.delta, rows, color=colours, s=36, zorder=3)
    axes.axvspan(0.0, 2.0, color=style.COOL, alpha=0.15, lw=0)
    axes.set_xscale("symlog", linthresh=10.0)
    axes.set_xlim(left=-0.5)
    ticks = (0, 2, 10, 100, 1000)
    axes.set_xticks(ticks, map(str, ticks))
    axes.set_yticks(rows, [say(t.variant.label) for t in found.tried])
    axes.set_ylim(len(rows) - 0.5, -0.5)
    best = found.tried[int(np.argmin(found.delta))].variant.label
    alt = note("alt.support", count=len(rows), good=np.sum(np.array(found.delta) <= 2.0),
               most=max(found.delta))  # fmt: skip
    return lettered(axes, note("plot.support", name=best), "plot.support.above", alt=alt)


@picture(5.0, 3.0)
def plot_left_out(found: Criticism, axes: Axes = OWN) -> Axes:
    """Error on swatches left out: each swatch, and the mean."""
    means = [float(np.nanmean(t.left_out)) for t in found.tried]
    for row, (t, mean) in enumerate(zip(found.tried, means, strict=True)):
        errors = t.left_out[np.isfinite(t.left_out)]
        offsets = row + 0.22 * np.linspace(-1.0, 1.0, errors.size)
        axes.plot(errors, offsets, "o", color=style.SOFT, ms=3, alpha=0.7)
        axes.plot(mean, row, "D", color=style.WARM, ms=7)
    axes.set_yticks(range(len(means)), [])
    axes.set_ylim(len(means) - 0.5, -0.5)
    axes.set_xlim(left=0.0)
    best = found.tried[int(np.argmin(means))].variant.label
    alt = note("alt.left_out", count=len(means), best=min(means), worst=max(means))
    return lettered(axes, note("plot.left_out", name=best), "plot.left_out.error", alt=alt)


@picture(3.0, 2.4)
def plot_residuals(found: Criticism, name: str, axes: Axes = OWN) -> Axes:
    """Mean of reading less fit at each time, for one structure, with the full one behind."""
    behind: dict[str, Any] = {"alpha": 0.35, "ls": ":"}
    means = np.zeros((1, 3))
    for which, look in ((FULL, behind), (name, {})):
        t = found[which]
        minutes = t.problem.swatches.minutes
        times = np.unique(minutes)
        means = np.array([t.difference[minutes == at].mean(axis=0) for at in times])
        for column, (label, colour, marker) in zip(means.T, AXES, strict=True):
            axes.plot(times, column, marker=marker, color=colour, ms=3.5, label=label, **look)
    axes.axhline(0.0, color=style.SOFT, lw=0.8)
    alt = note("alt.residuals", most=np.abs(means).max())
    return lettered(axes, found[name].variant.label, "axis.time", alt=alt)


@picture(12.0, 6.2, style.small(9.5, 10.5, 10))
def plot_criticism(found: Criticism, figure: Figure = OWN) -> Figure:
    """Support, unseen swatches and residuals through time, on one sheet."""
    halves: Any = figure.subfigures(2, 1, height_ratios=(1.15, 1.0))
    top, bottom = halves
    left, right = top.subplots(1, 2)
    plot_support(found, left)
    plot_left_out(found, right)
    row = bottom.subplots(1, len(found.tried), sharey=True)
    for axes, t in zip(row, found.tried, strict=True):
        plot_residuals(found, t.variant.name, axes)
    row[0].set_ylabel(say("plot.residuals.less"))
    handles, labels = row[-1].get_legend_handles_labels()
    row[-1].legend(handles[3:], labels[3:], loc="best", fontsize=8.5)
    table = found.tried[0].problem.swatches
    said = note("plot.criticism", invented=table.invented, readings=len(table),
                swatches=len(table.names))  # fmt: skip
    return head(figure, said, fontsize=11)
