"""Two circles: CIELAB measures the change that hair needs, the painter's wheel names the paint."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from lift.model.strand import strand_lab
from lift.optics.dyes import palette
from lift.practice.toning.tone_report import ToneReport
from lift.practice.wheel import WHEEL
from lift.show import style
from lift.show.plots.figure import OWN, ab, bare, beside, foot, head, lab_note, lettered, picture
from lift.show.plots.lock import draw_marks
from lift.show.plots.paint import family_colour, hue_colour
from lift.show.plots.tone_plots import (
    plot_carried,
    plot_dose_response,
    plot_fades,
    plot_lights,
    plot_partial,
    plot_toned,
)
from lift.words import note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

RING = 62.0
PATH_DOSE = 6.0
DYE_MARK = 85.0
LOCKS_TALL = 2.6
"""Height of the locks at the head of a sheet [inches]."""

ARROW: Any = {"arrowstyle": "-|>", "lw": 2.2, "color": style.INK}


@picture(5.6, 5.6)
def plot_cielab_circle(report: ToneReport, axes: Axes = OWN) -> Axes:
    """Hair, goal and the straight way between them in the a*b* plane, inside a ring of hues."""
    direction = report.direction
    for hue in np.arange(0.0, 360.0, 3.0):
        _wedge(axes, (hue - 1.5, hue + 1.6), 7.0, hue_colour(float(hue)))
    for hue in range(0, 360, 45):
        axes.text(*_at(RING + 7.0, hue), f"{hue}\u00b0", ha="center", va="center", color=style.SOFT)
    arm = [-RING + 7.0, RING - 7.0]
    axes.plot(arm, [0.0, 0.0], color=style.FAINT, lw=1, zorder=1)
    axes.plot([0.0, 0.0], arm, color=style.FAINT, lw=1, zorder=1)
    hair = np.array(report.pigmented)
    goal = hair + direction.change
    if direction.needed:
        _spoke(axes, float(direction.excess_hue_deg), "plot.too_much", style.WARM, "s")
        _spoke(axes, float(direction.hue_deg), "plot.change", style.COOL, "^")
        axes.annotate("", ab(goal), ab(hair), arrowprops=ARROW)
    for lab, code, marker, raised in (
        (hair, "plot.hair", "o", "bottom"),
        (goal, "plot.goal", "D", "top"),
    ):
        draw_marks(axes, ab(lab), lab, marker)
        box = {"fc": style.PAPER, "ec": "none", "pad": 0.5}
        beside(axes, say(code), ab(lab), (-11, 0), ha="right", va=raised, bbox=box, zorder=3)
    _bare(axes)
    axes.text(RING - 9.0, -2.0, "a*", color=style.SOFT, ha="right", va="top")
    axes.text(-2.0, RING - 9.0, "b*", color=style.SOFT, ha="right", va="top")
    return lettered(
        axes,
        note("plot.circle", hue=float(direction.hue_deg))
        if direction.needed
        else "plot.circle.none",
        alt=note("alt.circle", hair=lab_note(hair), goal=lab_note(goal)),
    )


@picture(5.6, 5.6)
def plot_painters_wheel(report: ToneReport, axes: Axes = OWN) -> Axes:
    """Painter's wheel with what is too much and the family opposite, and what does it on hair."""
    direction = report.direction
    said: dict[str, str] = {}
    if direction.needed:
        said = {
            direction.excess_wheel: say("plot.too_much"), direction.wheel: say("plot.wheel.answers")
        }  # fmt: skip
    for index, family in enumerate(WHEEL):
        angle, chosen = _clock(index), family in said
        # Drawn last and thicker, so that the choice shows without any colour.
        look: Any = {"edgecolor": style.PAPER, "lw": 1.5, "zorder": 2}
        if chosen:
            look = {"edgecolor": style.INK, "lw": 3.0, "zorder": 3}
        _wedge(axes, (angle - 15.0, angle + 15.0), 30.0, family_colour(family), **look)
        name = say("plot.wheel.family", wheel=family).replace("-", "-\n")
        axes.text(
            *_at(RING - 15.0, angle), name + (f"\n{said[family]}" if chosen else ""),
            linespacing=1.15, ha="center", va="center", fontsize=8.5,
            weight="bold" if chosen else "normal", zorder=5,
        )  # fmt: skip
    if said:
        start, end = (_at(RING - 31.0, _clock(WHEEL.index(name))) for name in said)
        axes.annotate("", end, start, arrowprops=ARROW)
    _bare(axes)
    names = {"wheel": direction.wheel, "excess": direction.excess_wheel}
    title = note("plot.wheel", **names) if direction.needed else "plot.wheel.none"
    on_hair = fill(say("plot.wheel.on_hair", said=report.wheel_and_dye.short), 46)
    axes.text(0.5, 0.0, on_hair, transform=axes.transAxes, ha="center", va="top", weight="bold",
              fontsize=9)  # fmt: skip
    return lettered(axes, title, alt=note("alt.wheel", families=len(WHEEL)))


@picture(5.6, 5.6)
def plot_dye_paths(report: ToneReport, axes: Axes = OWN) -> Axes:
    """Where each dye takes this hair in a*b*, and where the best dose ends.

    Examples
    --------
    >>> import lift
    >>> report = lift.tone_report((60, 10, 30))
    >>> lift.teach.plot_dye_paths(report).get_ylabel()
    'b* (towards yellow)'
    """
    answer, curves = report.answer, report.curves
    natural = answer.path.lab
    axes.plot(*natural[:, 1:].T, color=style.SOFT, lw=1.5, ls="--", label=say("plot.natural"))
    most = max(PATH_DOSE, 1.2 * answer.amount)
    doses = np.linspace(0.0, most, 49)
    for name, marker in zip(palette(), "ovsD^", strict=True):
        lab = strand_lab(answer.pigment, curves.values, tone={name: doses})
        axes.plot(*lab[:, 1:].T, color=style.SOFT, lw=0.9)
        marks = lab[::8]
        draw_marks(axes, ab(marks), marks, marker, DYE_MARK, linewidths=0.6, zorder=3)
        said = say("plot.dye", dye=name)
        axes.plot([], [], marker, color=style.SOFT, mec=style.INK, label=said)
    if answer.tone:
        lab = answer.fibres_at(np.linspace(0.0, 1.0, 30)).pigmented
        axes.plot(*lab[:, 1:].T, color=style.WARM, lw=2.6, label=say("plot.best_dose"))
        axes.plot(*lab[-1, 1:], "*", color=style.WARM, ms=15, mec=style.INK, zorder=5)
    axes.margins(0.08)
    axes.legend(loc="lower right", fontsize=9, ncols=2)
    start, end = (lab_note(answer.fibres_at(factor).pigmented) for factor in (0.0, 1.0))
    alt = note("alt.dye_paths", hair=start, end=end, dose=most)
    return lettered(axes, "plot.dye_paths", "axis.a", "axis.b", alt=alt)


def _clock(index: int) -> float:
    """Angle of a family on the page, red on top and on clockwise."""
    return 90.0 - 30.0 * index


def _at(radius: float, degrees: float) -> tuple[float, float]:
    turned = np.radians(degrees)
    return float(radius * np.cos(turned)), float(radius * np.sin(turned))


def _wedge(axes: Axes, ends: tuple[float, float], depth: float, colour: Any, **look: Any) -> None:
    from matplotlib.patches import Wedge

    look = {"facecolor": colour, "edgecolor": "none", "lw": 0.0, "zorder": 2} | look
    axes.add_patch(Wedge((0.0, 0.0), RING, *ends, width=depth, **look))


def _spoke(axes: Axes, hue: float, code: str, colour: str, marker: str) -> None:
    axes.plot(*np.array([(0.0, 0.0), _at(RING - 7.0, hue)]).T, color=colour, lw=1.3, ls=":")
    axes.plot(*_at(RING - 3.5, hue), marker, color=style.INK, ms=8, zorder=5)
    # To the side that lies further from the axes and their names.
    side = min((25.0, -25.0), key=lambda turn: abs((hue + turn) % 90.0 - 45.0))
    axes.text(*_at(RING - 20.0, hue + side), f"{say(code)}\n{hue:.0f}\u00b0", ha="center",
              va="center", color=colour, linespacing=1.0)  # fmt: skip


def _bare(axes: Axes) -> None:
    reach = RING + 13.0
    axes.set(xlim=(-reach, reach), ylim=(-reach, reach), xticks=[], yticks=[])
    axes.set_aspect("equal")
    bare(axes)


# Sheets.


@picture(9.4, 5.0)
def plot_opposition(report: ToneReport, figure: Figure = OWN) -> Figure:
    """CIELAB opposition and the painter's wheel side by side, for one hair.

    Examples
    --------
    >>> import lift
    >>> report = lift.tone_report((60, 10, 30))
    >>> len(lift.teach.plot_opposition(report).axes)
    2
    """
    left, right = figure.subplots(1, 2)
    plot_cielab_circle(report, left)
    plot_painters_wheel(report, right)
    return figure


@picture(13.5, 6.0)
def plot_two_circles(report: ToneReport, figure: Figure = OWN) -> Figure:
    """Sheet for teaching: CIELAB opposition beside the painter's wheel, and the dyes that do it."""
    draws = (plot_cielab_circle, plot_painters_wheel, plot_dye_paths)
    for axes, draw, code in zip(
        figure.subplots(1, 3), draws, ("measured", "trade", "dyes"), strict=True
    ):
        draw(report, axes)
        said = fill(say(f"plot.two_circles.{code}"), 42)
        axes.text(0.5, -0.15, said, transform=axes.transAxes, ha="center", va="top",
                  color=style.SOFT)  # fmt: skip
    return foot(figure, report.cautions, note("plot.two_circles.foot", lab=lab_note(report.lab)))


def _panels(report: ToneReport) -> list[tuple[Any, Any]]:
    """What is drawn on the sheet, and of what."""
    found: list[tuple[Any, Any]] = [(plot_cielab_circle, report), (plot_painters_wheel, report)]
    if report.light is not None:
        found.append((plot_dye_paths, report))
    if report.answer.tone:
        found.append((plot_dose_response, report))
    if report.partial is not None:
        found.append((plot_partial, report))
    if report.light is not None:
        found.append((plot_lights, report.light))
    if report.carried is not None:
        found.append((plot_carried, report.carried))
    elif report.fades:
        found.append((plot_fades, report.fades))
    return found


def _sheet(panels: int) -> tuple[int, int]:
    columns = min(3 if panels <= 6 else 4, panels)
    return -(-panels // columns), columns


@picture(
    lambda report, **_: 5.5 * _sheet(len(_panels(report)))[1],
    lambda report, **_: 5.6 * _sheet(len(_panels(report)))[0] + LOCKS_TALL + 0.8,
)
def plot_tone(report: ToneReport, figure: Figure = OWN) -> Figure:
    """Sheet of ``lift tone --plot``: looks, direction, dyes, dose, other light, what lasts."""
    panels = _panels(report)
    rows, columns = _sheet(len(panels))
    grid = figure.add_gridspec(rows + 1, columns, height_ratios=(LOCKS_TALL, *[5.6] * rows))
    plot_toned(report, figure.add_subplot(grid[0, :]))
    for place, (draw, what) in enumerate(panels):
        draw(what, figure.add_subplot(grid[1 + place // columns, place % columns]))
    said = say("plot.tone", lab=lab_note(report.lab), verdict=report.answer.verdict.text)
    head(figure, note("text", text=fill(said, 55 * columns)), fontsize=12)
    curves = report.curves
    standing = note("standing.line", name=curves.name, standing=curves.standing)
    return foot(figure, report.cautions, standing)
