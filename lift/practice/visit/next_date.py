"""Next date: when the regrowth shows or the tone has faded, the sooner of them, as a proposal."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from lift.practice.service.next_visit import USUAL_MM, NextVisit, weeks_of_regrowth
from lift.words import Note, note

REGROWTH, TONE = "regrowth", "tone"
SOONEST = 1
"""Weeks before which nobody is asked back, however soon her tone goes (assumed)."""


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
        return tuple(due.note for due in self.due) or (note("next.usual", low=low, high=high),)

    def date(self, day: datetime.date) -> datetime.date:
        """The day proposed, for a visit of that day: the same day of the week."""
        return day + datetime.timedelta(weeks=self.weeks)


def usual(growth_mm_per_day: float) -> Proposal:
    """Proposal where nothing is known but how fast hair grows [mm/day]."""
    low, high = (float(weeks_of_regrowth(mm, growth_mm_per_day)) for mm in USUAL_MM)
    return Proposal(int(high), (), (low, high))


def proposal(found: NextVisit) -> Proposal:
    """Propose when to come back: in the last whole week before something is due.

    Examples
    --------
    >>> from lift import load_scenario, plan
    >>> visit = plan(load_scenario("shared/blonde_refresh.toml"), members=20)
    >>> 4 <= proposal(visit.next_visit).weeks <= 10
    True
    """
    regrown = [
        Due(REGROWTH, each.part, each.due_weeks, each.due_mm)
        for each in found.demarcations
        if each.due_weeks is not None
    ]
    # Tone that never hid the warmth is no reason to come back for it.
    faded = [
        Due(TONE, zone, weeks)
        for zone, weeks in found.tone_passes.items()
        if weeks is not None and weeks > 0.0
    ]
    due = tuple(sorted((*regrown, *faded), key=lambda each: each.weeks))
    at = due[0].weeks if due else found.usual_weeks[1]
    return Proposal(max(SOONEST, int(at)), due, found.usual_weeks)
