"""What is to be said of rinses: why one comes later than is safe, and whom its water reaches."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lift.practice.scenario.scenario import Scenario
from lift.practice.service.outcome import neighbours
from lift.practice.service.zone_plan import ZonePlan
from lift.words import Note, note

AT_ONCE = 0.5
"""Difference of two rinses that still are one [min]: hands go from one to the other."""


def past_safe(zone: ZonePlan, zones: Sequence[ZonePlan], *, together: bool) -> tuple[Note, ...]:
    """Why a zone is rinsed later than is safe, in one note; none where it is not.

    `zones` are those of the plan, this one among them; `together` says that all are rinsed at one
    time.
    """
    if zone.rinsed <= zone.latest_safe:
        return ()
    for each in (zone, *(zones if together else ())):
        name = each.zone.name
        if each.laid > zone.latest_safe:
            return (note("plan.past_safe.laid", zone=name, at=each.laid),)
        if each.earliest is None:
            return (note("plan.past_safe.never", zone=name),)
        if each.earliest > zone.latest_safe:
            return (note("plan.past_safe.reached", zone=name, at=each.earliest),)
    return (note("plan.past_safe.likelier"),)


def water(scenario: Scenario, zones: Sequence[ZonePlan]) -> tuple[Note, ...]:
    """Where water of a rinse reaches a zone that is to stay on, in the same part or beside it."""
    return tuple(
        note(
            "plan.water",
            first=first.zone.name,
            at=first.rinsed,
            second=second.zone.name,
            until=second.rinsed,
            where=note("plan.water.woven" if _woven(first, second) else "plan.water.beside"),
        )
        for first, second in _wet(scenario, zones)
    )


def _wet(scenario: Scenario, zones: Sequence[ZonePlan]) -> Iterator[tuple[ZonePlan, ZonePlan]]:
    touching = {frozenset(parts) for parts in neighbours(scenario)}
    for first in sorted(zones, key=lambda zone: zone.rinsed):
        for second in zones:
            parts = frozenset((first.zone.part, second.zone.part))
            near = _woven(first, second) or parts in touching
            if near and second.starts < first.rinsed < second.rinsed - AT_ONCE:
                yield first, second


def _woven(first: ZonePlan, second: ZonePlan) -> bool:
    return first.zone.part == second.zone.part
