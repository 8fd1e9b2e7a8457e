"""Pictures of a plan: sections against their windows, colours as seen, the weeks after."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from lift.model.natural import natural_path
from lift.practice.scenario.scenario import Zone
from lift.practice.service.plan import Plan
from lift.practice.time_line import Span
from lift.quantities import Lab
from lift.show import style
from lift.show.plots.figure import OWN, bare, foot, head, lettered, picture
from lift.show.plots.lock import draw_levels, draw_lock, draw_strip
from lift.show.plots.spans import draw_spans, span_handles
from lift.words import Note, note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PALE: Any = {"alpha": 0.45, "lw": 0, "zorder": 0.8}
"""Look of the time line behind the bars of hair."""

LEVEL_WIDTH = 0.22
"""Width of the lock of a natural level, that of a part being 1."""

PAST_MINUTES = 6.0
"""How much of the time past the last rinse of a mixture is drawn of a section [min]."""

TONER_ROW = 2.0
"""Height of a toner's row, a section's being 1: it is named beside."""


@picture(10.0, 5.2)
def plot_timeline(result: Plan, axes: Axes = OWN) -> Axes:
    """Every section from its laying to its rinse, against its time line; then every toner.

    Examples
    --------
    >>> import lift
    >>> scenario = lift.load_scenario("shared/blonde_refresh.toml")
    >>> lift.plot_timeline(lift.plan(scenario, members=10)).get_xlabel()
    'clock [min]; each bar a lock in its last colour'
    """
    from matplotlib.lines import Line2D

    row, ticks, names, told, looks = 0.0, [], [], list[Span](), []
    rinsed = max(s.rinsed for z in result.zones for s in z.sections) + PAST_MINUTES
    for zone in result.zones:
        first = row
        for section in zone.sections:
            spans = section.spans(rinsed)
            draw_spans(axes, spans, row, 0.92, **PALE)
            told.extend(spans)
            extent = (section.starts, section.rinsed, row + 0.28, row - 0.28)
            draw_strip(axes, [section.lab] * 2, extent, zorder=2)
            marker, colour, size = ("o", style.INK, 4) if section.inside else ("X", style.WARM, 7)
            axes.plot(section.rinsed, row, marker, color=colour, ms=size, zorder=3)
            row += 1.0
        looks.append(([s.lab for s in zone.sections], row - 0.72, row - 1.28))
        ticks.append((first + row - 1.0) / 2.0)
        names.append(say("plot.timeline.zone", zone=zone.zone.name, sections=len(zone.sections)))
        row += 1.0
    toned = {z.zone.name: z.after for z in result.zones}
    toned |= {z.zone.name: z.after for z in result.toned}
    for toner in result.toning:
        lab = toned[toner.zone]
        axes.barh(row, toner.laid - toner.starts, 0.92, toner.starts, color=style.FAINT, **PALE)
        extent = (toner.starts, toner.rinsed, row + 0.28, row - 0.28)
        draw_strip(axes, [lab] * 2, extent, zorder=2)
        axes.plot(toner.rinsed, row, "o", color=style.INK, ms=4, zorder=3)
        ticks.append(row)
        names.append(say("plot.timeline.toner", zone=toner.zone))
        looks.append(([lab], row + 0.28, row - 0.28))
        row += TONER_ROW
    for at in {round(z.rinsed, 3) for z in result.zones}:
        axes.axvline(at, color=style.INK, lw=1.2, ls="--")
    axes.set_yticks(ticks, names)
    end = max(rinsed, result.total_minutes)
    axes.set(ylim=(row - 0.8, -0.8), xlim=(0.0, end))
    draw_levels(axes, looks, result.curves)
    axes.grid(visible=False, axis="y")
    axes.set_xlabel(say("plot.timeline.clock"), loc="left")
    axes.legend(
        handles=[
            *span_handles(told, alpha=PALE["alpha"]),
            Line2D([], [], marker="o", color=style.INK, ms=4, lw=0, label=say("plot.inside")),
            Line2D([], [], marker="X", color=style.WARM, ms=7, lw=0, label=say("plot.outside")),
        ],
        loc="upper left", bbox_to_anchor=(-0.04, 0.0), borderaxespad=4.2, ncols=4, fontsize=9,
    )  # fmt: skip
    sections = [s for z in result.zones for s in z.sections]
    return lettered(
        axes,
        note(
            "plot.timeline.all" if result.exists else "plot.timeline.no_order", p=result.p_inside
        ),
        alt=note("alt.timeline", sections=len(sections), zones=[z.zone.name for z in result.zones],
                 end=max(s.rinsed for s in sections), outside=sum(not s.inside for s in sections),
                 toners=_toners_alt(result)),
    )  # fmt: skip


def _toners_alt(result: Plan) -> Note | str:
    if not result.toning:
        return ""
    zones, end = [each.zone for each in result.toning], max(t.rinsed for t in result.toning)
    return note("alt.timeline.toners", zones=zones, end=end)


@picture(6.0, 3.0)
def plot_colours(result: Plan, axes: Axes = OWN) -> Axes:
    """Parts before and after, as the eye sees woven hair, with the difference at each edge.

    Examples
    --------
    >>> import lift
    >>> visit = lift.plan(lift.load_scenario("shared/blonde_refresh.toml"), members=10)
    >>> [label.get_text() for label in lift.plot_colours(visit).get_yticklabels()]
    ['before', 'zones after', 'as seen']
    """
    blend = result.blend
    parts = list(blend.parts)
    for column, part in enumerate(parts):
        zones = [z for z in result.scenario.zones if z.part == part]
        before, left = blend.parts_before[part], float(column)
        draw_lock(axes, before, (left, left + 1.0, 2.0, 2.8))
        for zone in zones:
            for lab, start, end in _side_by_side(zone, result):
                draw_lock(axes, lab, (left + start, left + end, 1.0, 1.8))
            if len(zones) > 1:
                axes.text(left + zone.share / 2, 0.98, zone.name, ha="center", va="top", fontsize=8)
            left += zone.share
        if left < column + 1.0 - 1e-9:
            draw_lock(axes, before, (left, column + 1.0, 1.0, 1.8))
        draw_lock(axes, blend.parts[part], (column, column + 1.0, 0.0, 0.8))
        axes.text(column + 0.5, -0.1, part, ha="center", va="top")
    for edge in blend.edges:
        left_part, right_part = sorted(parts.index(p) for p in edge.parts)
        if right_part - left_part == 1:
            shows = edge.after > blend.limit
            axes.text(
                right_part, 0.4, f"{edge.after:.1f}", ha="center", va="center", fontweight="bold",
                color=style.PAPER if shows else style.INK,
                bbox={"boxstyle": "round", "fc": style.WARM if shows else style.PAPER, "lw": 0},
            )  # fmt: skip
    end = _draw_levels(axes, list(blend.parts.values()), result, len(parts) + 0.1)
    axes.set(xlim=(0, end), ylim=(-0.45, 2.9), xticks=[])
    rows = ("plot.before", "plot.colours.zones", "plot.colours.seen")
    axes.set_yticks([2.4, 1.4, 0.4], [say(row) for row in rows])
    bare(axes)
    alt = note("alt.colours", parts=parts, edges=[f"{edge.after:.1f}" for edge in blend.edges])
    return lettered(axes, note("text", text=fill(str(blend.finding), 56)), alt=alt, fontsize=10.5)


def _draw_levels(axes: Axes, seen: list[Lab], result: Plan, left: float) -> float:
    """Locks of the natural levels that the parts as seen lie between; where the last one ends."""
    levels, natural = natural_path(result.curves).levels_beside(np.array(seen))
    beside = dict(zip(levels.ravel().tolist(), natural.reshape(-1, 3), strict=True))
    for level in sorted(beside):
        draw_lock(axes, beside[level], (left, left + LEVEL_WIDTH, 0.0, 0.8))
        axes.text(left + 0.5 * LEVEL_WIDTH, -0.1, f"{level:g}", ha="center", va="top")
        left += LEVEL_WIDTH
    axes.text(left, 0.84, say("axis.natural_level"), ha="right", va="bottom", fontsize=8)
    return left


def _side_by_side(zone: Zone, result: Plan) -> list[tuple[Any, float, float]]:
    """CIELAB of what a zone is seen as, and its place in its part; of grey hair each kind."""
    grey = result.zone(zone.name).grey_after if zone.treated else None
    if grey is None:
        return [(result.blend.zones[zone.name], 0.0, zone.share)]
    edge = zone.share * (1.0 - grey.grey_percent / 100.0)
    kinds = [(grey.pigmented, 0.0, edge), (grey.white, edge, zone.share)]
    return [kind for kind in kinds if kind[2] - kind[1] > 1e-9]


@picture(6.0, 3.5)
def plot_next_visit(result: Plan, axes: Axes = OWN) -> Axes:
    """Contrast of the regrowth against weeks, as the band widens.

    Examples
    --------
    >>> import lift
    >>> visit = lift.plan(lift.load_scenario("shared/blonde_refresh.toml"), members=10)
    >>> lift.plot_next_visit(visit).get_ylabel()
    'contrast of regrowth [dE00]'
    """
    visit = result.next_visit
    if not visit.demarcations:
        axes.text(0.5, 0.5, say("plot.visit.no_zone"), ha="center", va="center",
                  transform=axes.transAxes, color=style.SOFT)  # fmt: skip
        axes.set(xticks=[], yticks=[])
        return lettered(axes, "plot.visit.none", alt=note("alt.visit.none"))
    low, high = visit.usual_weeks
    axes.axvspan(low, high, color=style.FAINT, alpha=0.55, lw=0)
    for place, line in enumerate(visit.demarcations):
        dashes = ("-", "--", ":", "-.")[place % 4]
        beside = None if place else say("plot.visit.side_by_side")
        axes.plot(line.weeks, line.side_by_side, color=style.SOFT, lw=1, label=beside)
        said = say("plot.visit.as_seen", part=line.part)
        axes.plot(line.weeks, line.seen, dashes, color=style.WARM, lw=2.2, label=said)
        if line.due_weeks is not None:
            axes.plot(line.due_weeks, line.limit, "o", color=style.INK, ms=7, zorder=4)
    limit, end = visit.demarcations[0].limit, float(visit.weeks[-1])
    said = say("plot.visit.limit", limit=limit)
    axes.axhline(limit, color=style.INK, lw=1, ls="--", label=said)
    top = max(float(d.side_by_side.max()) for d in visit.demarcations)
    axes.set(ylim=(0.0, 1.4 * max(top, limit)), xlim=(0.0, end))
    axes.text((low + high) / 2, 0.02, say("plot.visit.usual"), ha="center", va="bottom",
              transform=axes.get_xaxis_transform(), color=style.SOFT, fontsize=9)  # fmt: skip
    axes.set_xticks(range(0, int(end) + 1, 4))
    axes.legend(loc="upper right", ncols=2, fontsize=9)
    due = visit.due_weeks
    return lettered(
        axes,
        note("plot.visit.never", weeks=end) if due is None else note("plot.visit.due", weeks=due),
        "plot.visit.weeks",
        "plot.visit.contrast",
        alt=note("alt.visit", weeks=end, top=max(float(d.seen.max()) for d in visit.demarcations),
                 limit=limit),
    )  # fmt: skip


def _rows(result: Plan) -> float:
    rows = sum(len(z.sections) for z in result.zones) + TONER_ROW * len(result.toning)
    return min(max(0.17 * rows, 2.2), 9.0)


@picture(11.0, lambda result, **_: _rows(result) + 4.6)
def plot_plan(result: Plan, figure: Figure = OWN) -> Figure:
    """Timeline, colours and the weeks after, on one sheet."""
    grid = figure.add_gridspec(2, 2, height_ratios=(_rows(result), 3.6))
    plot_timeline(result, figure.add_subplot(grid[0, :]))
    plot_colours(result, figure.add_subplot(grid[1, 0]))
    plot_next_visit(result, figure.add_subplot(grid[1, 1]))
    about = result.scenario.about or say("plot.estimate")
    said = note("plot.plan", title=result.scenario.title, about=about)
    foot(figure, result.cautions)
    return head(figure, said, color=style.SOFT, fontsize=11)
