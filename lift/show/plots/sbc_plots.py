"""Picture of a simulation-based calibration."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.research.posterior.sbc import BINS, COVERAGE, DRAWS, RankCheck
from lift.show import style
from lift.show.plots.figure import OWN, head, lettered, picture
from lift.words import Note, known, note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MARGIN = 0.03
COLUMNS = 4


def named(name: str) -> Note:
    """Name of a ranked quantity; a parameter's stands for itself."""
    return note(f"sbc.{name}") if known(f"sbc.{name}") else note("text", text=name)


@picture(4.0, 2.6)
def plot_ranks(found: RankCheck, index: int, axes: Axes = OWN) -> Axes:
    """Histogram of the ranks of one quantity, with the band that 99 % of flat ones stay in."""
    from scipy.stats import binom

    counts = found.histograms[index]
    low, high = binom.ppf([0.005, 0.995], found.laboratories, 1.0 / BINS)
    width = (DRAWS + 1) / BINS
    axes.axhspan(low, high, color=style.COOL, alpha=0.15, lw=0)
    axes.bar((np.arange(BINS) + 0.5) * width, counts, width=0.9 * width, color=style.SOFT)
    axes.axhline(found.laboratories / BINS, color=style.COOL, lw=1)
    axes.set(xlim=(0, DRAWS + 1), ylim=(0, 1.15 * max(float(high), float(counts.max()))))
    numbers = {"name": named(found.names[index]), "p": found.p_values[index]}
    alt = note("alt.ranks", **numbers, least=counts.min(), most=counts.max(), low=low, high=high)
    return lettered(axes, note("plot.ranks", **numbers), alt=alt)


@picture(6.0, 3.0)
def plot_coverage(found: RankCheck, axes: Axes = OWN) -> Axes:
    """Share of 90 % intervals that hold the truth, with its own 90 % interval."""
    from scipy.stats import beta

    held = found.inside.sum(axis=0)
    lost = found.laboratories - held
    low, high = beta.ppf([[0.05], [0.95]], held + 0.5, lost + 0.5)
    allowed = 100 * (COVERAGE - MARGIN), 100 * (COVERAGE + MARGIN)
    axes.axvspan(*allowed, color=style.COOL, alpha=0.15, lw=0)
    axes.axvline(100 * COVERAGE, color=style.COOL, lw=1)
    rows = np.arange(len(found.names))
    axes.hlines(rows, 100 * low, 100 * high, color=style.INK, lw=2)
    axes.plot(100 * found.coverage, rows, "o", color=style.INK, ms=6)
    axes.set_yticks(rows, [say(named(name)) for name in found.names])
    axes.set_ylim(len(rows) - 0.5, -0.5)
    share = 100 * found.coverage
    alt = note("alt.coverage", count=len(rows), low=share.min(), high=share.max())
    return lettered(axes, "plot.coverage", "plot.coverage.held", alt=alt)


def _rows(found: RankCheck) -> int:
    return -(-len(found.names) // COLUMNS)


@picture(12.0, lambda found, **_: 2.4 * _rows(found) + 3.0, style.small(9, 9.5, 9.5))
def plot_calibration(found: RankCheck, figure: Figure = OWN) -> Figure:
    """Rank histogram of every quantity, and coverage, on one sheet."""
    rows = _rows(found)
    halves: Any = figure.subfigures(2, 1, height_ratios=(2.4 * rows, 2.6))
    top, bottom = halves
    grid = top.subplots(rows, COLUMNS, squeeze=False, sharey=True)
    for index, axes in enumerate(grid.flat):
        if index >= len(found.names):
            axes.set_axis_off()
            continue
        plot_ranks(found, index, axes)
        axes.set_xlabel(say("plot.ranks.rank", draws=DRAWS))
    for axes in grid[:, 0]:
        axes.set_ylabel(say("plot.ranks.laboratories"))
    plot_coverage(found, bottom.subplots())
    share = 100 * found.coverage
    verdict = note("plot.sbc.passed" if found.passed else "plot.sbc.failed")
    said = note("plot.sbc", laboratories=found.laboratories, verdict=verdict,
                p=found.p_values.min(), low=share.min(), high=share.max())  # fmt: skip
    return head(figure, said)
