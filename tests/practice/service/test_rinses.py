"""Rinses: why one comes later than is safe, and whom its water reaches."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import plan
from lift.practice.service.rinses import AT_ONCE, past_safe, water

SHARED = Path(__file__).parents[3] / "shared"


@pytest.fixture(scope="module")
def woven():
    return plan(load_scenario(SHARED / "grey_blending.toml"), members=10)


@pytest.fixture(scope="module")
def beside():
    return plan(load_scenario(SHARED / "fine_and_coarse.toml"), members=10)


def timed(zone, **at):
    usual = {"starts": 0.0, "laid": 5.0, "earliest": 10.0, "latest": 30.0, "latest_safe": 25.0}
    return replace(zone, **{**usual, "rinsed": 20.0, **at})


MINUTES = st.floats(0.0, 60.0)


@given(rinsed=MINUTES, safe=MINUTES, laid=MINUTES, earliest=st.none() | MINUTES)
def test_a_rinse_past_what_is_safe_always_has_its_reason(woven, rinsed, safe, laid, earliest):
    at = {"rinsed": rinsed, "latest_safe": safe, "laid": laid, "earliest": earliest}
    zone = timed(woven.zones[0], **at)
    told = past_safe(zone, (zone,), together=False)
    assert len(told) == (rinsed > safe)
    for why in told:
        # A time that is told as the reason lies after the safe one.
        assert dict(why.values).get("at", safe + 1.0) > safe


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ({"latest_safe": 4.0}, "weaves is all on only at 5:00"),
        ({"latest_safe": 9.0}, "weaves reaches its goal only at 10:00"),
        ({"latest_safe": 9.0, "earliest": None}, "weaves does not reach its goal"),
        ({"latest_safe": 15.0}, "sooner, fewer heads have reached the goal"),
    ],
)
def test_reasons(woven, at, said):
    zone = timed(woven.zone("weaves"), **at)
    assert [str(each) for each in past_safe(zone, (zone,), together=False)] == [said]


def test_a_common_rinse_waits_for_the_others(woven):
    early = timed(woven.zone("weaves"), latest_safe=15.0)
    late = timed(woven.zone("between"), earliest=18.0, latest_safe=30.0)
    (why,) = past_safe(early, (early, late), together=True)
    assert str(why) == "between reaches its goal only at 18:00"
    assert past_safe(early, (early, late), together=False)[0].code == "plan.past_safe.likelier"
    assert past_safe(late, (early, late), together=True) == ()


def test_water_reaches_a_zone_of_the_same_part_that_stays_on(woven):
    first = timed(woven.zone("between"), rinsed=50.0)
    second = timed(woven.zone("weaves"), rinsed=53.0)
    (told,) = water(woven.scenario, (second, first))
    assert str(told).startswith("between is rinsed at 50:00 while weaves, in the same part, stays")
    assert "rinse both at 53:00" in str(told)


def test_water_reaches_a_part_beside_it_and_no_other(beside, woven):
    scenario = beside.scenario
    first, second = (
        timed(beside.zone(n), rinsed=t) for n, t in (("hairline", 30.0), ("crown", 40.0))
    )
    (told,) = water(scenario, (first, second))
    assert "while crown, beside it, stays on to 40:00" in str(told)
    apart = scenario.replace_zone("hairline", beside=()).replace_zone("crown", beside=("panel",))
    assert water(apart, (first, second)) == ()


@pytest.mark.parametrize(
    ("starts", "rinsed", "count"),
    [
        (0.0, 20.0, 0),
        (0.0, 20.0 + AT_ONCE, 0),
        (0.0, 20.1 + AT_ONCE, 1),
        # What goes on after the rinse was not there to be wetted.
        (20.0, 45.0, 0),
        (25.0, 45.0, 0),
        (19.0, 45.0, 1),
    ],
)
def test_only_what_is_on_and_stays_on_is_reached(woven, starts, rinsed, count):
    first = timed(woven.zone("between"))
    second = timed(woven.zone("weaves"), starts=starts, rinsed=rinsed)
    assert len(water(woven.scenario, (first, second))) == count


def test_a_plan_tells_both(woven, beside):
    for result in (woven, beside):
        together = result.scenario.salon.together
        for zone in result.zones:
            told = past_safe(zone, result.zones, together=together)
            assert result.past_safe[zone.zone.name] == told
        assert result.water == water(result.scenario, result.zones)
        assert not (together and result.water)
