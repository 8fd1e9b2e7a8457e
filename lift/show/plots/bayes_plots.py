"""Pictures of a posterior: what swatches tell of the parameters, and where readings should lie."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from lift.research.posterior.bayes import Posterior
from lift.research.posterior.predictive import Band, Predictive, predictive
from lift.show import style
from lift.show.plots.figure import OWN, head, lettered, picture, save_figure
from lift.words import note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MOST_BANDS = 24
AXES = (("L*", style.INK), ("a*", style.WARM), ("b*", style.COOL))


def save_pictures(posterior: Posterior, bands: Path | None, draws: Path | None) -> None:
    """Write the picture of the bands and that of the draws, where asked for."""
    if bands is not None:
        invented = posterior.model.problem.swatches.invented
        save_figure(plot_bands(predictive(posterior), invented=invented), bands)
    if draws is not None:
        save_figure(plot_pairs(posterior), draws)


@picture(7.0, lambda posterior, **_: 1.6 + 0.45 * len(posterior.beliefs))
def plot_beliefs(posterior: Posterior, axes: Axes = OWN) -> Axes:
    """90 % interval of each parameter before and after the measurements.

    Examples
    --------
    >>> from lift import lab
    >>> tuning = lab.tune(lab.read_swatches("shared/invented_swatches.csv"))  # doctest: +SKIP
    >>> posterior = lab.sample_posterior(tuning.problem)  # doctest: +SKIP
    >>> lab.plot_beliefs(posterior).get_title(loc="left")  # doctest: +SKIP
    "Swatches leave 12 % of the prior's width (median)"
    """
    from matplotlib.ticker import LogLocator, NullFormatter

    beliefs = posterior.beliefs
    for row, b in enumerate(beliefs):
        scale = posterior.model.problem.curves[b.name].value or 1.0
        for low, high, colour in (
            (b.prior_low, b.prior_high, style.FAINT), (b.low, b.high, style.WARM)
        ):  # fmt: skip
            ends = np.array([low, high]) / scale
            axes.plot(ends, [row, row], color=colour, lw=9, solid_capstyle="butt")
        axes.plot(b.value / scale, row, "o", color=style.INK, ms=5)
    axes.set_xscale("log")
    axes.xaxis.set_major_locator(LogLocator(subs=(1.0, 2.0, 5.0)))
    axes.xaxis.set_major_formatter("{x:g}")
    axes.xaxis.set_minor_formatter(NullFormatter())
    axes.axvline(1.0, color=style.COOL, lw=1.2, ls="--", zorder=0)
    axes.set_yticks(range(len(beliefs)), [b.name for b in beliefs])
    axes.set_ylim(len(beliefs) - 0.4, -0.6)
    shrunk = [100 * (b.high - b.low) / (b.prior_high - b.prior_low) for b in beliefs]
    left = float(np.median(shrunk))
    alt = note("alt.beliefs", count=len(beliefs), left=left, least=min(shrunk), most=max(shrunk))
    return lettered(axes, note("plot.beliefs", left=left), "plot.beliefs.over", alt=alt)


@picture(
    lambda posterior, **_: 1.9 * len(posterior.model.names) + 1.0,
    lambda posterior, **_: 1.7 * len(posterior.model.names) + 0.8,
    {**style.RC, "font.size": 8.5},
)
def plot_pairs(posterior: Posterior, figure: Figure = OWN) -> Figure:
    """Draws of every pair of parameters, and of each alone."""
    names, numbers = posterior.model.names, posterior.numbers
    last = len(names) - 1
    for (i, j), axes in np.ndenumerate(figure.subplots(last + 1, last + 1, squeeze=False)):
        if j > i:
            axes.set_axis_off()
            continue
        if i == j:
            axes.hist(numbers[:, i], bins=30, color=style.WARM, alpha=0.7)
            axes.set_yticks([])
        else:
            axes.plot(numbers[:, j], numbers[:, i], ".", color=style.INK, ms=1, alpha=0.25)
            r = f"{posterior.correlations[i, j]:+.2f}"
            axes.text(0.03, 0.97, r, transform=axes.transAxes, va="top", color=style.COOL)
        axes.locator_params(nbins=3)
        axes.tick_params(labelbottom=i == last, labelleft=j == 0 and i > 0)
        if i == last:
            axes.set_xlabel(names[j].replace("_", "\n"))
        if j == 0 and i > 0:
            axes.set_ylabel(names[i].replace("_", "\n"))
    lettered(figure.axes[0], alt=note("alt.pairs", count=last + 1, draws=len(numbers)))
    invented = posterior.model.problem.swatches.invented
    return head(figure, note("plot.pairs", invented=invented))


def _grid(bands: int) -> tuple[int, int]:
    shown = min(bands, MOST_BANDS)
    columns = min(4, shown)
    return -(-shown // columns), columns


@picture(
    lambda found, **_: 3.1 * _grid(len(found.bands))[1] + 0.4,
    lambda found, **_: 2.3 * _grid(len(found.bands))[0] + 0.9,
    style.small(9, 9.5),
)
def plot_bands(found: Predictive, figure: Figure = OWN, *, invented: bool = False) -> Figure:
    """Readings of each swatch with the band that should hold nine in ten of them."""
    shown = found.bands[:MOST_BANDS]
    grid = figure.subplots(*_grid(len(found.bands)), squeeze=False, sharey=True)
    for axes in grid.flat[len(shown) :]:
        axes.set_axis_off()
    for axes, band in zip(grid.flat, shown, strict=False):
        _band(axes, band)
    for axes in grid[:, 0]:
        axes.set_ylabel(say("plot.bands.less"))
    for axes in grid[-1]:
        axes.set_xlabel(say("axis.minutes"))
    handles, labels = grid[0, 0].get_legend_handles_labels()
    figure.legend(handles, labels, loc="outside upper right", ncols=3)
    share = [
        say("plot.bands.share", name=name, share=100 * s)
        for (name, _), s in zip(AXES, found.inside, strict=True)
    ]
    more = note("plot.bands.first", shown=len(shown), bands=len(found.bands))
    lettered(grid[0, 0], alt=note("alt.bands", shown=len(shown), share=share))
    said = note("plot.bands", invented=invented, share=share,
                more=more if len(found.bands) > len(shown) else "")  # fmt: skip
    return head(figure, said)


def _band(axes: Axes, band: Band) -> None:
    place = np.arange(band.minutes.size, dtype=np.float64)
    for axis, (name, colour) in enumerate(AXES):
        low, median, high = band.reading[..., axis]
        at = place + 0.22 * (axis - 1)
        axes.bar(at, high - low, bottom=low - median, width=0.18, color=colour, alpha=0.25, lw=0)
        axes.plot(at, band.lab[:, axis] - median, "o", color=colour, ms=3.5, label=name)
    axes.axhline(0.0, color=style.SOFT, lw=0.8)
    axes.grid(visible=False, axis="x")
    axes.set_xticks(place, [f"{m:g}" for m in band.minutes])
    axes.set_title(str(band.label))
