"""Tone direction."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.optics.colorimetry import NOTICEABLE
from lift.optics.hue_names import munsell_hue
from lift.practice.tone import tone_direction

CURVES = default_curves()
PATH = natural_path(CURVES)

HAIR = st.tuples(st.floats(15.0, 75.0), st.floats(-5.0, 30.0), st.floats(-5.0, 50.0))


def test_a_worked_example():
    """From (50, 20, 40) to (50, 8, 24): change (0, -12, -16), 20 long, at 180 + 53.13 degrees."""
    tone = tone_direction([50.0, 20.0, 40.0], [50.0, 8.0, 24.0])
    np.testing.assert_allclose(tone.change, [0.0, -12.0, -16.0])
    assert tone.amount == pytest.approx(20.0)
    assert tone.hue_deg == pytest.approx(180.0 + np.degrees(np.arctan2(16.0, 12.0)))
    assert tone.excess_hue_deg == pytest.approx(53.130102)
    assert tone.munsell == munsell_hue(tone.hue_deg)
    assert tone.needed is True


@given(HAIR)
def test_goal_is_natural_hair_of_the_same_lightness(lab):
    """And not grey: for hair, neutral lies in the first quadrant of a*b*."""
    tone = tone_direction(lab)
    goal = np.array(lab) + tone.change
    assert tone.change[0] == 0.0
    np.testing.assert_allclose(goal, PATH.lab_of_lightness(lab[0]), atol=1e-12)


@given(HAIR, HAIR)
def test_direction_is_opposite_to_the_excess(lab, goal):
    tone = tone_direction(lab, goal)
    assert abs((tone.hue_deg - tone.excess_hue_deg) % 360.0 - 180.0) < 1e-9
    assert tone.amount == pytest.approx(np.hypot(lab[1] - goal[1], lab[2] - goal[2]))
    back = tone_direction(goal, lab)
    np.testing.assert_allclose(back.change, -tone.change, atol=1e-12)
    assert back.amount == pytest.approx(tone.amount)
    assert tone.needed == (tone.amount >= NOTICEABLE)


def test_each_wheel_answer_stands_opposite_to_what_is_too_much():
    from lift.practice.wheel import WHEEL

    tone = tone_direction(underpigment_ladder(CURVES).lab)
    for answer, excess in zip(tone.wheel, tone.excess_wheel, strict=True):
        assert (WHEEL.index(answer) - WHEEL.index(excess)) % 12 == 6


def test_hair_at_its_goal_needs_nothing():
    natural = PATH.lab_of_level(7.0)
    tone = tone_direction(natural)
    assert tone.amount == pytest.approx(0.0, abs=1e-9)
    assert not tone.needed
    assert tone_direction(np.add(natural, [0.0, 0.0, 0.99])).needed is False
    assert tone_direction(np.add(natural, [0.0, 0.0, 1.01])).needed is True


def test_too_cool_hair_is_sent_the_other_way():
    natural = PATH.lab_of_level(8.0)
    too_warm, too_cool = (tone_direction(np.add(natural, [0.0, 0.0, d])) for d in (8.0, -8.0))
    assert too_warm.hue_deg == pytest.approx(270.0)
    assert too_cool.hue_deg == pytest.approx(90.0)
    assert too_warm.wheel != too_cool.wheel


def test_lightness_counts_in_the_change_and_not_in_the_amount():
    tone = tone_direction([50.0, 10.0, 20.0], [60.0, 10.0, 20.0])
    assert tone.change[0] == 10.0
    assert tone.amount == 0.0
    assert not tone.needed


def test_broadcasting_and_picking_one():
    labs = underpigment_ladder(CURVES).lab
    many = tone_direction(labs[None, :, :], np.full((2, 1, 3), 20.0))
    for field in ("hue_deg", "munsell", "wheel", "amount", "excess_hue_deg", "needed"):
        assert np.shape(getattr(many, field)) == (2, 10)
    assert many.change.shape == (2, 10, 3)
    one = tone_direction(labs[4], [20.0, 20.0, 20.0])
    picked = many[1][4]
    assert picked.hue_deg == pytest.approx(one.hue_deg)
    assert (picked.munsell, picked.wheel) == (one.munsell, one.wheel)
    assert isinstance(one.wheel, str)
    assert isinstance(one.munsell, str)


def test_follows_the_curve_set():
    warm = [45.0, 17.0, 35.0]
    other = CURVES.replace(pheomelanin_share=0.3)
    assert tone_direction(warm, curves=other).amount < tone_direction(warm).amount
    assert tone_direction(warm).amount == tone_direction(warm, curves=CURVES).amount


@pytest.mark.parametrize(
    ("lab", "message"),
    [
        ([np.nan, 5.0, 9.0], "hair colour L\\* nan"),
        ([50.0, np.inf, 9.0], "hair colour a\\* inf"),
        ([50.0, 5.0, -np.inf], "hair colour b\\* -inf"),
        ([101.0, 5.0, 9.0], "hair colour L\\* 101 is outside 0 to 100; nearest: 100"),
        ([50.0, 101.0, 9.0], "hair colour a\\* 101"),
        ([50.0, 5.0, 121.0], "hair colour b\\* 121"),
        ([50.0, 5.0], "needs three numbers"),
        (50.0, "needs three numbers"),
        (["x", "y", "z"], "is not three numbers"),
    ],
)
def test_what_is_no_colour_is_refused(lab, message):
    with pytest.raises(LiftError, match=message):
        tone_direction(lab)
    with pytest.raises(LiftError, match=message.replace("hair", "goal")):
        tone_direction([50.0, 5.0, 9.0], lab)
