"""Toners on the clock: in order, with one pair of hands, none rinsed before its minutes."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.model.course import tone_formed
from lift.model.curves import default_curves
from lift.practice.assumptions import SERVICE, service_values
from lift.practice.service.after_rinse import pace_of, toning_times
from lift.practice.toning.toner_step import FORMED

NAMES = ("a", "b", "c", "d")
MINUTES = {
    name: st.floats(SERVICE[name].low, SERVICE[name].high)
    for name in ("changeover_minutes", "toner_laying_minutes", "toner_minutes", "rinse_minutes")
}


def test_values():
    """One minute to mix, three to lay, twenty on, three to rinse; the next is laid meanwhile."""
    first, second = toning_times(("foils", "base"), 30.0, service_values())
    assert (first.zone, first.starts, first.laid) == ("foils", 31.0, 34.0)
    assert (first.rinsed, first.ends) == (51.0, 54.0)
    assert (second.starts, second.laid, second.rinsed, second.ends) == (35.0, 38.0, 55.0, 58.0)
    assert toning_times((), 30.0, service_values()) == ()


def test_a_toner_that_is_soon_done_is_rinsed_before_the_next_is_laid():
    first, second = toning_times(("a", "b"), 0.0, service_values({"toner_minutes": 2.0}))
    assert (first.starts, first.rinsed, first.ends) == (1.0, 4.0, 7.0)
    assert second.starts == 8.0


@given(st.integers(1, 4), st.floats(0.0, 200.0), st.fixed_dictionaries(MINUTES))
def test_laws(count, after, minutes):
    values, pace = service_values(minutes), pace_of(service_values(minutes))
    found = toning_times(NAMES[:count], after, values)
    assert [each.zone for each in found] == list(NAMES[:count])
    busy = []
    for each in found:
        assert each.starts >= after + pace.changeover - 1e-9
        assert each.laid == pytest.approx(each.starts + pace.laying)
        assert each.ends == pytest.approx(each.rinsed + pace.rinse)
        assert each.rinsed >= max(each.starts + pace.minutes, each.laid) - 1e-9
        busy += [(each.starts - pace.changeover, each.laid), (each.rinsed, each.ends)]
    busy.sort()
    for (_, end), (start, _) in pairwise(busy):
        assert start >= end - 1e-6
    # The first one, which nothing else is before, is on for its minutes and no longer.
    assert found[0].rinsed == pytest.approx(max(found[0].starts + pace.minutes, found[0].laid))


@given(st.integers(1, 4), st.fixed_dictionaries(MINUTES))
def test_together_is_never_longer_than_one_by_one(count, minutes):
    values, end = service_values(minutes), 0.0
    for name in NAMES[:count]:
        (alone,) = toning_times((name,), end, values)
        end = alone.ends
    assert toning_times(NAMES[:count], 0.0, values)[-1].ends <= end + 1e-6


def test_the_planned_minutes_let_a_toner_take():
    tau = default_curves().values["tone_minutes"]
    assert tone_formed(SERVICE["toner_minutes"].value, 1.0, tau) >= FORMED
