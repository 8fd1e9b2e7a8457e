"""Tables for the chair in a notebook: a preview, a visit, and what a strand test moved."""

from __future__ import annotations

from lift.practice.preview import Preview
from lift.practice.service.plan import Plan
from lift.practice.service.scenario import Scenario
from lift.practice.trial.strand_test import StrandTest
from lift.practice.window import Window
from lift.show.lesson.notebook import Shown, table
from lift.show.terminal.preview import chance, risk_words
from lift.words import says


def preview_table(result: Preview) -> Shown:
    """What to expect of one strand at one time, with nine strands in ten in brackets."""
    level_low, level, level_high = result.band_at("level")
    warm_low, warm, warm_high = result.band_at("warmth")
    tone = result.tone
    rows = (
        ("level", f"{level:.1f} ({level_low:.1f} to {level_high:.1f})"),
        ("underpigment", result.stage),
        (
            "warmth",
            f"{warm:+.1f} dC* ({warm_low:+.1f} to {warm_high:+.1f}); "
            f"limit {result.window.target.warmth_limit:+.1f}",
        ),
        ("too warm?", f"{risk_words(result.p_too_warm)}: {chance(result.p_too_warm)}"),
        ("window", window_words(result.window)),
        (
            "tone",
            f"{tone.wheel} answers {tone.excess_wheel}, amount {float(tone.amount):.1f}"
            if tone.needed
            else "none needed yet",
        ),
    )
    hair, mixture = result.hair, result.mixture
    caption = (
        f"After {result.minutes:g} min: {mixture.kind}, {mixture.developer_volume:g} vol, on "
        f"natural level {hair.level:g}, {hair.fibre_um:g} um{', damp' if hair.damp else ''}"
    )
    return table(("what", "expected (nine strands in ten)"), rows, caption)


def window_words(window: Window) -> str:
    """When the window opens and closes, and the best time in it."""
    if window.opens is None or window.closes is None:
        return "none"
    return (
        f"{window.opens:.1f} to {window.closes:.1f} min; best {window.best_minutes:g} min, "
        f"{chance(window.p_best)} inside"
    )


def scenario_table(scenario: Scenario) -> Shown:
    """The zones of a visit: hair, mixture, sections."""
    rows = []
    for zone in scenario.zones:
        hair = zone.hair
        before = "" if hair.lightened_to is None else f", lightened to {hair.lightened_to:g}"
        treated = zone in scenario.treated
        mixture = scenario.mixture_on(zone) if treated else None
        rows.append(
            (
                zone.name,
                f"natural level {hair.level:g}{before}, {hair.fibre_um:g} um"
                f"{', damp' if hair.damp else ''}",
                "left alone"
                if mixture is None
                else f"{mixture.kind}, {mixture.developer_volume:g} vol",
                f"{zone.placement.sections}" if treated else "",
            )
        )
    return table(
        ("zone", "hair", "mixture", "sections"), rows, f"{scenario.title}. {scenario.about}"
    )


def plan_table(result: Plan) -> Shown:
    """When each zone goes on and is rinsed, and what is expected of it."""
    rows = [
        (
            zone.zone.name,
            f"{zone.starts:.1f}",
            f"{zone.laid:.1f}",
            f"{zone.rinsed:.1f}",
            f"level {zone.level:.1f}, {zone.stage}, warmth {zone.warmth:+.1f} dC*",
            chance(zone.p_inside),
            chance(zone.p_too_far),
        )
        for zone in result.zones
    ]
    head = ("zone", "begin [min]", "all on [min]", "rinse [min]", "at the rinse", "inside", "past")
    return table(head, rows, f"On the clock: done after {result.total_minutes:.0f} min")


def change_lines(result: Plan) -> list[str]:
    """What would help, each computed, one sentence a line."""
    lines = (
        [] if result.exists else [f"No order keeps all inside: {' '.join(says(result.reasons))}"]
    )
    for change in result.changes:
        outcome = f"then {chance(change.p_inside)} inside" if change.works else "does not help"
        lines.append(f"{change.text} ({outcome})")
    return [*lines, *says(result.advice)] or ["Nothing needs changing."]


def moved_table(test: StrandTest) -> Shown:
    """Risk and window before a strand test and after it."""
    rows = []
    for words, seen in (("before the test", test.before), ("after the test", test.after)):
        low, _, high = seen.band_at("warmth")
        ends = seen.window.closes_range
        rows.append(
            (
                words,
                chance(seen.p_too_warm),
                f"{low:+.1f} to {high:+.1f} dC*",
                f"{ends[0]:.1f} to {ends[1]:.1f} min",
                window_words(seen.window),
            )
        )
    head = ("", "too warm", "warmth, nine in ten", "closes, nine in ten", "window")
    return table(head, rows, f"At {test.before.minutes:g} min on the head")
