"""The painter's wheel on the hue of excess warmth."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.optics.hue_names import munsell_hue_degrees
from lift.practice.wheel import WHEEL, wheel_degrees, wheel_family

CURVES = default_curves()


def test_twelve_families_each_opposite_its_complement():
    """In paint green answers red, blue orange, violet yellow."""
    assert len(set(WHEEL)) == 12
    for warm, cool in (
        ("red", "green"),
        ("red-orange", "blue-green"),
        ("orange", "blue"),
        ("yellow-orange", "blue-violet"),
        ("yellow", "violet"),
        ("yellow-green", "red-violet"),
    ):
        assert (WHEEL.index(warm) + 6) % 12 == WHEEL.index(cool)


@pytest.mark.parametrize(
    ("hue", "position"),
    [("5R", 0), ("5GY", 150), ("5G", 180), ("5BG", 210), ("5B", 240), ("5PB", 270), ("5P", 300)],
)
def test_anchors_are_munsell_hues(hue, position):
    assert wheel_degrees(munsell_hue_degrees(hue), CURVES) == pytest.approx(position)


def test_yellow_is_where_hair_is_called_yellow():
    yellow = CURVES["painter_yellow_hue"].value
    assert wheel_degrees(yellow, CURVES) == pytest.approx(120.0)
    assert wheel_family(wheel_degrees(yellow, CURVES)) == "yellow"
    moved = CURVES.replace(painter_yellow_hue=80.0)
    assert wheel_degrees(80.0, moved) == pytest.approx(120.0)


@given(st.floats(-360.0, 360.0))
def test_a_full_turn_changes_nothing(angle):
    one, other = wheel_degrees([angle, angle + 360.0], CURVES)
    assert abs((one - other + 180.0) % 360.0 - 180.0) < 1e-9
    assert 0.0 <= one < 360.0


def test_positions_rise_all_the_way_round():
    red = munsell_hue_degrees("5R")
    turn = wheel_degrees(red + np.linspace(0.0, 359.9, 1000), CURVES)
    assert np.all(np.diff(turn) > 0.0)


def test_families_reach_half_way_to_their_neighbours():
    for index, name in enumerate(WHEEL):
        for off in (-14.9, 0.0, 14.9):
            assert wheel_family(30.0 * index + off) == name
    assert wheel_family(-30.0) == "red-violet"
    assert wheel_family(390.0) == "red-orange"


def test_broadcasting():
    assert wheel_degrees(60.0, CURVES).shape == ()
    assert wheel_degrees(np.full((2, 3), 60.0), CURVES).shape == (2, 3)
    assert isinstance(wheel_family(0.0), str)
    assert wheel_family(np.zeros((2, 3))).shape == (2, 3)


@pytest.mark.parametrize("bad", [np.nan, np.inf, -361.0, 721.0, [0.0, np.nan]])
def test_what_is_no_angle_is_refused(bad):
    with pytest.raises(LiftError, match="hue angle"):
        wheel_degrees(bad, CURVES)
    with pytest.raises(LiftError, match="wheel position"):
        wheel_family(bad)
