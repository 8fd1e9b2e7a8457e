"""The card as HTML: one page, self-contained, no request to anywhere."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

from numpy.typing import ArrayLike

from lift.errors import check_choice
from lift.model.curves import CurveSet
from lift.practice.cautions import apart
from lift.practice.service.after_rinse import ToningTimes
from lift.practice.service.plan import TONING, Plan, Step
from lift.practice.service.zone_plan import ZonePlan
from lift.practice.visit.after_care import Care, after_care, what_was_done
from lift.practice.visit.next_date import Proposal, proposal
from lift.show.card.timeline import timeline
from lift.show.lock.beside import with_levels
from lift.show.lock.svg import lock_svg
from lift.show.said_plan import (
    chosen_notes,
    first_notes,
    on_note,
    red_notes,
    toned_notes,
    total_note,
    verdict_note,
    zone_looks,
)
from lift.show.template import template
from lift.words import Note, note, plainly, say

if TYPE_CHECKING:
    from markupsafe import Markup

PAPERS = {"A4": "A4", "Letter": "letter"}
LETTERS = {"A4": 8.3, "Letter": 7.9}
LARGE, SMALL = 9.2, 7.6
"""Height of letters [points], by paper; of one zone, and where there is more to say."""
MANY_ZONES = 3
"""Zones from which on a card keeps to what is done."""
MOST_CHANGES, MOST_CARE = (3, 1), (7, 4)
"""Changes to a plan, and advice to the client, that there is room for: of few zones and of many."""


def card_html(plan: Plan, paper: str = "A4", client: str = "", date: str = "") -> str:
    """Fill in the card as a document for a paper, ``A4`` or ``Letter``.

    Of a visit it names the client's code and the day; else there is room to write them.

    Raises
    ------
    LiftError
        For another paper.
    """
    fibres = [told for told in map(_fibres, plan.zones) if told is not None]
    many = len(plan.zones) >= MANY_ZONES
    changes = [c for c in plan.changes if c.works][: MOST_CHANGES[many]]
    more = [] if many else [*chosen_notes(plan)[-1:], *fibres]
    content: dict[str, Any] = {
        "about": plan.scenario.about,
        "client": client,
        "date": date,
        "verdict": verdict_note(plan),
        "total": total_note(plan, short=True),
        "changes": [
            note("card.try", kind=c.kind, text=c.text, p=c.p_inside, minutes=c.total_minutes)
            for c in changes
        ],
        "cautions": apart(plan.cautions),
        "water": plan.water,
        "zones": [_zone(zone, plan, i) for i, zone in enumerate(plan.zones)],
        "more": [*toned_notes(plan), *more, *red_notes(plan)],
        "line": timeline(plan),
        "steps": list(_steps(plan)),
        "blend": plan.blend.finding,
        "tell": told(_care(plan), proposal(plan.next_visit), many),
        "foot": foot(plan.curves),
    }
    full = many or bool(changes) or bool(fibres)
    return filled_in(plan.scenario.title, paper, len(plan.zones), full, content)


def filled_in(title: str, paper: str, zones: int, full: bool, content: dict[str, Any]) -> str:
    """Fill in the template for a paper; small letters where there is much to say of many zones."""
    size = PAPERS[check_choice("card.paper", paper, PAPERS)]
    letters = LARGE if zones == 1 else SMALL if full else LETTERS[paper]
    with plainly():
        return template("lift.show.card", "card.html.jinja").render(
            title=title or say("card.of_visit"),
            paper=size,
            letters=letters,
            many=zones >= MANY_ZONES,
            **content,
        )


def told(care: Sequence[Care], again: Proposal, many: bool) -> list[Note]:
    """What to tell the client: after-care, then when to come back and why."""
    back = note("next.proposed", weeks=again.weeks, why=again.why[:2])
    return [*(each.said for each in care[: MOST_CARE[many]]), back]


def foot(curves: CurveSet) -> Note:
    """What the card rests on."""
    return note("card.foot", name=curves.name, standing=curves.standing)


def drawn(looks: Mapping[str, ArrayLike], curves: CurveSet, zone: int) -> list[tuple[Markup, str]]:
    """Drawing and name of a zone's locks, the number of which it is, beside natural hair."""
    from markupsafe import Markup

    # The drawing is our own; what is read aloud is written beside it.
    return [
        (Markup(lock_svg(lab, f"lock-{zone}-{place}", words)), words)
        for place, (words, lab) in enumerate(with_levels(looks, curves).items())
    ]


def _care(plan: Plan) -> tuple[Care, ...]:
    toned = {zone.zone.laid_on.kind for zone in plan.zones if zone.zone.laid_on is not None}
    return after_care(what_was_done(plan.scenario, toned))


def _zone(zone: ZonePlan, plan: Plan, number: int) -> dict[str, Any]:
    first = first_notes(zone, plan)
    first["mix"] = _mix(zone, first["mix"])
    return {
        "name": zone.zone.name,
        "head": on_note(zone),
        "first": [(name, note(f"first.{name}"), line) for name, line in first.items()],
        "level": note("card.level", level=zone.level, stage=zone.stage),
        "locks": drawn(zone_looks(zone), plan.curves, number),
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
    """What locks do not tell of grey hair: who decides, and what the white fibres take."""
    grey = zone.grey_after if zone.toner else zone.grey
    if grey is None:
        return None
    tint = note("card.fibres.tint", tint=grey.tint) if grey.tint else ""
    return note("card.fibres", zone=zone.zone.name, white=grey.grey_percent, tint=tint)


def _steps(plan: Plan) -> Iterator[tuple[Note, Note]]:
    """When, and what: runs of sections drawn together, and each toner with its rinse."""
    mixtures = [step for step in plan.steps if step.kind not in TONING]
    for _, run in groupby(mixtures, key=lambda step: (step.kind, step.zone)):
        yield _step(list(run))
    yield from toner_steps(plan.toning)


def toner_steps(toning: Iterable[ToningTimes]) -> Iterator[tuple[Note, Note]]:
    """When each toner goes on, and when it is off."""
    for each in toning:
        what = note("card.step.tone", zone=each.zone, until=each.rinsed)
        yield note("card.step.at", at=each.starts), what


def _step(run: list[Step]) -> tuple[Note, Note]:
    first, last = run[0], run[-1]
    numbers = [n for step in run for n in step.sections]
    which: Any = note("card.its_section")
    if len(numbers) > 1:
        which = note("card.sections", first=numbers[0], last=numbers[-1])
    what = note(
        f"card.step.{first.kind}",
        zone=first.zone or note("card.all_zones"),
        which=which,
        until=last.until,
    )
    return note("card.step.at", at=first.at), what
