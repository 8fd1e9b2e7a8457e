"""Errors name the bad value, the allowed range and the nearest choice."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError, LimitError, check_choice, check_number, check_range


def test_a_limit_is_an_error_is_a_value_error():
    assert issubclass(LimitError, LiftError)
    assert issubclass(LiftError, ValueError)


def test_range_returns_floats_of_the_same_shape():
    for value, shape in ((3, ()), ([1, 2], (2,)), ([[1], [2]], (2, 1)), ([], (0,))):
        found = check_range("x", value, 0, 9)
        assert found.dtype == np.float64
        assert found.shape == shape
    assert check_range("x", "2.5", 0, 9) == 2.5
    assert check_range("x", np.float32(2.5), 0, 9) == 2.5


@given(st.floats(-1e6, 1e6), st.floats(0, 1e6))
def test_range_is_closed(low, width):
    high = low + width
    assert check_range("x", low, low, high) == low
    assert check_range("x", high, low, high) == high
    for outside in (np.nextafter(low, -np.inf), np.nextafter(high, np.inf)):
        with pytest.raises(LiftError):
            check_range("x", outside, low, high)


@pytest.mark.parametrize(
    ("value", "message"),
    [
        (10, "x 10 vol is outside 0 to 9 vol; nearest: 9 vol"),
        (-1, "x -1 vol is outside 0 to 9 vol; nearest: 0 vol"),
        (np.inf, "x inf vol is outside 0 to 9 vol; nearest: 9 vol"),
        (np.nan, "x nan vol is outside 0 to 9 vol"),
        ([1, -2, 10], "x -2 vol is outside 0 to 9 vol; nearest: 0 vol"),
        ("much", "x 'much' is not a number; allowed: 0 to 9 vol"),
        (None, "x nan vol is outside 0 to 9 vol"),
        ([[1], [2, 3]], "x [[1], [2, 3]] is not a number; allowed: 0 to 9 vol"),
    ],
)
def test_range_messages(value, message):
    with pytest.raises(LiftError) as caught:
        check_range("x", value, 0, 9, "vol")
    assert str(caught.value) == message
    with pytest.raises(LiftError) as caught:
        check_range("x", value, 0, 9, "vol", hint="weaker")
    assert str(caught.value) == f"{message}; weaker"


def test_without_a_unit_there_is_none():
    with pytest.raises(LiftError, match=r"^x 10 is outside 0 to 9; nearest: 9$"):
        check_range("x", 10, 0, 9)


def test_number():
    found = check_number("x", np.array(3), 0, 9)
    assert isinstance(found, float)
    assert found == 3.0
    assert check_number("x", "3", 0, 9) == 3.0
    for bad in (True, np.bool_(False), [3.0], np.array([3.0])):
        with pytest.raises(LiftError, match="is not one number; allowed: 0 to 9 vol"):
            check_number("x", bad, 0, 9, "vol")
    for bad in (np.nan, np.inf, 10, 10**400, "much"):
        with pytest.raises(LiftError, match=r"^x "):
            check_number("x", bad, 0, 9)


def test_choice():
    assert check_choice("mixture", "cream", ["cream", "powder"]) == "cream"
    assert check_choice("mixture", "cream", {"cream": 1}) == "cream"
    with pytest.raises(LiftError) as caught:
        check_choice("mixture", "crem", iter(["cream", "powder"]))
    assert str(caught.value) == ("mixture 'crem' is not one of cream, powder; did you mean cream?")
    with pytest.raises(LiftError, match=r"^mixture 'xyz' is not one of cream, powder$"):
        check_choice("mixture", "xyz", ["cream", "powder"])
    with pytest.raises(LiftError, match="mixture 3 is not one of"):
        check_choice("mixture", 3, ["cream"])
