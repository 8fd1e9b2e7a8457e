"""What is said of a plan: notes that terminal, page and card share."""

from __future__ import annotations

from typing import Any

from lift.practice.fibres import GreyLook
from lift.practice.service.changes import Change
from lift.practice.service.plan import Plan
from lift.practice.service.zone_plan import Bowl, ZonePlan
from lift.show.lock.beside import fibre_looks
from lift.show.said import dose_notes, mix_note
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


def first_notes(zone: ZonePlan, result: Plan) -> dict[str, Note]:
    """What is done with a zone and how it may end, in the order of doing it.

    Under the names of the first lines: `mix`, `rinse`, `tone`, `risk`.
    """
    return {
        "mix": _mix(zone, result),
        "rinse": _rinse(zone, result),
        "tone": _tone(zone, result),
        "risk": note(
            "plan.first.risk",
            goal=zone.goal,
            p=zone.p_inside,
            p_past=zone.p_too_far,
            by=zone.closes_by,
            p_soon=zone.p_too_soon,
        ),
    }


def on_note(zone: ZonePlan) -> Note:
    """Name of a zone, and when it is laid."""
    return note("plan.first.zone", zone=zone.zone.name, starts=zone.starts, laid=zone.laid)


def _mix(zone: ZonePlan, result: Plan) -> Note:
    bowl, mixture = zone.bowl, mix_note(result.scenario.mixture_on(zone.zone))
    grams = {"product": bowl.product_grams, "developer": bowl.developer_grams}
    what = _chosen(zone, result)
    chosen = note("plan.first.chosen", what=what) if what else ""
    return note("plan.first.mix", mixture=mixture, chosen=chosen, bowls=bowl.bowls, **grams)


def _chosen(zone: ZonePlan, result: Plan) -> list[Note]:
    """What of a zone's mixture the plan has chosen: developer, as it is poured, and tone."""
    chosen, name = result.chosen, zone.zone.mixture or ""
    if chosen is None:
        return []
    developer = chosen.developers.get(name)
    found = []
    if developer is not None:
        found.append(developer.note if developer.mixed else note("plan.first.developer"))
    if name in chosen.tones:
        doses = dose_notes({dye: dose for dye, dose in chosen.tones[name].items() if dose > 0.0})
        found += doses or [note("plan.chosen.no_tone")]
    return found


def _rinse(zone: ZonePlan, result: Plan) -> Note:
    late = result.past_safe[zone.zone.name]
    if not late:
        return note("plan.first.rinse", at=zone.rinsed, safe=zone.latest_safe)
    # A zone that is never safe has no time from which to look at it but the last one that is laid.
    look = max(zone.latest_safe, zone.laid)
    safe = note("plan.first.safe" if zone.latest_safe > zone.starts else "plan.first.never_safe")
    safe = note(safe.code, safe=zone.latest_safe)
    return note("plan.first.rinse_late", at=zone.rinsed, safe=safe, why=late[0], look=look)


def _tone(zone: ZonePlan, result: Plan) -> Note:
    told = result.chosen is not None and zone.zone.name in result.chosen.toners
    chosen = note("plan.first.chosen_tone") if told else ""
    if zone.toner_step is not None:
        times = next(each for each in result.toning if each.zone == zone.zone.name)
        on_clock = {"at": times.starts, "rinse": times.rinsed}
        return note("plan.first.toner", bowl=zone.toner_step.bowl, chosen=chosen, **on_clock)
    return note("plan.first.no_toner", answer=zone.wheel_and_dye.short, chosen=chosen)


def no_window_notes(result: Plan) -> list[Note]:
    """Zones that have no window in which every section is inside, and why."""
    return [
        note("plan.no_window.never", zone=zone.zone.name, goal=zone.goal)
        if zone.earliest is None
        else note(
            "plan.no_window",
            zone=zone.zone.name,
            reached=zone.earliest,
            limit=zone.latest,
            by=zone.closes_by,
        )
        for zone in result.zones
        if not zone.has_window
    ]


def closed_notes(zone: ZonePlan) -> list[Note]:
    """Sections of a zone that have no window of their own, and why."""
    none, notes = [s for s in zone.sections if not s.has_window], []
    count = len(zone.sections)
    never = [s for s in none if s.opens is None]
    if never:
        limit = never[0].limit_minutes
        counts = {"count": len(never), "of": count}
        notes.append(note("plan.closed.never", goal=zone.goal, limit=limit, **counts))
    late = [s for s in none if s.opens is not None]
    if late:
        opens, closes = ([getattr(s, name) for s in late] for name in ("opens", "closes"))
        notes.append(
            note(
                "plan.closed",
                count=len(late),
                of=count,
                reached=_span(opens),
                limit=_span(closes),
                by=late[0].closes_by,
            )
        )
    return notes


def _span(minutes: list[float]) -> Note:
    low, high = min(minutes), max(minutes)
    return note("plan.span" if round(high - low, 1) > 0.0 else "plan.one", low=low, high=high)


def bowl_note(bowl: Bowl) -> Note:
    """What goes into a bowl, and how far one goes."""
    if bowl.serves == 0:
        reach = note("plan.bowl.serves_none")
    else:
        ends = note(f"plan.bowl.{bowl.ends_by}")
        reach = note("plan.bowl.serves", serves=bowl.serves, ends=ends)
    return note("plan.bowl", reach=reach, **vars(bowl))


def total_note(result: Plan, *, short: bool = False) -> Note:
    """When all is done, and how much of it is toning; in `short` without what is assumed."""
    end = result.total_minutes
    if not result.toning:
        return note("plan.total", end=end)
    rinsed = result.service.all_rinsed
    if short:
        return note("card.total_toned", rinsed=rinsed, end=end)
    return note("plan.total_toned", rinsed=rinsed, end=end, toning=end - rinsed)


def toner_notes(zone: ZonePlan) -> list[Note]:
    """All of a zone's toner, and the colour after it; nothing where it has none."""
    if zone.toner_step is None:
        return []
    after = note("plan.toner.after", lab=note("plan.lab", lab=zone.after))
    return [note("plan.toner", **zone.toner_step.lines), after]


def toned_notes(result: Plan) -> list[Note]:
    """What is done with zones that are toned and nothing else, a sentence each."""
    times = {each.zone: each for each in result.toning}
    return [
        note(
            "plan.toned",
            zone=zone.zone.name,
            bowl=zone.toner_step.bowl,
            at=times[zone.zone.name].starts,
            rinse=times[zone.zone.name].rinsed,
        )
        for zone in result.toned
    ]


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


def chosen_notes(result: Plan) -> tuple[Note, ...]:
    """What the plan has chosen, and out of how many ways; none where all was given."""
    return () if result.chosen is None else result.chosen.notes


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
