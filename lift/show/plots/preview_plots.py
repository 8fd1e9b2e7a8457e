"""Pictures of a preview: colour through time, warmth, and the path."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.practice.preview import Preview
from lift.show import style
from lift.show.plots.figure import new_figure, own_axes, rgb

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


@style.house
def plot_strip(minutes: ArrayLike, lab: ArrayLike, axes: Axes | None = None) -> Axes:
    """Colour of the strand through time, as a strip.

    Parameters
    ----------
    minutes : array_like
        Processing time [min], rising, shape (n,).
    lab : array_like
        CIELAB, shape (n, 3).
    axes : matplotlib Axes, optional
        Where to draw.
    """
    axes = own_axes(axes, 7.0, 1.4)
    times = np.asarray(minutes, dtype=float)
    # Pixels are of one width, and the times need not be evenly spaced.
    even = np.linspace(times[0], times[-1], 4 * times.size)
    shown = np.stack([np.interp(even, times, column) for column in np.asarray(lab).T], axis=-1)
    axes.imshow(
        rgb(shown)[None, :, :],
        aspect="auto",
        extent=(float(times[0]), float(times[-1]), 0.0, 1.0),
        interpolation="bilinear",
    )
    axes.set_yticks([])
    axes.grid(visible=False)
    axes.set_title("Colour of the strand through time")
    return axes


@style.house
def plot_warmth(result: Preview, axes: Axes | None = None) -> Axes:
    """Warmth against time with its band, the limit and the window."""
    axes = own_axes(axes)
    window = result.window
    low, median, high = (b[:-1] for b in result.drawn.band("warmth"))
    minutes = window.minutes
    limit = window.target.warmth_limit
    if window.opens is not None and window.closes is not None:
        axes.axvspan(window.opens, window.closes, color=style.COOL, alpha=0.15, lw=0)
        axes.text(
            (window.opens + window.closes) / 2,
            0.97,
            "window",
            transform=axes.get_xaxis_transform(),
            ha="center",
            va="top",
            color=style.COOL,
        )
    axes.fill_between(minutes, low, high, color=style.WARM, alpha=0.18, lw=0, label="9 in 10")
    axes.plot(minutes, median, color=style.WARM, lw=2, label="median strand")
    axes.axhline(limit, color=style.INK, lw=1.2, ls="--", label=f"limit {limit:.1f} dC*")
    axes.plot(
        [result.minutes],
        [float(result.band_at("warmth")[1])],
        "o",
        color=style.INK,
        ms=7,
        label=f"{result.minutes:g} min",
    )
    end = window.closes if window.closes is not None else window.too_warm_at
    axes.set_title(
        "Never too warm within the time limit"
        if end is None or window.closes_by == "time limit"
        else f"Too warm from about {end:.1f} min"
    )
    axes.set_xlabel("processing time [min]")
    axes.set_ylabel("warmth [dC*]")
    axes.set_xlim(0, view_minutes(result))
    visible = minutes <= view_minutes(result)
    axes.set_ylim(min(0.0, float(low[visible].min())) - 0.3, max(limit, high[visible].max()) * 1.15)
    axes.legend(loc="upper left")
    return axes


def view_minutes(result: Preview) -> float:
    """How much time to show: past the window and the asked time, not all of an empty hour."""
    window = result.window
    ends = [2.0 * result.minutes, 15.0]
    if window.closes is not None:
        ends.append(1.6 * window.closes)
    if window.too_warm_at is not None:
        ends.append(1.6 * window.too_warm_at)
    return float(min(max(ends), window.minutes[-1]))


@style.house
def plot_path(result: Preview, axes: Axes | None = None) -> Axes:
    """Path of the strand in a*b* against the natural path and the underpigment ladder."""
    axes = own_axes(axes, 5.0, 5.0)
    path, ladder = natural_path(result.curves), underpigment_ladder(result.curves)
    shown = (path.levels >= 1) & (path.levels <= 10)
    axes.plot(*path.lab[shown, 1:].T, color=style.SOFT, lw=1.5, label="natural hair")
    levels = np.arange(1, 11)
    natural = path.lab_of_level(levels)
    axes.scatter(natural[:, 1], natural[:, 2], c=rgb(natural), s=45, zorder=3)
    axes.scatter(
        ladder.lab[:, 1],
        ladder.lab[:, 2],
        c=rgb(ladder.lab),
        marker="s",
        s=45,
        zorder=3,
        label="underpigment by level",
    )
    for level, point in zip(ladder.levels, ladder.lab, strict=True):
        axes.annotate(
            f"{level:.0f}", point[1:], (6, -3), textcoords="offset points", color=style.SOFT
        )
    central = result.drawn.central
    axes.plot(*central.lab[:-1, 1:].T, color=style.WARM, lw=2.5, label="this strand")
    axes.plot(*central.lab[-1, 1:], "o", color=style.INK, ms=8, label=f"at {result.minutes:g} min")
    axes.set_aspect("equal", adjustable="datalim")
    axes.set_xlabel("a* (towards red)")
    axes.set_ylabel("b* (towards yellow)")
    axes.set_title("Lightening leaves the natural path")
    axes.legend(loc="upper left", fontsize=9)
    return axes


def plot_preview(result: Preview) -> Figure:
    """Strip, warmth with window, and path, on one sheet."""
    from matplotlib import rc_context

    with rc_context(style.RC):
        figure = new_figure(11.0, 6.4)
        grid = figure.add_gridspec(2, 2, height_ratios=(1, 4.2), width_ratios=(1.25, 1))
        strip = figure.add_subplot(grid[0, 0])
        warmth = figure.add_subplot(grid[1, 0], sharex=strip)
        path = figure.add_subplot(grid[:, 1])
        central = result.drawn.central
        plot_strip(central.minutes[:-1], central.lab[:-1], strip)
        strip.tick_params(labelbottom=False)
        plot_warmth(result, warmth)
        strip.axvline(result.minutes, color=style.PAPER, lw=2.5)
        strip.axvline(result.minutes, color=style.INK, lw=1)
        plot_path(result, path)
        hair, mixture = result.hair, result.mixture
        figure.suptitle(
            f"{mixture.kind}, {mixture.developer_volume:g} vol, natural level {hair.level:g}, "
            f"{hair.fibre_um:g} um{', damp' if hair.damp else ''}"
            f" \u2014 estimate; strand test first",
            x=0.01,
            ha="left",
            color=style.SOFT,
        )
    return figure
