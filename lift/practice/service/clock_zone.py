"""One zone on the clock: what was marked, and what follows for its sections."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from lift.errors import Floats
from lift.practice.service.response import Response
from lift.practice.service.service import Service
from lift.practice.service.zone import Lab


@dataclass(frozen=True)
class SectionNow:
    """One section as it is now.

    Parameters
    ----------
    number : int
        Number in its zone, from 1.
    minutes : float
        Time on it [min], until now or until it was rinsed.
    to_close : float
        Minutes until its best coated strands pass a limit; negative when they have.
    reached : bool
        Whether its least coated strands have reached the goal.
    rinsed : bool
        Whether it has been rinsed.
    lab : tuple
        CIELAB of its middle strand now.
    level, warmth : float
        Level and warmth of that strand.
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

    Parameters
    ----------
    name : str
        The zone.
    planned_starts, planned_ends, rinse_after, bowl : numpy.ndarray
        Laying as planned, from the start of the zone, shape (sections,).
    response : Response
        Of the expected strand.
    inner_less : float
        Logarithm of strength on the least coated strands, less that on the best coated.
    bowl_fade_minutes : float
        Time constant with which the bowl weakens [min].
    planned_start : float
        When the zone is begun in the plan.
    planned_wait : float
        From its start to its rinse in the plan.
    share : float
        Where in its window the plan rinses it [-], 0 at its opening and 1 at its close.
    hands : int
        Sections laid at the same time.
    begun, rinsed : float or None
        When it was begun and rinsed; None: not yet.
    laid : tuple of float
        When each section was on, in the order laid.
    """

    name: str
    planned_starts: Floats
    planned_ends: Floats
    rinse_after: Floats
    bowl: np.ndarray[tuple[int], np.dtype[np.int64]]
    response: Response
    inner_less: float
    bowl_fade_minutes: float
    planned_start: float
    planned_wait: float
    share: float
    hands: int
    begun: float | None = None
    laid: tuple[float, ...] = ()
    rinsed: float | None = None

    @property
    def sections(self) -> int:
        """Number of sections."""
        return int(self.planned_starts.size)

    @property
    def each(self) -> float:
        """Planned time to lay one section [min]."""
        return float(self.planned_ends[0] - self.planned_starts[0])

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
        same = [i for i in range(first, self.sections) if self.bowl[i] == self.bowl[first]]
        return tuple(i + 1 for i in same[: self.hands])

    def rinsing(self, now: float) -> int | None:
        """Number of the section being rinsed, where they are rinsed one after the other."""
        if self.rinsed is None or now >= self.rinsed + self.rinse_after[-1]:
            return None
        return int(np.searchsorted(self.rinsed + self.rinse_after, now, side="right"))

    def rinse_ends(self, number: int) -> float:
        """When the rinse goes on from a section to the next [min]."""
        return float((self.rinsed or 0.0) + self.rinse_after[min(number, self.sections - 1)])

    def next_start(self, now: float) -> float:
        """When the laying of the next section begins: it follows the last, at the plan's pace."""
        return float(self._spans(now)[0][len(self.laid)])

    def with_laid(self, now: float) -> ZoneClock:
        """Mark the next sections as on."""
        return replace(self, laid=(*self.laid, *(now for _ in self.next_sections)))

    def _spans(self, now: float) -> tuple[Floats, Floats]:
        """When the laying of each section begins and ends, as marked or else as to expect."""
        begun = now if self.begun is None else self.begun
        starts, ends = begun + self.planned_starts, begun + self.planned_ends
        count = len(self.laid)
        ends[:count] = self.laid
        for i in range(count):
            # Sections of one round are marked together; each round begins when the last ended.
            if i > 0:
                same = self.planned_starts[i] == self.planned_starts[i - 1]
                gap = self.planned_starts[i] - self.planned_ends[i - 1]
                starts[i] = starts[i - 1] if same else min(ends[i - 1] + max(gap, 0.0), ends[i])
        if count < self.sections:
            gap = self.planned_starts[count] - self.planned_ends[count - 1] if count else 0.0
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
        mixed = np.array([starts[np.argmax(self.bowl == b)] for b in self.bowl])
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
        return float(np.max(self.windows(now)[0] - self.rinse_after))

    def latest(self, now: float) -> float:
        """Clock time until which a rinse finds none of them past a limit."""
        return float(np.min(self.windows(now)[1] - self.rinse_after))

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
        return float(self._spans(now)[1][-1] - self.planned_start - self.planned_ends[-1])

    def now(self, now: float) -> tuple[SectionNow, ...]:
        """Sections that are on, or were, as they are now or were when rinsed."""
        starts, _ = self._spans(now)
        outer = self._strength(starts)
        opens, closes = self.windows(now)
        found = []
        for i in range(len(self.laid)):
            end = np.inf if self.rinsed is None else float(self.rinsed + self.rinse_after[i])
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


def zone_clock(service: Service, name: str) -> ZoneClock:
    """Clock of one zone of a plan, before anything is done.

    Parameters
    ----------
    service : Service
        Works and schedule.
    name : str
        The zone.

    Returns
    -------
    ZoneClock
    """
    work, scenario = service.works[name], service.scenario
    task, wait = work.task(), service.rinse_after(name)
    opens, closes = float(task.earliest[0]), float(task.latest[0])
    share = (wait - opens) / (closes - opens) if closes > opens else 1.0
    answer = work.response
    return ZoneClock(
        name=name,
        planned_starts=work.laying.starts,
        planned_ends=work.laying.ends,
        rinse_after=work.laying.rinse_after,
        bowl=work.laying.bowl,
        response=replace(
            answer,
            reached=answer.reached[:1],
            too_warm=answer.too_warm[:1],
            too_light=answer.too_light[:1],
        ),
        inner_less=float((work.inner - work.outer)[0, 0]),
        bowl_fade_minutes=scenario.values["bowl_fade_minutes"],
        planned_start=service.schedule.starts[name],
        planned_wait=wait,
        share=float(np.clip(share, 0.0, 1.0)),
        hands=1 + scenario.salon.assistants,
    )
