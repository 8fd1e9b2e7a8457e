"""How a mixture weakens, and the fit of its fade."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.chemistry.depletion import fit_fade, strength_left
from lift.errors import LiftError

TIMES = np.array([0.0, 15.0, 30.0, 60.0, 120.0])


def test_values():
    assert strength_left(0.0, 40.0) == 1.0
    assert strength_left(40.0, 40.0) == pytest.approx(np.exp(-1.0), rel=1e-15)
    assert strength_left(1e6, np.inf) == 1.0
    assert strength_left(1e6, 1e-3) == 0.0


def test_broadcasting():
    assert strength_left(TIMES, [[20.0], [40.0]]).shape == (2, 5)
    assert strength_left(5.0, 40.0).shape == ()
    assert strength_left([], 40.0).shape == (0,)


@pytest.mark.parametrize("bad", [np.nan, -1.0, [1.0, np.nan], "soon", None])
def test_bad_input_is_refused(bad):
    for call in (
        lambda: fit_fade(bad, TIMES + 1.0),
        lambda: fit_fade(TIMES, bad),
    ):
        with pytest.raises(LiftError):
            call()


def test_nan_stays_where_it_is():
    assert np.isnan(strength_left([1.0, np.nan], 40.0)).tolist() == [False, True]
    assert np.isnan(strength_left(1.0, [40.0, np.nan])).tolist() == [False, True]


def test_fit_needs_a_fade_to_find():
    with pytest.raises(LiftError, match="at least 3"):
        fit_fade([0.0, 10.0], [6.0, 5.0])
    with pytest.raises(LiftError, match="3 times and 2 strengths"):
        fit_fade([0.0, 10.0, 20.0], [6.0, 5.0])
    with pytest.raises(LiftError, match="different times"):
        fit_fade([5.0, 5.0, 5.0], [6.0, 5.0, 4.0])
    with pytest.raises(LiftError, match="do not fall"):
        fit_fade(TIMES, np.full(5, 6.0))
    with pytest.raises(LiftError, match="do not fall"):
        fit_fade(TIMES, 6.0 + 0.01 * TIMES)
    with pytest.raises(LiftError, match="strength"):
        fit_fade(TIMES, [6.0, 5.0, 4.0, 0.0, 1.0])


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
