"""Clock: a service as it happens - what is on, what it looks like now, and what comes next.

A pure state machine: time comes in from outside, and everything shown follows from the plan and
from what was marked, when. Times are minutes on the service's clock.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from lift.practice.service.clock_zone import ZoneClock, zone_clock
from lift.practice.service.plan import Plan

SOON_MINUTES = 2.0


@dataclass(frozen=True)
class Action:
    """What to do next.

    Parameters
    ----------
    kind : str
        ``mix``, ``lay``, ``rinse``, ``rinsing`` (a zone whose sections are rinsed one after the
        other, which runs by itself) or ``done``.
    zone : str
        The zone; empty for everything, and when done.
    sections : tuple of int
        Numbers of the sections to lay, from 1.
    at : float
        When [min]; in the past where it is late.
    until : float
        Until when it must have been done for all to stay inside [min]; infinity for no end.
    """

    kind: str
    zone: str
    sections: tuple[int, ...]
    at: float
    until: float = float("inf")


@dataclass(frozen=True, eq=False)
class Clock:
    """A service at some moment.

    Parameters
    ----------
    plan : Plan
        What was planned.
    zones : tuple of ZoneClock
        Treated zones in the order planned, with what was marked.
    """

    plan: Plan
    zones: tuple[ZoneClock, ...]

    @property
    def together(self) -> bool:
        """Whether all is rinsed at one moment."""
        return self.plan.scenario.salon.rinse == "together"

    def zone(self, name: str) -> ZoneClock:
        """Clock of one zone."""
        return next(z for z in self.zones if z.name == name)

    def next(self, now: float) -> Action:
        """What to do next, seen from `now` [min].

        A zone about to pass its close comes first; then sections of a zone that is begun; then,
        of the next zone to begin and the next rinse due, whichever is earlier.

        Parameters
        ----------
        now : float
            Time on the service's clock [min].

        Returns
        -------
        Action
        """
        for zone in self.zones:
            number = zone.rinsing(now)
            if number is not None:
                return Action("rinsing", zone.name, (number,), now, zone.rinse_ends(number))
        open_zones = [z for z in self.zones if z.begun is not None and z.rinsed is None]
        waiting = [z for z in self.zones if z.begun is None]
        if not open_zones and not waiting:
            return Action("done", "", (), now)
        rinse = self._rinse(open_zones, waiting, now)
        laying = next((z for z in open_zones if not z.all_on), None)
        if laying is not None:
            lay = Action(
                "lay", laying.name, laying.next_sections, laying.next_start(now), float("inf")
            )
            return rinse if rinse is not None and rinse.at < lay.at + laying.each else lay
        begin = self._begin(open_zones, waiting, now)
        if rinse is not None and (begin is None or self.together or rinse.at <= max(now, begin.at)):
            return rinse
        assert begin is not None
        return begin

    def mark(self, now: float) -> Clock:
        """Mark the next action as done `now` [min]; unchanged when all is done."""
        action = self.next(now)
        if action.kind in ("done", "rinsing"):
            return self
        changed = []
        for zone in self.zones:
            mine = zone.name == action.zone or not action.zone
            if action.kind == "mix" and mine:
                zone = replace(zone, begun=now)
            elif action.kind == "lay" and mine:
                zone = zone.with_laid(now)
            elif action.kind == "rinse" and mine and zone.begun is not None:
                zone = replace(zone, rinsed=now) if zone.rinsed is None else zone
            changed.append(zone)
        return replace(self, zones=tuple(changed))

    def _rinse(
        self, open_zones: list[ZoneClock], waiting: list[ZoneClock], now: float
    ) -> Action | None:
        """The rinse that is due first, None while nothing is on."""
        on = [z for z in open_zones if z.on]
        if not on:
            return None
        first = min(on, key=lambda z: z.latest(now))
        if not self.together:
            due = min(on, key=lambda z: min(z.due(now), z.latest(now)))
            return Action("rinse", due.name, (), due.due(now), due.latest(now))
        unfinished = bool(waiting) or not all(z.all_on for z in open_zones)
        at = min(z.due(now) for z in on)
        # All together needs everything on; a zone that closes before then is rinsed alone.
        if unfinished:
            if now < first.latest(now) - SOON_MINUTES / 2:
                return None
            return Action("rinse", first.name, (), first.latest(now), first.latest(now))
        at = min(max(at, max(z.earliest(now) for z in on)), first.latest(now))
        return Action("rinse", "", (), at, first.latest(now))

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


def start_clock(plan: Plan) -> Clock:
    """Clock of a plan before anything is done."""
    zones = [zone_clock(plan.service, z.zone.name) for z in plan.zones]
    return Clock(plan, tuple(zones))
