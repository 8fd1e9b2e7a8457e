"""What came out of a visit: each zone that a mixture lay on, beside what was expected of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lift.model.curves import CurveSet
from lift.model.domain import longest_minutes
from lift.model.trajectory import simulate
from lift.optics.colorimetry import lab_tuple
from lift.practice.records.forecast import forecast_without_records
from lift.practice.records.prediction_error import COVERED
from lift.practice.records.record import Record
from lift.practice.scenario.scenario import Scenario, Zone
from lift.practice.schedule.solve import colour_now
from lift.practice.trial.observation import Observation, level_of
from lift.practice.visit.codes import make_code
from lift.practice.visit.marks import clocked_minutes, marked_minutes
from lift.practice.visit.visit import Seen, Visit
from lift.quantities import Lab

TOLD, CLOCKED, PLANNED = "told", "clock", "plan"
"""Who says how long the mixture was on: who told what came out, the clock, or the plan."""


@dataclass(frozen=True)
class Expected:
    """Level that was to be seen on a zone at its rinse, and its CIELAB.

    Between `low` and `high` lie nine readings in ten [-].
    """

    low: float
    level: float
    high: float
    lab: Lab


@dataclass(frozen=True, eq=False)
class Came:
    """One zone that a mixture lay on.

    It was on for `minutes` [min], as `said_by` says; None where nobody does. CIELAB `before` is as
    it came. Of what is `expected` nothing is known without minutes. What was `seen` is None until
    it is told, and `level` is its level [-].
    """

    zone: Zone
    minutes: float | None
    said_by: str
    before: Lab
    expected: Expected | None
    seen: Seen | None
    level: float | None

    @property
    def against(self) -> str:
        """How it compares: ``open``, ``as_expected``, ``lighter`` or ``darker``."""
        if self.expected is None or self.level is None:
            return "open"
        if self.level > self.expected.high:
            return "lighter"
        return "darker" if self.level < self.expected.low else "as_expected"


def what_came(visit: Visit, curves: CurveSet) -> tuple[Came, ...]:
    """All zones that a mixture lay on, in the order of the visit.

    Examples
    --------
    >>> from lift.model.curves import default_curves
    >>> from lift.practice.visit.visit_table import visit_of
    >>> base = {"name": "base", "natural_level": 6, "mixture": "m"}
    >>> seen = {"zone": "base", "minutes": 30, "seen": "9.5"}
    >>> mixtures = {"m": {"kind": "cream", "volume": 20}}
    >>> visit = visit_of({"zones": [base], "mixtures": mixtures, "came_out": [seen]})
    >>> (base,) = what_came(visit, default_curves())
    >>> base.said_by, base.against
    ('told', 'lighter')
    """
    return tuple(_came(visit, zone, curves) for zone in visit.scenario.treated)


def _came(visit: Visit, zone: Zone, curves: CurveSet) -> Came:
    seen, minutes, said_by = visit.result_of(zone.name), _on_hair(visit, zone), CLOCKED
    # Who saw it without a clock may have said no minutes.
    if seen is not None and seen.minutes > 0.0:
        minutes, said_by = seen.minutes, CLOCKED if seen.minutes == minutes else TOLD
    elif minutes is None:
        minutes, said_by = zone.minutes, PLANNED
    known = minutes is not None and minutes > 0.0
    return Came(
        zone=zone,
        minutes=minutes if known else None,
        said_by=said_by if known else "",
        before=lab_tuple(np.asarray(colour_now(zone, curves))),
        expected=_expected(visit.scenario, zone, minutes, curves) if minutes else None,
        seen=seen,
        level=None if seen is None else level_of(seen.observation.numbers, curves),
    )


def _on_hair(visit: Visit, zone: Zone) -> float | None:
    """How long a mixture was on the middle of a zone by the clock [min]; None: not marked."""
    of_middle = marked_minutes(visit, zone)
    found = clocked_minutes(visit, zone.name) if of_middle is None else of_middle
    return None if found is None else round(found, 2)


def _expected(scenario: Scenario, zone: Zone, minutes: float, curves: CurveSet) -> Expected:
    mixture = scenario.mixture_on(zone)
    # Past the domain nothing is predicted: hair left on too long is shown as at its end.
    on = min(minutes, longest_minutes(mixture, curves))
    # What is expected does not depend on what is seen, only on who reads: by eye.
    read = Observation(on, level=zone.level_now)
    record = Record(make_code(), "2000-01-01", zone.hair, mixture, read)
    found = forecast_without_records(record, curves)
    level, spread = float(found.mean[0, 0]), COVERED * float(np.sqrt(found.covariance[0, 0, 0]))
    strand = simulate(zone.hair, mixture, on, curves)
    return Expected(level - spread, level, level + spread, lab_tuple(strand.lab))
