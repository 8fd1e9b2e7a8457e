"""Records of a visit: what came out of each zone; and the visit of a record."""

from __future__ import annotations

import datetime
from dataclasses import replace

from lift.model.mixtures import MixtureClasses
from lift.practice.records.flat import to_row
from lift.practice.records.record import ZONES, Record
from lift.practice.scenario.scenario import Zone
from lift.practice.visit.codes import make_code
from lift.practice.visit.old_records import table_of_row
from lift.practice.visit.visit import Visit
from lift.practice.visit.visit_table import visit_of

ALONG = {"foils": "highlights"}
"""What a place along the hair is called in a record, where it is called otherwise."""


def records_of(visit: Visit, number: int | None = None) -> tuple[Record, ...]:
    """What came out of the zones that a mixture lay on; none as long as nothing has.

    Examples
    --------
    >>> from lift import Hair, Mixture, Observation
    >>> hair, mixture = Hair(6), Mixture("cream", 20)
    >>> kept = Record("qf4-mk7", "2024-05-17", hair, mixture, Observation(25, level=7.5))
    >>> [record.result.level for record in records_of(visit_of_record(kept))]
    [7.5]
    """
    scenario, found = visit.scenario, []
    for result in visit.came_out:
        zone = scenario.zone(result.zone)
        if zone.treated and visit.client is not None:
            found.append(
                Record(
                    client=visit.client,
                    date=_day(visit),
                    hair=zone.hair,
                    mixture=scenario.mixture_on(zone),
                    result=result.observation,
                    zone=_zone(zone),
                    invented=visit.invented,
                    number=number,
                )
            )
    return tuple(found)


def visit_of_record(
    record: Record, name: str | None = None, classes: MixtureClasses | None = None
) -> Visit:
    """Visit with one zone, of which a record tells what came out."""
    return visit_of(table_of_row(to_row(record), name or make_code()), classes=classes)


def mended(visit: Visit, record: Record, classes: MixtureClasses | None = None) -> Visit:
    """Visit of a record that was kept wrongly, as it should have been."""
    made = visit_of_record(record, visit.name, classes)
    return replace(made, next_date=visit.next_date, looks=())


def _day(visit: Visit) -> str:
    """Day on which it was done: that of its clock, or its own, and no day in the future."""
    day = visit.date if visit.clock.started is None else visit.clock.started[:10]
    today = datetime.date.today().isoformat()
    return min(day or today, today)


def _zone(zone: Zone) -> str | None:
    for name in (zone.name, ALONG.get(zone.along or "", zone.along)):
        if name in ZONES:
            return name
    return None
