"""What the marks of a visit's clock say: how long it took, and how long a mixture was on."""

from __future__ import annotations

from lift.practice.visit.visit import Visit


def minutes_taken(visit: Visit) -> float | None:
    """How long the service took, by its last mark on the clock [min]; None: nothing was marked."""
    marks = [
        at
        for zone in visit.clock.zones
        for at in (*zone.laid, zone.rinsed, zone.toned, zone.tone_rinsed)
        if at is not None
    ]
    return max(marks, default=None)


def clocked_minutes(visit: Visit, zone: str) -> float | None:
    """How long a mixture was on a zone by the clock [min]; None: not marked.

    A pause of the hands is none of the mixture's.
    """
    marks = next((each for each in visit.clock.zones if each.zone == zone), None)
    if marks is None or marks.rinsed is None:
        return None
    begun = marks.begun if marks.begun is not None else next(iter(marks.laid), None)
    return None if begun is None or begun > marks.rinsed else round(marks.rinsed - begun, 2)
