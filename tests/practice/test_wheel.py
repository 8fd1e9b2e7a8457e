"""The painter's wheel on the hue of excess warmth."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.optics.hue_names import munsell_hue_degrees
from lift.practice.wheel import WHEEL, depth_share, wheel_degrees, wheel_family

CURVES = default_curves()
LIGHT = 70.0
"""L* at which names are those of hue alone."""


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
    hue = munsell_hue_degrees(hue)
    assert wheel_degrees(hue, LIGHT, CURVES) == pytest.approx(position)
    if hue > 100.0:  # the cool ones whatever the lightness
        assert wheel_degrees(hue, 20.0, CURVES) == pytest.approx(position)


def test_yellow_is_where_hair_is_called_yellow():
    yellow = CURVES["painter_yellow_hue"].value
    assert wheel_degrees(yellow, LIGHT, CURVES) == pytest.approx(120.0)
    assert wheel_family(wheel_degrees(yellow, LIGHT, CURVES)) == "yellow"
    moved = CURVES.replace(painter_yellow_hue=80.0)
    assert wheel_degrees(80.0, LIGHT, moved) == pytest.approx(120.0)


def test_a_dark_yellow_is_named_orange_and_a_darker_one_red():
    """Brown is a dark orange to painters; in proportion to L* between levels 1 and 8."""
    yellow = CURVES["painter_yellow_hue"].value
    ends = natural_path(CURVES).lab_of_level([1.0, 8.0])[:, 0]
    lightness = np.linspace(*ends, 5)
    np.testing.assert_allclose(depth_share(lightness, CURVES), [0.0, 0.25, 0.5, 0.75, 1.0])
    np.testing.assert_allclose(wheel_degrees(yellow, lightness, CURVES), [0, 30, 60, 90, 120])
    assert depth_share([0.0, 100.0], CURVES).tolist() == [0.0, 1.0]
    assert np.isnan(depth_share(np.nan, CURVES))


@given(st.floats(-360.0, 360.0), st.floats(0.0, 100.0))
def test_a_full_turn_changes_nothing(angle, lightness):
    one, other = wheel_degrees([angle, angle + 360.0], lightness, CURVES)
    assert abs((one - other + 180.0) % 360.0 - 180.0) < 1e-9
    assert 0.0 <= one < 360.0


@given(st.floats(0.0, 100.0))
def test_positions_rise_all_the_way_round(lightness):
    red = munsell_hue_degrees("5R")
    turn = wheel_degrees(red + np.linspace(0.0, 359.9, 1000), lightness, CURVES)
    # Dark hair comes to red, which is 0 as well as 360, before the turn is full.
    turn = np.where((turn == 0.0) & (np.arange(1000) > 500), 360.0, turn)
    assert np.all(np.diff(turn) >= -1e-9)


@given(st.floats(0.0, 359.0), st.floats(0.0, 100.0), st.floats(0.0, 100.0))
def test_lighter_hair_is_never_named_nearer_to_red(hue, one, other):
    at = float(wheel_degrees(hue, LIGHT, CURVES))
    dark, light = (float(wheel_degrees(hue, x, CURVES)) for x in sorted((one, other)))
    if at < 150.0:
        assert dark <= light + 1e-9
    elif at < 300.0:
        assert dark == light
    else:
        assert (360.0 - dark) % 360.0 <= (360.0 - light) % 360.0 + 1e-9


def test_families_reach_half_way_to_their_neighbours():
    for index, name in enumerate(WHEEL):
        for off in (-14.9, 0.0, 14.9):
            assert wheel_family(30.0 * index + off) == name
    assert wheel_family(-30.0) == "red-violet"
    assert wheel_family(390.0) == "red-orange"


def test_broadcasting():
    assert wheel_degrees(60.0, 50.0, CURVES).shape == ()
    assert wheel_degrees(np.full((2, 3), 60.0), 50.0, CURVES).shape == (2, 3)
    grid = wheel_degrees([[20.0], [60.0]], [20.0, 35.0, 60.0], CURVES)
    assert grid.shape == (2, 3)
    assert grid[1, 1] == wheel_degrees(60.0, 35.0, CURVES)
    assert isinstance(wheel_family(0.0), str)
    assert wheel_family(np.zeros((2, 3))).shape == (2, 3)


@pytest.mark.parametrize("bad", [np.nan, np.inf, [0.0, np.nan]])
def test_what_is_no_angle_is_refused(bad):
    with pytest.raises(LiftError, match="wheel position"):
        wheel_family(bad)


def test_nan_stays_where_it_is():
    assert np.isnan(wheel_degrees([60.0, np.nan], 50.0, CURVES)).tolist() == [False, True]
    assert np.isnan(wheel_degrees(60.0, [50.0, np.nan], CURVES)).tolist() == [False, True]
