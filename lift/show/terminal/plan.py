"""A plan in the terminal: words and tables for the chair."""

from __future__ import annotations

import numpy as np
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from lift.practice.service.plan import Plan
from lift.practice.service.zone_plan import SectionPlan, ZonePlan
from lift.practice.time_line import PLACES
from lift.quantities import MINUTES
from lift.show.said import lift_note
from lift.show.said_plan import (
    bowl_note,
    chosen_notes,
    closed_notes,
    fibre_notes,
    first_notes,
    gain_note,
    no_window_notes,
    on_note,
    red_notes,
    toned_notes,
    toner_notes,
    total_note,
    verdict_note,
)
from lift.show.terminal.foot import console, patch, print_first, print_foot
from lift.words import Note, note, say

MOST_SECTIONS = 24
"""Sections of a zone printed one by one; of more, only the telling ones."""

WIDE = 60
ZONE_HEADS = ("zone", "start", "all_on", "rinse", "window", "safe_until", "inside", "past")
SECTION_HEADS = ("number", "at", "bowl", "on_for", "window", "inside", "level", "colour")
LEFT = ("zone", "colour")


def print_plan(result: Plan, to: Console | None = None, *, brief: bool = False) -> None:
    """Print a plan, to the terminal or another console; a `brief` one is what is done, no more."""
    to = to or console()
    scenario = result.scenario
    to.print(Text(scenario.title, style="bold"))
    if scenario.about:
        to.print(Text(scenario.about))
    print_first_of(result, to)
    to.print()
    to.print(Text(say(verdict_note(result)), style="bold"))
    for line in result.water:
        to.print(Text(str(line)))
    to.print(Text(say(total_note(result))))
    if brief:
        print_foot(to, result.cautions, brief=True)
        return
    if result.chosen is not None:
        _head(to, "plan.head.chosen")
        for line in chosen_notes(result):
            _indented(to, str(line))
    for change in result.changes:
        if change.works:
            _line(to, "plan.try", kind=change.kind, text=change.text, gain=gain_note(change))
    failed = [c.kind for c in result.changes if not c.works]
    if failed:
        _line(to, "plan.tried_in_vain", kinds=failed)
    for line in result.advice:
        _line(to, "plan.for_one_zone", advice=line)
    _print_zones(result, to)
    for zone in result.zones:
        _print_sections(zone, to)
    _print_blend(result, to)
    _head(to, "plan.head.visit")
    for line in result.next_visit.findings:
        _indented(to, str(line))
    print_foot(to, result.cautions, result.curves)


def print_first_of(result: Plan, to: Console) -> None:
    """Print what is done with each zone, in the order of doing it, and how it may end."""
    for zone in result.zones:
        to.print()
        to.print(Text.assemble(patch(zone.lab, 3, to), (say(on_note(zone)), "bold")))
        print_first(to, first_notes(zone, result), indent=2)


def _line(to: Console, code: str, **values: object) -> None:
    _indented(to, say(code, **values))


def _indented(to: Console, text: str) -> None:
    """Print a line, and what it goes on in, two letters in."""
    to.print(Padding(Text(text), (0, 0, 0, 2), expand=False))


def _head(to: Console, code: str, *more: object, **values: object) -> None:
    """A heading after an empty line, and what stands behind it."""
    to.print()
    to.print(Text.assemble((say(code, **values), "bold"), *(f" {part}" for part in more)))


def _table(heads: tuple[str, ...], wide: bool) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head in heads:
        justify = "left" if head in LEFT else "right"
        table.add_column(say(f"plan.head.{head}"), justify=justify, no_wrap=not wide)  # type: ignore[arg-type]
    return table


def _print_zones(result: Plan, to: Console) -> None:
    _head(to, "plan.head.zones", note("plan.on_the_clock"))
    table = _table(ZONE_HEADS, to.width >= WIDE)
    for zone in result.zones:
        table.add_row(
            zone.zone.name,
            *(say("clock", t=t) for t in (zone.starts, zone.laid, zone.rinsed)),
            say(_window(zone)),
            say("clock", t=zone.latest_safe),
            f"{100 * zone.p_inside:.0f} %",
            f"{100 * zone.p_too_far:.0f} %",
        )
    to.print(table)
    for line in no_window_notes(result):
        to.print(Text(say(line)))
    to.print(say("plan.window_explained"))
    for line in red_notes(result):
        to.print(Text(say(line)))
    for zone in result.zones:
        _print_zone(zone, result, to)
    for toned, line in zip(result.toned, toned_notes(result), strict=True):
        patches = patch(toned.before, 3, to), patch(toned.after, 3, to)
        to.print(Text.assemble(*patches, " ", say(line)))


def _print_zone(zone: ZonePlan, result: Plan, to: Console) -> None:
    mixture = result.scenario.mixture_on(zone.zone)
    what = {"kind": mixture.kind, "volume": float(mixture.developer_volume), "goal": zone.goal}
    numbers = {k: getattr(zone, k) for k in ("level", "spread", "warmth")}
    allowed = zone.warmth_limit
    numbers["allowed"] = "" if allowed is None else note("plan.zone.allowed", warmth=allowed)
    numbers["lift"] = lift_note(zone.lift, zone.level, float(zone.zone.hair.level))
    line = patch(zone.lab, 4, to)
    line.append(say("plan.zone", zone=zone.zone.name, stage=zone.stage, **what, **numbers))
    to.print(line)
    _indented(to, say(bowl_note(zone.bowl)))
    if zone.toner_step is not None:
        toner, after = map(say, toner_notes(zone))
        toned = Text.assemble(toner, " ", patch(zone.after, 4, to), after)
        to.print(Padding(toned, (0, 0, 0, 2), expand=False))
    else:
        _line(to, "plan.tone_answer", tone=zone.wheel_and_dye.words)
    _print_fibres(zone, to)


def _print_fibres(zone: ZonePlan, to: Console) -> None:
    """Both kinds of fibres of a grey zone: at the rinse, and after a toner."""
    for grey, told in fibre_notes(zone):
        patches = patch(grey.pigmented, 3, to), patch(grey.white, 3, to)
        to.print(Text.assemble("  ", *patches, say(told)))


def _window(zone: ZonePlan) -> Note:
    if not zone.has_window:
        return note("plan.window.none")
    return note("plan.window", earliest=zone.earliest, latest=zone.latest)


def _print_sections(zone: ZonePlan, to: Console) -> None:
    shown, count = telling(zone.sections), len(zone.sections)
    some = note("plan.some_of", shown=len(shown), count=count) if len(shown) < count else ""
    own = note("plan.own_minutes")
    _head(to, "plan.head.sections", own, zone=zone.zone.name, some=some)
    table = _table(SECTION_HEADS, wide=False)
    for section in shown:
        colour = patch(section.lab, 3, to)
        colour.append("{:.0f} {:.0f} {:.0f}".format(*section.lab))
        table.add_row(
            str(section.number),
            f"{section.starts:.1f}",
            f"{100 * section.strength:.0f} %",
            f"{section.minutes:.1f}",
            say(_own_window(section)),
            f"{100 * section.p_inside:.0f} %",
            say("level.short", level=section.level),
            colour,
        )
    to.print(table)
    for line in closed_notes(zone):
        _indented(to, str(line))
    lines = [section.spans(section.starts + MINUTES.range[1] + 1.0) for section in shown]
    found = {span.place for line in lines for span in line}
    _line(to, "plan.through_time", places=[place for place in PLACES if place in found])


def _own_window(section: SectionPlan) -> Note:
    if not section.has_window:
        return note("plan.window.none")
    return note("plan.own_window", opens=section.opens, closes=section.closes)


def telling(sections: tuple[SectionPlan, ...]) -> tuple[SectionPlan, ...]:
    """All sections when they are few; of many, some evenly spread and the least likely one."""
    if len(sections) <= MOST_SECTIONS:
        return sections
    least = min(range(len(sections)), key=lambda i: sections[i].p_inside)
    spread = np.linspace(0, len(sections) - 1, MOST_SECTIONS - 1).astype(int)
    return tuple(sections[i] for i in sorted({*spread.tolist(), least}))


def _print_blend(result: Plan, to: Console) -> None:
    blend = result.blend
    _head(to, "plan.head.blend", blend.finding)
    for part, lab in blend.parts.items():
        line = Text("  ")
        line.append_text(patch(blend.parts_before[part], 3, to))
        line.append_text(patch(lab, 3, to))
        line.append(say("plan.part", part=part, lab=note("plan.lab", lab=lab)))
        to.print(line)
    for edge in blend.edges:
        culprit = "" if edge.breaks is None else note("plan.edge.breaks", zone=edge.breaks)
        first, second = edge.parts
        numbers = {"before": edge.before, "after": edge.after, "p": edge.p_seen}
        _line(to, "plan.edge", first=first, second=second, culprit=culprit, **numbers)
    for name, difference in blend.to_match.items():
        _line(to, "plan.to_goal", zone=name, difference=difference)
