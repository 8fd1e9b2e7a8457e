"""Advice delivers what it says: each change is made and simulated anew."""

import math

import numpy as np
import pytest

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.advice import NARROW_MINUTES, Advice, advise
from lift.practice.goal import Blend, Lighten, Match
from lift.practice.window import LIMIT_MINUTES, find_window
from lift.words import note

CURVES = default_curves()
HAIR = Hair(7.0, "fine", damp=True)

# Reached one minute before the limit.
LATE = float(simulate(Hair(4.0), Mixture("cream", 20.0), LIMIT_MINUTES - 1.0).level)

CASES = {
    "base break": (HAIR, Mixture("base-break", 10.0), Blend()),
    "dry, 20 vol": (Hair(7.0, "fine"), Mixture("base-break", 20.0), Blend()),
    "no tone yet": (Hair(6.0), Mixture("cream", 40.0), Blend()),
    "several developers": (Hair(6.0), Mixture("cream", ((20, 1), (40, 1))), Blend()),
    "grey": (Hair(5.0, grey_percent=30.0), Mixture("powder", 30.0), Blend()),
    "red": (Hair(6.0, pheomelanin_share=0.33), Mixture("base-break", 20.0), Blend()),
    "lightened before": (Hair(6.0, lightened_to=8.0), Mixture("powder", 20.0), Blend()),
    "two levels": (Hair(5.0), Mixture("powder", 20.0), Lighten(7.0, warmth=3.0)),
    "a colour": (Hair(7.0), Mixture("base-break", 20.0), Match((52.0, 7.0, 22.0), warmth=3.0)),
    "too far": (Hair(2.0), Mixture("cream", 10.0), Lighten(9.0, warmth=3.0)),
    "too far for powder": (
        Hair(1.0, "coarse", damp=True),
        Mixture("powder", 10.0, temperature_c=15.0),
        Lighten(level=10.0, warmth=0.0),
    ),
    "full of tone": (
        Hair(7.0),
        Mixture("cream", 40.0, tone={"violet": 60.0}),
        Lighten(10.0, warmth=3.0),
    ),
    "strongest already": (
        Hair(1.0, "coarse", damp=True),
        Mixture("powder", 40.0, temperature_c=15.0),
        Lighten(level=10.0, warmth=0.0),
    ),
    "late": (Hair(4.0), Mixture("cream", 20.0), Lighten(level=LATE, warmth=60.0)),
}


def window_and_advice(case):
    hair, mixture, goal = CASES[case]
    window = find_window(hair, mixture, goal)
    return hair, mixture, goal, window, advise(hair, mixture, window, CURVES)


def kinds(case):
    return [a.change for a in window_and_advice(case)[-1]]


@pytest.mark.parametrize("case", CASES)
def test_every_advice_delivers(case):
    hair, mixture, goal, window, advice = window_and_advice(case)
    for one in advice:
        assert "\n" not in str(one.note)
        check = CHECKS[one.change]
        check(one, hair, mixture, goal, window)


def changed_window(one, found):
    """The window after the change is the one that was promised, and worth the change."""
    assert found.opens == pytest.approx(one.opens, abs=1e-6)
    assert found.closes == pytest.approx(one.closes, abs=1e-6)
    assert found.width >= NARROW_MINUTES - 1e-9


def delivers_weaker(one, hair, mixture, goal, window):
    volume = one.note["volume"]
    assert volume < mixture.developer_volume
    found = find_window(hair, mixture.replace(volume=volume), goal)
    changed_window(one, found)
    assert found.width > window.width + 0.5
    assert f"from {found.opens:.0f} to {found.closes:.0f} min" in str(one.note)


def delivers_tone(one, hair, mixture, goal, window):
    dye, dose = one.note["dye"], one.note["dose"]
    carried = mixture.properties(CURVES.values)["tone"]
    assert dose > carried.get(dye, 0.0)
    found = find_window(hair, mixture.replace(tone={**carried, dye: dose}), goal)
    changed_window(one, found)
    assert found.width > window.width + 0.5
    # It does darken a little.
    at = simulate(hair, mixture, found.closes).lab[0]
    toned = simulate(hair, mixture.replace(tone={**carried, dye: dose}), found.closes)
    assert toned.lab[0] < at


def delivers_nearer(one, hair, mixture, goal, window):
    level = one.note["level"]
    assert level < window.target.level
    nearer = Lighten(level=level, warmth=window.target.warmth_limit)
    changed_window(one, find_window(hair, mixture, nearer))


def delivers_toning(one, hair, mixture, goal, window):
    """With the warmth that a toner is to carry allowed, the window opens when it says."""
    allowance = one.note["allowance"]
    goal = Blend(warmth=allowance)
    if window.target.lift is None:
        goal = Lighten(window.target.level, warmth=allowance)
    found = find_window(hair, mixture, goal)
    assert found.opens == pytest.approx(one.opens, abs=1e-6)
    assert one.closes is None
    at = simulate(hair, mixture, one.opens)
    assert math.ceil(at.warmth) == allowance
    assert at.warmth > window.target.warmth_limit


def delivers_stronger(one, hair, mixture, goal, window):
    kind, volume = one.note["kind"], one.note["volume"]
    stronger = (
        mixture.replace(volume=volume)
        if kind == mixture.kind
        else Mixture(kind, volume, temperature_c=mixture.temperature_c)
    )
    found = find_window(hair, stronger, goal)
    assert found.reached_at == pytest.approx(one.opens, abs=1e-6)
    assert window.reached_at is None or found.reached_at < window.reached_at


def delivers_second_visit(one, hair, mixture, goal, window):
    for volume in (10.0, 20.0, 30.0):
        powder = Mixture("powder", volume, temperature_c=mixture.temperature_c)
        assert find_window(hair, powder, goal).reached_at is None


CHECKS = {
    "weaker_developer": delivers_weaker,
    "more_tone": delivers_tone,
    "nearer_goal": delivers_nearer,
    "tone_afterwards": delivers_toning,
    "stronger_mixture": delivers_stronger,
    "second_visit": delivers_second_visit,
}


def test_every_kind_of_advice_is_met_above():
    assert {kind for case in CASES for kind in kinds(case)} == set(CHECKS)


def test_where_nothing_helps_it_says_so():
    """Two minutes are no window to work in, whatever is changed."""
    goal = Lighten(level=7.05, warmth=60.0)
    window = find_window(HAIR, Mixture("base-break", 10.0), goal, limit_minutes=2.0)
    assert window.exists
    (one,) = advise(HAIR, Mixture("base-break", 10.0), window, CURVES)
    assert (one.change, one.opens, one.closes) == ("none", None, None)


def test_a_wide_window_needs_no_advice():
    hair, mixture = Hair(5.0), Mixture("cream", 20.0)
    goal = Lighten(level=6.0, warmth=30.0)
    window = find_window(hair, mixture, goal)
    assert window.width > NARROW_MINUTES
    assert advise(hair, mixture, window, CURVES) == ()


def test_advice_fits_the_trouble():
    assert kinds("too far")[-1] == "stronger_mixture"
    assert kinds("too far for powder")[-1] == "second_visit"
    assert kinds("late")[-1] == "stronger_mixture"
    assert "tone_afterwards" in kinds("two levels")
    # A window that is there but narrow needs no toner to be met.
    assert "tone_afterwards" not in kinds("base break")


def test_advice_keeps_to_the_time_limit():
    window = find_window(
        Hair(4.0), Mixture("cream", 10.0), Lighten(6.0, warmth=3.0), limit_minutes=20.0
    )
    advice = advise(Hair(4.0), Mixture("cream", 10.0), window, CURVES)
    assert all(a.opens is None or a.opens <= 20.0 for a in advice)
    assert "in 20 min" in str(advice[-1].note)


def test_advice_follows_the_curve_set():
    slow = CURVES.replace(lightening_rate=0.015)
    window = find_window(Hair(5.0), Mixture("powder", 20.0), Lighten(8.0, warmth=3.0), slow)
    advice = advise(Hair(5.0), Mixture("powder", 20.0), window, slow)
    assert advice[-1].change == "second_visit"
    assert "second_visit" not in [
        a.change for a in advise(Hair(5.0), Mixture("powder", 20.0), window, CURVES)
    ]


def test_advice_is_plain_and_frozen():
    one = Advice("none", note("advice.none"))
    assert (one.opens, one.closes) == (None, None)
    with pytest.raises(AttributeError):
        one.note = note("text", text="other")
    assert np.isfinite(NARROW_MINUTES)
