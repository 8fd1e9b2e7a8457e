"""Pictures of curve sets."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.model.parameter import Parameter
from lift.model.stages import underpigment_ladder
from lift.research.planning.information import Z90
from lift.research.tuning.curve_files import COMPARED, Comparison, compared
from lift.show import style
from lift.show.plots.figure import OWN, beside, head, lettered, on_scale, picture
from lift.show.plots.lock import draw_levels, draw_lock, draw_strip
from lift.words import Note, note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

STATUS_COLOURS = {
    "published": style.COOL,
    "tuned": style.INK,
    "common practice": style.SOFT,
    "calibrated": style.WARM,
    "assumed": "#c9a227",
}
STRANDS = (style.COOL, style.WARM, style.INK, "#7a9a3a")


@picture(7.5, lambda curves, **_: 1.2 + 0.2 * len(curves.parameters))
def plot_parameters(curves: CurveSet, axes: Axes = OWN) -> Axes:
    """Every parameter within its range, coloured by what it rests on."""
    from matplotlib.lines import Line2D

    parameters = curves.parameters
    for row, p in enumerate(parameters):
        share = (p.value - p.low) / (p.high - p.low) if p.high > p.low else 0.5
        axes.plot([0.0, 1.0], [row, row], color=style.FAINT, linewidth=3.0, zorder=1)
        axes.plot(share, row, "o", color=STATUS_COLOURS[p.status], markersize=5.5, zorder=2)
        axes.text(1.03, row, say(_value(p)), va="center", fontsize=7.5, color=style.SOFT)
    axes.set_yticks(range(len(parameters)), [p.name for p in parameters], fontsize=8)
    axes.set(ylim=(len(parameters) - 0.3, -0.7), xlim=(-0.02, 1.5))
    places = [say(f"plot.parameters.{place}") for place in ("low", "middle", "high")]
    axes.set_xticks([0.0, 0.5, 1.0], places)
    axes.set_xlabel(say("plot.parameters.value"), loc="left")
    axes.grid(visible=False)
    counts = {s: sum(p.status == s for p in parameters) for s in STATUS_COLOURS}
    handles = [
        Line2D([], [], marker="o", ls="none", color=STATUS_COLOURS[s], markersize=5.5,
               label=say("plot.parameters.count", status=note(f"status.{s}"), count=count))
        for s, count in counts.items() if count
    ]  # fmt: skip
    axes.legend(handles=handles, loc="upper center", bbox_to_anchor=(0.4, -0.06), ncols=3,
                fontsize=8)  # fmt: skip
    numbers = {"known": counts["published"] + counts["tuned"], "count": len(parameters)}
    title = note("plot.parameters", name=curves.name, invented=curves.invented,
                 **numbers)  # fmt: skip
    return lettered(axes, title, alt=note("alt.parameters", **numbers, **_by_status(counts)))


def _by_status(counts: dict[str, int]) -> dict[str, int]:
    return {status.replace(" ", "_"): count for status, count in counts.items()}


def _value(p: Parameter) -> Note:
    unit = "" if p.unit == "-" else f" {p.unit}"
    return note("plot.parameters.range", value=p.value, unit=unit, low=p.low, high=p.high)


@picture(6.0, 2.2)
def plot_ladder(curves: CurveSet, axes: Axes = OWN) -> Axes:
    """Natural hair and exposed underpigment by level."""
    ladder = underpigment_ladder(curves)
    end = ladder.levels.size + 0.5
    natural = natural_path(curves).lab_of_level(ladder.levels)
    for row, (lab, code) in enumerate(((natural, "natural_row"), (ladder.lab, "underpigment_row"))):
        for level, one in zip(ladder.levels, lab, strict=True):
            draw_lock(axes, one, (level - 0.5, level + 0.5, row + 0.97, row))
        said = say(f"plot.{code}")
        axes.text(0.4, row + 0.5, said, ha="right", va="center", fontsize=9)
    axes.set(xlim=(0.5, end), ylim=(2.0, 0.0), xticks=ladder.levels, yticks=[])
    axes.grid(visible=False)
    warmth = natural_path(curves).warmth(ladder.lab)
    alt = note("alt.ladder", warmest=ladder.levels[int(np.argmax(warmth))], most=warmth.max(),
               least=warmth.min())  # fmt: skip
    return lettered(axes, "plot.ladder_by_level.title", "axis.level", alt=alt)


@picture(13.0, lambda curves, **_: 1.6 + 0.2 * len(curves.parameters))
def plot_curves(curves: CurveSet, figure: Figure = OWN) -> Figure:
    """One sheet: parameters, ladder, lift and warmth of the compared strands."""
    halves: Any = figure.subfigures(1, 2, width_ratios=(1.25, 1.0))
    left, right = halves
    plot_parameters(curves, left.add_subplot())
    grid = right.add_gridspec(3, 1, height_ratios=(0.8, 1.2, 1.2))
    plot_ladder(curves, right.add_subplot(grid[0]))
    lift, warmth = right.add_subplot(grid[1]), right.add_subplot(grid[2])
    strands = compared(curves)
    for (hair, mixture), strand, colour in zip(COMPARED, strands, STRANDS, strict=True):
        said = say("plot.strand", hair=hair, mixture=mixture)
        lift.plot(strand.minutes, on_scale(strand.lift, strand.level), color=colour, label=said)
        warmth.plot(strand.minutes, strand.warmth, color=colour)
    lift.legend(fontsize=8)
    lifts = [np.nanmax(on_scale(s.lift, s.level)) for s in strands]
    last = {"minutes": max(s.minutes[-1] for s in strands), "lift": max(lifts)}
    ends = {**last, "warmth": max(s.warmth.max() for s in strands)}
    lettered(lift, "plot.lift", y="axis.lift_capital", alt=note("alt.lift", **ends))
    alt = note("alt.warmth_of_strands", **ends)
    lettered(warmth, "plot.warmth", "axis.minutes_capital", "axis.warmth_capital", alt=alt)
    return figure


@picture(13.0, 8.4)
def plot_comparison(comparison: Comparison, figure: Figure = OWN) -> Figure:
    """One sheet: what differs in numbers, and what that does to four strands."""
    grid = figure.add_gridspec(3, 4, height_ratios=(1.3, 1.0, 1.0))
    _plot_changed(comparison, figure.add_subplot(grid[0, :]))
    apart = comparison.differences().max(axis=1)
    names = [say("plot.first"), say("plot.second")]
    for column, ((hair, mixture), both) in enumerate(
        zip(COMPARED, comparison.trajectories, strict=True)
    ):
        axes = figure.add_subplot(grid[1, column])
        for row, one in enumerate(both):
            draw_strip(axes, one.lab, (0.0, float(one.minutes[-1]), row + 0.97, row + 0.03))
        axes.set_ylim(2.0, 0.0)
        along = np.concatenate([one.lab for one in both])
        draw_levels(axes, [(along, 1.97, 1.03)], comparison.second)
        axes.set_yticks([0.5, 1.5], names)
        axes.grid(visible=False)
        lettered(axes, note("plot.strand.short", hair=hair, mixture=mixture), fontsize=10)
        axes = figure.add_subplot(grid[2, column])
        for one, name, colour, line in zip(
            both, names, (style.SOFT, style.WARM), ("--", "-"), strict=True
        ):
            axes.plot(one.minutes, one.warmth, color=colour, linestyle=line, label=name)
        if column == 0:
            axes.set_ylabel(say("axis.warmth_capital"))
            axes.legend(fontsize=8)
        low, _, high = comparison.apart[column].T[0]
        apart_note = note("plot.apart", difference=apart[column])
        if np.isfinite(low):
            apart_note = note("plot.apart_by", difference=apart[column], low=low, high=high)
        alt = note("alt.apart", hair=hair, mixture=mixture, first=both[0].warmth[-1],
                   second=both[1].warmth[-1], minutes=both[0].minutes[-1])  # fmt: skip
        lettered(axes, apart_note, "axis.minutes_capital", alt=alt, fontsize=10)
    said = note("plot.comparison", first=comparison.first, second=comparison.second)
    return head(figure, said, fontsize=11)


def _plot_changed(comparison: Comparison, axes: Axes) -> None:
    """Values of the second set over those of the first."""
    changed = comparison.changed
    if not changed:
        axes.set_axis_off()
        lettered(axes, "plot.changed.none")
        return
    pairs = [(each.first, each.second) for each in changed]
    ratio = np.array([b.value / a.value if a.value else np.nan for a, b in pairs])
    # Each in units of the first value, as the bars are.
    unsure = np.array([Z90 * e.sd / abs(e.first.value) if e.first.value else 0.0 for e in changed])
    axes.bar(range(len(changed)), ratio - 1.0, bottom=1.0, color=style.WARM, width=0.5, zorder=2)
    drawn = unsure > 0.0
    axes.errorbar(
        np.flatnonzero(drawn), ratio[drawn], unsure[drawn],
        fmt="none", ecolor=style.INK, elinewidth=1.2, capsize=4, zorder=3,
    )  # fmt: skip
    axes.axhline(1.0, color=style.INK, linewidth=1.0)
    for x, (value, (a, b)) in enumerate(zip(ratio, pairs, strict=True)):
        above = not value < 1.0
        end = value + (unsure[x] if above else -unsure[x])
        at, side = (x, end if np.isfinite(value) else 1.0), "bottom" if above else "top"
        said = f"{a.value:.4g} \u2192 {b.value:.4g}"
        beside(axes, said, at, (0, 4 if above else -4), ha="center", va=side, fontsize=8)
    axes.margins(y=0.25)
    axes.set_xticks(range(len(changed)), [a.name for a, _ in pairs], rotation=12, fontsize=8.5)
    lettered(axes, note("plot.changed", count=len(changed)), y="plot.changed.ratio")
