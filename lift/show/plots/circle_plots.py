"""Two circles: CIELAB measures the change that hair needs, the painter's wheel names the paint."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.model.natural import natural_path
from lift.model.strand import strand_lab
from lift.optics.dyes import palette
from lift.optics.hue_names import munsell_hue_degrees
from lift.practice.toning.dosing import toned_lab
from lift.practice.toning.tone_report import ToneReport
from lift.practice.wheel import WHEEL
from lift.show import style
from lift.show.plots.figure import own_axes, rgb

if TYPE_CHECKING:
    from matplotlib.axes import Axes

RING = 62.0
RING_LIGHTNESS, RING_CHROMA = 62.0, 42.0
PAINTS = ("5R", "10R", "5YR", "10YR", "5Y", "5GY", "5G", "5BG", "5B", "5PB", "5P", "5RP")
"""Munsell hue that each family of the wheel is painted with."""

PATH_DOSE = 6.0


@style.house
def plot_cielab_circle(report: ToneReport, axes: Axes | None = None) -> Axes:
    """Hair, goal and the straight way between them in the a*b* plane, inside a ring of hues."""
    axes = own_axes(axes, 5.6, 5.6)
    hues = np.arange(0.0, 360.0, 3.0)
    for hue in hues:
        _wedge(axes, hue - 1.5, hue + 1.6, RING, 7.0, _paint(hue + 0.0))
    for hue in range(0, 360, 45):
        axes.text(*_at(RING + 7.0, hue), f"{hue}\u00b0", ha="center", va="center", color=style.SOFT)
    axes.plot([-RING + 7.0, RING - 7.0], [0.0, 0.0], color=style.FAINT, lw=1, zorder=1)
    axes.plot([0.0, 0.0], [-RING + 7.0, RING - 7.0], color=style.FAINT, lw=1, zorder=1)
    hair = np.array(report.lab)
    goal = hair + report.direction.change
    if report.direction.needed:
        _spoke(axes, float(report.direction.excess_hue_deg), "too much", style.WARM, "s")
        _spoke(axes, float(report.direction.hue_deg), "change", style.COOL, "^")
        axes.annotate(
            "",
            (goal[1], goal[2]),
            (hair[1], hair[2]),
            arrowprops={"arrowstyle": "-|>", "lw": 2.2, "color": style.INK},
        )
    for lab, name, marker, raised in ((hair, "hair", "o", "bottom"), (goal, "goal", "D", "top")):
        axes.scatter(lab[1], lab[2], color=rgb(lab), s=95, marker=marker, ec=style.INK, zorder=4)
        axes.annotate(
            name,
            (lab[1], lab[2]),
            (-8, 0),
            textcoords="offset points",
            ha="right",
            va=raised,
            bbox={"fc": style.PAPER, "ec": "none", "pad": 0.5},
            zorder=3,
        )
    _bare(axes, RING + 13.0)
    axes.text(RING - 9.0, -2.0, "a*", color=style.SOFT, ha="right", va="top")
    axes.text(-2.0, RING - 9.0, "b*", color=style.SOFT, ha="right", va="top")
    axes.set_title(
        f"CIELAB: the change points to {float(report.direction.hue_deg):.0f}\u00b0"
        if report.direction.needed
        else "CIELAB: no noticeable change needed"
    )
    return axes


@style.house
def plot_painters_wheel(report: ToneReport, axes: Axes | None = None) -> Axes:
    """Painter's wheel with what is too much and the family opposite to it."""
    axes = own_axes(axes, 5.6, 5.6)
    direction = report.direction
    said: dict[str, str] = {}
    if direction.needed:
        said = {direction.excess_wheel: "too much", direction.wheel: "answers"}
    for index, family in enumerate(WHEEL):
        angle = _clock(index)
        chosen = family in said
        # Drawn last and thicker, so that the choice shows without any colour.
        _wedge(
            axes,
            angle - 15.0,
            angle + 15.0,
            RING,
            30.0,
            family_colour(family),
            edge=style.INK if chosen else style.PAPER,
            width=3.0 if chosen else 1.5,
            order=3 if chosen else 2,
        )
        axes.text(
            *_at(RING - 15.0, angle),
            family.replace("-", "-\n") + (f"\n{said[family]}" if chosen else ""),
            linespacing=1.15,
            ha="center",
            va="center",
            fontsize=8.5,
            weight="bold" if chosen else "normal",
            zorder=5,
        )
    if said:
        start, end = (_at(RING - 31.0, _clock(WHEEL.index(name))) for name in said)
        axes.annotate(
            "", end, start, arrowprops={"arrowstyle": "-|>", "lw": 2.2, "color": style.INK}
        )
    _bare(axes, RING + 13.0)
    axes.set_title(
        f"Wheel: {direction.wheel} answers {direction.excess_wheel}"
        if direction.needed
        else "Wheel: nothing to answer"
    )
    return axes


@style.house
def plot_dye_paths(report: ToneReport, axes: Axes | None = None) -> Axes:
    """Where each dye takes this hair in a*b*, and where the best dose ends."""
    axes = own_axes(axes, 5.6, 5.6)
    answer = report.answer
    path = natural_path(report.curves)
    axes.plot(*path.lab[:, 1:].T, color=style.SOFT, lw=1.5, ls="--", label="natural hair")
    doses = np.linspace(0.0, max(PATH_DOSE, 1.2 * answer.amount), 49)
    dots = slice(0, None, 8)
    for name, marker in zip(palette(), "ovsD^", strict=True):
        lab = strand_lab(
            answer.pigment,
            report.curves.values,
            tone={name: doses},
            grey_percent=answer.grey_percent,
        )
        axes.plot(*lab[:, 1:].T, color=style.SOFT, lw=0.9)
        axes.scatter(
            lab[dots, 1], lab[dots, 2], c=rgb(lab[dots]), marker=marker, s=34, ec=style.INK,
            lw=0.6, zorder=3,
        )  # fmt: skip
        axes.plot([], [], marker, color=style.SOFT, mec=style.INK, label=name)
    if answer.tone:
        lab = toned_lab(
            answer.pigment, answer.tone, np.linspace(0.0, 1.0, 30), report.curves,
            answer.grey_percent,
        )  # fmt: skip
        axes.plot(*lab[:, 1:].T, color=style.WARM, lw=2.6, label="best dose")
        axes.plot(*lab[-1, 1:], "*", color=style.WARM, ms=15, mec=style.INK, zorder=5)
    axes.margins(0.08)
    axes.set_xlabel("a* (towards red)")
    axes.set_ylabel("b* (towards yellow)")
    axes.set_title("Each dye pulls this hair its own way")
    axes.legend(loc="lower right", fontsize=9, ncols=2)
    return axes


def family_colour(family: str) -> Any:
    """Screen colour with which a family of the wheel is painted."""
    return _paint(munsell_hue_degrees(PAINTS[WHEEL.index(family)]))


def _clock(index: int) -> float:
    """Angle of a family on the page, red on top and on clockwise."""
    return 90.0 - 30.0 * index


def _at(radius: float, degrees: float) -> tuple[float, float]:
    return (
        float(radius * np.cos(np.radians(degrees))),
        float(radius * np.sin(np.radians(degrees))),
    )


def _paint(hue: float) -> Any:
    a, b = _at(RING_CHROMA, hue)
    return rgb(np.array([RING_LIGHTNESS, a, b]))


def _wedge(
    axes: Axes,
    start: float,
    end: float,
    outer: float,
    depth: float,
    colour: Any,
    *,
    edge: Any = "none",
    width: float = 0.0,
    order: int = 2,
) -> None:
    from matplotlib.patches import Wedge

    axes.add_patch(
        Wedge(
            (0.0, 0.0), outer, start, end, width=depth, facecolor=colour, edgecolor=edge,
            lw=width, zorder=order,
        )
    )  # fmt: skip


def _spoke(axes: Axes, hue: float, words: str, colour: str, marker: str) -> None:
    axes.plot(*np.array([(0.0, 0.0), _at(RING - 7.0, hue)]).T, color=colour, lw=1.3, ls=":")
    axes.plot(*_at(RING - 3.5, hue), marker, color=style.INK, ms=8, zorder=5)
    # To the side that lies further from the axes and their names.
    side = min((25.0, -25.0), key=lambda turn: abs((hue + turn) % 90.0 - 45.0))
    axes.text(
        *_at(RING - 20.0, hue + side),
        f"{words}\n{hue:.0f}\u00b0",
        ha="center",
        va="center",
        color=colour,
        linespacing=1.0,
    )


def _bare(axes: Axes, reach: float) -> None:
    axes.set(xlim=(-reach, reach), ylim=(-reach, reach), xticks=[], yticks=[])
    axes.set_aspect("equal")
    axes.grid(visible=False)
    for spine in axes.spines.values():
        spine.set_visible(False)
