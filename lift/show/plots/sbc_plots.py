"""Picture of a simulation-based calibration."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.research.posterior.sbc import BINS, COVERAGE, DRAWS, Calibration
from lift.show import style
from lift.show.plots.figure import new_figure, own_axes

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MARGIN = 0.03


def plot_ranks(found: Calibration, index: int, axes: Axes | None = None) -> Axes:
    """Histogram of the ranks of one quantity, with the band that 99 % of flat ones stay in."""
    from scipy.stats import binom

    axes = own_axes(axes, 4.0, 2.6)
    counts = found.histograms[index]
    low, high = binom.ppf([0.005, 0.995], found.laboratories, 1.0 / BINS)
    width = (DRAWS + 1) / BINS
    axes.axhspan(low, high, color=style.COOL, alpha=0.15, lw=0)
    axes.bar((np.arange(BINS) + 0.5) * width, counts, width=0.9 * width, color=style.SOFT)
    axes.axhline(found.laboratories / BINS, color=style.COOL, lw=1)
    axes.set_title(f"{found.names[index]}: p = {found.p_values[index]:.3f}")
    axes.set_xlim(0, DRAWS + 1)
    axes.set_ylim(0, 1.15 * max(float(high), float(counts.max())))
    return axes


def plot_coverage(found: Calibration, axes: Axes | None = None) -> Axes:
    """Share of 90 % intervals that hold the truth, with its own 90 % interval."""
    from scipy.stats import beta

    axes = own_axes(axes, 6.0, 3.0)
    held = found.inside.sum(axis=0)
    lost = found.laboratories - held
    low, high = beta.ppf([[0.05], [0.95]], held + 0.5, lost + 0.5)
    axes.axvspan(
        100 * (COVERAGE - MARGIN), 100 * (COVERAGE + MARGIN), color=style.COOL, alpha=0.15, lw=0
    )
    axes.axvline(100 * COVERAGE, color=style.COOL, lw=1)
    rows = np.arange(len(found.names))
    axes.hlines(rows, 100 * low, 100 * high, color=style.INK, lw=2)
    axes.plot(100 * found.coverage, rows, "o", color=style.INK, ms=6)
    axes.set_yticks(rows, found.names)
    axes.set_ylim(len(rows) - 0.5, -0.5)
    axes.set_xlabel("90 % intervals that hold the truth [%]; shaded: 87 to 93")
    axes.set_title("Coverage")
    return axes


def plot_calibration(found: Calibration) -> Figure:
    """Rank histogram of every quantity, and coverage, on one sheet."""
    from matplotlib import rc_context

    count = len(found.names)
    columns = 4
    rows = -(-count // columns)
    with rc_context({**style.RC, "font.size": 9, "axes.titlesize": 9.5, "axes.labelsize": 9.5}):
        figure = new_figure(12.0, 2.4 * rows + 3.0)
        halves: Any = figure.subfigures(2, 1, height_ratios=(2.4 * rows, 2.6))
        top, bottom = halves
        grid = top.subplots(rows, columns, squeeze=False, sharey=True)
        for index, axes in enumerate(grid.flat):
            if index >= count:
                axes.set_axis_off()
                continue
            plot_ranks(found, index, axes)
            axes.set_xlabel(f"rank of the truth among {DRAWS} draws")
        for axes in grid[:, 0]:
            axes.set_ylabel("laboratories")
        plot_coverage(found, bottom.subplots())
        verdict = "intervals are as wide as they say" if found.passed else "NOT calibrated"
        figure.suptitle(
            f"{found.laboratories} INVENTED laboratories: {verdict} (smallest p "
            f"{found.p_values.min():.3f}, coverage {100 * found.coverage.min():.1f} to "
            f"{100 * found.coverage.max():.1f} %)",
            x=0.01,
            ha="left",
        )
    return figure
