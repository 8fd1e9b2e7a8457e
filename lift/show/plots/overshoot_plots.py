"""Pictures of the cool phase, the window and overshoot."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from lift.model.curves import CurveSet, default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.goal import Goal
from lift.practice.tone import NOTICEABLE
from lift.practice.window import find_window
from lift.show import style
from lift.show.plots.figure import own_axes, rgb
from lift.show.plots.preview_plots import plot_strip

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Case = tuple[str, Hair, Mixture]
"""A name for the reader, a strand and what lies on it."""

MARKERS = "osD^v"


@style.classroom
def plot_phases(
    hair: Hair,
    mixture: Mixture,
    goal: Goal | None = None,
    minutes: float = 30.0,
    curves: CurveSet | None = None,
    axes: Axes | None = None,
) -> Axes:
    """Warmth against time: the cool phase, the window and what lies past it.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    goal : Goal, optional
        Default: any visible lift within the curve set's warmth allowance.
    minutes : float
        Processing time at the right edge [min], 1 to 120.
    curves : CurveSet, optional
        Default: the shipped set.
    axes : matplotlib Axes, optional
        Where to draw.
    """
    curves = curves or default_curves()
    axes = own_axes(axes, 9.0, 5.0, style.CLASSROOM)
    window = find_window(hair, mixture, goal, curves, members=2, limit_minutes=minutes)
    strand = simulate(hair, mixture, np.linspace(0.0, minutes, 241), curves)
    limit = window.target.warmth_limit
    axes.plot(strand.minutes, strand.warmth, color=style.INK, lw=3)
    axes.axhline(limit, color=style.WARM, ls="--")
    axes.text(minutes, limit, f"limit {limit:g} dC*", color=style.WARM, ha="right", va="bottom")
    top = max(1.35 * float(strand.warmth.max()), 1.6 * limit)
    axes.set(xlim=(0, minutes), ylim=(min(-0.5, float(strand.warmth.min())), top))
    noticed = float(np.interp(NOTICEABLE, strand.warmth, strand.minutes, right=minutes))
    edges: tuple[tuple[str, float | None, float | None, str], ...] = (
        ("cool phase", 0.0, noticed, ""),
        ("too warm", window.too_warm_at, minutes, "//"),
        ("window", window.opens, window.closes, ""),
    )
    for row, (name, start, end, hatch) in enumerate(edges):
        if start is None or end is None:
            continue
        colour = style.WARM if name == "too warm" else style.COOL
        y = (0.71, 0.80, 0.89)[row] * top
        axes.barh(
            y,
            end - start,
            0.07 * top,
            start,
            color=style.PAPER if hatch else colour,
            edgecolor=colour,
            hatch=hatch,
            alpha=0.35 if name == "cool phase" else 1.0,
        )
        if hatch:
            label = axes.text(0.5 * (start + end), y, name, ha="center", va="center", weight="bold")
            label.set_bbox({"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.0})
        else:
            axes.text(end, y, f" {name}", va="center", weight="bold")
    strip = axes.inset_axes((0.0, 0.93, 1.0, 0.07))
    plot_strip(strand.minutes, strand.lab, strip)
    strip.set(xticks=[], title="")
    axes.set_xlabel("processing time [min]")
    axes.set_ylabel("warmth [dC*]")
    axes.set_title(_phase_title(window.opens, window.too_warm_at, minutes))
    return axes


def _phase_title(opens: float | None, too_warm_at: float | None, minutes: float) -> str:
    if too_warm_at is None:
        return f"Never too warm within {minutes:g} min"
    if opens is None:
        return f"No window: too warm from {too_warm_at:.1f} min, before the goal is reached"
    return f"Enough lift from {opens:.1f} min, too warm from {too_warm_at:.1f} min"


@style.classroom
def plot_one_curve(
    hair: Hair,
    mixtures: Sequence[Mixture],
    minutes: ArrayLike = (10.0, 20.0, 30.0, 40.0),
    curves: CurveSet | None = None,
    axes: Axes | None = None,
) -> Axes:
    """Warmth against lift for several strengths: one curve, walked at different speeds.

    Parameters
    ----------
    hair : Hair
        One strand.
    mixtures : sequence of Mixture
        Without tone; at most five.
    minutes : array_like
        Processing times that are marked [min], rising.
    curves : CurveSet, optional
        Default: the shipped set.
    axes : matplotlib Axes, optional
        Where to draw.
    """
    curves = curves or default_curves()
    axes = own_axes(axes, 9.0, 5.0, style.CLASSROOM)
    times = np.asarray(minutes, dtype=float)
    strands = [simulate(hair, mixture, times, curves) for mixture in mixtures]
    longest = max(strands, key=lambda s: float(s.lift[-1]))
    line = simulate(hair, mixtures[strands.index(longest)], np.linspace(0, times[-1], 161), curves)
    axes.plot(line.lift, line.warmth, color=style.SOFT, lw=1.5, zorder=1)
    for mixture, strand, marker in zip(mixtures, strands, MARKERS, strict=False):
        axes.scatter(
            strand.lift,
            strand.warmth,
            c=rgb(strand.lab),
            marker=marker,
            s=190,
            edgecolors=style.INK,
            label=f"{mixture.developer_volume:g} vol",
            zorder=2,
        )
    # At one lift every strength must show one warmth: how far it does is the finding.
    off = max(
        float(np.max(np.abs(np.interp(s.lift, line.lift, line.warmth) - s.warmth))) for s in strands
    )
    axes.legend(title=f"at {', '.join(f'{t:g}' for t in times)} min", loc="lower right")
    axes.set_xlabel("lift [levels]")
    axes.set_ylabel("warmth [dC*]")
    axes.set_title(
        "A stronger developer walks the same curve, only faster"
        if off < 0.1
        else f"Strengths part by up to {off:.1f} dC* at the same lift"
    )
    return axes


@style.classroom
def plot_cases(
    cases: Sequence[Case],
    goal: Goal | None = None,
    minutes: float = 30.0,
    curves: CurveSet | None = None,
    axes: Axes | None = None,
) -> Axes:
    """Colour through time and window of several cases, one strip below the other.

    Parameters
    ----------
    cases : sequence of (str, Hair, Mixture)
        Name, strand and mixture of each.
    goal : Goal, optional
        Default: any visible lift within the curve set's warmth allowance.
    minutes : float
        Processing time at the right edge [min], 1 to 120.
    curves : CurveSet, optional
        Default: the shipped set.
    axes : matplotlib Axes, optional
        Where to draw.
    """
    curves = curves or default_curves()
    axes = own_axes(axes, 9.0, 0.9 + 0.75 * len(cases), style.CLASSROOM)
    time = np.linspace(0.0, minutes, 181)
    closing = {}
    for row, (name, hair, mixture) in enumerate(cases):
        lab = simulate(hair, mixture, time, curves).lab
        axes.imshow(rgb(lab)[None], aspect="auto", extent=(0, minutes, row + 0.22, row - 0.4))
        window = find_window(hair, mixture, goal, curves, members=2, limit_minutes=minutes)
        if window.opens is not None and window.closes is not None:
            axes.plot([window.opens, window.closes], [row + 0.34] * 2, color=style.COOL, lw=5)
        if window.too_warm_at is not None:
            closing[name] = window.too_warm_at
            start = window.too_warm_at
            axes.barh(
                row + 0.34,
                minutes - start,
                0.14,
                start,
                color=style.PAPER,
                hatch="////",
                ec=style.WARM,
            )
    axes.set(ylim=(len(cases) - 0.45, -0.5), xlim=(0, minutes))
    axes.set_yticks(range(len(cases)), [c[0] for c in cases])
    axes.tick_params(axis="y", length=0, labelcolor=style.INK)
    axes.grid(visible=False)
    axes.spines["left"].set_visible(False)
    axes.set_xlabel("processing time [min]   (bar: window; hatched: too warm)")
    if closing:
        first, last = min(closing, key=closing.__getitem__), max(closing, key=closing.__getitem__)
        axes.set_title(
            f"Too warm from {closing[first]:.1f} min ({first})\nto {closing[last]:.1f} min ({last})"
        )
    else:
        axes.set_title(f"Never too warm within {minutes:g} min")
    return axes
