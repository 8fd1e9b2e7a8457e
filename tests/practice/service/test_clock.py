"""The clock: on time it is the plan; late, it adjusts. Time is only ever handed in."""

from dataclasses import replace

import numpy as np
import pytest
from clock_scenes import BASE, BY_ZONE, FOILS, TOGETHER, act, planned
from hypothesis import given, settings
from hypothesis import strategies as st

from lift.model.hair import Hair
from lift.practice.goal import Tone
from lift.practice.scenario.scenario import Placement, Toner, Zone, ZoneGoal
from lift.practice.service.clock import start_clock


def through(result, late=0.0):
    clock, now, done = start_clock(result), 0.0, []
    for _ in range(100):
        clock, now, action = act(clock, now, late)
        done.append((action, now))
        if action.kind == "done":
            return clock, done
    raise AssertionError("it never ends")


TONED = [
    planned(rinse, (replace(FOILS, toner=Toner()), replace(BASE, toner=Toner("permanent"))))
    for rinse in ("together", "zone by zone")
]


@pytest.mark.parametrize("result", TONED, ids=["together", "zone by zone"])
def test_toners_follow_the_last_rinse_as_planned(result):
    clock, done = through(result)
    told = [(action.kind, action.zone) for action, _ in done]
    first, second = (each.zone for each in result.toning)
    assert told[-5:] == [
        *(("tone", first), ("tone", second), ("rinse_tone", first), ("rinse_tone", second)),
        ("done", ""),
    ]
    for each in result.toning:
        zone = clock.zone(each.zone)
        assert zone.toned == pytest.approx(each.starts, abs=1e-6)
        assert zone.tone_rinsed == pytest.approx(each.rinsed, abs=1e-6)
    steps = [(s.kind, s.zone) for s in result.steps]
    assert steps[-4:] == told[-5:-1]
    assert result.total_minutes == pytest.approx(result.steps[-1].until)


def test_a_zone_that_is_only_toned_is_toned_with_the_others_as_planned():
    ends = Zone("ends", Hair(6, lightened_to=8), goal=ZoneGoal(Tone()))
    result = planned(zones=(FOILS, ends))
    clock, done = through(result)
    (toner,) = result.toning
    assert [(a.kind, a.zone) for a, _ in done][-3:-1] == [("tone", "ends"), ("rinse_tone", "ends")]
    (zone,) = clock.tones
    assert zone.toned == pytest.approx(toner.starts, abs=1e-6)
    assert zone.tone_rinsed == pytest.approx(toner.rinsed, abs=1e-6)


def test_a_toner_laid_late_is_rinsed_late_and_the_next_waits():
    clock, now = start_clock(TONED[0]), 0.0
    while clock.next(now).kind != "tone":
        clock, now, _ = act(clock, now)
    due = clock.next(now).at
    clock = clock.mark(due + 7.0)
    following = clock.next(due + 7.0)
    assert following.kind == "tone"
    assert following.at == pytest.approx(due + 7.0 + 3.0 + 1.0)
    # Left for too long, the one that works is rinsed before another is laid.
    late = clock.mark(due + 28.5)
    assert [late.next(due + 28.5).kind, late.next(due + 28.5).zone] == ["rinse_tone", "foils"]
    assert late.next(due + 28.5).at == pytest.approx(max(due + 27.0, due + 31.5))


def test_a_zone_without_a_toner_is_done_when_rinsed():
    clock, _ = through(TOGETHER)
    assert not TOGETHER.toning
    assert all(z.toned is z.tone_rinsed is None for z in clock.zones)


@pytest.mark.parametrize("result", [TOGETHER, BY_ZONE], ids=["together", "zone by zone"])
def test_on_time_the_clock_is_the_plan(result):
    clock, done = through(result)
    for zone in result.zones:
        kept = clock.zone(zone.zone.name)
        assert kept.begun == pytest.approx(zone.starts, abs=1e-6)
        assert kept.laid == pytest.approx([s.ends for s in zone.sections], abs=1e-6)
        assert kept.rinsed == pytest.approx(zone.rinsed, abs=1e-6)
        for now, then in zip(kept.now(1e6), zone.sections, strict=True):
            assert now.minutes == pytest.approx(then.minutes, abs=1e-6)
            assert now.state == "inside"
            # The section as it was begun; planned is its middle, laid half a section later.
            assert 0.0 < now.level - then.level < 0.5 * then.spread
            assert now.lab == pytest.approx(then.lab, abs=0.6)
            assert now.to_close == pytest.approx(then.closes - then.minutes, abs=1e-6)
    kinds = [action.kind for action, _ in done]
    assert kinds.count("mix") == 2
    assert kinds.count("lay") == 8


def test_windows_on_time_are_the_plan_s():
    clock, now = start_clock(TOGETHER), 0.0
    while clock.zones[1].begun is None or not clock.zones[1].all_on:
        clock, now, _ = act(clock, now)
    for zone in TOGETHER.zones:
        kept = clock.zone(zone.zone.name)
        assert kept.earliest(now) == pytest.approx(zone.earliest, abs=1e-6)
        assert kept.latest(now) == pytest.approx(zone.latest, abs=1e-6)


def test_a_section_laid_late_shifts_the_rinse_and_the_next_zone():
    on_time, late = start_clock(TOGETHER), start_clock(TOGETHER)
    now_on_time = now_late = 0.0
    for _ in range(6):
        on_time, now_on_time, _ = act(on_time, now_on_time)
        late, now_late, _ = act(late, now_late, late=0.5)
    assert late.zone("foils").all_on
    assert late.zone("foils").earliest(now_late) > on_time.zone("foils").earliest(now_on_time) + 2
    # The first section went on half a minute late but was begun on time: it closes as planned.
    assert late.zone("foils").latest(now_late) == pytest.approx(
        on_time.zone("foils").latest(now_on_time)
    )
    assert late.next(now_late).kind == on_time.next(now_on_time).kind == "mix"
    assert late.next(now_late).at > on_time.next(now_on_time).at


@pytest.mark.parametrize("result", [TOGETHER, BY_ZONE], ids=["together", "zone by zone"])
def test_a_little_late_still_ends_inside(result):
    clock, _ = through(result, late=0.1)
    for zone in clock.zones:
        assert {s.state for s in zone.now(1e6)} == {"inside"}


def test_a_late_section_is_weaker_and_so_later():
    clock = start_clock(TOGETHER).mark(0.0)
    quick = clock.mark(1.0).mark(2.0).zone("foils").windows(2.0)
    slow = clock.mark(1.0).mark(12.0).zone("foils").windows(12.0)
    own_quick = quick[0][2] - 2.0
    own_slow = slow[0][2] - 12.0
    assert own_slow > own_quick


def test_waiting_for_a_section_that_should_be_on():
    """While nothing is marked, what is to come moves away with the time."""
    clock = start_clock(TOGETHER).mark(0.0)
    assert clock.zone("foils").earliest(1.0) == pytest.approx(clock.zone("foils").earliest(0.2))
    assert clock.zone("foils").earliest(6.0) > clock.zone("foils").earliest(1.0) + 4.0


def test_rinsed_late_is_past():
    clock, now = start_clock(TOGETHER), 0.0
    while clock.next(now).kind != "rinse":
        clock, now, _ = act(clock, now)
    action = clock.next(now)
    assert action.zone == ""
    assert now < action.at < action.until
    late = clock.mark(action.until + 2.0)
    states = {s.state for z in late.zones for s in z.now(1e6)}
    assert "past" in states
    first = late.zone("base").now(1e6)[0]
    assert first.to_close == pytest.approx(-2.0, abs=1e-6)


def test_time_stands_still_for_what_is_rinsed():
    clock, _ = through(TOGETHER)
    zone = clock.zone("foils")
    assert zone.now(zone.rinsed + 1.0) == zone.now(zone.rinsed + 30.0)
    assert all(s.rinsed for s in zone.now(zone.rinsed + 1.0))


def test_a_zone_that_closes_first_is_rinsed_alone():
    """All together waits for the base; when that comes too late, the foils are rinsed first."""
    clock, now = start_clock(TOGETHER), 0.0
    while not clock.zone("foils").all_on:
        clock, now, _ = act(clock, now)
    closes = clock.zone("foils").latest(now)
    action = clock.next(closes - 0.2)
    assert (action.kind, action.zone) == ("rinse", "foils")
    after = clock.mark(closes - 0.2)
    assert after.zone("foils").rinsed == closes - 0.2
    assert after.next(closes).kind == "mix"


def test_laying_stops_for_a_rinse_that_is_due():
    clock, now = start_clock(BY_ZONE), 0.0
    kinds = set()
    while clock.next(now).kind != "done":
        # Base sections take five minutes each: the foils come due meanwhile.
        action = clock.next(now)
        slow = 5.0 if action.kind == "lay" and action.zone == "base" else 0.0
        clock, now, action = act(clock, now, late=slow)
        kinds.add(action.kind)
    for zone in clock.zones:
        assert zone.rinsed is not None


def test_several_hands_are_marked_at_once():
    result = planned(zones=(FOILS,), assistants=1)
    clock = start_clock(result).mark(0.0)
    assert clock.next(0.0).sections == (1, 2)
    clock = clock.mark(1.0)
    assert clock.zone("foils").laid == (1.0, 1.0)
    assert clock.next(1.0).sections == (3, 4)
    _, done = through(result)
    assert [a.kind for a, _ in done].count("lay") == 3


def test_bowls_are_laid_one_after_the_other():
    two = Zone(
        "foils",
        Hair(7, "fine"),
        mixture="light",
        goal=FOILS.goal,
        placement=Placement(5, 60, 2, bowls=2),
    )
    result = planned(zones=(two,))
    clock, _ = through(result)
    kept = clock.zone("foils")
    assert kept.laid == pytest.approx([s.ends for s in result.zones[0].sections], abs=1e-6)
    assert kept.rinsed == pytest.approx(result.zones[0].rinsed, abs=1e-6)


def test_rinsing_in_the_order_laid_runs_by_itself():
    clock, now = start_clock(TOGETHER), 0.0
    while clock.next(now).kind != "rinse":
        clock, now, _ = act(clock, now)
    clock, now, _ = act(clock, now)
    running = clock.next(now)
    assert (running.kind, running.sections) == ("rinsing", (1,))
    assert running.until == pytest.approx(now + 20 / 60)
    assert clock.mark(now) is clock
    assert clock.next(now + 21 / 60).sections == (2,)
    assert clock.next(now + 41 / 60).kind == "done"


def test_nothing_to_mark_when_done():
    clock, done = through(TOGETHER)
    assert clock.next(1e3).kind == "done"
    assert clock.mark(1e3) is clock
    assert done[-1][0].kind == "done"


def test_actions_name_zone_and_sections():
    clock = start_clock(TOGETHER)
    first, second = clock.next(0.0), clock.mark(0.0).next(0.0)
    assert (first.kind, first.zone, first.sections) == ("mix", "foils", ())
    assert (second.kind, second.zone, second.sections) == ("lay", "foils", (1,))


@settings(max_examples=25)
@given(st.lists(st.floats(0.0, 3.0), min_size=30, max_size=30), st.sampled_from([0, 1]))
def test_any_delays_end_and_stay_in_order(delays, which):
    """Whatever is late by how much: it ends, nothing is laid twice, times never run back."""
    clock, now, marks = start_clock((TOGETHER, BY_ZONE)[which]), 0.0, []
    for delay in delays:
        action = clock.next(now)
        if action.kind == "done":
            break
        clock, now, action = act(clock, now, late=delay)
        marks.append(now)
        for zone in clock.zones:
            if zone.begun is not None:
                _, closes = zone.windows(now)
                assert np.all(np.isfinite(closes))
                assert zone.due(now) <= zone.latest(now) + 1e-9
    assert clock.next(now).kind == "done"
    assert marks == sorted(marks)
    for zone in clock.zones:
        assert list(zone.laid) == sorted(zone.laid)


def test_the_clock_of_a_plan_that_cannot_be_kept_is_safe():
    """With no window in common, the rinse is due when the first section closes."""
    slow = Zone("base", BASE.hair, mixture="break", placement=Placement(8, 60, 2))
    clock, now = start_clock(planned(zones=(slow,))), 0.0
    while clock.next(now).kind != "rinse":
        clock, now, _ = act(clock, now)
    action = clock.next(now)
    assert action.at <= action.until + 1e-9
    assert action.until == pytest.approx(clock.zone("base").latest(now))
