"""Pictures of how lightened hair leaves the natural path, and of what drives it there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.model.curves import CurveSet, default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.trajectory import simulate
from lift.optics.pigments import exponential_shape
from lift.show import style
from lift.show.plots.figure import own_axes, rgb
from lift.show.plots.lock import plot_lock

if TYPE_CHECKING:
    from matplotlib.axes import Axes

BLUE_NM = 450.0
REMAINING = (
    ("eumelanin", "eumelanin (brown-black)", style.INK, ""),
    ("half_oxidised", "half-oxidised melanin", style.WARM, "//"),
    ("pheomelanin", "pheomelanin (red-yellow)", "#e8b96b", ".."),
)

MUCH_PHEOMELANIN = 0.17
"""Upper end of 11 to 17 % in black to brown hair (2018, doi 10.1111/pcmr.12673; abstract read)."""


@style.classroom
def plot_remaining(
    hair: Hair,
    mixture: Mixture,
    minutes: float = 60.0,
    curves: CurveSet | None = None,
    axes: Axes | None = None,
) -> Axes:
    """What is left in the fibre to take blue light, by pigment, through time.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    minutes : float
        Processing time at the right edge [min], 0 to 120.
    curves : CurveSet, optional
        Default: the shipped set.
    axes : matplotlib Axes, optional
        Where to draw.
    """
    curves = curves or default_curves()
    axes = own_axes(axes, 9.0, 4.6, style.CLASSROOM)
    values = curves.values
    time = np.linspace(0.0, minutes, 121)
    pigment = simulate(hair, mixture, time, curves).pigment
    parts = [
        np.broadcast_to(getattr(pigment, name), time.shape)
        * exponential_shape(BLUE_NM, values[f"{name}_slope"])
        for name, *_ in REMAINING
    ]
    share = np.stack(parts) / np.sum(parts, axis=0)
    drawn = axes.stackplot(time, *parts, labels=[p[1] for p in REMAINING])
    for band, (_, _, colour, hatch) in zip(drawn, REMAINING, strict=True):
        band.set(facecolor=colour, hatch=hatch, edgecolor=style.INK, linewidth=0.8)
    axes.set_xlim(0, minutes)
    axes.grid(visible=False)
    axes.set_xlabel("processing time [min]")
    axes.set_ylabel(f"absorption of blue,\n{BLUE_NM:g} nm [per fibre radius]")
    axes.set_title(
        f"What is left is warm: {100 * (1 - share[0, 0]):.0f} % of the blue is taken by warm "
        f"pigments\nat first, {100 * (1 - share[0, -1]):.0f} % after {minutes:g} min"
    )
    axes.legend(loc="upper right")
    return axes


@style.classroom
def plot_departure(
    hair: Hair,
    mixture: Mixture,
    minutes: float = 40.0,
    curves: CurveSet | None = None,
    axes: Axes | None = None,
) -> Axes:
    """Path of a strand in the a*b* plane as it leaves the path of natural hair.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    minutes : float
        Processing time at the end of the path [min], 0 to 120.
    curves : CurveSet, optional
        Default: the shipped set.
    axes : matplotlib Axes, optional
        Where to draw.
    """
    curves = curves or default_curves()
    axes = own_axes(axes, 9.0, 6.0, style.CLASSROOM)
    natural_backdrop(curves, axes)
    strand = simulate(hair, mixture, np.linspace(0.0, minutes, 81), curves)
    axes.plot(*_ab(strand.lab), color=style.INK, zorder=2)
    marks = simulate(hair, mixture, np.linspace(0.0, minutes, 5), curves)
    axes.scatter(*_ab(marks.lab), c=rgb(marks.lab), s=300, edgecolors=style.INK, zorder=4)
    for at, lab in zip(marks.minutes, marks.lab, strict=True):
        axes.annotate(f"{at:g} min", _ab(lab), (14, -5), textcoords="offset points")
    now = strand.lab[-1]
    twin = natural_path(curves).lab_of_lightness(now[0])
    axes.plot(*_ab(np.stack([twin, now])), ":", color=style.WARM, zorder=3)
    axes.scatter(
        *_ab(twin), color=rgb(twin), marker="D", s=170, edgecolors=style.WARM, lw=2, zorder=5
    )
    for left, lab, label in (
        (0.6, twin, "natural,\nas light"),
        (0.8, now, f"this hair,\n{minutes:g} min"),
    ):
        plot_lock(lab, axes.inset_axes((left, 0.2, 0.17, 0.6)), label=label)
    axes.set_title(
        f"After {minutes:g} min: {float(strand.warmth[-1]):.0f} dC* warmer than natural hair"
    )
    return axes


def _ab(lab: Any) -> tuple[Any, Any]:
    """Coordinates a* and b* of CIELAB."""
    return lab[..., 1], lab[..., 2]


def natural_backdrop(curves: CurveSet, axes: Axes) -> None:
    """The a*b* plane with natural hair of levels 1 to 10 in its colours."""
    levels = np.arange(1.0, 11.0)
    lab = natural_path(curves).lab_of_level(levels)
    axes.plot(*_ab(lab), "--", color=style.SOFT, lw=1.8, zorder=1)
    axes.scatter(*_ab(lab), c=rgb(lab), s=70, marker="s", edgecolors=style.INK, zorder=1)
    for level in (1, 3, 10):
        axes.annotate(
            f"natural {level}",
            _ab(lab[level - 1]),
            (-9, -4),
            textcoords="offset points",
            ha="right",
            color=style.SOFT,
            fontsize="small",
        )
    axes.set_aspect("equal", adjustable="box")
    axes.set(xlim=(-8, 49), ylim=(-4, 38))
    axes.set_xlabel("a* (towards red)")
    axes.set_ylabel("b* (towards yellow)")


@style.classroom
def plot_causes(
    hair: Hair,
    mixture: Mixture,
    minutes: float = 40.0,
    curves: CurveSet | None = None,
    axes: Axes | None = None,
) -> Axes:
    """Warmth as the model has it, and with its causes taken away.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    minutes : float
        Processing time at the right edge [min], 1 to 120.
    curves : CurveSet, optional
        Default: the shipped set.
    axes : matplotlib Axes, optional
        Where to draw.
    """
    curves = curves or default_curves()
    axes = own_axes(axes, 9.0, 4.6, style.CLASSROOM)
    without = curves.replace(half_oxidised_yield=0.0)
    redder = without.replace(pheomelanin_share=MUCH_PHEOMELANIN)
    time = np.linspace(0.0, minutes, 121)
    ends = []
    for label, variant, line in (
        ("as the model has it", curves, "-"),
        (f"no half-oxidised melanin, {100 * MUCH_PHEOMELANIN:.0f} % pheomelanin", redder, "-."),
        ("no half-oxidised melanin", without, "--"),
    ):
        warmth = simulate(hair, mixture, time, variant).warmth
        ends.append(float(warmth[-1]))
        axes.plot(time, warmth, line, color=style.INK, lw=3, label=label)
    axes.set(xlim=(0, minutes), ylim=(-0.5, 1.15 * max(ends)))
    axes.legend(loc="upper left")
    axes.set_xlabel("processing time [min]")
    axes.set_ylabel("warmth [dC*]")
    axes.set_title(
        f"Half-oxidised melanin makes the orange: {ends[0]:.0f} dC*, without it {ends[2]:.1f}"
    )
    return axes
