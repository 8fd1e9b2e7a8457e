"""Clock of a zone: what was marked of it, and when it opens and closes as it was really laid.

Times are minutes on the service's clock. Hair knows no pause: hands that are away put off what is
still to be laid, and nothing that lies on hair waits for them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from lift.errors import Floats
from lift.practice.schedule.response import Response
from lift.practice.schedule.solve import Service
from lift.practice.schedule.task import SLACK
from lift.practice.schedule.work import Laying
from lift.practice.trial.look import LEAD_MINUTES
from lift.quantities import Lab

Pauses = tuple[tuple[float, float], ...]
"""From when until when hands were away [min], in order; the last is open while it ends at
infinity."""


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

    Its `laying` is the plan's. The response is of the expected strand and the members; the least
    coated strands have `inner_less` of log strength, and the sections of each member `own` more,
    shape (members, sections). The plan begins it at `planned_start`, rinses it `planned_wait`
    later, inside with the chance `planned_chance`, at a `share` of its window between 0 at its
    opening and 1 at its close, None where the expected strands have none; `chosen` says that its
    minutes were, and so hold whatever the window is. `hands` sections are laid at the same time,
    `hands_minutes` is what hands need for what they are told. A look is advised `look_after` the
    first section's start, None for none.

    Marked: when it was `begun` and `rinsed`, when its toner, where it `has_toner`, was laid
    (`toned`) and rinsed (`tone_rinsed`), None for not yet; when each section was on, in the order
    laid; when a look was taken or passed by (`looked`); and the pauses of the service.
    """

    name: str
    laying: Laying
    response: Response
    inner_less: float
    own: Floats
    bowl_fade_minutes: float
    planned_start: float
    planned_wait: float
    planned_chance: float
    share: float | None
    chosen: bool
    hands: int
    hands_minutes: float
    has_toner: bool
    look_after: float | None = None
    begun: float | None = None
    laid: tuple[float, ...] = ()
    rinsed: float | None = None
    toned: float | None = None
    tone_rinsed: float | None = None
    looked: tuple[float, ...] = ()
    pauses: Pauses = ()

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
        away = [(since, min(until, now)) for since, until in self.pauses if since < now]
        begun = now if self.begun is None else self.begun
        starts, ends = begun + self.laying.starts, begun + self.laying.ends
        count = len(self.laid)
        ends[:count] = self.laid
        for i in range(count):
            # Sections of one round are marked together; each round begins when the last ended.
            if i > 0 and self.laying.starts[i] == self.laying.starts[i - 1]:
                starts[i] = starts[i - 1]
            else:
                gap = max(self.laying.starts[i] - self.laying.ends[i - 1], 0.0) if i else 0.0
                starts[i] = min(self._free((ends[i - 1] if i else begun) + gap, away), ends[i])
        if count < self.sections:
            gap = (
                max(self.laying.starts[count] - self.laying.ends[count - 1], 0.0) if count else 0.0
            )
            free = self._free((self.laid[-1] if count else begun) + gap, away)
            each = self.each + sum(max(end - max(since, free), 0.0) for since, end in away)
            # A section that should be on by now is taken to come on at this moment.
            late = each - self.each + max(0.0, now - (free + each))
            shift = free - starts[count]
            starts[count:] += shift
            ends[count:] += shift + late
            starts[count + 1 :] += late
        return starts, ends

    def _free(self, at: float, away: list[tuple[float, float]]) -> float:
        """When hands that are free at a time take up work: after a pause that begins by then."""
        for since, end in away:
            if since <= at + self.hands_minutes and end > at:
                return end
        return at

    def _strength(self, starts: Floats) -> Floats:
        """Logarithm of the strength on the best coated strands of each section."""
        mixed = np.array([starts[np.argmax(self.laying.bowl == b)] for b in self.laying.bowl])
        return np.asarray((mixed - starts) / self.bowl_fade_minutes)

    def _windows(self, now: float, rows: slice, own: Floats | float) -> tuple[Floats, Floats]:
        starts, ends = self._spans(now)
        outer = self._strength(starts) + own
        answer = self.response
        opens = ends + answer.times(answer.reached[rows], outer + self.inner_less)
        return opens, starts + answer.times(answer.closes[rows], outer)

    def windows(self, now: float) -> tuple[Floats, Floats]:
        """When each section opens and closes, on the clock [min], shape (sections,)."""
        opens, closes = self._windows(now, slice(0, 1), 0.0)
        return opens[0], closes[0]

    def earliest(self, now: float) -> float:
        """Clock time from which a rinse finds every section's expected strands at the goal."""
        return float(np.max(self.windows(now)[0] - self.laying.rinse_after))

    def latest(self, now: float) -> float:
        """Clock time until which a rinse finds none of them past a limit."""
        return float(np.min(self.windows(now)[1] - self.laying.rinse_after))

    def chance(self, now: float, rinse: float) -> float:
        """Chance that every section is inside when its rinse begins at a time [min]."""
        opens, closes = self._windows(now, slice(1, None), self.own)
        after = self.laying.rinse_after
        inside = (np.max(opens - after, axis=1) <= rinse + SLACK) & (
            rinse < np.min(closes - after, axis=1) - SLACK
        )
        return float(inside.mean())

    def due(self, now: float) -> float:
        """When to rinse.

        As far into its window as planned, never past its close. Where there was none, and where its
        minutes were chosen, it is when that was planned to be; a late lay puts that off, but not
        past the close.
        """
        opens, closes = self.earliest(now), self.latest(now)
        if self.share is not None and not self.chosen:
            return min(opens + self.share * max(closes - opens, 0.0), closes)
        starts, ends = self._spans(now)
        due = float(starts[0]) + self.planned_wait
        late = float(ends[-1] - starts[0] - self.laying.ends[-1])
        due += float(np.clip(late, 0.0, max(closes - due, 0.0)))
        # What was seen may have opened a window.
        return due if self.chosen else min(max(due, opens) if opens < closes else due, closes)

    def rinse_by(self, now: float) -> float:
        """Until when to rinse: its close, or its chosen minutes where they are past it [min]."""
        latest = self.latest(now)
        return max(latest, self.due(now)) if self.chosen else latest

    def delay(self, now: float) -> float:
        """By how much the zone is behind the plan [min]."""
        if self.begun is None:
            return max(0.0, now - self.planned_start)
        if self.rinsed is not None:
            return self.rinsed - self.planned_start - self.planned_wait
        return float(self._spans(now)[1][-1] - self.planned_start - self.laying.ends[-1])

    def look(self, now: float) -> tuple[float, float] | None:
        """From when until when the advised look serves [min]; None where none is to come."""
        if self.look_after is None or not self.on or self.rinsed is not None:
            return None
        at = float(self._spans(now)[0][0]) + self.look_after
        until = self.due(now) - LEAD_MINUTES
        passed = any(taken >= at for taken in self.looked)
        return None if passed or until < max(at, now) else (at, until)

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


def zone_clock(
    service: Service,
    name: str,
    *,
    has_toner: bool = False,
    look_after: float | None = None,
    response: Response | None = None,
) -> ZoneClock:
    """Clock of one zone of a plan, before anything is done.

    Parameters
    ----------
    service : Service
        The plan's.
    name : str
        Of the zone.
    has_toner : bool
        Whether one goes on after its rinse.
    look_after : float, optional
        When a look is advised, from the start of the first section [min].
    response : Response, optional
        In place of the plan's: what looks have shown.
    """
    work, scenario = service.works[name], service.scenario
    task, wait = work.task(), service.rinse_after(name)
    opens, closes = float(task.earliest[0]), float(task.latest[0])
    share = (wait - opens) / (closes - opens) if closes > opens else None
    return ZoneClock(
        name=name,
        laying=work.laying,
        response=response or work.response,
        inner_less=float((work.inner - work.outer)[0, 0]),
        own=work.outer[1:] - np.log(work.laying.strength),
        bowl_fade_minutes=scenario.values["bowl_fade_minutes"],
        planned_start=service.schedule.starts[name],
        planned_wait=wait,
        planned_chance=service.p_inside(name),
        share=None if share is None else float(np.clip(share, 0.0, 1.0)),
        chosen=scenario.zone(name).minutes is not None,
        hands=1 + scenario.salon.assistants,
        hands_minutes=scenario.values["hands_minutes"],
        has_toner=has_toner,
        look_after=look_after,
    )
