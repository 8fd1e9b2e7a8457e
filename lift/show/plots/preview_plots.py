"""Pictures of a preview: colour through time, warmth, and the path."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.model.curves import CurveSet
from lift.model.natural import path_of
from lift.model.stages import underpigment_ladder
from lift.model.trajectory import Trajectory
from lift.practice.preview import Preview
from lift.quantities import described
from lift.show import style
from lift.show.lock.beside import fibre_looks
from lift.show.plots.figure import OWN, SHIPPED, ab, beside, foot, head, lab_note, lettered, picture
from lift.show.plots.lock import draw_levels, draw_marks, draw_strip, plot_beside
from lift.show.plots.spans import draw_spans, name_spans
from lift.show.said_warmth import warmth_axis
from lift.words import Note, note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


@picture(7.0, 1.4)
def plot_strip(
    minutes: ArrayLike,
    lab: ArrayLike,
    axes: Axes = OWN,
    *,
    pigmented: ArrayLike | None = None,
    white: ArrayLike | None = None,
    curves: CurveSet = SHIPPED,
) -> Axes:
    """Colour of a strand through time, as a strip; of grey hair one strip a kind of fibres.

    Beside it lie the natural levels between which it goes, of grey hair its pigmented fibres.

    Parameters
    ----------
    minutes : array_like
        Processing time [min], rising, shape (n,).
    lab : array_like
        CIELAB as seen, shape (n, 3).
    pigmented, white : array_like, optional
        CIELAB of the pigmented and of the white fibres of grey hair, shape (n, 3).
    """
    times = np.asarray(minutes, dtype=float)
    # Pixels are of one width, and the times need not be evenly spaced.
    even = np.linspace(times[0], times[-1], 4 * times.size)
    kinds = {"pigmented": pigmented, "white": white, "blend": lab}
    rows = {name: np.asarray(row) for name, row in kinds.items() if row is not None}
    ends = (float(times[0]), float(times[-1]))
    edges = np.linspace(1.0, 0.0, len(rows) + 1)
    for top, bottom, row in zip(edges[:-1], edges[1:], rows.values(), strict=True):
        shown = np.stack([np.interp(even, times, column) for column in row.T], axis=-1)
        draw_strip(axes, shown, (*ends, float(bottom), float(top)))
    axes.set(xlim=ends, ylim=(0.0, 1.0))
    draw_levels(axes, [(next(iter(rows.values())), float(edges[1]), 1.0)], curves)
    names = [say(f"plot.fibres.{name}") for name in rows] if len(rows) > 1 else []
    axes.set_yticks((edges[:-1] + edges[1:]) / 2.0 if names else [], names, fontsize=8)
    axes.tick_params(axis="y", length=0)
    axes.grid(visible=False)
    first, last = (rows["blend"][end] for end in (0, -1))
    alt = note(
        "alt.strip", first=lab_note(first), last=lab_note(last), start=times[0], end=times[-1]
    )
    return lettered(axes, "plot.strip.grey" if names else "plot.strip", alt=alt)


def strips_of(strand: Trajectory, some: slice = slice(None)) -> dict[str, Any]:
    """What `plot_strip` shows of a strand, at some of its times."""
    shown = {"minutes": strand.minutes[some], "lab": strand.lab[some]}
    if strand.white is not None:
        shown |= {"pigmented": strand.pigmented[some], "white": strand.white[some]}
    return shown


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
    limit, minutes = result.warmth_limit, result.drawn.central.minutes[:-1]
    if window is not None and window.opens is not None and window.closes is not None:
        axes.axvspan(window.opens, window.closes, color=style.COOL, alpha=0.15, lw=0)
    axes.fill_between(
        minutes, low, high, color=style.WARM, alpha=0.18, lw=0, label=say("plot.nine_in_ten")
    )
    axes.plot(minutes, median, color=style.WARM, lw=2, label=say("plot.median"))
    if result.grey is not None:
        blend = result.drawn.band("blend_warmth")[1][:-1]
        axes.plot(minutes, blend, color=style.SOFT, lw=1.6, ls=":", label=say("plot.blend"))
        low = np.minimum(low, blend)
    if limit is not None:
        said = say("plot.limit", limit=limit)
        axes.axhline(limit, color=style.INK, lw=1.2, ls="--", label=said)
    now = float(result.band_at("warmth")[1])
    said = say("plot.minutes", minutes=result.minutes)
    axes.plot([result.minutes], [now], "o", color=style.INK, ms=7, label=said)
    visible = minutes <= shown
    top = 1.25 * max(limit or 0.0, high[visible].max())
    axes.set(xlim=(0, shown), ylim=(min(0.0, low[visible].min()) - 0.3, top))
    if window is None:
        _draw_passages(result, axes)
    else:
        spans = window.spans(shown)
        draw_spans(axes, spans, 0.97, 0.06, transform=axes.get_xaxis_transform(), zorder=3)
        name_spans(axes, spans)
    axes.legend(loc="upper left", bbox_to_anchor=(0.0, 0.94), frameon=True, edgecolor="none")
    told = (
        note("alt.passes", count=len(result.passages))
        if window is None
        else window_note(window.opens, window.closes)
    )
    return lettered(
        axes,
        _warmth_title(result),
        "axis.minutes",
        warmth_axis(result.hair),
        alt=note("alt.warmth", shown=shown, minutes=result.minutes, warmth=now, window=told),
    )


def _draw_passages(result: Preview, axes: Axes) -> None:
    """Mark the levels that lightening passes, where no goal makes a window."""
    for each in result.passages:
        if each.minutes is None:
            continue
        axes.axvline(each.minutes, color=style.SOFT, lw=1, ls=":")
        said = say("plot.passes", level=each.level)
        at = (each.minutes, 0.97)
        look: dict[str, Any] = {"ha": "right", "va": "top", "rotation": 90, "fontsize": 8}
        axes.text(*at, said, color=style.SOFT, transform=axes.get_xaxis_transform(), **look)


def _warmth_title(result: Preview) -> Note:
    window = result.window
    if window is None:
        return note("plot.warmth.open")
    end = window.closes if window.closes is not None else window.too_warm_at
    if end is None or window.closes_by == "time limit":
        return note("plot.warmth.never", goal=window.target.name)
    light = window.closes_by == "lightness"
    goal = window.target.name
    return note("plot.warmth.light" if light else "plot.warmth.from", end=end, goal=goal)


def window_note(opens: float | None, closes: float | None) -> Note:
    """A window in a sentence."""
    if opens is None or closes is None:
        return note("strand.no_window")
    return note("strand.window", opens=opens, closes=closes)


def view_minutes(result: Preview) -> float:
    """How much time to show: past the window and the asked time, not all of an empty hour."""
    window = result.window
    ends = () if window is None else (window.closes, window.too_warm_at)
    past = [1.6 * end for end in ends if end is not None]
    if window is None:
        past = [1.1 * p.minutes for p in result.passages if p.minutes is not None]
    last = result.drawn.central.minutes[-2]
    return float(min(max(2.0 * result.minutes, 15.0, *past), last))


@picture(5.0, 5.0)
def plot_path(result: Preview, axes: Axes = OWN) -> Axes:
    """Path of the strand in a*b* against the natural path and the underpigment ladder."""
    path, ladder = path_of(result.hair, result.curves), underpigment_ladder(result.curves)
    shown = (path.levels >= 1) & (path.levels <= 10)
    axes.plot(*path.lab[shown, 1:].T, color=style.SOFT, lw=1.5, label=say("plot.natural"))
    natural = path.lab_of_level(np.arange(1, 11))
    draw_marks(axes, ab(natural), natural, zorder=3)
    rungs = say("plot.ladder_by_level")
    draw_marks(axes, ab(ladder.lab), ladder.lab, "s", zorder=3, label=rungs)
    for level, point in zip(ladder.levels, ladder.lab, strict=True):
        # Up to the yellowest rung the ladder runs to the right of its numbers, then to their left.
        left = level > ladder.levels[int(np.argmax(ladder.lab[:, 2]))]
        away, aside = (-10, "right") if left else (10, "left")
        beside(axes, f"{level:.0f}", ab(point), (away, -3), ha=aside, color=style.SOFT)
    strand, grey = result.drawn.central.pigmented, result.grey
    axes.plot(
        *strand[:-1, 1:].T,
        color=style.WARM,
        lw=2.5,
        label=say("plot.this_strand" if grey is None else "plot.fibres.pigmented"),
    )
    if grey is not None:
        seen = result.drawn.central.lab
        axes.plot(*seen[:-1, 1:].T, color=style.SOFT, lw=1.8, ls=":", label=say("plot.blend"))
        draw_marks(axes, ab(seen[-1]), seen[-1])
        draw_marks(axes, ab(grey.white), grey.white, "D")
        at = (-10, -3)
        beside(axes, say("plot.fibres.white"), ab(grey.white), at, color=style.SOFT, ha="right")
    said = say("plot.at_minutes", minutes=result.minutes)
    axes.plot(*strand[-1, 1:], "o", color=style.INK, ms=8, label=said)
    axes.set_aspect("equal", adjustable="datalim")
    axes.legend(loc="lower right", fontsize=8, handlelength=1.2, borderaxespad=0.2)
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
    plot_strip(**strips_of(central, slice(0, -1)), axes=strip, curves=result.curves)
    strip.tick_params(labelbottom=False)
    plot_warmth(result, figure.add_subplot(grid[1, 0], sharex=strip))
    strip.axvline(result.minutes, color=style.PAPER, lw=2.5)
    strip.axvline(result.minutes, color=style.INK, lw=1)
    right = grid[:, 1].subgridspec(2, 1, height_ratios=(3.4, 1.3))
    plot_path(result, figure.add_subplot(right[0]))
    before, now = say("plot.before"), say("plot.at_minutes", minutes=result.minutes)
    looks = {before: central.lab[0], now: central.lab[-1]} | fibre_looks(result.grey)
    plot_beside(looks, result.curves, figure.add_subplot(right[1]))
    foot(figure, result.cautions)
    said = note("plot.preview", hair=described(result.hair), mixture=result.mixture)
    return head(figure, said, color=style.SOFT)
