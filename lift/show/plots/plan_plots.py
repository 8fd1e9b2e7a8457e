"""Pictures of a plan: sections against their windows, colours as seen, the weeks after."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

from lift.practice.service.plan import Plan
from lift.show import style
from lift.show.plots.figure import new_figure, own_axes, rgb

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PAST: Any = {"color": style.WARM, "alpha": 0.22, "lw": 0, "hatch": "////"}
"""Time past a close: hatched, so that it differs from a window in grey too."""

PAST_MINUTES = 6.0
"""How much of the time past a close is drawn [min]."""


@style.house
def plot_timeline(result: Plan, axes: Axes | None = None) -> Axes:
    """Every section from its laying to its rinse, against its window.

    Parameters
    ----------
    result : Plan
        What to draw.
    axes : matplotlib Axes, optional
        Where to draw.

    Returns
    -------
    matplotlib Axes
    """
    axes = own_axes(axes, 10.0, 5.2)
    row, ticks, names = 0.0, [], []
    end = max(s.rinsed for z in result.zones for s in z.sections) + PAST_MINUTES
    for zone in result.zones:
        first = row
        for section in zone.sections:
            opens = end if section.opens is None else section.starts + section.opens
            closes = section.starts + (section.closes or 0.0)
            if opens < closes:
                axes.barh(row, min(closes, end) - opens, left=opens, height=0.92, color=style.COOL,
                          alpha=0.28, lw=0)  # fmt: skip
            if closes < end:
                axes.barh(row, end - closes, left=closes, height=0.92, **PAST)
            axes.barh(
                row,
                section.rinsed - section.starts,
                left=section.starts,
                height=0.42,
                color=rgb(section.lab),
                edgecolor=style.INK,
                lw=0.4,
            )
            mark = ("o", style.INK, 4) if section.inside else ("X", style.WARM, 7)
            axes.plot(section.rinsed, row, mark[0], color=mark[1], ms=mark[2], zorder=3)
            row += 1.0
        ticks.append((first + row - 1.0) / 2.0)
        names.append(f"{zone.zone.name}\n{len(zone.sections)} sections")
        row += 1.0
    for at in {round(z.rinsed, 3) for z in result.zones}:
        axes.axvline(at, color=style.INK, lw=1.2, ls="--")
    axes.set_yticks(ticks, names)
    axes.set_ylim(row - 0.8, -0.8)
    axes.set_xlim(0.0, end)
    axes.grid(visible=False, axis="y")
    axes.set_xlabel("clock [min]; bars in their last colour", loc="left")
    chance = f"{100 * result.p_inside:.0f} in 100 that every section is inside"
    axes.set_title(
        f"All expected strands inside; {chance}"
        if result.exists
        else f"No order keeps all inside; {chance}"
    )
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    axes.legend(
        handles=[
            Patch(color=style.COOL, alpha=0.28, lw=0, label="window"),
            Patch(label="past its close", **PAST),
            Line2D([], [], marker="o", color=style.INK, ms=4, lw=0, label="rinsed inside"),
            Line2D([], [], marker="X", color=style.WARM, ms=7, lw=0, label="rinsed outside"),
        ],
        loc="upper right",
        bbox_to_anchor=(1.0, 0.0),
        borderaxespad=2.0,
        ncols=4,
        fontsize=9,
    )
    return axes


@style.house
def plot_colours(result: Plan, axes: Axes | None = None) -> Axes:
    """Parts before and after, as the eye sees woven hair, with the difference at each edge.

    Parameters
    ----------
    result : Plan
        What to draw.
    axes : matplotlib Axes, optional
        Where to draw.

    Returns
    -------
    matplotlib Axes
    """
    axes = own_axes(axes, 6.0, 3.0)
    blend = result.blend
    parts = list(blend.parts)
    zones = {p: [z for z in result.scenario.zones if z.part == p] for p in parts}
    for column, part in enumerate(parts):
        _patch(axes, column, 2.0, 0.8, blend.parts_before[part])
        left = 0.0
        for zone in zones[part]:
            _patch(axes, column + left, 1.0, 0.8, blend.zones[zone.name], zone.share)
            if len(zones[part]) > 1:
                axes.text(
                    column + left + zone.share / 2,
                    1.4,
                    zone.name,
                    ha="center",
                    va="center",
                    fontsize=8,
                    color=_ink_on(blend.zones[zone.name]),
                )
            left += zone.share
        if left < 1.0 - 1e-9:
            _patch(axes, column + left, 1.0, 0.8, blend.parts_before[part], 1.0 - left)
        _patch(axes, column, 0.0, 0.8, blend.parts[part])
        axes.text(column + 0.5, -0.1, part, ha="center", va="top")
    for edge in blend.edges:
        places = sorted(parts.index(p) for p in edge.parts)
        if places[1] - places[0] == 1:
            seen = edge.after > blend.limit
            axes.text(
                places[1],
                0.4,
                f"{edge.after:.1f}",
                ha="center",
                va="center",
                fontweight="bold",
                color=style.PAPER if seen else style.INK,
                bbox={"boxstyle": "round", "fc": style.WARM if seen else style.PAPER, "lw": 0},
            )
    axes.set_xlim(0, len(parts))
    axes.set_ylim(-0.45, 2.9)
    axes.set_xticks([])
    axes.set_yticks([2.4, 1.4, 0.4], ["before", "zones after", "as seen"])
    axes.grid(visible=False)
    for side in axes.spines.values():
        side.set_visible(False)
    axes.tick_params(length=0)
    axes.set_title(fill(str(blend.finding), 56), fontsize=10.5)
    return axes


@style.house
def plot_next_visit(result: Plan, axes: Axes | None = None) -> Axes:
    """Contrast of the regrowth against weeks, as the band widens.

    Parameters
    ----------
    result : Plan
        What to draw.
    axes : matplotlib Axes, optional
        Where to draw.

    Returns
    -------
    matplotlib Axes
    """
    axes = own_axes(axes, 6.0, 3.5)
    visit = result.next_visit
    if not visit.demarcations:
        axes.text(0.5, 0.5, "No zone at the scalp (regrowth_mm)", ha="center", va="center",
                  transform=axes.transAxes, color=style.SOFT)  # fmt: skip
        axes.set_xticks([])
        axes.set_yticks([])
        axes.set_title("Next visit: no regrowth described")
        return axes
    low, high = visit.usual_weeks
    axes.axvspan(low, high, color=style.FAINT, alpha=0.55, lw=0)
    for place, line in enumerate(visit.demarcations):
        dashes = ("-", "--", ":", "-.")[place % 4]
        axes.plot(line.weeks, line.side_by_side, color=style.SOFT, lw=1,
                  label=None if place else "side by side")  # fmt: skip
        axes.plot(line.weeks, line.seen, dashes, color=style.WARM, lw=2.2,
                  label=f"{line.part}, as seen")  # fmt: skip
        if line.due_weeks is not None:
            axes.plot(line.due_weeks, line.limit, "o", color=style.INK, ms=7, zorder=4)
    first = visit.demarcations[0]
    axes.axhline(first.limit, color=style.INK, lw=1, ls="--", label=f"limit {first.limit:g} dE00")
    top = max(float(d.side_by_side.max()) for d in visit.demarcations)
    axes.set_ylim(0.0, 1.4 * max(top, first.limit))
    axes.set_xlim(0.0, float(visit.weeks[-1]))
    axes.text(
        (low + high) / 2,
        0.02,
        "usual: 12 to 25 mm",
        transform=axes.get_xaxis_transform(),
        ha="center",
        va="bottom",
        color=style.SOFT,
        fontsize=9,
    )
    axes.set_xticks(range(0, int(visit.weeks[-1]) + 1, 4))
    axes.set_xlabel("weeks after the service [weeks]")
    axes.set_ylabel("contrast of regrowth [dE00]")
    due = visit.due_weeks
    axes.set_title(
        f"No line shows within {visit.weeks[-1]:.0f} weeks"
        if due is None
        else f"Break the base again after about {due:.0f} weeks"
    )
    axes.legend(loc="upper right", ncols=2, fontsize=9)
    return axes


def plot_plan(result: Plan) -> Figure:
    """Timeline, colours and the weeks after, on one sheet."""
    from matplotlib import rc_context

    with rc_context(style.RC):
        rows = sum(len(z.sections) for z in result.zones)
        tall = min(max(0.17 * rows, 2.2), 9.0)
        figure = new_figure(11.0, tall + 4.6)
        grid = figure.add_gridspec(2, 2, height_ratios=(tall, 3.6))
        plot_timeline(result, figure.add_subplot(grid[0, :]))
        plot_colours(result, figure.add_subplot(grid[1, 0]))
        plot_next_visit(result, figure.add_subplot(grid[1, 1]))
        figure.suptitle(
            f"{result.scenario.title} \u2014 {result.scenario.about or 'estimate'}",
            x=0.01,
            ha="left",
            color=style.SOFT,
            fontsize=11,
        )
        figure.supxlabel(
            "Estimate from calibrated assumptions. Allergy and strand test first, maker's "
            "directions and limits first; on pain, rinse at once.",
            x=0.01,
            ha="left",
            color=style.SOFT,
            fontsize=9,
        )
    return figure


def _patch(
    axes: Axes, left: float, low: float, height: float, lab: tuple[float, ...], width: float = 1.0
) -> None:
    from matplotlib.patches import Rectangle

    axes.add_patch(Rectangle((left, low), width, height, color=rgb(lab), lw=0))


def _ink_on(lab: tuple[float, ...]) -> str:
    return style.PAPER if lab[0] < 50.0 else style.INK
