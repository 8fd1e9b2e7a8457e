"""What is said of a plan: notes that terminal, page and card share."""

from __future__ import annotations

from typing import Any

from lift.practice.fibres import GreyLook
from lift.practice.service.changes import Change
from lift.practice.service.plan import Plan
from lift.practice.service.zone_plan import ZonePlan
from lift.show.lock.beside import fibre_looks
from lift.show.said_warmth import red_note
from lift.words import Note, note, say


def verdict_note(result: Plan) -> Note:
    """The finding in a sentence or two."""
    if not result.exists:
        best = result.best_change
        cheapest = note("plan.no_change") if best is None else note("plan.cheapest", kind=best.kind)
        return note("plan.no_order", reasons=result.reasons, cheapest=cheapest)
    together = result.scenario.salon.together
    rinse = note("plan.rinse_all", at=result.zones[0].rinsed) if together else note("plan.by_zone")
    order = tuple(z.zone.name for z in result.zones)
    return note("plan.order", order=order, rinse=rinse, p=result.p_inside)


def gain_note(change: Change) -> Note:
    """What a change gives, and what it costs in work."""
    minutes = round(change.cost)
    code = "plan.work.more" if minutes > 0 else "plan.work.less" if minutes else "plan.work.same"
    work = note(code, minutes=abs(minutes))
    return note("plan.gain", p=change.p_inside, minutes=change.total_minutes, work=work)


def fibre_notes(zone: ZonePlan) -> list[tuple[GreyLook, Note]]:
    """Both kinds of fibres of a grey zone, at the rinse and after a toner; none of other hair."""
    told = []
    if zone.grey is not None:
        said = zone.grey.notes(zone.warmth_limit)
        told.append((zone.grey, note("plan.fibres", said=said)))
    if zone.grey_after is not None and zone.toner:
        said = zone.grey_after.notes()
        told.append((zone.grey_after, note("plan.fibres_after", said=said)))
    return told


def red_notes(result: Plan) -> list[Note]:
    """What the warmth of red zones counts from, a sentence for each kind of red hair."""
    kinds: dict[Note, list[str]] = {}
    for zone in result.zones:
        red = red_note(zone.zone.hair)
        if red is not None:
            kinds.setdefault(red, []).append(zone.zone.name)
    return [note("plan.red", zones=names, red=red) for red, names in kinds.items()]


def zone_looks(zone: ZonePlan) -> dict[str, Any]:
    """What of a zone is drawn, by name: its hair at the rinse, and toned where a toner is used.

    Of grey hair both kinds of fibres too, as they are in the end.
    """
    looks: dict[str, Any] = {say("lock.at_rinse"): zone.lab}
    if zone.toner:
        looks[say("plot.toned")] = zone.after
    return looks | fibre_looks(zone.grey_after if zone.toner else zone.grey)
