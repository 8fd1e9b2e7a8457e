"""How a mixture weakens, and the fits of its fade and of its loss."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.chemistry.depletion import fit_fade, fit_loss, second_order_left, strength_left
from lift.errors import LiftError

TIMES = np.array([0.0, 15.0, 30.0, 60.0, 120.0])


def test_values():
    assert strength_left(0.0, 40.0) == 1.0
    assert strength_left(40.0, 40.0) == pytest.approx(np.exp(-1.0), rel=1e-15)
    assert strength_left(1e6, np.inf) == 1.0
    assert strength_left(1e6, 1e-3) == 0.0


def test_values_of_second_order():
    """1/c = 1/c0 + k t: half is left when k c0 t is 1, whatever the strength."""
    assert second_order_left(0.0, 6.0, 0.001) == 1.0
    assert second_order_left(100.0, 5.0, 0.002) == 0.5
    assert second_order_left(1e6, 6.0, 0.0) == 1.0
    left = second_order_left(TIMES, 6.0, 0.001)
    np.testing.assert_allclose(1.0 / (6.0 * left), 1.0 / 6.0 + 0.001 * TIMES, rtol=1e-15)


def test_broadcasting():
    assert strength_left(TIMES, [[20.0], [40.0]]).shape == (2, 5)
    assert strength_left(5.0, 40.0).shape == ()
    assert strength_left([], 40.0).shape == (0,)
    assert second_order_left(TIMES, [[3.0], [6.0]], 0.001).shape == (2, 5)
    assert second_order_left([], 6.0, 0.001).shape == (0,)


@pytest.mark.parametrize("bad", [np.nan, -1.0, [1.0, np.nan], "soon", None])
def test_bad_input_is_refused(bad):
    for call in (
        lambda: fit_fade(bad, TIMES + 1.0),
        lambda: fit_fade(TIMES, bad),
        lambda: fit_loss(bad, TIMES + 1.0),
        lambda: fit_loss(TIMES, bad),
    ):
        with pytest.raises(LiftError):
            call()


def test_nan_stays_where_it_is():
    assert np.isnan(strength_left([1.0, np.nan], 40.0)).tolist() == [False, True]
    assert np.isnan(strength_left(1.0, [40.0, np.nan])).tolist() == [False, True]
    assert np.isnan(second_order_left(1.0, [6.0, np.nan], 0.001)).tolist() == [False, True]
    assert second_order_left(np.inf, 6.0, 0.001) == 0.0


@pytest.mark.parametrize("fit", [fit_fade, fit_loss])
def test_fit_needs_a_fade_to_find(fit):
    with pytest.raises(LiftError, match="at least 3"):
        fit([0.0, 10.0], [6.0, 5.0])
    with pytest.raises(LiftError, match="3 times and 2 strengths"):
        fit([0.0, 10.0, 20.0], [6.0, 5.0])
    with pytest.raises(LiftError, match="different times"):
        fit([5.0, 5.0, 5.0], [6.0, 5.0, 4.0])
    with pytest.raises(LiftError, match="do not fall"):
        fit(TIMES, np.full(5, 6.0))
    with pytest.raises(LiftError, match="do not fall"):
        fit(TIMES, 6.0 + 0.01 * TIMES)
    with pytest.raises(LiftError, match="strength"):
        fit(TIMES, [6.0, 5.0, 4.0, 0.0, 1.0])


@given(st.floats(0.0, 1e4), st.floats(0.0, 1e4), st.floats(1e-3, 1e5))
def test_strength_never_rises(one, other, fade):
    low, high = sorted((one, other))
    assert 0.0 <= strength_left(high, fade) <= strength_left(low, fade) <= 1.0


@given(st.floats(10.0, 5e3), st.floats(1e-3, 1e3))
def test_fit_finds_what_made_the_data(fade, initial):
    found, start, rms = fit_fade(TIMES, initial * strength_left(TIMES, fade))
    assert found == pytest.approx(fade, rel=1e-6)
    assert start == pytest.approx(initial, rel=1e-6)
    assert rms < 1e-6 * initial


def test_fit_is_in_the_units_given():
    """Hours and mol/L give the same fade as minutes and percent."""
    noisy = 6.0 * strength_left(TIMES, 300.0) + np.array([0.05, -0.04, 0.02, -0.03, 0.01])
    fade, initial, rms = fit_fade(TIMES, noisy)
    in_hours = fit_fade(TIMES / 60.0, noisy / 3.4)
    np.testing.assert_allclose(in_hours, (fade / 60.0, initial / 3.4, rms / 3.4), rtol=1e-6)


def test_fit_is_least_squares_of_the_strengths_themselves():
    noisy = 6.0 * strength_left(TIMES, 80.0) + np.array([0.05, -0.04, 0.02, -0.03, 0.1])
    fade, initial, rms = fit_fade(TIMES, noisy)
    for other_fade, other_initial in ((fade * 1.01, initial), (fade, initial * 1.001)):
        misfit = other_initial * strength_left(TIMES, other_fade) - noisy
        assert np.sqrt(np.mean(misfit**2)) > rms


@given(st.floats(1e-6, 0.05), st.floats(1e-3, 1e3))
def test_fit_of_second_order_finds_what_made_the_data(loss, initial):
    seen = initial * second_order_left(TIMES, initial, loss / initial)
    found, start, rms = fit_loss(TIMES, seen)
    assert found * initial == pytest.approx(loss, rel=1e-5)
    assert start == pytest.approx(initial, rel=1e-6)
    assert rms < 1e-6 * initial


def test_each_law_fits_its_own_strengths_better():
    exponential = 6.0 * strength_left(TIMES, 150.0)
    second = 6.0 * second_order_left(TIMES, 6.0, 0.0012)
    assert fit_fade(TIMES, exponential)[2] < 1e-6 < 0.01 < fit_loss(TIMES, exponential)[2]
    assert fit_loss(TIMES, second)[2] < 1e-6 < 0.01 < fit_fade(TIMES, second)[2]


def test_second_order_in_other_units():
    """A constant per mol/L is that per percent over their ratio."""
    seen = 6.0 * second_order_left(TIMES, 6.0, 0.001) + np.array([0.0, 0.02, -0.03, 0.01, 0.02])
    loss, initial, rms = fit_loss(TIMES, seen)
    other = fit_loss(TIMES / 60.0, seen / 3.4)
    np.testing.assert_allclose(other, (loss * 3.4 * 60.0, initial / 3.4, rms / 3.4), rtol=1e-6)
