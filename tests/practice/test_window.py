"""When a window opens and closes."""

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.ensemble import ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.trajectory import simulate
from lift.practice.goal import Blend, Lighten, Match
from lift.practice.inside import first_crossing, goal_margin
from lift.practice.target import TOO_LIGHT_LEVEL, Target, resolve_goal
from lift.practice.window import LIMIT_MINUTES, NEARLY_BEST, find_window, time_grid, window_of
from lift.words import note

CURVES = default_curves()
HAIR = Hair(7.0, "fine", damp=True)
BASE_BREAK = Mixture("base-break", 10.0)
GRID = np.array([0.0, 1.0, 2.0, 4.0, 8.0])


@pytest.mark.parametrize(
    ("margin", "expected"),
    [
        ([-1, -1, -1, -1, -1], np.inf),  # never
        ([1, 1, 1, 1, 1], 0.0),  # from the start
        ([0, 0, 0, 0, 0], np.inf),  # touching is not crossing
        ([-1, 1, 2, 3, 4], 0.5),
        ([-3, -3, -3, 1, 9], 3.5),
        ([-1, 0, 1, 2, 3], 1.0),
        ([-4, -4, -4, -4, 4], 6.0),
        ([-1, 3, -1, 3, 3], 0.25),  # the first of several
        ([2, -1, -1, -1, -1], 0.0),
    ],
)
def test_crossings_by_hand(margin, expected):
    assert first_crossing(GRID, margin) == pytest.approx(expected)


@given(st.floats(0.01, 7.99), st.floats(1e-3, 1e3))
def test_a_straight_margin_is_crossed_where_it_is_zero(at, slope):
    """In whatever unit the margin is."""
    assert first_crossing(GRID, slope * (GRID - at)) == pytest.approx(at, abs=1e-9)


@pytest.mark.parametrize("grey", [10.0, 30.0, 100.0])
def test_grey_hides_no_orange(grey):
    """Level 7, fine, damp, base break, 10 vol: the window is that of its pigmented fibres."""
    plain, seen = (find_window(h, BASE_BREAK) for h in (HAIR, HAIR.replace(grey_percent=grey)))
    assert plain.closes_by == seen.closes_by == "warmth"
    for name in ("opens", "closes", "best_minutes", "p_best"):
        assert getattr(seen, name) == pytest.approx(getattr(plain, name), abs=0.01)
    assert seen.closes_range == pytest.approx(plain.closes_range, abs=0.02)


def test_the_blend_would_hide_it():
    """Why it is asked of the pigmented fibres: 30 % white ones keep the blend cool."""
    shown = simulate(HAIR.replace(grey_percent=30.0), BASE_BREAK, [10.0, 15.0])
    limit = resolve_goal(None, HAIR, CURVES).warmth_limit
    assert np.all(shown.warmth > limit + 0.5)
    assert np.all(shown.blend_warmth < limit)


def test_crossings_broadcast():
    margins = np.array([[-1.0, 1, 1, 1, 1], [-1.0, -1, -1, -1, -1], [1.0, 1, 1, 1, 1]])
    assert first_crossing(GRID, margins).tolist() == [0.5, np.inf, 0.0]
    assert first_crossing(GRID, np.stack([margins, margins])).shape == (2, 3)
    assert first_crossing(GRID, margins[0]).shape == ()


def test_a_margin_that_is_unknown_is_not_crossed():
    assert first_crossing(GRID, np.full(5, np.nan)) == np.inf
    assert np.isnan(first_crossing(GRID, [-1.0, np.nan, 1.0, 1.0, 1.0]))


def drawn_of(lift, warmth, members=None, minutes=GRID):
    """As much of an ensemble as a window is read off."""
    lift, warmth = np.asarray(lift, dtype=float), np.asarray(warmth, dtype=float)
    central = SimpleNamespace(minutes=minutes, lift=lift, level=5.0 + lift, warmth=warmth)
    rows = [(lift, warmth)] if members is None else members
    lifts, warmths = (np.array([row[i] for row in rows], dtype=float) for i in (0, 1))
    return SimpleNamespace(
        central=central,
        members=SimpleNamespace(lift=lifts, level=5.0 + lifts, warmth=warmths),
    )


TARGET = Target("blend", note("goal.natural"), 6.0, 1.0, 3.0)


def test_window_by_hand():
    window = window_of(drawn_of([0, 0.5, 1.5, 2, 3], [0, 1, 2, 4, 9]), TARGET)
    assert (window.opens, window.closes) == pytest.approx((1.5, 3.0))
    assert (window.reached_at, window.too_warm_at) == pytest.approx((1.5, 3.0))
    assert window.closes_by == "warmth"
    assert window.exists
    assert window.width == pytest.approx(1.5)
    assert window.p_inside.tolist() == [0, 0, 1, 0, 0]
    assert window.p_reached.tolist() == [0, 0, 1, 1, 1]
    assert window.p_too_warm.tolist() == [0, 0, 0, 1, 1]
    assert (window.best_minutes, window.p_best) == (2.0, 1.0)


def test_no_window_when_too_warm_comes_first():
    window = window_of(drawn_of([0, 0, 0, 0, 2], [0, 2, 4, 6, 8]), TARGET)
    assert (window.opens, window.closes) == (None, None)
    assert window.reached_at == pytest.approx(6.0)
    assert window.too_warm_at == 1.5
    assert window.closes_by == "none"
    assert not window.exists
    assert window.width == 0.0
    # Nothing is best about a time at which no strand is inside: stay at zero.
    assert (window.best_minutes, window.p_best) == (0.0, 0.0)


def test_goal_never_reached_or_met_from_the_start():
    never = window_of(drawn_of(np.zeros(5), np.zeros(5)), TARGET)
    assert never.reached_at is None
    assert not never.exists
    assert never.opens_range == (np.inf, np.inf)
    at_once = window_of(drawn_of(np.full(5, 1.0), [0, 1, 2, 4, 9]), TARGET)
    assert (at_once.opens, at_once.closes) == (0.0, 3.0)
    # Hair that is too warm before anything is done has no window.
    closed = window_of(drawn_of([0, 1, 2, 3, 4], np.full(5, 5.0)), TARGET)
    assert closed.too_warm_at == 0.0
    assert not closed.exists


def test_never_too_warm_closes_at_the_time_limit():
    window = window_of(drawn_of([0, 0.5, 1.5, 2, 3], np.zeros(5)), TARGET)
    assert (window.opens, window.closes) == pytest.approx((1.5, 8.0))
    assert window.closes_by == "time limit"
    assert window.closes_range == (np.inf, np.inf)
    assert window.best_minutes == 2.0  # the soonest: nobody leaves it on for nothing
    assert window.rinse == (2.0, 2.0, 8.0)


def test_nothing_counts_past_the_time_limit():
    drawn = drawn_of([0, 0.5, 0.8, 1.2, 3], [0, 1, 2, 2.5, 9])
    window = window_of(drawn, TARGET, 3.5)
    assert (window.opens, window.closes) == pytest.approx((3.0, 3.5))
    assert window.closes_by == "time limit"
    assert window.limit_minutes == 3.5
    assert window.p_inside.tolist() == [0, 0, 0, 0, 0]
    assert window_of(drawn, TARGET, 2.9).reached_at is None
    assert window_of(drawn, TARGET, 99.0).limit_minutes == 8.0


def test_members_give_ranges_and_probabilities():
    quick = ([0, 1.5, 2, 3, 4], [0, 4, 5, 6, 7])
    usual = ([0, 0.5, 1.5, 2, 3], [0, 1, 2, 4, 9])
    slow = ([0, 0, 0, 0.5, 0.9], [0, 0, 0, 0, 0])
    window = window_of(drawn_of(*usual, members=[quick, usual, usual, slow]), TARGET)
    assert window.p_inside.tolist() == [0, 0, 0.5, 0, 0]
    assert window.p_too_warm.tolist() == [0, 0.25, 0.25, 0.75, 0.75]
    assert window.opens_range == (pytest.approx(2 / 3), np.inf)
    assert window.closes_range == (0.75, np.inf)


def test_best_time_is_the_soonest_good_one():
    """Of two equal peaks the first counts, and a rinse stays within it."""
    minutes = np.arange(7.0)
    early = ([1, 1, 1, 1, 1, 1, 1], [0, 0, 0, 9, 9, 9, 9])
    late = ([0, 0, 0, 0, 1, 1, 1], [0, 0, 0, 0, 0, 0, 9])
    window = window_of(drawn_of(*early, members=[early, late], minutes=minutes), TARGET)
    assert window.p_inside.tolist() == [0.5, 0.5, 0.5, 0, 0.5, 0.5, 0]
    assert (window.best_minutes, window.p_best) == (0.0, 0.5)
    assert window.rinse == (0.0, 0.0, 2.0)


def test_goal_margin_is_in_levels():
    strand = simulate(Hair(5.0), Mixture("cream", 30.0), [0.0, 30.0])
    by_level = goal_margin(strand, Target("lighten", TARGET.name, 6.0, None, 3.0))
    np.testing.assert_allclose(by_level, strand.level - 6.0)
    by_lift = goal_margin(strand, Target("blend", TARGET.name, 6.0, 1.5, 3.0))
    np.testing.assert_allclose(by_lift, strand.lift - 1.5)


def test_edges_are_where_the_expected_strand_says():
    """On the model itself: lift and warmth at opening and closing are goal and limit."""
    goal = Lighten(level=7.3, warmth=4.0)
    window = find_window(HAIR, BASE_BREAK, goal)
    at = simulate(HAIR, BASE_BREAK, [window.opens, window.closes])
    assert at.level[0] == pytest.approx(7.3, abs=5e-3)
    assert at.warmth[1] == pytest.approx(4.0, abs=5e-2)
    assert 0.0 < window.opens < window.closes < LIMIT_MINUTES


def test_each_form_of_goal():
    by_level = find_window(HAIR, BASE_BREAK, Lighten(level=7.25, warmth=3.0))
    by_lift = find_window(HAIR, BASE_BREAK)
    assert by_level.opens == pytest.approx(by_lift.opens, abs=1e-6)
    lab = tuple(natural_path(CURVES).lab_of_level(7.25))
    by_colour = find_window(HAIR, BASE_BREAK, Match(lab, warmth=3.0))
    assert by_colour.opens == pytest.approx(by_lift.opens, abs=0.02)
    assert by_colour.closes == pytest.approx(by_lift.closes, abs=0.02)
    golden = find_window(HAIR, BASE_BREAK, Match((lab[0], lab[1], lab[2] + 5.0), warmth=3.0))
    assert golden.closes > by_lift.closes + 1.0


def test_more_allowance_never_closes_earlier_and_a_lighter_goal_never_opens_earlier():
    allowances = [find_window(HAIR, BASE_BREAK, Blend(warmth=w)) for w in (3, 3.5, 4, 60)]
    assert np.all(np.diff([w.closes for w in allowances]) > 0.0)
    assert allowances[-1].closes_by == "time limit"
    assert len({w.opens for w in allowances}) == 1
    levels = [find_window(HAIR, BASE_BREAK, Lighten(level=n, warmth=60.0)) for n in (7.2, 7.6, 8.0)]
    assert np.all(np.diff([w.opens for w in levels]) > 0.0)


def test_tone_in_the_mixture_holds_the_window_open():
    plain, toned, more = (
        find_window(HAIR, BASE_BREAK.replace(tone={"violet": dose})) for dose in (0.0, 0.5, 1.0)
    )
    assert plain.opens == pytest.approx(toned.opens)
    assert plain.closes < toned.closes < more.closes
    # In the end lift outruns what a mild tone carries; three times as much holds to the end.
    assert more.closes_by == "warmth"
    assert find_window(HAIR, BASE_BREAK.replace(tone={"violet": 3.0})).closes_by == "time limit"


def test_probabilities_are_shares_of_the_same_members():
    window = find_window(HAIR, BASE_BREAK)
    drawn = ensemble(HAIR, BASE_BREAK, window.minutes)
    target = resolve_goal(None, HAIR, CURVES)
    warm = np.mean(drawn.members.warmth > target.warmth_limit, axis=0)
    np.testing.assert_allclose(window.p_too_warm, warm, atol=1e-9)
    for p in (window.p_reached, window.p_too_warm, window.p_inside):
        assert np.all((p >= 0.0) & (p <= 1.0))
    assert np.all(np.diff(window.p_reached) >= 0.0)
    assert np.all(window.p_inside <= window.p_reached)
    low, high = window.closes_range
    assert low < window.closes < high
    assert NEARLY_BEST * window.p_inside.max() <= window.p_best <= window.p_inside.max()


def test_seed_members_and_deviates():
    usual = find_window(HAIR, BASE_BREAK)
    again = find_window(HAIR, BASE_BREAK)
    np.testing.assert_array_equal(usual.p_inside, again.p_inside)
    other = find_window(HAIR, BASE_BREAK, seed=5)
    assert not np.array_equal(usual.p_inside, other.p_inside)
    np.testing.assert_allclose(usual.p_inside, other.p_inside, atol=0.1)
    assert find_window(HAIR, BASE_BREAK, members=11).p_best * 11 % 1 == pytest.approx(0, abs=1e-9)
    # A strand test that found a slow strand moves the whole window.
    slow = find_window(HAIR, BASE_BREAK, latent=np.tile([0.0, -2.0, 0.0, 0.0, 0.0], (9, 1)))
    assert slow.opens > usual.opens
    assert slow.closes > usual.closes
    assert slow.opens_range[0] == pytest.approx(slow.opens_range[1])


def test_time_limit():
    short = find_window(HAIR, BASE_BREAK, limit_minutes=5.0)
    assert (short.closes, short.closes_by, short.limit_minutes) == (5.0, "time limit", 5.0)
    assert short.minutes[-1] == 5.0
    for bad in (0.5, 121.0, np.nan, np.inf, [5.0, 6.0]):
        with pytest.raises(LiftError, match="time limit"):
            find_window(HAIR, BASE_BREAK, limit_minutes=bad)
    assert time_grid().max() == LIMIT_MINUTES


def test_a_goal_darker_than_the_hair_is_refused():
    with pytest.raises(LiftError, match="darker than the hair"):
        find_window(HAIR, BASE_BREAK, Lighten(level=6.0))


def test_several_strands_at_once_are_refused():
    with pytest.raises(LiftError, match="one strand"):
        find_window(Hair([5.0, 6.0]), BASE_BREAK)


def test_zero_volume_has_no_window():
    window = find_window(HAIR, Mixture("cream", 0.0), Blend())
    assert not window.exists
    assert window.reached_at is None
    assert window.p_best == 0.0


# The end of the scale.


def test_a_window_closes_where_the_scale_does():
    """Half a level past 10, which is what the eye is good for, hair is too light for any goal."""
    goal, mixture = Lighten(level=10.0, warmth=60.0), Mixture("powder", 40.0)
    window = find_window(Hair(8.0), mixture, goal)
    shown = simulate(Hair(8.0), mixture, [window.opens, window.closes])
    assert window.closes_by == "lightness"
    assert window.closes == window.too_light_at
    assert window.too_warm_at is None
    assert shown.level == pytest.approx([10.0, TOO_LIGHT_LEVEL], abs=0.02)
    assert [span.place for span in window.spans(60.0)] == ["not_lifted", "inside", "too_light"]
    later = window.minutes > window.closes_range[1]
    assert np.any(later)
    assert np.all(window.p_inside[later] <= 0.05)


def test_too_warm_comes_before_too_light():
    window = find_window(Hair(8.0), Mixture("powder", 40.0), Blend(warmth=3.0))
    assert window.closes_by == "warmth"
    assert window.closes == window.too_warm_at < window.too_light_at


def test_pale_hair_is_past_every_goal_soon():
    window = find_window(Hair(7.0, lightened_to=10.0), Mixture("powder", 30.0), Lighten(level=10.0))
    assert window.too_light_at < 5.0
    assert not np.any(window.p_inside[window.minutes >= 40.0])


def test_a_colour_past_the_scale_is_no_goal():
    with pytest.raises(LiftError, match=r"past the end of the scale .*; nearest: level 10"):
        find_window(Hair(8.0), Mixture("powder", 40.0), Match((85.0, 0.0, 10.0)))
