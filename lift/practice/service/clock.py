"""Clock: a service as it happens - what is on, what it looks like now, and what comes next.

A pure state machine: time comes in from outside, and everything shown follows from the plan and
from what was marked, when. Times are minutes on the service's clock. The page's clock is this one
in a browser; a test holds the two to each other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from lift.practice.service.after_rinse import next_toner, pace_of
from lift.practice.service.clock_looks import ZoneLooks
from lift.practice.service.clock_zone import Pauses, ZoneClock, zone_clock
from lift.practice.service.plan import TONING, Plan
from lift.practice.service.zone_plan import ZonePlan

SOON_MINUTES = 2.0


@dataclass(frozen=True)
class Action:
    """What to do next: one of the plan's `STEPS`, ``look``, ``rinsing`` or ``done``.

    ``rinsing`` is of a zone whose sections are rinsed one after the other, which runs by itself.
    An empty zone means everything; sections to lay are numbered from 1. It is due `at` a time
    [min], in the past where it is late, `lasts` as planned, and must be done `until` a time for all
    to stay inside, infinity for no end.
    """

    kind: str
    zone: str
    sections: tuple[int, ...]
    at: float
    until: float = float("inf")
    lasts: float = 0.0

    @property
    def done_by(self) -> float:
        """When it is to be done as planned [min]."""
        return self.at + self.lasts


@dataclass(frozen=True)
class Standing:
    """How a zone stands against its plan: its `rinse` on the clock, `moved` by so much [min].

    With the `chance` that every section is inside then, and what it was `planned` to be.
    """

    zone: str
    rinse: float
    moved: float
    chance: float
    planned: float


@dataclass(frozen=True)
class ToneClock:
    """A zone that is toned and nothing else: when its toner was laid and rinsed [min]."""

    name: str
    toned: float | None = None
    tone_rinsed: float | None = None
    has_toner = True
    rinsed = None


Toned = TypeVar("Toned", ZoneClock, ToneClock)


@dataclass(frozen=True, eq=False)
class Clock:
    """A service at some moment: its zones, as planned, with what was marked.

    The `zones` are those with a mixture, `tones` those that are toned and nothing else.
    """

    plan: Plan
    zones: tuple[ZoneClock, ...]
    tones: tuple[ToneClock, ...] = ()

    @property
    def together(self) -> bool:
        """Whether all is rinsed at one moment."""
        return self.plan.scenario.salon.together

    def zone(self, name: str) -> ZoneClock:
        """Clock of one zone."""
        return next(z for z in self.zones if z.name == name)

    def next(self, now: float) -> Action:
        """What to do next, seen from `now` [min].

        A zone about to pass its close comes first; then a look while it serves; then sections of a
        zone that is begun; then, of the next zone to begin and the next rinse due, whichever is
        earlier.
        """
        for zone in self.zones:
            number = zone.rinsing(now)
            if number is not None:
                return Action("rinsing", zone.name, (number,), now, zone.rinse_ends(number))
        open_zones = [z for z in self.zones if z.begun is not None and z.rinsed is None]
        waiting = [z for z in self.zones if z.begun is None]
        if not open_zones and not waiting:
            return self._tone(now)
        work = self._work(open_zones, waiting, now)
        look = self._look(open_zones, now)
        if look is None or look.at > max(now, work.at) or (work.kind == "rinse" and work.at <= now):
            return work
        return look

    def _work(self, open_zones: list[ZoneClock], waiting: list[ZoneClock], now: float) -> Action:
        rinse = self._rinse(open_zones, waiting, now)
        laying = next((z for z in open_zones if not z.all_on), None)
        if laying is not None:
            at, lasts = laying.next_start(now), laying.each
            lay = Action("lay", laying.name, laying.next_sections, at, lasts=lasts)
            return rinse if rinse is not None and rinse.at < lay.done_by else lay
        begin = self._begin(open_zones, waiting, now)
        if rinse is not None and (begin is None or self.together or rinse.at <= max(now, begin.at)):
            return rinse
        assert begin is not None
        return begin

    def _look(self, open_zones: list[ZoneClock], now: float) -> Action | None:
        """The look that comes first of those that can still serve."""
        looks = [
            Action("look", zone.name, (), *span)
            for zone in open_zones
            if (span := zone.look(now)) is not None
        ]
        return min(looks, key=lambda look: look.at, default=None)

    def standing(self, now: float) -> tuple[Standing, ...]:
        """How each zone that is begun stands against its plan, its rinse not before `now`."""
        on = [z for z in self.zones if z.begun is not None and z.rinsed is None]
        found = []
        for zone in self.zones:
            if zone.begun is None:
                continue
            common = self._common(on, now) if self.together and on else zone.due(now)
            rinse = max(common, now) if zone.rinsed is None else zone.rinsed
            moved = rinse - zone.planned_start - zone.planned_wait
            chance = zone.chance(now, rinse)
            found.append(Standing(zone.name, rinse, moved, chance, zone.planned_chance))
        return tuple(found)

    def pause(self, now: float) -> Clock:
        """Hands go away `now` [min]; unchanged while they are."""
        return self if self.paused else self._with_pauses(((now, float("inf")),))

    @property
    def paused(self) -> bool:
        """Whether hands are away."""
        return any(until == float("inf") for zone in self.zones for _, until in zone.pauses)

    def resume(self, now: float) -> Clock:
        """Hands are back `now` [min]; unchanged while they are here."""
        if not self.paused:
            return self
        (since, _) = self.zones[0].pauses[-1]
        zones = tuple(replace(z, pauses=z.pauses[:-1]) for z in self.zones)
        return replace(self, zones=zones)._with_pauses(((since, now),))

    def _with_pauses(self, more: Pauses) -> Clock:
        zones = tuple(replace(zone, pauses=(*zone.pauses, *more)) for zone in self.zones)
        return replace(self, zones=zones)

    def rinse_all(self, now: float) -> Clock:
        """Rinse whatever is on `now` [min], due or not, as on pain."""
        zones = [
            replace(zone, rinsed=now) if zone.on and zone.rinsed is None else zone
            for zone in self.resume(now).zones
        ]
        return replace(self, zones=tuple(zones))

    def mark(self, now: float) -> Clock:
        """Mark the next action as done `now` [min], by hands that are back; unchanged at the end.

        A look is marked when it is taken, and when it is passed by.
        """
        action = self.next(now)
        if action.kind in ("done", "rinsing"):
            return self
        back, changed = self.resume(now), []
        for zone in back.zones:
            mine = zone.name == action.zone or not action.zone
            if action.kind == "mix" and mine:
                zone = replace(zone, begun=now)
            elif action.kind == "lay" and mine:
                zone = zone.with_laid(now)
            elif action.kind == "rinse" and mine and zone.begun is not None:
                zone = replace(zone, rinsed=now) if zone.rinsed is None else zone
            elif action.kind == "look" and mine:
                zone = replace(zone, looked=(*zone.looked, now))
            changed.append(zone)
        if action.kind not in TONING:
            return replace(back, zones=tuple(changed))
        zones = tuple(_toned(z, action, now) for z in changed)
        return replace(back, zones=zones, tones=tuple(_toned(z, action, now) for z in back.tones))

    def _tone(self, now: float) -> Action:
        """The toner to lay or to rinse, once every mixture is rinsed; done when all is."""
        pace = pace_of(self.plan.scenario.values)
        every: list[ZoneClock | ToneClock] = [*self.zones, *self.tones]
        toned = [z for z in every if z.toned is not None]
        free = max(
            *(z.rinsed + self.plan.service.rinse_lasts for z in every if z.rinsed is not None),
            *(z.toned + pace.laying for z in toned if z.toned is not None),
            *(z.tone_rinsed + pace.rinse for z in toned if z.tone_rinsed is not None),
            -float("inf"),
        )
        ahead = [z.name for z in every if z.has_toner and z.toned is None]
        working = {z.name: z.toned for z in toned if z.toned is not None and z.tone_rinsed is None}
        todo = next_toner(ahead, working, free, pace)
        if todo is None:
            return Action("done", "", (), now)
        return Action(todo.kind, todo.zone, (), todo.at)

    def _rinse(
        self, open_zones: list[ZoneClock], waiting: list[ZoneClock], now: float
    ) -> Action | None:
        """The rinse that is due first, None while nothing is on."""
        on = [z for z in open_zones if z.on]
        if not on:
            return None
        if not self.together:
            due = min(on, key=lambda z: z.due(now))
            return Action("rinse", due.name, (), due.due(now), due.rinse_by(now))
        first = min(on, key=lambda z: z.rinse_by(now))
        by = first.rinse_by(now)
        # All together needs everything on; a zone that closes before then is rinsed alone.
        if waiting or not all(z.all_on for z in open_zones):
            return None if now < by - SOON_MINUTES / 2 else Action("rinse", first.name, (), by, by)
        at = self._common(on, now)
        return Action("rinse", "", (), at, max(at, by))

    def _common(self, on: list[ZoneClock], now: float) -> float:
        """When all that is on is rinsed together: at chosen minutes, where there are.

        Else it waits for what opens before the first of it closes.
        """
        chosen = [z.due(now) for z in on if z.chosen]
        if chosen:
            return min(chosen)
        closes = min(z.latest(now) for z in on)
        opens = [at for z in on if (at := z.earliest(now)) <= closes]
        return min(max(min(z.due(now) for z in on), *opens, 0.0), closes)

    def _begin(
        self, open_zones: list[ZoneClock], waiting: list[ZoneClock], now: float
    ) -> Action | None:
        """The next zone to begin, and when, so that the planned rinse still fits."""
        if not waiting:
            return None
        zone = min(waiting, key=lambda z: z.planned_start)
        if not open_zones and not any(z.rinsed is not None for z in self.zones):
            return Action("mix", zone.name, (), now)
        if self.together and open_zones:
            at = min(z.due(now) for z in open_zones) - zone.planned_wait
        else:
            at = zone.planned_start + max(z.delay(now) for z in self.zones if z.begun is not None)
        return Action("mix", zone.name, (), at)


def _toned(zone: Toned, action: Action, now: float) -> Toned:
    """Mark a zone's toner as laid or rinsed, if the action is of this zone."""
    if zone.name != action.zone:
        return zone
    if action.kind == "tone":
        return replace(zone, toned=now)
    return replace(zone, tone_rinsed=now)


def start_clock(plan: Plan, looks: Mapping[str, ZoneLooks] | None = None) -> Clock:
    """Clock of a plan before anything is done; with what looks at its zones showed, by name."""
    known = looks or {}

    def clock_of(zone: ZonePlan) -> ZoneClock:
        name, has_toner = zone.zone.name, zone.toner_step is not None
        look = known.get(name)
        if look is None:
            return zone_clock(plan.service, name, has_toner=has_toner)
        return zone_clock(
            plan.service,
            name,
            has_toner=has_toner,
            look_after=look.after,
            response=look.response,
        )

    tones = tuple(ToneClock(each.zone.name) for each in plan.toned)
    return Clock(plan, tuple(map(clock_of, plan.zones)), tones)
