"""Munsell names of hue angles."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.optics.hue_names import munsell_hue, munsell_hue_degrees

FAMILIES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
NAMES = [f"{number}{family}" for family in FAMILIES for number in ("2.5", "5", "7.5", "10")]


def test_every_name_comes_back():
    angles = np.array([munsell_hue_degrees(name) for name in NAMES])
    assert munsell_hue(angles).tolist() == NAMES


def test_order_round_the_circle():
    found = munsell_hue(np.arange(0.0, 360.0, 0.25))
    changes = found[np.append(True, found[1:] != found[:-1])].tolist()
    start = NAMES.index(changes[0])
    assert changes == [*NAMES[start:], *NAMES[: start + 1]]


def test_name_changes_half_way_between_two():
    low, high = munsell_hue_degrees("5YR"), munsell_hue_degrees("7.5YR")
    middle = (low + high) / 2.0
    assert munsell_hue([middle - 0.01, middle + 0.01]).tolist() == ["5YR", "7.5YR"]


def test_one_angle_gives_a_plain_string():
    assert type(munsell_hue(63.0)) is str
    assert type(munsell_hue(np.float64(63.0))) is str
    assert munsell_hue(np.full((2, 3), 63.0)).shape == (2, 3)


@given(st.floats(0.0, 360.0))
def test_named_angle_is_near(angle):
    # Neighbouring hues are at most 14 degrees apart, so the name is at most 7 off.
    off = (munsell_hue_degrees(munsell_hue(angle)) - angle + 180.0) % 360.0 - 180.0
    assert abs(off) <= 7.0


def test_a_full_turn_is_no_turn():
    assert munsell_hue(360.0) == munsell_hue(0.0)


@pytest.mark.parametrize("bad", [-1.0, 361.0, np.nan, np.inf, [10.0, np.nan]])
def test_angle_outside_the_circle_is_refused(bad):
    with pytest.raises(LiftError, match=r"hue angle .* is outside 0 degrees to 360|0 to 360"):
        munsell_hue(bad)


def test_unknown_name_suggests_the_nearest():
    with pytest.raises(LiftError, match="Munsell hue '5RY' is not one of"):
        munsell_hue_degrees("5RY")
