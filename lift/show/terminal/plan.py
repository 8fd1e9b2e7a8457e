"""A plan in the terminal: words and tables for the chair."""

from __future__ import annotations

import numpy as np
from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.practice.service.plan import Plan
from lift.practice.service.plan_parts import Change, SectionPlan, ZonePlan
from lift.show.terminal.preview import chance, console, patch, print_foot, tone_words

MOST_SECTIONS = 24
"""Sections of a zone printed one by one; of more, only the telling ones."""

WIDE = 60


def gain(change: Change) -> str:
    """What a change gives, and what it costs in work."""
    work = round(change.cost)
    more = f"{abs(work)} min of work {'more' if work > 0 else 'less'}" if work else "no more work"
    return f"Then {chance(change.p_inside)} inside, {change.total_minutes:.0f} min in all, {more}."


def print_plan(result: Plan, to: Console | None = None) -> None:
    """Print a plan.

    Parameters
    ----------
    result : Plan
        What to print.
    to : rich.console.Console, optional
        Where; default: the terminal.
    """
    to = to or console()
    scenario = result.scenario
    to.print(f"[bold]{scenario.title}[/]")
    if scenario.about:
        to.print(scenario.about)
    to.print(Text(verdict(result), style="bold"))
    for change in result.changes:
        if change.works:
            to.print(f"  Try ({change.kind}): {change.text} {gain(change)}")
    failed = [c.kind for c in result.changes if not c.works]
    if failed:
        to.print(f"  Tried without success: {', '.join(failed)}.")
    for line in result.advice:
        to.print(f"  Or, for one zone: {line}")
    _print_zones(result, to)
    for zone in result.zones:
        _print_sections(zone, to)
    _print_blend(result, to)
    to.print("\n[bold]Next visit[/]")
    for line in result.next_visit.words:
        to.print(f"  {line}")
    print_foot(to, result.cautions, result.curves.name, result.curves.standing)


def verdict(result: Plan) -> str:
    """The finding in a sentence or two."""
    together = result.scenario.salon.rinse == "together"
    if not result.exists:
        best = result.best_change
        cheapest = (
            f" Cheapest change that works: {best.kind}."
            if best is not None
            else " No change tried works."
        )
        return f"NO ORDER KEEPS ALL INSIDE. {result.reason}{cheapest} Below, the least bad."
    order = ", then ".join(z.zone.name for z in result.zones)
    rinse = f"rinse all at {result.zones[0].rinsed:.1f} min" if together else "rinse zone by zone"
    return (
        f"{order}; {rinse}: the expected strands of every section are inside, and "
        f"{chance(result.p_inside)} that every section is."
    )


def _print_zones(result: Plan, to: Console) -> None:
    to.print("\n[bold]Zones[/] (minutes on the clock)")
    wide = to.width >= WIDE
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    heads = ("Zone", "start", "all on", "rinse", "window", "safe until", "inside", "past")
    for head in heads:
        table.add_column(head, justify="left" if head == "Zone" else "right", no_wrap=not wide)
    for zone in result.zones:
        table.add_row(
            zone.zone.name,
            f"{zone.starts:.1f}",
            f"{zone.laid:.1f}",
            f"{zone.rinsed:.1f}",
            _window(zone),
            f"{zone.latest_safe:.1f}",
            f"{100 * zone.p_inside:.0f} %",
            f"{100 * zone.p_too_far:.0f} %",
        )
    to.print(table)
    to.print(
        "window: every section's expected strands inside. safe until: latest safe rinse, nothing "
        "past a limit on 9 heads of 10; from then on look at the hair."
    )
    for zone in result.zones:
        mixture = result.scenario.mixture_on(zone.zone)
        bowl = zone.bowl
        line = patch(zone.lab, 4, to)
        line.append(
            f"{zone.zone.name}: {mixture.kind} {mixture.developer_volume:g} vol, goal "
            f"{zone.goal}; at the rinse level {zone.level:.1f}, lift {zone.lift:.1f} (spread "
            f"{zone.spread:.1f}), warmth {zone.warmth:+.1f} of {zone.warmth_limit:+.1f}, "
            f"{zone.stage}."
        )
        to.print(line)
        ends = {
            "window": "then the first closes before the next opens",
            "strength": "then the mixture is too weak",
            "none": "and more",
        }[bowl.ends_by]
        to.print(
            f"  {bowl.bowls} bowl(s) of {bowl.grams:.0f} g ({bowl.product_grams:.0f} product, "
            f"{bowl.developer_grams:.0f} developer). One bowl serves {bowl.serves} sections, "
            f"{ends}."
        )
        if zone.toner:
            doses = ", ".join(f"{dye} {dose:.1f}" for dye, dose in zone.toner.items())
            after = patch(zone.after, 4, to)
            after.append("L* {:.0f}  a* {:.0f}  b* {:.0f}".format(*zone.after))
            to.print(Text.assemble(f"  Toner: {doses}; then ", after))
        else:
            to.print(f"  Tone: {tone_words(zone.tone)}")


def _window(zone: ZonePlan) -> str:
    if zone.earliest is None or zone.earliest >= zone.latest:
        return f"none ({zone.closes_by} {zone.latest:.1f})"
    return f"{zone.earliest:.1f} to {zone.latest:.1f}"


def _print_sections(zone: ZonePlan, to: Console) -> None:
    shown = telling(zone.sections)
    less = "" if len(shown) == len(zone.sections) else f", {len(shown)} of {len(zone.sections)}"
    to.print(f"\n[bold]{zone.zone.name}, sections{less}[/] (own minutes)")
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head in ("No", "at", "bowl", "on for", "window", "inside", "level", "colour"):
        table.add_column(head, justify="left" if head == "colour" else "right", no_wrap=True)
    for section in shown:
        opens = "never" if section.opens is None else f"{section.opens:.1f}"
        closes = "" if section.closes is None else f" to {section.closes:.1f}"
        colour = patch(section.lab, 3, to)
        colour.append("{:.0f} {:.0f} {:.0f}".format(*section.lab))
        table.add_row(
            str(section.number),
            f"{section.starts:.1f}",
            f"{100 * section.strength:.0f} %",
            f"{section.minutes:.1f}",
            opens + closes,
            f"{100 * section.p_inside:.0f} %",
            f"{section.level:.1f}",
            colour,
        )
    to.print(table)


def telling(sections: tuple[SectionPlan, ...]) -> tuple[SectionPlan, ...]:
    """All sections when they are few; of many, some evenly spread and the least likely one."""
    if len(sections) <= MOST_SECTIONS:
        return sections
    least = min(range(len(sections)), key=lambda i: sections[i].p_inside)
    spread = np.linspace(0, len(sections) - 1, MOST_SECTIONS - 1).astype(int)
    return tuple(sections[i] for i in sorted({*spread.tolist(), least}))


def _print_blend(result: Plan, to: Console) -> None:
    blend = result.blend
    to.print(f"\n[bold]Blend[/] {blend.words}")
    for part, lab in blend.parts.items():
        line = Text("  ")
        line.append_text(patch(blend.parts_before[part], 3, to))
        line.append_text(patch(lab, 3, to))
        line.append("{}: L* {:.0f}  a* {:.0f}  b* {:.0f}, as the eye sees it".format(part, *lab))
        to.print(line)
    for edge in blend.edges:
        culprit = "" if edge.breaks is None else f"; {edge.breaks} breaks the blend"
        to.print(
            f"  {edge.parts[0]} to {edge.parts[1]}: {edge.before:.1f} dE00 before, "
            f"{edge.after:.1f} after; an edge shows in {chance(edge.p_seen)}{culprit}."
        )
    for name, difference in blend.to_match.items():
        to.print(f"  {name} to its goal: {difference:.1f} dE00.")
