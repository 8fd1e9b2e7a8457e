"""Pictures of a preview: colour through time, warmth, and the path."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.practice.preview import Preview
from lift.quantities import described
from lift.show import style
from lift.show.plots.figure import OWN, ab, beside, head, lab_note, lettered, picture
from lift.show.plots.lock import draw_marks, draw_strip, plot_beside
from lift.show.plots.spans import draw_spans, name_spans
from lift.words import Note, note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


@picture(7.0, 1.4)
def plot_strip(minutes: ArrayLike, lab: ArrayLike, axes: Axes = OWN) -> Axes:
    """Colour of a strand through time, as a strip.

    Parameters
    ----------
    minutes : array_like
        Processing time [min], rising, shape (n,).
    lab : array_like
        CIELAB, shape (n, 3).
    """
    times = np.asarray(minutes, dtype=float)
    # Pixels are of one width, and the times need not be evenly spaced.
    even = np.linspace(times[0], times[-1], 4 * times.size)
    shown = np.stack([np.interp(even, times, column) for column in np.asarray(lab).T], axis=-1)
    extent = (float(times[0]), float(times[-1]), 0.0, 1.0)
    draw_strip(axes, shown, extent)
    axes.set(xlim=extent[:2], ylim=extent[2:])
    axes.set_yticks([])
    axes.grid(visible=False)
    first, last = (np.asarray(lab)[end] for end in (0, -1))
    alt = note(
        "alt.strip", first=lab_note(first), last=lab_note(last), start=times[0], end=times[-1]
    )
    return lettered(axes, "plot.strip", alt=alt)


@picture()
def plot_warmth(result: Preview, axes: Axes = OWN) -> Axes:
    """Warmth against time with its band, the limit and the window.

    Examples
    --------
    >>> import lift
    >>> result = lift.preview(lift.Hair(level=7), lift.Mixture("base-break", 10), 5)
    >>> lift.plot_warmth(result).get_ylabel()
    'warmth [dC*]'
    """
    window, shown = result.window, view_minutes(result)
    low, median, high = (b[:-1] for b in result.drawn.band("warmth"))
    limit = window.target.warmth_limit
    spans = window.spans(shown)
    if window.opens is not None and window.closes is not None:
        axes.axvspan(window.opens, window.closes, color=style.COOL, alpha=0.15, lw=0)
    axes.fill_between(
        window.minutes, low, high, color=style.WARM, alpha=0.18, lw=0, label=say("plot.nine_in_ten")
    )
    axes.plot(window.minutes, median, color=style.WARM, lw=2, label=say("plot.median"))
    said = say("plot.limit", limit=limit)
    axes.axhline(limit, color=style.INK, lw=1.2, ls="--", label=said)
    now = float(result.band_at("warmth")[1])
    said = say("plot.minutes", minutes=result.minutes)
    axes.plot([result.minutes], [now], "o", color=style.INK, ms=7, label=said)
    visible = window.minutes <= shown
    axes.set(
        xlim=(0, shown),
        ylim=(min(0.0, low[visible].min()) - 0.3, max(limit, high[visible].max()) * 1.25),
    )
    draw_spans(axes, spans, 0.97, 0.06, transform=axes.get_xaxis_transform(), zorder=3)
    name_spans(axes, spans)
    axes.legend(loc="upper left", bbox_to_anchor=(0.0, 0.94), frameon=True, edgecolor="none")
    end = window.closes if window.closes is not None else window.too_warm_at
    never = end is None or window.closes_by == "time limit"
    return lettered(
        axes,
        "plot.warmth.never" if never else note("plot.warmth.from", end=end),
        "axis.minutes",
        "axis.warmth",
        alt=note("alt.warmth", shown=shown, minutes=result.minutes, warmth=now, limit=limit,
                 window=window_note(window.opens, window.closes)),
    )  # fmt: skip


def window_note(opens: float | None, closes: float | None) -> Note:
    """A window in a sentence."""
    if opens is None or closes is None:
        return note("strand.no_window")
    return note("strand.window", opens=opens, closes=closes)


def view_minutes(result: Preview) -> float:
    """How much time to show: past the window and the asked time, not all of an empty hour."""
    window = result.window
    past = [1.6 * end for end in (window.closes, window.too_warm_at) if end is not None]
    return float(min(max(2.0 * result.minutes, 15.0, *past), window.minutes[-1]))


@picture(5.0, 5.0)
def plot_path(result: Preview, axes: Axes = OWN) -> Axes:
    """Path of the strand in a*b* against the natural path and the underpigment ladder."""
    path, ladder = natural_path(result.curves), underpigment_ladder(result.curves)
    shown = (path.levels >= 1) & (path.levels <= 10)
    axes.plot(*path.lab[shown, 1:].T, color=style.SOFT, lw=1.5, label=say("plot.natural"))
    natural = path.lab_of_level(np.arange(1, 11))
    draw_marks(axes, ab(natural), natural, zorder=3)
    rungs = say("plot.ladder_by_level")
    draw_marks(axes, ab(ladder.lab), ladder.lab, "s", zorder=3, label=rungs)
    for level, point in zip(ladder.levels, ladder.lab, strict=True):
        beside(axes, f"{level:.0f}", ab(point), (10, -3), color=style.SOFT)
    strand = result.drawn.central.lab
    axes.plot(*strand[:-1, 1:].T, color=style.WARM, lw=2.5, label=say("plot.this_strand"))
    said = say("plot.at_minutes", minutes=result.minutes)
    axes.plot(*strand[-1, 1:], "o", color=style.INK, ms=8, label=said)
    axes.set_aspect("equal", adjustable="datalim")
    axes.legend(loc="upper left", fontsize=9)
    alt = note(
        "alt.path", start=lab_note(strand[0]), now=lab_note(strand[-1]), minutes=result.minutes
    )
    return lettered(axes, "plot.path", "axis.a", "axis.b", alt=alt)


@picture(11.0, 6.4)
def plot_preview(result: Preview, figure: Figure = OWN) -> Figure:
    """Strip, warmth with window, path, and the lock beside natural hair, on one sheet.

    Examples
    --------
    >>> import lift
    >>> result = lift.preview(lift.Hair(level=7), lift.Mixture("base-break", 10), 5)
    >>> figure = lift.plot_preview(result)
    >>> len(figure.axes)
    4
    """
    grid = figure.add_gridspec(2, 2, height_ratios=(1, 4.2), width_ratios=(1.25, 1))
    strip = figure.add_subplot(grid[0, 0])
    central = result.drawn.central
    plot_strip(central.minutes[:-1], central.lab[:-1], strip)
    strip.tick_params(labelbottom=False)
    plot_warmth(result, figure.add_subplot(grid[1, 0], sharex=strip))
    strip.axvline(result.minutes, color=style.PAPER, lw=2.5)
    strip.axvline(result.minutes, color=style.INK, lw=1)
    right = grid[:, 1].subgridspec(2, 1, height_ratios=(3.4, 1.3))
    plot_path(result, figure.add_subplot(right[0]))
    before, now = say("plot.before"), say("plot.at_minutes", minutes=result.minutes)
    looks = {before: central.lab[0], now: central.lab[-1]}
    plot_beside(looks, result.curves, figure.add_subplot(right[1]))
    said = note("plot.preview", hair=described(result.hair), mixture=result.mixture)
    return head(figure, said, color=style.SOFT)
