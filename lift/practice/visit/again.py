"""Again: the next visit of the same client - the hair as it came out, grown since then."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from lift.model.curves import CurveSet
from lift.model.hair import LEVEL_RANGE, Hair
from lift.practice.scenario.laid_out import ENDS, FOILS, LENGTHS, REGROWTH
from lift.practice.scenario.scenario import CHOOSE, HEAD, Zone, ZoneGoal
from lift.practice.service.next_visit import regrowth_mm
from lift.practice.trial.observation import level_of as observed_level
from lift.practice.visit.codes import make_code
from lift.practice.visit.visit import Seen, Visit
from lift.quantities import quantities_of

LEAST_MM, MOST_MM = quantities_of(Zone)["regrowth_mm"].range
DAYS_A_WEEK = 7.0

LASTING = ("allergy_test", "reactions", "asthma", "before")
"""Answers of a consultation that hold for the next visit; the others are asked anew."""


def copied(visit: Visit, *, today: datetime.date) -> Visit:
    """Copy of a visit for another client: hair, wishes and mixtures; nothing of what was done."""
    return Visit(visit.scenario, make_code(), date=today.isoformat(), invented=visit.invented)


def again(visit: Visit, curves: CurveSet, *, today: datetime.date) -> Visit:
    """Next visit of the same client, on the day that was agreed, or today.

    What is at the scalp is natural hair that has grown since; its wish, mixture and placement are
    kept. Lengths are what came out of them, and what was regrowth lies behind the new one. No
    minutes are kept, nor any toner but the choice of one.

    Examples
    --------
    >>> from lift.model.curves import default_curves
    >>> from lift.practice.visit.visit_table import visit_of
    >>> base = {"name": "base", "natural_level": 7, "along": "regrowth", "regrowth_mm": 18}
    >>> first = visit_of({"visit": {"client": "qf4-mk7", "date": "2026-01-01"}, "zones": [base]})
    >>> found = again(first, default_curves(), today=datetime.date(2026, 2, 12))
    >>> round(found.scenario.zones[0].regrowth_mm, 1)
    14.7
    """
    day = today
    if visit.next_date is not None:
        day = max(day, datetime.date.fromisoformat(visit.next_date))
    before = day if visit.date is None else datetime.date.fromisoformat(visit.date)
    weeks = max(0.0, (day - before).days / DAYS_A_WEEK)
    grown = float(regrowth_mm(weeks, visit.scenario.values["growth_mm_per_day"]))
    old = visit.scenario.zones
    zones = [_grown(z, grown) if _at_scalp(z) else _come_out(z, visit, curves) for z in old]
    asked = {name: getattr(visit.consultation, name) for name in LASTING}
    return Visit(
        visit.scenario.replace(zones=(*zones, *_behind(visit, curves))),
        make_code(),
        client=visit.client,
        date=day.isoformat(),
        invented=visit.invented,
        consultation=type(visit.consultation)(**asked),
    )


def _at_scalp(zone: Zone) -> bool:
    if zone.along is not None:
        return zone.along in (REGROWTH, FOILS)
    return zone.regrowth_mm is not None


def _grown(zone: Zone, grown_mm: float) -> Zone:
    hair = zone.hair.replace(lightened_to=None)
    length = min(max(grown_mm, LEAST_MM), MOST_MM)
    toner = None if zone.toner is None else CHOOSE
    none: dict[str, Any] = {"colour": None, "darkest": None, "lightest": None}
    return replace(zone, hair=hair, regrowth_mm=length, minutes=None, toner=toner, **none)


def _come_out(zone: Zone, visit: Visit, curves: CurveSet) -> Zone:
    """Lengths as they came out; what is wanted of them is yet to be said."""
    seen = visit.result_of(zone.name)
    kept = replace(zone, mixture=None, minutes=None, toner=CHOOSE, goal=ZoneGoal(said=False))
    if seen is None:
        return kept
    none: dict[str, Any] = {"colour": None, "darkest": None, "lightest": None}
    return replace(kept, hair=hair_of(zone, seen, curves), **none)


def _behind(visit: Visit, curves: CurveSet) -> Iterator[Zone]:
    """What was regrowth, where no zone is told of that it has grown out into."""
    zones = visit.scenario.zones
    names = {z.name for z in zones}
    for zone in zones:
        seen = visit.result_of(zone.name)
        if seen is None or zone.along != REGROWTH or LENGTHS in names:
            continue
        if any(z.along in (LENGTHS, ENDS) and _meet(z, zone) for z in zones):
            continue
        names.add(LENGTHS)
        yield Zone(
            LENGTHS,
            hair_of(zone, seen, curves),
            head=zone.head,
            along=LENGTHS,
            length_mm=zone.regrowth_mm,
        )


def _meet(one: Zone, other: Zone) -> bool:
    return bool({*(one.head or HEAD)} & {*(other.head or HEAD)})


def hair_of(zone: Zone, seen: Seen, curves: CurveSet) -> Hair:
    """Hair of a zone as it came out: lightened to the level seen, where that is lighter."""
    level = level_of(seen, curves)
    return zone.hair.replace(lightened_to=level if level > zone.hair.level else None)


def level_of(seen: Seen, curves: CurveSet) -> float:
    """Level of hair that was seen, on the scale of levels: as told, or that of hair as light."""
    return float(np.clip(observed_level(seen.observation.numbers, curves), *LEVEL_RANGE))
