"""Pictures of tone inside the mixture: carried and outrun, and how much each depth needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.optics.colorimetry import reflectance_to_srgb
from lift.optics.dyes import palette
from lift.optics.weights import WAVELENGTHS_NM
from lift.practice.toning.carried import Carried, Depth
from lift.show import style
from lift.show.plots.figure import own_axes

if TYPE_CHECKING:
    from matplotlib.axes import Axes

HATCHES = ("", "////", "....", "xxxx", "----")


@style.house
def plot_carried(carried: Carried, axes: Axes | None = None) -> Axes:
    """Warmth through time with the tone a mixture carries and without: carried, then outrun."""
    axes = own_axes(axes, 6.4, 4.4)
    minutes = carried.minutes
    axes.fill_between(
        minutes, carried.warmth, carried.bare, color=style.COOL, alpha=0.15, lw=0,
        label="held back by the tone",
    )  # fmt: skip
    axes.plot(minutes, carried.bare, color=style.INK, lw=1.6, ls="--", label="without tone")
    axes.plot(minutes, carried.warmth, color=style.WARM, lw=2.4, label="with the tone carried")
    axes.axhline(carried.allowance, color=style.INK, lw=1.1, ls=":")
    for end, marker, words, away in (
        (carried.bare_too_warm_at, "s", "too warm without tone", (6, -64)),
        (carried.too_warm_at, "o", "outrun", (30, -28)),
    ):
        if end is not None:
            axes.plot(end, carried.allowance, marker, color=style.INK, ms=8, zorder=4)
            axes.annotate(
                f"{words}: {end:.1f} min",
                (end, carried.allowance),
                away,
                textcoords="offset points",
                va="center",
                fontsize=9,
                arrowprops={"arrowstyle": "-", "color": style.SOFT, "lw": 0.8, "shrinkB": 5},
            )
    last = carried.too_warm_at or carried.bare_too_warm_at or float(minutes[-1])
    shown = float(min(max(3.0 * last, 20.0), minutes[-1]))
    inside = minutes <= shown
    top = float(max(carried.bare[inside].max(), carried.allowance))
    axes.set(
        xlim=(0.0, shown), ylim=(min(0.0, float(carried.warmth[inside].min())) - 0.5, 1.12 * top)
    )
    axes.text(
        0.99, carried.allowance, f"allowance {carried.allowance:g} dC*", ha="right", va="bottom",
        fontsize=9, transform=axes.get_yaxis_transform(),
    )  # fmt: skip
    axes.set_xlabel("processing time [min]")
    axes.set_ylabel("warmth [dC*]")
    axes.set_title(
        "No tone in the mixture"
        if carried.held_back.max() <= 0.0
        else "Tone in the mixture carries the warmth to the end"
        if carried.too_warm_at is None
        else "Tone carries the warmth, then lift outruns it"
    )
    axes.legend(loc="upper left", fontsize=9)
    return axes


@style.house
def plot_depth(depth: Depth, axes: Axes | None = None) -> Axes:
    """Tone that answers the same mixture on hair of each natural level, dye by dye."""
    axes = own_axes(axes, 6.4, 4.4)
    width = 0.8 * float(np.min(np.diff(depth.levels))) if depth.levels.size > 1 else 0.8
    base = np.zeros(depth.levels.size)
    axes.set_axisbelow(True)
    for index, dye in enumerate(depth.dyes):
        axes.bar(
            depth.levels, depth.doses[:, index], width, base, color=dye_colour(dye),
            hatch=HATCHES[index % len(HATCHES)], edgecolor=style.INK, lw=0.8, label=dye,
        )  # fmt: skip
        base = base + depth.doses[:, index]
    if len(depth.dyes) > 1:
        share = 100.0 * depth.doses[:, -1] / depth.amount
        for level, top, percent in zip(depth.levels, base, share, strict=True):
            axes.text(level, top, f"{percent:.0f} %", ha="center", va="bottom", fontsize=9)
        axes.set_title(f"Deeper hair needs more tone, and more {depth.dyes[-1]} in it")
    axes.set_ylim(0.0, 1.12 * float(base.max()))
    axes.set_xlabel("natural level")
    axes.set_ylabel("dose [0.01 / radius]")
    axes.legend(loc="upper right")
    return axes


def dye_colour(dye: str) -> Any:
    """Colour of a dye on white: what its bands leave of the light."""
    return reflectance_to_srgb(np.exp(-120.0 * palette()[dye].absorption(WAVELENGTHS_NM)))[0]
