"""Two first-order decays in a chain."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.chemistry.decay import exponential_slope, mean_decay, two_step_intermediate

EXPOSURES = st.floats(0.0, 1e3)


def test_values():
    assert two_step_intermediate(0.0, 3.0) == 0.0
    assert two_step_intermediate(1.0, 0.0) == pytest.approx(1.0 - np.exp(-1.0), rel=1e-15)
    assert two_step_intermediate(2.0, 2.0) == pytest.approx(2.0 * np.exp(-2.0), rel=1e-15)
    # 1 / (0.5 - 1) (e^-1 - e^-0.5)
    assert two_step_intermediate(1.0, 0.5) == pytest.approx(0.4773024370823822, rel=1e-14)
    assert two_step_intermediate(1e9, 1e9) == 0.0
    assert two_step_intermediate(1e9, 0.0) == pytest.approx(1.0, rel=1e-14)
    assert mean_decay(np.array(0.0)) == 1.0
    assert exponential_slope(np.array(0.0), np.array(0.0)) == 1.0


@pytest.mark.parametrize("gap", [0.0, 1e-300, 1e-16, 1e-12, 1e-8, 1e-4])
def test_nearly_equal_rates_do_not_cancel(gap):
    """Against the Taylor series about equal rates, e^-x (1 - g/2 + g^2/6 - g^3/24)."""
    for first in (1e-3, 1.0, 30.0):
        near = first * (1.0 + gap) - first
        series = first * np.exp(-first) * (1.0 - near / 2 + near**2 / 6 - near**3 / 24)
        assert two_step_intermediate(first, first + near) == pytest.approx(series, rel=1e-13)


def test_broadcasting():
    grid = two_step_intermediate(np.linspace(0, 3, 4)[:, None], np.linspace(0, 2, 5))
    assert grid.shape == (4, 5)
    assert two_step_intermediate(1.0, 2.0).shape == ()
    assert two_step_intermediate([], 1.0).shape == (0,)
    for i, first in enumerate(np.linspace(0, 3, 4)):
        for j, second in enumerate(np.linspace(0, 2, 5)):
            assert grid[i, j] == two_step_intermediate(first, second)


def test_scale_only_exposure_counts():
    """Half the rate for twice the time is the same exposure, so the same amount."""
    rates, time = np.array([0.03, 0.015]), 40.0
    assert two_step_intermediate(*(rates * time)) == two_step_intermediate(
        *(rates / 2 * (time * 2))
    )


def test_result_can_be_put_in_place():
    exposure = np.array([0.0, 0.5, 3.0])
    expected, place = mean_decay(exposure.copy()), np.empty(3)
    assert mean_decay(exposure, out=place) is place
    np.testing.assert_array_equal(place, expected)


def test_nan_stays_where_it_is():
    assert np.isnan(two_step_intermediate([1.0, np.nan], 1.0)).tolist() == [False, True]
    assert np.isnan(two_step_intermediate(1.0, [1.0, np.nan])).tolist() == [False, True]


@given(EXPOSURES, EXPOSURES)
def test_no_more_than_there_was(first, second):
    """B and what is left of A never add up to more than A at the start."""
    amount = float(two_step_intermediate(first, second))
    assert 0.0 <= amount <= -np.expm1(-first) * (1.0 + 1e-12)


@given(EXPOSURES, EXPOSURES, EXPOSURES)
def test_a_faster_second_step_never_leaves_more(first, one, other):
    low, high = sorted((one, other))
    slack = 1.0 + 1e-12
    assert two_step_intermediate(first, high) <= two_step_intermediate(first, low) * slack


@given(EXPOSURES, EXPOSURES)
def test_order_of_the_two_exposures_does_not_change_the_slope(one, other):
    one, other = np.array(one), np.array(other)
    assert exponential_slope(one, other) == exponential_slope(other, one)
