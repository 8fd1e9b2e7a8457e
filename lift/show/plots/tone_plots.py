"""Pictures of a toned strand: against the dose, under other light, against washes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np

from lift.model.natural import natural_path
from lift.practice.toning.dose_search import residual_to
from lift.practice.toning.fade import Fade
from lift.practice.toning.other_light import OtherLight
from lift.practice.toning.tone_report import ToneReport
from lift.show import style
from lift.show.plots.figure import own_axes, rgb

if TYPE_CHECKING:
    from matplotlib.axes import Axes


@style.house
def plot_dose_response(report: ToneReport, axes: Axes | None = None) -> Axes:
    """Warmth and distance from the goal against the dose; too much goes past neutral."""
    axes = own_axes(axes, 6.4, 4.4)
    answer = report.answer
    factors = np.linspace(0.0, 3.0, 121)
    lab = answer.at(factors)
    warmth = natural_path(report.curves).warmth(lab)
    axes.imshow(
        rgb(lab)[None, :, :],
        aspect="auto",
        extent=(0.0, 3.0, 0.0, 0.09),
        transform=axes.get_xaxis_transform(),
        interpolation="bilinear",
        zorder=2.5,
    )
    if answer.forgiving is not None:
        axes.axvspan(*answer.forgiving, color=style.COOL, alpha=0.18, lw=0, ymin=0.09)
        axes.text(
            1.0, 0.985, "looks the same", transform=axes.get_xaxis_transform(), ha="center",
            va="top", color=style.COOL, fontsize=9,
        )  # fmt: skip
    axes.axhline(0.0, color=style.INK, lw=1)
    axes.plot(factors, warmth, color=style.WARM, lw=2.4, label="warmth [dC*]")
    residual = residual_to(answer.goal, report.curves)(lab)
    axes.plot(factors, residual, color=style.INK, lw=1.6, ls="--", label="from the goal [dE00]")
    for look in (answer.under, answer.over):
        if look is not None:
            axes.plot(look.factor, look.warmth, "o", color=style.INK, ms=6, zorder=4)
            axes.annotate(
                look.words.replace(", ", ",\n"),
                (look.factor, look.warmth),
                (8, 8),
                textcoords="offset points",
                fontsize=9,
            )
    low, high = float(min(warmth.min(), 0.0)), float(max(warmth.max(), residual.max()))
    room = high - low
    axes.set(xlim=(0.0, 3.0), ylim=(low - 0.22 * room, high + 0.12 * room))
    axes.set_xlabel("dose, as a multiple of the best")
    axes.set_ylabel("warmth [dC*], distance [dE00]")
    past = answer.over is not None and answer.over.warmth < 0.0
    axes.set_title(
        "Too little stays warm, too much goes past neutral"
        if past
        else f"The best dose leaves dE00 {answer.residual:.1f}"
    )
    axes.legend(loc="upper right", fontsize=9)
    return axes


@style.house
def plot_lights(light: OtherLight, axes: Axes | None = None) -> Axes:
    """Swatch of the strand under each light, as an adapted eye sees it, with shift and warmth."""
    axes = own_axes(axes, 6.4, 4.4)
    warm = light.turns_warm
    columns = 3
    for index, name in enumerate(light.lights):
        row, column = divmod(index, columns)
        _block(axes, column, row, rgb(light.lab[index]), name in warm)
        text = "white" if light.lab[index, 0] < 55.0 else style.INK
        axes.text(
            column + 0.46,
            row + 0.42,
            f"{name}, {light.cct_k[index]:.0f} K\nshift {light.shift[index]:.1f} dE00\n"
            f"warmth {light.warmth[index].round(1) + 0.0:+.1f}"
            + ("\nTURNS WARM" if name in warm else ""),
            ha="center",
            va="center",
            fontsize=8.5,
            color=text,
            linespacing=1.15,
        )
    rows = -(-len(light.lights) // columns)
    axes.set(xlim=(-0.05, columns), ylim=(rows, -0.08), xticks=[], yticks=[])
    axes.grid(visible=False)
    for spine in axes.spines.values():
        spine.set_visible(False)
    axes.set_title(
        f"Neutral by daylight, warm under {', '.join(warm)}"
        if warm
        else "Neutral by daylight and under every lamp"
        if light.neutral_by_daylight
        else "Warm by daylight already"
    )
    return axes


@style.house
def plot_fades(fades: Mapping[str, Fade], axes: Axes | None = None) -> Axes:
    """Warmth against washes for each kind of tone, with the allowance and where it is passed."""
    axes = own_axes(axes, 6.4, 4.4)
    looks = {"permanent": ("-", "o"), "direct": ("--", "s")}
    for name, fade in fades.items():
        line, marker = looks[name]
        axes.fill_between(
            fade.washes,
            fade.warmth_slowest,
            fade.warmth_fastest,
            color=style.WARM,
            alpha=0.15,
            lw=0,
        )
        axes.plot(fade.washes, fade.warmth, color=style.WARM, ls=line, lw=2.2, label=name)
        if fade.passes:
            axes.plot(fade.passes, fade.allowance, marker, color=style.INK, ms=8, zorder=4)
            axes.annotate(
                f"{name}: week {fade.week}",
                (fade.passes, fade.allowance),
                (8, -16),
                textcoords="offset points",
                fontsize=9,
            )
    first = next(iter(fades.values()))
    axes.axhline(first.allowance, color=style.INK, lw=1.1, ls=":")
    axes.set(xlim=(0.0, first.washes[-1]))
    often = first.washes_per_week

    def to_weeks(washes: Any) -> Any:
        return washes / often

    def to_washes(weeks: Any) -> Any:
        return weeks * often

    weeks = axes.secondary_xaxis("top", functions=(to_weeks, to_washes))
    weeks.set_xlabel(f"weeks, at {first.washes_per_week:g} washes a week", fontsize=9)
    axes.text(
        0.99, first.allowance, f"allowance {first.allowance:g} dC*", ha="right", va="bottom",
        fontsize=9, transform=axes.get_yaxis_transform(),
    )  # fmt: skip
    axes.set_xlabel("washes since toning")
    axes.set_ylabel("warmth [dC*]")
    axes.set_title(
        "Warmer than allowed from the start"
        if first.warmth[0] > first.allowance
        else "The warmth comes back as the tone washes out"
    )
    axes.legend(loc="center right", fontsize=9)
    return axes


def _block(axes: Axes, column: float, row: float, colour: Any, marked: bool) -> None:
    from matplotlib.patches import Rectangle

    axes.add_patch(
        Rectangle(
            (column, row), 0.92, 0.88, facecolor=colour,
            edgecolor=style.INK if marked else style.FAINT, lw=3.0 if marked else 0.8,
        )
    )  # fmt: skip
