"""What the marks of a visit's clock say: how long it took, and how long a mixture was on."""

from __future__ import annotations

import numpy as np

from lift.practice.scenario.scenario import Zone
from lift.practice.schedule.work import lay
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


def clocked_toners(visit: Visit) -> frozenset[str]:
    """Zones that a toner was laid on by the clock."""
    return frozenset(marks.zone for marks in visit.clock.zones if marks.toned is not None)


def clocked_minutes(visit: Visit, zone: str) -> float | None:
    """How long a mixture was on a zone by the clock [min]; None: not marked.

    A pause of the hands is none of the mixture's.
    """
    marks = visit.marks_of(zone)
    if marks is None or marks.rinsed is None:
        return None
    begun = marks.begun if marks.begun is not None else next(iter(marks.laid), None)
    return None if begun is None or begun > marks.rinsed else round(marks.rinsed - begun, 2)


def marked_minutes(visit: Visit, zone: Zone) -> float | None:
    """Processing time of the middle of a zone by what was marked on the clock [min]."""
    marks = visit.marks_of(zone.name)
    if marks is None or marks.rinsed is None or not marks.laid:
        return None
    laying = lay(zone.placement, visit.scenario.salon, visit.scenario.values)
    each = float(laying.ends[0] - laying.starts[0])
    laid = float(np.mean(marks.laid)) - 0.5 * each
    return max(marks.rinsed + float(np.mean(laying.rinse_after)) - laid, 0.0)
