"""Clock: a service as it happens - what is on, what it looks like now, and what comes next.

A pure state machine: time comes in from outside, and everything shown follows from the plan and
from what was marked, when. Times are minutes on the service's clock. The page's clock is this one
in a browser; a test holds the two to each other.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from lift.errors import Floats
from lift.practice.schedule.response import Response
from lift.practice.schedule.solve import Service
from lift.practice.schedule.work import Laying
from lift.practice.service.after_rinse import next_toner, pace_of
from lift.practice.service.plan import Plan
from lift.quantities import Lab

SOON_MINUTES = 2.0


@dataclass(frozen=True)
class SectionNow:
    """One section as it is now.

    `minutes` is the time on it, until now or until it was rinsed, and `to_close` that until its
    best coated strands pass a limit, negative when they have [min]; it has `reached` the goal when
    its least coated strands have. Colour, level and warmth are those of its middle strand.
    """

    number: int
    minutes: float
    to_close: float
    reached: bool
    rinsed: bool
    lab: Lab
    level: float
    warmth: float

    @property
    def state(self) -> str:
        """``early``, ``inside`` or ``past``."""
        return "past" if self.to_close <= 0.0 else "inside" if self.reached else "early"


@dataclass(frozen=True, eq=False)
class ZoneClock:
    """A zone of the plan, with what was marked; times on the service's clock [min].

    Its `laying` is the plan's. The response is of the expected strand; the least coated strands
    have `inner_less` of log strength. The plan begins it at `planned_start`, rinses
    it `planned_wait` later, at a `share` of its window between 0 at its opening and 1 at its
    close; `hands` sections are laid at the same time. Marked: when it was `begun` and `rinsed`,
    when its toner, where it `has_toner`, was laid (`toned`) and rinsed (`tone_rinsed`), None for
    not yet, and when each section was on, in the order laid.
    """

    name: str
    laying: Laying
    response: Response
    inner_less: float
    bowl_fade_minutes: float
    planned_start: float
    planned_wait: float
    share: float
    hands: int
    has_toner: bool
    begun: float | None = None
    laid: tuple[float, ...] = ()
    rinsed: float | None = None
    toned: float | None = None
    tone_rinsed: float | None = None

    @property
    def sections(self) -> int:
        """Number of sections."""
        return int(self.laying.starts.size)

    @property
    def each(self) -> float:
        """Planned time to lay one section [min]."""
        return float(self.laying.ends[0] - self.laying.starts[0])

    @property
    def on(self) -> bool:
        """Whether any section is on."""
        return bool(self.laid)

    @property
    def all_on(self) -> bool:
        """Whether every section is on."""
        return len(self.laid) == self.sections

    @property
    def next_sections(self) -> tuple[int, ...]:
        """Numbers of the sections to lay next, from 1: one bowl's, one for each hand."""
        first = len(self.laid)
        same = [
            i for i in range(first, self.sections) if self.laying.bowl[i] == self.laying.bowl[first]
        ]
        return tuple(i + 1 for i in same[: self.hands])

    def rinsing(self, now: float) -> int | None:
        """Number of the section being rinsed, where they are rinsed one after the other."""
        if self.rinsed is None or now >= self.rinsed + self.laying.rinse_after[-1]:
            return None
        return int(np.searchsorted(self.rinsed + self.laying.rinse_after, now, side="right"))

    def rinse_ends(self, number: int) -> float:
        """When the rinse goes on from a section to the next [min]."""
        return float((self.rinsed or 0.0) + self.laying.rinse_after[min(number, self.sections - 1)])

    def next_start(self, now: float) -> float:
        """When the laying of the next section begins: it follows the last, at the plan's pace."""
        return float(self._spans(now)[0][len(self.laid)])

    def with_laid(self, now: float) -> ZoneClock:
        """Mark the next sections as on."""
        return replace(self, laid=(*self.laid, *(now for _ in self.next_sections)))

    def _spans(self, now: float) -> tuple[Floats, Floats]:
        """When the laying of each section begins and ends, as marked or else as to expect."""
        begun = now if self.begun is None else self.begun
        starts, ends = begun + self.laying.starts, begun + self.laying.ends
        count = len(self.laid)
        ends[:count] = self.laid
        for i in range(count):
            # Sections of one round are marked together; each round begins when the last ended.
            if i > 0:
                same = self.laying.starts[i] == self.laying.starts[i - 1]
                gap = self.laying.starts[i] - self.laying.ends[i - 1]
                starts[i] = starts[i - 1] if same else min(ends[i - 1] + max(gap, 0.0), ends[i])
        if count < self.sections:
            gap = self.laying.starts[count] - self.laying.ends[count - 1] if count else 0.0
            free = (self.laid[-1] + max(gap, 0.0)) if count else begun
            # A section that should be on by now is taken to come on at this moment.
            late = max(0.0, now - (free + self.each))
            shift = free - starts[count]
            starts[count:] += shift
            ends[count:] += shift + late
            starts[count + 1 :] += late
        return starts, ends

    def _strength(self, starts: Floats) -> Floats:
        """Logarithm of the strength on the best coated strands of each section."""
        mixed = np.array([starts[np.argmax(self.laying.bowl == b)] for b in self.laying.bowl])
        return np.asarray((mixed - starts) / self.bowl_fade_minutes)

    def windows(self, now: float) -> tuple[Floats, Floats]:
        """When each section opens and closes, on the clock [min], shape (sections,)."""
        starts, ends = self._spans(now)
        outer = self._strength(starts)
        inner = outer + self.inner_less
        answer = self.response
        opens = ends + answer.times(answer.reached, inner)[0]
        closes = starts + answer.times(answer.closes, outer)[0]
        return opens, closes

    def earliest(self, now: float) -> float:
        """Clock time from which a rinse finds every section's expected strands at the goal."""
        return float(np.max(self.windows(now)[0] - self.laying.rinse_after))

    def latest(self, now: float) -> float:
        """Clock time until which a rinse finds none of them past a limit."""
        return float(np.min(self.windows(now)[1] - self.laying.rinse_after))

    def due(self, now: float) -> float:
        """When to rinse: as far into its window as planned, never past its close."""
        opens, closes = self.earliest(now), self.latest(now)
        return min(opens + self.share * max(closes - opens, 0.0), closes)

    def delay(self, now: float) -> float:
        """By how much the zone is behind the plan [min]."""
        if self.begun is None:
            return max(0.0, now - self.planned_start)
        if self.rinsed is not None:
            return self.rinsed - self.planned_start - self.planned_wait
        return float(self._spans(now)[1][-1] - self.planned_start - self.laying.ends[-1])

    def now(self, now: float) -> tuple[SectionNow, ...]:
        """Sections that are on, or were, as they are now or were when rinsed."""
        starts, _ = self._spans(now)
        outer = self._strength(starts)
        opens, closes = self.windows(now)
        found = []
        for i in range(len(self.laid)):
            end = np.inf if self.rinsed is None else float(self.rinsed + self.laying.rinse_after[i])
            stop = min(now, end)
            minutes = max(float(stop - starts[i]), 0.0)
            middle = float(outer[i] + 0.5 * self.inner_less)
            lab, level, warmth = self.response.course(middle, minutes)
            found.append(
                SectionNow(
                    number=i + 1,
                    minutes=minutes,
                    to_close=float(closes[i] - stop),
                    reached=bool(stop >= opens[i]),
                    rinsed=now >= end,
                    lab=(float(lab[0]), float(lab[1]), float(lab[2])),
                    level=level,
                    warmth=warmth,
                )
            )
        return tuple(found)


def zone_clock(service: Service, name: str, *, has_toner: bool = False) -> ZoneClock:
    """Clock of one zone of a plan, before anything is done."""
    work, scenario = service.works[name], service.scenario
    task, wait = work.task(), service.rinse_after(name)
    opens, closes = float(task.earliest[0]), float(task.latest[0])
    share = (wait - opens) / (closes - opens) if closes > opens else 1.0
    answer = work.response
    return ZoneClock(
        name=name,
        laying=work.laying,
        response=replace(
            answer, **{k: getattr(answer, k)[:1] for k in ("reached", "too_warm", "too_light")}
        ),
        inner_less=float((work.inner - work.outer)[0, 0]),
        bowl_fade_minutes=scenario.values["bowl_fade_minutes"],
        planned_start=service.schedule.starts[name],
        planned_wait=wait,
        share=float(np.clip(share, 0.0, 1.0)),
        hands=1 + scenario.salon.assistants,
        has_toner=has_toner,
    )


@dataclass(frozen=True)
class Action:
    """What to do next: one of the plan's `STEPS`, ``rinsing`` or ``done``.

    ``rinsing`` is of a zone whose sections are rinsed one after the other, which runs by itself.
    An empty zone means everything; sections to lay are numbered from 1. It is due `at` a time
    [min], in the past where it is late, and must be done `until` a time for all to stay inside,
    infinity for no end.
    """

    kind: str
    zone: str
    sections: tuple[int, ...]
    at: float
    until: float = float("inf")


@dataclass(frozen=True, eq=False)
class Clock:
    """A service at some moment: its treated zones, as planned, with what was marked."""

    plan: Plan
    zones: tuple[ZoneClock, ...]

    @property
    def together(self) -> bool:
        """Whether all is rinsed at one moment."""
        return self.plan.scenario.salon.together

    def zone(self, name: str) -> ZoneClock:
        """Clock of one zone."""
        return next(z for z in self.zones if z.name == name)

    def next(self, now: float) -> Action:
        """What to do next, seen from `now` [min].

        A zone about to pass its close comes first; then sections of a zone that is begun; then,
        of the next zone to begin and the next rinse due, whichever is earlier.
        """
        for zone in self.zones:
            number = zone.rinsing(now)
            if number is not None:
                return Action("rinsing", zone.name, (number,), now, zone.rinse_ends(number))
        open_zones = [z for z in self.zones if z.begun is not None and z.rinsed is None]
        waiting = [z for z in self.zones if z.begun is None]
        if not open_zones and not waiting:
            return self._tone(now)
        rinse = self._rinse(open_zones, waiting, now)
        laying = next((z for z in open_zones if not z.all_on), None)
        if laying is not None:
            lay = Action("lay", laying.name, laying.next_sections, laying.next_start(now))
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
            elif action.kind == "tone" and mine:
                zone = replace(zone, toned=now)
            elif action.kind == "rinse_tone" and mine:
                zone = replace(zone, tone_rinsed=now)
            changed.append(zone)
        return replace(self, zones=tuple(changed))

    def _tone(self, now: float) -> Action:
        """The toner to lay or to rinse, once every mixture is rinsed; done when all is."""
        pace = pace_of(self.plan.scenario.values)
        toned = [z for z in self.zones if z.toned is not None]
        free = max(
            *(z.rinsed + self.plan.service.rinse_lasts for z in self.zones if z.rinsed is not None),
            *(z.toned + pace.laying for z in toned if z.toned is not None),
            *(z.tone_rinsed + pace.rinse for z in toned if z.tone_rinsed is not None),
            -float("inf"),
        )
        ahead = [z.name for z in self.zones if z.has_toner and z.toned is None]
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
    zones = [
        zone_clock(plan.service, z.zone.name, has_toner=z.toner_step is not None)
        for z in plan.zones
    ]
    return Clock(plan, tuple(zones))
