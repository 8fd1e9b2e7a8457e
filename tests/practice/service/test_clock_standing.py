"""How a service stands against its plan: chosen minutes, pauses, the chance inside, and looks."""

from dataclasses import replace

import numpy as np
import pytest
from clock_scenes import BASE, BY_ZONE, FOILS, TOGETHER, act, planned

from lift.practice.goal import Lighten
from lift.practice.scenario.scenario import ZoneGoal
from lift.practice.service.clock import start_clock
from lift.practice.service.clock_looks import zone_looks
from lift.practice.trial.look import LEAD_MINUTES
from lift.practice.trial.observation import Observation

CHOSEN = planned(zones=(replace(FOILS, minutes=25.0),))
SEEN = planned(zones=(FOILS,))


def until(kind, clock, now=0.0, late=0.0):
    for _ in range(60):
        if clock.next(now).kind == kind:
            return clock, now
        clock, now, _ = act(clock, now, late)
    raise AssertionError(kind)


# Chosen minutes.


def test_the_clock_runs_to_chosen_minutes():
    clock, now = until("rinse", start_clock(CHOSEN))
    assert CHOSEN.zones[0].minutes == pytest.approx(25.0)
    assert clock.next(now).at == pytest.approx(25.0)


def test_chosen_minutes_hold_past_the_close():
    late = planned(zones=(replace(FOILS, minutes=45.0),))
    clock, now = until("rinse", start_clock(late))
    assert clock.zone("foils").latest(now) < 40.0
    assert (clock.next(now).at, clock.next(now).until) == (45.0, 45.0)
    early = planned(zones=(replace(BASE, minutes=3.5),))
    assert until("rinse", start_clock(early))[0].next(0.0).at == pytest.approx(
        early.zones[0].rinsed
    )


def test_a_late_lay_puts_chosen_minutes_off_but_not_past_the_close():
    soon = planned(zones=(replace(FOILS, minutes=12.0),))
    clock, now = until("rinse", start_clock(soon), late=0.2)
    zone = clock.zone("foils")
    assert 12.0 < clock.next(now).at == pytest.approx(min(13.0, zone.latest(now)))


def test_without_a_window_the_clock_runs_to_the_plan_s_minute():
    never = planned(zones=(replace(FOILS, goal=ZoneGoal(Lighten(level=10))),))
    zone = never.zones[0]
    clock, now = until("rinse", start_clock(never))
    assert clock.zone("foils").share is None
    assert abs(zone.rinsed - zone.latest) > 1.0
    assert clock.next(now).at == pytest.approx(zone.rinsed)


# Pauses.


def test_a_pause_puts_off_what_is_still_to_be_laid_and_nothing_that_is_on():
    clock = start_clock(SEEN).mark(0.0).mark(1.0).mark(2.0)
    away = clock.pause(2.1)
    assert away.paused
    assert away.pause(3.0) is away
    back = away.resume(6.1)
    zone, before = back.zone("foils"), clock.zone("foils")
    # Hands took up the third section when they came back; it is not begun while they are away.
    assert zone.next_start(6.1) == pytest.approx(6.1)
    assert zone.latest(6.1) == pytest.approx(before.latest(2.1))
    assert zone.earliest(6.1) == pytest.approx(before.earliest(2.1) + 4.1, abs=0.3)
    on = back.mark(7.1).zone("foils")
    assert on.now(7.1)[2].minutes == pytest.approx(1.0)
    assert zone.now(6.1)[0].minutes == pytest.approx(6.1)


def test_a_pause_within_a_section_leaves_its_first_strands_on():
    clock = start_clock(SEEN).mark(0.0).mark(1.0).pause(1.8).resume(5.8)
    expected = clock.zone("foils")
    assert expected.next_start(5.8) == pytest.approx(1.0)
    # What was left of it is laid after the pause.
    laid = clock.mark(6.0).zone("foils")
    assert expected.earliest(5.8) == pytest.approx(laid.earliest(6.0), abs=0.05)


def test_a_press_ends_a_pause():
    clock = start_clock(SEEN).mark(0.0).pause(0.6).mark(3.0)
    assert not clock.paused
    assert clock.zones[0].pauses == ((0.6, 3.0),)
    assert clock.resume(4.0) is clock


# The chance inside.


@pytest.mark.parametrize("result", [TOGETHER, BY_ZONE], ids=["together", "zone by zone"])
def test_on_time_the_chance_is_the_plan_s(result):
    clock, _ = until("done", start_clock(result))
    for now, zone in zip(clock.standing(1e3), result.zones, strict=True):
        assert now.rinse == pytest.approx(zone.rinsed)
        assert now.moved == pytest.approx(0.0, abs=1e-6)
        assert now.chance == now.planned == zone.p_inside


def test_a_late_lay_moves_the_rinse_and_lowers_the_chance():
    clock, now = until("rinse", start_clock(SEEN), late=2.0)
    (standing,) = clock.standing(now)
    assert standing.moved > 1.0
    assert standing.chance < standing.planned
    # Against brute force: every member's own windows of every section.
    zone = clock.zone("foils")
    starts = np.concatenate([[0.0], zone.laid[:-1]])
    inside = []
    for m, own in enumerate(zone.own):
        outer = -starts / zone.bowl_fade_minutes + own
        row = slice(m + 1, m + 2)
        answer = zone.response
        opens = zone.laid + answer.times(answer.reached[row], outer + zone.inner_less)[0]
        closes = starts + answer.times(answer.closes[row], outer)[0]
        inside.append(opens.max() <= standing.rinse < closes.min())
    assert standing.chance == pytest.approx(np.mean(inside))


# Looks.


def test_a_look_comes_when_it_is_advised_and_goes_when_taken_or_too_late():
    look = zone_looks(SEEN.service, "foils")
    assert look.after is not None
    clock = start_clock(SEEN, {"foils": look})
    while not clock.zone("foils").all_on:
        clock = clock.mark(clock.next(0.0).done_by)
    now = clock.next(0.0).at
    action = clock.next(now)
    assert (action.kind, action.zone, action.at) == ("look", "foils", pytest.approx(look.after))
    assert action.until == pytest.approx(clock.zone("foils").due(now) - LEAD_MINUTES)
    assert clock.mark(now).next(now).kind == "rinse"
    assert clock.next(action.until + 0.01).kind == "rinse"


def test_slower_hair_is_rinsed_later_and_quicker_hair_sooner():
    plan_alone = start_clock(SEEN).zone("foils").due(0.0)
    after = zone_looks(SEEN.service, "foils").after
    expected = float(SEEN.service.works["foils"].response.course(0.0, after)[1])
    due = {}
    for change in (-0.5, 0.5):
        seen = (Observation(after, level=round(expected + change, 1)),)
        look = zone_looks(SEEN.service, "foils", seen)
        due[change] = start_clock(SEEN, {"foils": look}).zone("foils").due(0.0)
    assert due[0.5] < plan_alone < due[-0.5]


def test_what_no_strand_shows_is_refused_and_moves_nothing():
    look = zone_looks(SEEN.service, "foils", (Observation(2.0, level=10.0),))
    assert look.refused is not None
    assert look.response is None
    assert start_clock(SEEN, {"foils": look}).zone("foils").due(0.0) == pytest.approx(
        start_clock(SEEN).zone("foils").due(0.0)
    )
