"""Pictures of a posterior: what swatches tell of the parameters, and where readings should lie."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from lift.research.posterior.bayes import Posterior
from lift.research.posterior.predictive import Band, Predictive, predictive
from lift.show import style
from lift.show.plots.figure import new_figure, own_axes, save_figure

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


@style.house
def plot_beliefs(posterior: Posterior, axes: Axes | None = None) -> Axes:
    """90 % interval of each parameter before and after the measurements."""
    from matplotlib.ticker import LogLocator, NullFormatter

    beliefs = posterior.beliefs
    axes = own_axes(axes, 7.0, 1.6 + 0.45 * len(beliefs))
    for row, b in enumerate(beliefs):
        scale = posterior.model.problem.curves[b.name].value or 1.0
        before = np.array([b.prior_low, b.prior_high]) / scale
        after = np.array([b.low, b.high]) / scale
        axes.plot(before, [row, row], color=style.FAINT, lw=9, solid_capstyle="butt")
        axes.plot(after, [row, row], color=style.WARM, lw=9, solid_capstyle="butt")
        axes.plot(b.median / scale, row, "o", color=style.INK, ms=5)
    axes.set_xscale("log")
    axes.xaxis.set_major_locator(LogLocator(subs=(1.0, 2.0, 5.0)))
    axes.xaxis.set_major_formatter("{x:g}")
    axes.xaxis.set_minor_formatter(NullFormatter())
    axes.axvline(1.0, color=style.COOL, lw=1.2, ls="--", zorder=0)
    axes.set_yticks(range(len(beliefs)), [b.name for b in beliefs])
    axes.set_ylim(len(beliefs) - 0.4, -0.6)
    axes.set_xlabel("Value over the one before [-]; 90 % before (light) and after (dark)")
    shrunk = [(b.high - b.low) / (b.prior_high - b.prior_low) for b in beliefs]
    axes.set_title(
        f"Swatches leave {100 * float(np.median(shrunk)):.0f} % of the prior's width (median)"
    )
    return axes


def plot_pairs(posterior: Posterior) -> Figure:
    """Draws of every pair of parameters, and of each alone."""
    from matplotlib import rc_context

    names, numbers = posterior.model.names, posterior.strands.parameters
    count = len(names)
    with rc_context({**style.RC, "font.size": 8.5}):
        figure = new_figure(1.9 * count + 1.0, 1.7 * count + 0.8)
        grid = figure.subplots(count, count, squeeze=False)
        for i in range(count):
            for j in range(count):
                axes = grid[i, j]
                if j > i:
                    axes.set_axis_off()
                    continue
                if i == j:
                    axes.hist(numbers[:, i], bins=30, color=style.WARM, alpha=0.7)
                    axes.set_yticks([])
                else:
                    axes.plot(numbers[:, j], numbers[:, i], ".", color=style.INK, ms=1, alpha=0.25)
                    axes.text(
                        0.03,
                        0.97,
                        f"{posterior.correlations[i, j]:+.2f}",
                        transform=axes.transAxes,
                        va="top",
                        color=style.COOL,
                    )
                axes.locator_params(nbins=3)
                axes.tick_params(labelbottom=i == count - 1, labelleft=j == 0 and i > 0)
                if i == count - 1:
                    axes.set_xlabel(names[j].replace("_", "\n"))
                if j == 0 and i > 0:
                    axes.set_ylabel(names[i].replace("_", "\n"))
        figure.suptitle(
            f"Draws of the parameters: {_invented(posterior)}correlations in blue",
            x=0.01,
            ha="left",
        )
    return figure


def plot_bands(found: Predictive, *, invented: bool = False) -> Figure:
    """Readings of each swatch with the band that should hold nine in ten of them."""
    from matplotlib import rc_context

    shown = found.bands[:MOST_BANDS]
    columns = min(4, len(shown))
    rows = -(-len(shown) // columns)
    with rc_context({**style.RC, "font.size": 9, "axes.titlesize": 9.5}):
        figure = new_figure(3.1 * columns + 0.4, 2.3 * rows + 0.9)
        grid = figure.subplots(rows, columns, squeeze=False, sharey=True)
        for axes in grid.flat[len(shown) :]:
            axes.set_axis_off()
        for axes, band in zip(grid.flat, shown, strict=False):
            _band(axes, band)
        for axes in grid[:, 0]:
            axes.set_ylabel("reading less median")
        for axes in grid[-1]:
            axes.set_xlabel("processing time [min]")
        handles, labels = grid[0, 0].get_legend_handles_labels()
        figure.legend(handles, labels, loc="outside upper right", ncols=3)
        share = ", ".join(
            f"{name} {100 * s:.0f} %" for (name, _), s in zip(AXES, found.inside, strict=True)
        )
        more = (
            f"; first {MOST_BANDS} of {len(found.bands)}" if len(found.bands) > len(shown) else ""
        )
        figure.suptitle(
            f"{'INVENTED readings' if invented else 'Readings'} inside their 90 % band: "
            f"{share}{more}",
            x=0.01,
            ha="left",
        )
    return figure


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
    axes.set_title(band.label)


def _invented(posterior: Posterior) -> str:
    return "INVENTED readings, " if posterior.model.problem.swatches.invented else ""
