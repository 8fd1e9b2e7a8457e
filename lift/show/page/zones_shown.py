"""Zones of a visit as a screen shows them: hair in words, drawn, and what is wanted of it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from lift.answers.encode import Part
from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.practice.goal import Lighten, Tone
from lift.practice.scenario.scenario import Zone
from lift.practice.schedule.solve import blonde_lab, colour_now
from lift.practice.target import resolve_goal
from lift.practice.visit.again import hair_of
from lift.practice.visit.visit import Visit
from lift.quantities import Lab, quantities_of
from lift.show.lock.beside import named
from lift.show.lock.shades import shade_texts
from lift.show.page.answer import Lock, locks_beside
from lift.show.said_visit import hair_note, wish_note
from lift.words import plainly, say


class ZoneShown(Part):
    """A zone: its hair in words and as it is now, and what is wanted of it, in words and drawn.

    `wanted` is empty where nothing is to change, or nothing was said yet; hair that is lightened
    and then toned has a lock of each.
    """

    name: str
    words: str
    locks: list[Lock]
    wish: str
    wanted: list[Lock]


def zones_shown(visit: Visit, curves: CurveSet) -> list[ZoneShown]:
    """All zones of a visit."""
    return [_zone(visit, zone, curves) for zone in visit.scenario.zones]


def _zone(visit: Visit, zone: Zone, curves: CurveSet) -> ZoneShown:
    with plainly():
        words, wish = say(hair_note(zone)), say(wish_note(zone, curves))
    now = colour_of(visit, zone, curves)
    wanted = {named(say(code), lab): lab for code, lab in wanted_colours(visit, zone, curves)}
    return ZoneShown(
        zone.name,
        words,
        locks_beside({say("visit.now"): now}, curves),
        wish,
        [*map(Lock, shade_texts([*wanted.values()]), wanted)] if wanted else [],
    )


def wanted_colours(visit: Visit, zone: Zone, curves: CurveSet) -> Iterator[tuple[str, Lab]]:
    """CIELAB that a wish leads to, each under the code of its name; none for what stays."""
    goal = zone.goal
    if not goal.said or goal.leave:
        return
    if goal.match is not None:
        which, name = goal.match
        other = visit.scenario.zone(name)
        declared = other.darkest if which == "darkest" else other.lightest
        of = colour_now(other, curves) if declared is None else blonde_lab(declared, curves)
        yield "visit.wanted.blend", of
        return
    try:
        target = resolve_goal(goal.goal, zone.hair, curves)
    except LiftError:
        return
    if isinstance(goal.goal, Lighten):
        yield "visit.wanted.lightened", _lightened(zone, target.level, curves)
    elif isinstance(goal.goal, Tone) and (goal.goal.level or goal.goal.lab):
        lab = goal.goal.lab or blonde_lab(float(goal.goal.level or 0.0), curves)
        yield "visit.wanted.toned", lab
    if target.wanted is not None:
        yield f"visit.wanted.{'toned' if target.toned else 'blend'}", target.wanted


def _lightened(zone: Zone, level: float, curves: CurveSet) -> Lab:
    """Its hair lightened to a level, nothing toned."""
    return _lab(zone.hair.replace(lightened_to=max(level, float(zone.hair.level))), curves)


def zone_lock(visit: Visit, zone: Zone, curves: CurveSet) -> Lock:
    """A zone's lock, under its name."""
    return Lock(shade_texts([colour_of(visit, zone, curves)])[0], zone.name)


def colour_of(visit: Visit, zone: Zone, curves: CurveSet) -> Lab:
    """CIELAB of a zone as it came out; where that is not told, as it is before."""
    seen = visit.result_of(zone.name)
    if seen is None:
        return _lab(zone.hair, curves) if zone.colour is None else colour_now(zone, curves)
    if (lab := seen.observation.lab) is not None:
        return lab
    return _lab(hair_of(zone, seen, curves), curves)


def _lab(hair: Hair, curves: CurveSet) -> Lab:
    """CIELAB of hair as it is seen; one history is computed once, however many zones have it."""
    return _lab_of(tuple((name, getattr(hair, name)) for name in quantities_of(Hair)), curves)


@lru_cache(maxsize=4096)
def _lab_of(history: tuple[tuple[str, Any], ...], curves: CurveSet) -> Lab:
    return colour_now(Zone("hair", Hair(**dict(history))), curves)
