"""Next date: when the regrowth shows or the tone has faded, the sooner of them, as a proposal."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from lift.practice.service.next_visit import USUAL_MM, NextVisit, weeks_of_regrowth
from lift.words import Note, note

REGROWTH, TONE = "regrowth", "tone"
SOONEST = 1
"""Weeks before which nobody is asked back (assumed)."""

TONED_AGAIN = 2.0
"""Weeks that tone holds at the least where it decides: of sooner fading is told, but nobody comes
every week for it (assumed)."""


@dataclass(frozen=True)
class Due:
    """One reason to come back: `what` of which part or zone, after how many `weeks`.

    Of regrowth also how long it is by then [mm].
    """

    what: str
    where: str
    weeks: float
    regrowth_mm: float | None = None

    @property
    def decides(self) -> bool:
        """Whether somebody comes back for it."""
        return self.what == REGROWTH or self.weeks >= TONED_AGAIN

    @property
    def note(self) -> Note:
        """The reason, to be said in a sentence."""
        numbers = {"where": self.where, "weeks": self.weeks}
        if self.what == REGROWTH:
            return note("next.regrowth", **numbers, regrowth=self.regrowth_mm)
        soon = self.weeks < SOONEST
        return note("next.tone_at_once" if soon else "next.tone", **numbers)


@dataclass(frozen=True)
class Proposal:
    """In how many `weeks` to come back, and what is `due` by when, the soonest first.

    Where nothing is due within the weeks that were looked at, the usual time decides, which is
    from when to when [weeks] the regrowth of a refresh client grows.
    """

    weeks: int
    due: tuple[Due, ...]
    usual_weeks: tuple[float, float]

    @property
    def why(self) -> tuple[Note, ...]:
        """The reasons, the one that decides first."""
        low, high = self.usual_weeks
        first = [due.note for due in self.due if due.decides]
        rest = [due.note for due in self.due if not due.decides]
        return (*(first or [note("next.usual", low=low, high=high)]), *rest)

    def date(self, day: datetime.date) -> datetime.date:
        """The day proposed, for a visit of that day: the same day of the week."""
        return day + datetime.timedelta(weeks=self.weeks)


def usual(growth_mm_per_day: float, faded: Mapping[str, float | None]) -> Proposal:
    """Proposal where nobody knows how regrowth will show, but how fast hair grows [mm/day].

    When the tone of a zone has faded [weeks] may be None: not within a year.
    """
    low, high = (float(weeks_of_regrowth(mm, growth_mm_per_day)) for mm in USUAL_MM)
    sooner = [due for due in _faded(faded) if due.weeks < high]
    return _proposed(sooner, (low, high))


def proposal(found: NextVisit, faded: Mapping[str, float | None] | None = None) -> Proposal:
    """Propose when to come again: in the last whole week before something is due.

    When the tone of a zone has faded [weeks] is that of the visit, unless it is known better.

    Examples
    --------
    >>> from lift import load_scenario, plan
    >>> visit = plan(load_scenario("shared/blonde_refresh.toml"), members=20)
    >>> 4 <= proposal(visit.next_visit).weeks <= 10
    True
    """
    regrown = (
        Due(REGROWTH, each.part, each.due_weeks, each.due_mm)
        for each in found.demarcations
        if each.due_weeks is not None
    )
    return _proposed((*regrown, *_faded({**found.tone_passes, **(faded or {})})), found.usual_weeks)


def _faded(weeks_by_zone: Mapping[str, float | None]) -> tuple[Due, ...]:
    """Tone that never hid the warmth is no reason to come back for it."""
    found = weeks_by_zone.items()
    return tuple(Due(TONE, zone, weeks) for zone, weeks in found if weeks and weeks > 0.0)


def _proposed(due: Iterable[Due], usual_weeks: tuple[float, float]) -> Proposal:
    found = tuple(sorted(due, key=lambda each: each.weeks))
    at = min((each.weeks for each in found if each.decides), default=usual_weeks[1])
    return Proposal(max(SOONEST, int(at)), found, usual_weeks)
