"""What is said of a visit: notes that terminal and page share."""

from __future__ import annotations

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.hair import FIBRES_UM
from lift.practice.goal import Tone
from lift.practice.scenario.scenario import Scenario, Zone
from lift.practice.target import resolve_goal
from lift.practice.visit.visit import Visit
from lift.quantities import described
from lift.words import Note, note

FIBRE = "quantity.fibre_um.said"


def hair_note(zone: Zone) -> Note:
    """Hair of a zone, in a few words."""
    hair = [_thickness(zone) if each.code == FIBRE else each for each in described(zone.hair)]
    if zone.regrowth_mm is not None:
        hair.append(note("visit.regrowth", mm=zone.regrowth_mm))
    return note("visit.zone_hair", hair=hair)


def _thickness(zone: Zone) -> Note:
    """Fine, medium or coarse, whichever is nearest."""
    fibre = float(zone.hair.fibre_um)
    return note(f"fibre.{min(FIBRES_UM, key=lambda word: abs(FIBRES_UM[word] - fibre))}")


def wish_note(zone: Zone, curves: CurveSet) -> Note:
    """What is wanted of a zone; where that cannot be had of its hair, why."""
    goal = zone.goal
    if not goal.said:
        return note("visit.wish.none")
    if goal.leave:
        return note("visit.wish.leave")
    if goal.match is not None:
        return note("visit.wish.match", which=goal.match[0], zone=goal.match[1])
    if isinstance(goal.goal, Tone):
        return note("goal.tone")
    try:
        return resolve_goal(goal.goal, zone.hair, curves).name
    except LiftError as error:
        return note("visit.wish.refused", reason=error.note)


def mixture_note(scenario: Scenario, zone: Zone) -> Note:
    """What lies on a zone, in a few words."""
    if not zone.treated or zone.mixture is None:
        return note("visit.mixture.none")
    mixture = scenario.mixtures[zone.mixture]
    if "volume" in scenario.to_choose.get(zone.mixture, ()):
        return note("visit.mixture.open", kind=mixture.kind)
    return note("visit.mixture", kind=mixture.kind, volume=mixture.developer_volume)


def summary_note(visit: Visit) -> Note:
    """How many zones a visit has, and what is wanted of them."""
    zones = visit.scenario.zones
    if not zones:
        return note("visit.no_zones")
    wanted = dict.fromkeys(z.goal.goal.intent for z in zones if z.goal.said and not z.goal.leave)
    wishes = [note("visit.intent", intent=intent) for intent in wanted]
    return note("visit.summary", count=len(zones), wishes=wishes or [note("visit.wish.none")])


def zones_note(visit: Visit) -> Note:
    """Zones of a visit, by name."""
    names = [zone.name for zone in visit.scenario.zones]
    return note("visit.zones", names=names) if names else note("visit.no_zones")
