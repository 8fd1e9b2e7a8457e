"""The card of a visit that tones and lightens nothing, on the template of the others."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lift.practice.cautions import apart
from lift.practice.service.after_rinse import ToningTimes
from lift.practice.visit.tone import FACTORS, ZoneTone
from lift.practice.visit.toned_visit import TonedVisit
from lift.show.card.html import MANY_ZONES, drawn, filled_in, foot, told, toner_steps
from lift.show.said_tone import dose_note, look_notes, now_note, why_note
from lift.words import Note, note, say

FEW_ZONES = 4
"""Zones up to which there is room for all lines of each toner."""

ALIKE = ("grams", "minutes", "rinse")
"""Lines of a toner that are the same for every zone: of more zones they stand once."""


def toned_card_html(found: TonedVisit, paper: str = "A4") -> str:
    """Fill in the card of a visit that is toned, for a paper, ``A4`` or ``Letter``.

    Raises
    ------
    LiftError
        For another paper.
    """
    visit, zones = found.visit, len(found.tones)
    many, few = zones >= MANY_ZONES, zones <= FEW_ZONES
    times = {each.zone: each for each in found.toning}
    content: dict[str, Any] = {
        "about": visit.scenario.about,
        "client": visit.client or "",
        "date": visit.date or "",
        "verdict": _verdict(found),
        "changes": (),
        "cautions": apart(found.cautions),
        "water": (),
        "zones": [
            _zone(tone, times.get(tone.zone.name), few, i) for i, tone in enumerate(found.tones)
        ],
        "more": () if few else _once(found),
        "line": None,
        "steps": list(toner_steps(found.toning)),
        "blend": None,
        "tell": told(found.care, found.again, many),
        "foot": foot(found.curves),
    }
    return filled_in(visit.scenario.title, paper, zones, many, content)


def _verdict(found: TonedVisit) -> Note:
    if not found.toning:
        return note("card.toned.none", zones=tuple(each.zone.name for each in found.tones))
    zones = tuple(each.zone for each in found.toning)
    return note("card.toned", zones=zones, end=max(each.ends for each in found.toning))


def _zone(tone: ZoneTone, times: ToningTimes | None, few: bool, number: int) -> dict[str, Any]:
    name, factor = tone.zone.name, tone.chosen
    head = note("card.toned.bare", zone=name)
    if times is not None:
        head = note("card.toned.zone", zone=name, at=times.starts, off=times.rinsed)
    by_day = tone.labs("daylight")
    looks = {say("plot.before"): by_day[0]}
    if factor > 0.0:
        looks[say("plot.toned")] = by_day[FACTORS.index(factor)]
    return {
        "name": name,
        "head": head,
        "first": [
            (row, note(f"card.toned.{row}.label"), line) for row, line in _rows(tone, factor, few)
        ],
        "level": now_note(tone),
        "locks": drawn(looks, tone.report.curves, number),
    }


def _rows(tone: ZoneTone, factor: float, few: bool) -> Iterator[tuple[str, Note]]:
    """Of few zones which tone and why; what is in the bowl, what is done, how it then looks."""
    if few:
        yield "tone", why_note(tone)
    step = tone.step(factor)
    if step is None:
        yield "mix", dose_note(tone, factor)
        return
    if few:
        yield from step.lines.items()
    else:
        yield "mix", dose_note(tone, factor)
        yield "developer", step.lines["developer"]
    yield "risk", look_notes(tone)[FACTORS.index(factor)]


def _once(found: TonedVisit) -> list[Note]:
    """What is the same for every toner."""
    step = next((step for each in found.tones if (step := each.step(each.chosen))), None)
    if step is None:
        return []
    return [note("card.toned.depth"), *(step.lines[row] for row in ALIKE)]
