"""The card as HTML: one page, self-contained, no request to anywhere."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from itertools import groupby
from typing import TYPE_CHECKING, Any

from lift.errors import check_choice
from lift.practice.cautions import apart
from lift.practice.service.plan import TONING, Plan, Step
from lift.practice.service.zone_plan import ZonePlan
from lift.show.card.timeline import timeline
from lift.show.lock.beside import with_levels
from lift.show.lock.svg import lock_svg
from lift.show.said_plan import (
    chosen_notes,
    first_notes,
    on_note,
    red_notes,
    total_note,
    verdict_note,
    zone_looks,
)
from lift.words import Note, note, say, says

if TYPE_CHECKING:
    from markupsafe import Markup

PAPERS = {"A4": "A4", "Letter": "letter"}
MOST_CHANGES = 3
LETTERS = {"A4": 8.6, "Letter": 8.2}
LETTERS_OF_MORE = {"A4": 7.8, "Letter": 6.8}
"""Height of letters [points], by paper, for one is shorter than the other; where red or grey hair
is told of, there is more to say."""
ZOOM = (1.0, 1.0, 0.74, 0.7, 0.62)
"""What one, two or more zones leave of every length, so that a page holds them."""


def card_html(plan: Plan, paper: str = "A4") -> str:
    """Fill in the card as a document for a paper, ``A4`` or ``Letter``.

    Raises
    ------
    LiftError
        For another paper.
    """
    from jinja2 import Environment, StrictUndefined

    size = PAPERS[check_choice("card.paper", paper, PAPERS)]
    text = (files("lift.show.card") / "card.html.jinja").read_text("utf-8")
    environment = Environment(autoescape=True, undefined=StrictUndefined)
    environment.globals["say"] = say
    changes = [c for c in plan.changes if c.works][:MOST_CHANGES]
    fibres = [told for told in map(_fibres, plan.zones) if told is not None]
    more = [*chosen_notes(plan)[-1:], *red_notes(plan), *fibres]
    return environment.from_string(text).render(
        paper=size,
        zoom=ZOOM[min(len(plan.zones), len(ZOOM)) - 1],
        letters=(LETTERS_OF_MORE if more else LETTERS)[paper],
        title=plan.scenario.title,
        about=plan.scenario.about,
        verdict=verdict_note(plan),
        total=total_note(plan, short=True),
        changes=[
            note("card.try", kind=c.kind, text=c.text, p=c.p_inside, minutes=c.total_minutes)
            for c in changes
        ],
        cautions=apart(plan.cautions),
        water=plan.water,
        zones=[_zone(zone, plan, i) for i, zone in enumerate(plan.zones)],
        more=says(more),
        line=timeline(plan),
        steps=says(_steps(plan)),
        blend=plan.blend.finding,
        client=says([*plan.next_visit.findings, note("card.pain")]),
        foot=note("card.foot", name=plan.curves.name, standing=plan.curves.standing),
    )


def _zone(zone: ZonePlan, plan: Plan, number: int) -> dict[str, Any]:
    first = first_notes(zone, plan)
    return {
        "name": zone.zone.name,
        "head": on_note(zone),
        "first": first | {"mix": _mix(zone, first["mix"])},
        "level": note("card.level", level=zone.level, stage=zone.stage),
        "locks": _locks(zone, plan, number),
    }


def _mix(zone: ZonePlan, mix: Note) -> Note:
    """What to mix, on which hair, and how far it goes where that is not all the way."""
    serves, sections = zone.bowl.serves, len(zone.sections)
    enough = serves * zone.bowl.bowls >= sections
    return note(
        "card.mix",
        mix=mix,
        hair=note("card.damp" if zone.zone.hair.damp else "card.dry"),
        reach="" if enough else note("card.serves", serves=serves, sections=sections),
    )


def _fibres(zone: ZonePlan) -> Note | None:
    """What locks do not tell of grey hair: who decides, what the white fibres take, the blend."""
    grey, end = zone.grey, zone.grey_after if zone.toner else zone.grey
    if grey is None or end is None:
        return None
    return note(
        "card.fibres",
        zone=zone.zone.name,
        lab=note("plan.lab", lab=tuple(grey.pigmented.tolist())),
        white=end.white_note,
        blend=grey.blend_note(zone.warmth_limit),
    )


def _locks(zone: ZonePlan, plan: Plan, number: int) -> list[tuple[Markup, str, Note | None]]:
    """Drawing, name and CIELAB of the zone at the rinse and toned, beside natural hair."""
    from markupsafe import Markup

    looks = zone_looks(zone)
    shown, found = with_levels(looks, plan.curves), []
    for place, (words, lab) in enumerate(shown.items()):
        # The drawing is our own; what is read aloud is written beside it.
        drawn = Markup(lock_svg(lab, f"lock-{number}-{place}", words))
        found.append((drawn, words, note("plan.lab", lab=lab) if place < len(looks) else None))
    return found


def _steps(plan: Plan) -> Iterator[Note]:
    """Steps with runs of sections drawn together, and each toner with its rinse."""
    mixtures = [step for step in plan.steps if step.kind not in TONING]
    for _, run in groupby(mixtures, key=lambda step: (step.kind, step.zone)):
        yield _step(list(run))
    for each in plan.toning:
        yield note("card.step.tone", at=each.starts, zone=each.zone, until=each.rinsed)


def _step(run: list[Step]) -> Note:
    first, last = run[0], run[-1]
    numbers = [n for step in run for n in step.sections]
    which: Any = note("card.its_section")
    if len(numbers) > 1:
        which = note("card.sections", first=numbers[0], last=numbers[-1])
    return note(
        f"card.step.{first.kind}",
        at=first.at,
        zone=first.zone or note("card.all_zones"),
        which=which,
        until=last.until,
    )
