"""Tones: which one answers a zone of a visit, how far it is thinned, and when it will have gone."""

from __future__ import annotations

import datetime
import hashlib
import json
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np

from lift.answers import to_json
from lift.answers.encode import Part
from lift.answers.visit import VisitBody
from lift.chemistry.tone_kinds import TONE_KINDS
from lift.errors import LiftError, check_choice
from lift.model.curves import CurveSet
from lift.practice.toning.other_light import SALON_LIGHTS
from lift.practice.toning.rinsed import course_of
from lift.practice.visit.fading import moments_of
from lift.practice.visit.tone import BEST, FACTORS, ZoneTone, zone_tone
from lift.practice.visit.visit import Visit
from lift.show.lock.shades import shade_texts
from lift.show.page.answer import Answer, Lock, Shades, answered, curves_of, locks_beside
from lift.show.page.asked_visit import read_body_visit
from lift.show.page.desk import Asked, Desk
from lift.show.page.levels import TENTHS, Tenths, tenths_of
from lift.show.page.question import RefusedError, refused
from lift.show.said_tone import dose_note, light_note, look_notes, now_note, why_note
from lift.words import plainly, say, says

if TYPE_CHECKING:
    VisitBody = Any  # made when msgspec is loaded


class ToneAsked(Part):
    """A zone of a visit; what it was seen to be, a level or a CIELAB as typed; the salon's light.

    What was seen is what came out of the zone where it is left out, else what is predicted; the
    light is the visit's.
    """

    visit: VisitBody
    zone: str
    seen: str | None = None
    light: str | None = None


class NowShown(Part):
    """The hair as it is now, and how that is known: before, predicted, level or colour.

    `scale` is this hair lightened to each tenth of a level, to pick from; it was at `least` before.
    """

    words: str
    known_by: str
    level: float
    least: float
    scale: Tenths


class TonerGiven(Part):
    """A toner as a visit holds it."""

    kind: str
    doses: dict[str, float]


class DoseShown(Part):
    """A multiple of the best dose: what is laid on, how it looks, by daylight and in the salon.

    There is no `toner` in none of it.
    """

    factor: float
    words: str
    look: str
    toner: TonerGiven | None
    daylight: Shades
    light: Shades


class Choice(Part):
    """One of several that can be chosen, and what it is called."""

    code: str
    words: str


class MomentShown(Part):
    """What becomes of the tone after so many washes, on a day as YYYY-MM-DD."""

    what: str
    words: str
    washes: float
    day: str | None
    shades: Shades


class ToneShown(Part):
    """Words and drawn locks of a zone's tone.

    `answer` is one of none, blends, tone and nearest. `doses` go from none to double; that of the
    visit is the one `chosen`, the `best` beside it. `wanted` is the colour that it is toned
    towards, by daylight and in the salon, where there is one, and `beside` natural hair that is
    as light as the toned.
    """

    answer: str
    now: NowShown
    why: str
    doses: list[DoseShown]
    best: int
    chosen: int
    wanted: list[Shades]
    wanted_words: str
    beside: list[Lock]
    light: str
    light_words: str
    lights: list[Choice]
    kind: str
    kinds: list[Choice]
    washes_per_week: float
    fade: list[MomentShown]
    steps: list[str]
    cautions: list[str]


async def tone(desk: Desk, asked: Asked) -> Answer:
    """Find the tone that answers a zone of a visit."""
    given = asked.body
    question = (given.visit, given.zone, given.seen, given.light)
    digest = hashlib.sha256(json.dumps(question, sort_keys=True).encode()).hexdigest()
    return await desk.quick.get(("tone", digest), partial(answer_tone, *question, desk.packed))


def answer_tone(
    table: dict[str, Any], name: str, seen: str | None, light: str | None, packed: bytes
) -> Answer:
    """Answer one zone as ``lift tone`` answers hair; runs in any process."""
    curves = curves_of(packed)
    visit = read_body_visit(table, curves.mixtures)
    with refused("zone"):
        visit.scenario.zone(name)
    if light is not None:
        with refused("light"):
            check_choice("quantity.salon_light.label", light, SALON_LIGHTS)
    try:
        found = zone_tone(visit, name, curves, seen=seen, light=light)
    except LiftError as error:
        # What a zone is was read already: only what was seen can still be wrong.
        raise RefusedError({"seen": error.note}) from None
    return answered(to_json(found.report), _shown(found, visit, curves))


def _shown(found: ZoneTone, visit: Visit, curves: CurveSet) -> ToneShown:
    chosen = found.chosen
    by_day, in_salon = found.labs("daylight"), found.labs(found.light)
    with plainly():
        step = found.step(chosen) if chosen > 0.0 else None
        return ToneShown(
            answer=found.answer,
            now=_now(found, curves),
            why=say(why_note(found)),
            doses=[
                DoseShown(
                    factor=factor,
                    words=say(dose_note(found, factor)),
                    look=say(look),
                    toner=_toner(found, factor),
                    daylight=day,
                    light=salon,
                )
                for factor, look, day, salon in zip(
                    FACTORS,
                    look_notes(found),
                    shade_texts(by_day),
                    shade_texts(in_salon),
                    strict=True,
                )
            ],
            best=BEST,
            chosen=FACTORS.index(chosen),
            wanted=[] if found.wanted.lab is None else shade_texts([found.wanted.lab]),
            wanted_words=say(found.wanted.name),
            beside=locks_beside({"": by_day[FACTORS.index(chosen)]}, curves)[1:],
            light=found.light,
            light_words=say(light_note(found, chosen)),
            lights=[Choice(each, say(f"salon_light.{each}")) for each in SALON_LIGHTS],
            kind=found.report.kind,
            kinds=[Choice(each, say(f"toner_kind.{each}")) for each in TONE_KINDS],
            washes_per_week=found.washes_per_week,
            fade=_fade(found, chosen, visit),
            steps=[] if step is None else says(step.lines.values()),
            cautions=says(found.report.cautions),
        )


def _toner(found: ZoneTone, factor: float) -> TonerGiven | None:
    doses = {dye: round(dose, 3) for dye, dose in found.doses(factor).items()}
    return TonerGiven(found.report.kind, doses) if factor > 0.0 and found.worth else None


def _now(found: ZoneTone, curves: CurveSet) -> NowShown:
    hair, report = found.zone.hair, found.report
    words = [f"{level:g}" for level in TENTHS if float(level).is_integer()]
    return NowShown(
        words=say(now_note(found)),
        known_by="" if report.rinsed is None else report.rinsed.known_by,
        level=round(min(max(report.level, TENTHS[0]), TENTHS[-1]), 1),
        least=round(hair.level_now, 1),
        scale=tenths_of(course_of(hair, np.array(TENTHS), curves), words),
    )


def _fade(found: ZoneTone, factor: float, visit: Visit) -> list[MomentShown]:
    fade = found.fades(factor)
    if fade is None:
        return []
    today = None if visit.date is None else datetime.date.fromisoformat(visit.date)
    return [
        MomentShown(
            what=moment.what,
            words=say(f"tone.moment.{moment.what}", washes=moment.washes),
            washes=moment.washes,
            day=None if moment.day is None else moment.day.isoformat(),
            shades=shade_texts([moment.lab])[0],
        )
        for moment in moments_of(fade, today)
    ]
