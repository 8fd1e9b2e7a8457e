"""The date proposed: in the last whole week before regrowth shows or tone has faded."""

import datetime

import numpy as np
import pytest

from lift.practice.service.next_visit import NextVisit, ToneLimit, demarcation
from lift.practice.visit.next_date import proposal, usual

WEEKS = np.arange(0.0, 20.01, 0.5)
DARK, LIGHT = np.array([30.0, 4.0, 8.0]), np.array([55.0, 7.0, 20.0])


def next_visit(natural, passes):
    """A base of LIGHT over hair that grows in, and toners that pass after so many weeks."""
    shows = demarcation("base", LIGHT, natural, WEEKS, WEEKS * 2.45, 60.0, 5.0)
    limits = dict.fromkeys(passes, ToneLimit(3.0, None))
    warmth = dict.fromkeys(passes, WEEKS)
    return NextVisit((shows,), warmth, limits, passes, WEEKS, (5.0, 10.0))


@pytest.mark.parametrize(
    ("natural", "passes", "weeks", "codes"),
    [
        (DARK, {}, None, ["next.regrowth"]),
        (DARK, {"foils": 1.9}, None, ["next.regrowth", "next.tone"]),
        (DARK, {"foils": 2.1}, 2, ["next.tone", "next.regrowth"]),
        (DARK, {"foils": 19.0}, None, ["next.regrowth", "next.tone"]),
        (LIGHT, {"foils": 7.9}, 7, ["next.tone"]),
        (LIGHT, {"foils": 0.4}, 10, ["next.usual", "next.tone_at_once"]),
        (LIGHT, {"foils": 0.0}, 10, ["next.usual"]),
        (LIGHT, {"foils": None}, 10, ["next.usual"]),
    ],
)
def test_the_sooner_decides_and_says_why(natural, passes, weeks, codes):
    visit = next_visit(natural, passes)
    found = proposal(visit)
    shows = visit.demarcations[0].due_weeks
    assert (shows is None) == (natural is LIGHT)
    assert found.weeks == (int(shows) if weeks is None else weeks)
    assert [why.code for why in found.why] == codes


def test_what_is_known_better_of_a_tone_goes_before():
    visit = next_visit(LIGHT, {"foils": 7.9, "base": None})
    assert proposal(visit, {"foils": 4.2}).weeks == 4
    assert proposal(visit, {"foils": None}).weeks == 10
    assert [due.where for due in proposal(visit, {"base": 3.3}).due] == ["base", "foils"]


def test_without_a_plan_the_usual_time_is_the_latest():
    assert [usual(0.35, faded).weeks for faded in ({}, {"a": 4.4}, {"a": 15.0})] == [10, 4, 10]
    assert usual(0.7, {}).weeks == 5


def test_it_is_the_same_day_of_the_week():
    found = proposal(next_visit(LIGHT, {"foils": 7.9}))
    assert found.date(datetime.date(2026, 11, 27)) == datetime.date(2027, 1, 15)
