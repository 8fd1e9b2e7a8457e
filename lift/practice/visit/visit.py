"""Visit: one client on one day - what is planned, what was done, what came out, what comes next."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from lift.errors import LiftError, check_choice, check_number
from lift.model.frozen import changed, store
from lift.practice.consulted import Consulted
from lift.practice.scenario.place import FieldError, Path, field_of
from lift.practice.scenario.scenario import Scenario
from lift.practice.trial.observation import Observation, observation
from lift.practice.visit.codes import check_code, check_day, check_instant, check_name
from lift.practice.visit.consultation import Consultation, consult
from lift.quantities import check_fields, quantities_of, quantity
from lift.words import note

STEPS = ("hair", "wish", "use", "clock", "tone", "after")
"""Steps of a visit in the order of the work."""

PLANNED, STARTED, DONE = "planned", "started", "done"
LONGEST_MINUTES = 1440.0
"""A service ends within a day."""


def _minutes(**declared: Any) -> Any:
    return quantity(name="clock_minutes", low=0.0, high=LONGEST_MINUTES, unit="min", **declared)


@dataclass(frozen=True)
class ZoneMarks:
    """What was marked of one zone, in minutes on the service's clock; None: not yet.

    When it was `begun`, when each section was `laid`, in order, when a look was taken or passed by
    (`looked`), when it was `rinsed`, when its toner was laid (`toned`) and rinsed (`tone_rinsed`)
    [min].
    """

    zone: str = quantity(name="marked_zone", required=True)
    begun: float | None = _minutes()
    laid: tuple[float, ...] = ()
    rinsed: float | None = _minutes()
    toned: float | None = _minutes()
    tone_rinsed: float | None = _minutes()
    looked: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        check_fields(self, store)
        for key in ("laid", "looked"):
            store(self, key, check_minutes(getattr(self, key), key))


@dataclass(frozen=True)
class ClockMarks:
    """What was marked on the clock: when it was `started`, each zone, and pauses [min].

    A pause that has not ended yet has None for its end. A `strand` of a zone that is tested before
    the first mix has its own beginning, `strand_begun`.
    """

    started: str | None = quantity(read=check_instant)
    zones: tuple[ZoneMarks, ...] = ()
    pauses: tuple[tuple[float, float | None], ...] = ()
    strand: str | None = quantity(name="marked_strand", file="strand")
    strand_begun: str | None = quantity(read=check_instant)

    def __post_init__(self) -> None:
        for key in ("started", "strand_begun"):
            if (instant := getattr(self, key)) is not None:
                with field_of(key):
                    check_instant(instant)
        with field_of("pauses"):
            for begins, ends in self.pauses:
                check_minutes((begins,) if ends is None else (begins, ends), "pauses")


@dataclass(frozen=True)
class Seen:
    """What was seen of a zone, `minutes` after it was begun [min], by eye or an `instrument`.

    `seen` is as typed: a level (``7.5``) or a CIELAB (``48,8,22``). On a `strand` apart, the
    minutes are that strand's own.
    """

    zone: str = quantity(name="marked_zone", required=True)
    minutes: float = quantity(name="seen_minutes", low=0.0, high=120.0, unit="min", required=True)
    seen: str = quantity(required=True)
    instrument: bool = quantity(default=False, flag=True)
    strand: bool = quantity(default=False, flag=True)

    def __post_init__(self) -> None:
        check_fields(self, store)
        with field_of("seen"):
            _ = self.observation

    @property
    def observation(self) -> Observation:
        """It as an observation, its minutes those on the strand."""
        return observation(self.minutes, self.seen)


@dataclass(frozen=True, eq=False)
class Visit:
    """One client on one day; a scenario that is not yet done, a record once it was.

    Parameters
    ----------
    scenario : Scenario
        Hair, wishes, mixtures, salon; incomplete as long as nothing is planned.
    name : str
        Name of the visit, made at random.
    client : str, optional
        Code of the client; no name, address or number of a person.
    date : str, optional
        Day of the visit, as YYYY-MM-DD.
    invented : bool
        Made up for a demonstration or a test; never learned from unless asked.
    step : str
        Which of `STEPS` it stands at.
    next_date : str, optional
        Day of the next visit.
    consultation : Consultation
        What was asked before, and answered.
    clock : ClockMarks
        What was done, when.
    looks : tuple of Seen
        What was seen while the mixture was on.
    came_out : tuple of Seen
        What came out of the zones, at their rinse.

    Examples
    --------
    >>> from lift import Hair, Scenario
    >>> from lift.practice.scenario.scenario import Zone
    >>> Visit(Scenario("", (Zone("base", Hair(7)),), {}), "k7f-m3q").state
    'planned'
    """

    scenario: Scenario
    name: str = quantity(name="visit_name", required=True, file="name", read=check_name)
    client: str | None = quantity(read=check_code)
    date: str | None = quantity(name="visit_date", file="date", read=check_day)
    invented: bool = quantity(default=False, flag=True)
    step: str = quantity(default=STEPS[0], choices=lambda: STEPS)
    next_date: str | None = quantity(file="next", read=check_day)
    consultation: Consultation = field(default_factory=Consultation)
    clock: ClockMarks = field(default_factory=ClockMarks)
    looks: tuple[Seen, ...] = ()
    came_out: tuple[Seen, ...] = ()

    def __post_init__(self) -> None:
        check_fields(self, store)
        for name, q in quantities_of(Visit).items():
            value = getattr(self, name)
            if q.read is not None and value is not None:
                with field_of("visit", q.file or name):
                    store(self, name, q.read(value))
        self._check_zones()

    def _check_zones(self) -> None:
        names = [zone.name for zone in self.scenario.zones]
        marked: dict[Path, list[str]] = {
            ("clock", "zones"): [marks.zone for marks in self.clock.zones],
            ("clock", "strand"): [zone for zone in (self.clock.strand,) if zone is not None],
            ("looks",): [look.zone for look in self.looks],
            ("came_out",): [result.zone for result in self.came_out],
        }
        for path, zones in marked.items():
            for place, zone in enumerate(zones):
                single = path == ("clock", "strand")
                with field_of(*(path if single else (*path, place, "zone"))):
                    check_choice("scenario.zone", zone, names)
                if path != ("looks",) and zone in zones[:place]:
                    raise FieldError((*path, place, "zone"), "scenario.zone_twice", zone=zone)

    @property
    def state(self) -> str:
        """``planned``, ``started``, or ``done`` once something came out."""
        if self.came_out:
            return DONE
        begun = self.clock.started is not None or any(z.laid for z in self.clock.zones)
        return STARTED if begun or self.looks else PLANNED

    @property
    def consulted(self) -> Consulted:
        """What the client's answers refuse on the day of the visit; without one, today."""
        day = datetime.date.fromisoformat(self.date) if self.date else datetime.date.today()
        return consult(self.consultation, day)

    def result_of(self, zone: str) -> Seen | None:
        """What came out of a zone; None: not told yet."""
        return next((result for result in self.came_out if result.zone == zone), None)

    def marks_of(self, zone: str) -> ZoneMarks | None:
        """What was marked of a zone on the clock; None: nothing yet."""
        return next((marks for marks in self.clock.zones if marks.zone == zone), None)

    def replace(self, **changes: Any) -> Visit:
        """Return the visit with some fields changed; unknown names are refused."""
        return changed(self, "visit.field", changes)


def check_minutes(values: Any, key: str) -> tuple[float, ...]:
    """Minutes on the clock, none before the one in front of it [min]."""
    found = tuple(
        check_number(note("text", text=key), value, 0.0, LONGEST_MINUTES, "min") for value in values
    )
    for before, after in pairwise(found):
        if after < before:
            raise LiftError("visit.minutes_back", key=key, before=before, after=after)
    return found
