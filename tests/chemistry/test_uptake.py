"""Diffusion into a fibre, and the dose it receives while the mixture weakens."""

import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.chemistry.uptake import bessel_zeros, contact_dose, cylinder_uptake

TIMES = st.floats(0.0, 1e4)
RATES = st.floats(0.0, 10.0)
FADES = st.floats(1e-3, 1e5) | st.just(np.inf)
SLACK = 1e-12  # rounding of a sum of 40 terms


def test_values():
    assert cylinder_uptake(0.0, 1.0) == 0.0
    assert cylinder_uptake(10.0, 0.0) == 0.0
    assert cylinder_uptake(1e6, 1e3) == pytest.approx(1.0, abs=1e-15)
    # One term is left at D t / r^2 = 1; 5.783185963 is the square of the first zero of J0.
    one_term = 1.0 - 4.0 / 5.783185963 * np.exp(-5.783185963)
    assert cylinder_uptake(60.0, 1 / 60) == pytest.approx(one_term, abs=1e-11)
    assert contact_dose(0.0, 1.0, 40.0) == 0.0
    assert contact_dose(30.0, 0.0, 40.0) == pytest.approx(0.0, abs=1e-14)
    assert contact_dose(30.0, 0.0, np.inf) == pytest.approx(0.0, abs=1e-14)


def test_a_dose_that_never_fades_lags_by_an_eighth():
    """Once diffusion has settled the fibre is r^2 / 8 D behind its surface (Rayleigh's sum)."""
    assert contact_dose(1000.0, 1 / 60, np.inf) == pytest.approx(1000.0 - 60.0 / 8.0, rel=1e-12)


def test_an_instant_fibre_receives_the_surface_dose():
    surface = 40.0 * -np.expm1(-35.0 / 40.0)
    assert contact_dose(35.0, 1e3, 40.0) == pytest.approx(surface, rel=1e-5)


def test_all_that_fades_is_received_in_the_end():
    """The whole integral of a lagged input is that of the input, whatever the rates."""
    for rate in (1e-3, 1 / 60, 0.1):
        assert contact_dose(1e5, rate, 40.0) == pytest.approx(40.0, rel=1e-12)


def test_equal_rates_of_a_term_and_the_fade():
    """The first term answers at 2.404826^2 D/r^2; the dose is smooth where the fade meets it."""
    fade = 60.0 / 2.404825557695773**2
    around = contact_dose(30.0, 1 / 60, fade * np.array([1 - 1e-7, 1.0, 1 + 1e-7]))
    assert around[1] == pytest.approx((around[0] + around[2]) / 2, rel=1e-12)


def test_broadcasting():
    times, rates = np.linspace(0, 60, 7), np.array([[0.005], [0.02], [0.4]])
    fades = np.array([2.0, 40.0, np.inf]).reshape(3, 1, 1)
    assert cylinder_uptake(times, rates).shape == (3, 7)
    assert cylinder_uptake(5.0, 0.1).shape == contact_dose(5.0, 0.1, 40.0).shape == ()
    assert contact_dose([], 0.1, 40.0).shape == (0,)
    doses = contact_dose(times, rates, fades)
    assert doses.shape == (3, 3, 7)
    # Fast and slow fades mix in the whole, not in a single element: both ways must agree.
    for index in np.ndindex(doses.shape):
        single = contact_dose(times[index[2]], rates[index[1], 0], fades[index[0], 0, 0])
        assert doses[index] == pytest.approx(float(single), rel=1e-11)


def test_units_only_ratios_of_times_count():
    times = np.array([0.5, 5.0, 50.0])
    np.testing.assert_allclose(
        cylinder_uptake(times, 1 / 60), cylinder_uptake(times / 60, 1.0), rtol=1e-12
    )
    np.testing.assert_allclose(
        contact_dose(times, 1 / 60, 40.0), 60 * contact_dose(times / 60, 1.0, 40 / 60), rtol=1e-12
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda x: cylinder_uptake(x, 0.1),
        lambda x: cylinder_uptake(1.0, x),
        lambda x: contact_dose(x, 0.1, 40.0),
        lambda x: contact_dose(1.0, x, 40.0),
        lambda x: contact_dose(1.0, 0.1, x),
    ],
)
def test_nan_stays_where_it_is(call):
    found = call([2.0, np.nan])
    assert np.isnan(found).tolist() == [False, True]
    assert found[0] == pytest.approx(float(call(2.0)), rel=1e-12)


@pytest.mark.parametrize("terms", [1, 2, 24, 100])
def test_weights_add_up_at_any_number_of_terms(terms):
    assert cylinder_uptake(1e6, 1e3, terms=terms) == pytest.approx(1.0, abs=1e-12)
    dose = contact_dose(1000.0, 1 / 60, np.inf, terms=terms)
    assert dose == pytest.approx(1000.0 - 60.0 / 8.0, rel=1e-12)


def test_zeros_as_listed_and_as_expanded():
    from scipy.special import jn_zeros

    for count in (1, 6, 7, 1000):
        assert bessel_zeros(count).shape == (count,)
        np.testing.assert_allclose(bessel_zeros(count), jn_zeros(0, count), rtol=0, atol=1e-10)


def test_scipy_stays_unloaded():
    """The main job answers from a cold start without it."""
    code = (
        "import sys; from lift.chemistry import decay, depletion, strength, uptake;"
        "uptake.contact_dose(30.0, 0.02, 40.0); depletion.strength_left(30.0, 40.0);"
        "sys.exit('scipy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@given(TIMES, RATES)
def test_uptake_lies_between_0_and_1(time, rate):
    assert 0.0 <= cylinder_uptake(time, rate) <= 1.0


@given(TIMES, TIMES, RATES)
def test_uptake_never_falls_with_time(one, other, rate):
    low, high = sorted((one, other))
    assert cylinder_uptake(low, rate) <= cylinder_uptake(high, rate) + SLACK


@given(TIMES, RATES, FADES)
def test_dose_lies_between_0_and_that_of_the_surface(time, rate, fade):
    surface = time if np.isinf(fade) else fade * -np.expm1(-time / fade)
    assert 0.0 <= contact_dose(time, rate, fade) <= surface * (1.0 + SLACK)


@given(TIMES, TIMES, RATES, FADES)
def test_dose_never_falls_with_time(one, other, rate, fade):
    low, high = sorted((one, other))
    slack = SLACK * (1.0 + high)
    assert contact_dose(low, rate, fade) <= contact_dose(high, rate, fade) + slack


@given(TIMES, RATES, RATES, FADES)
def test_a_finer_fibre_never_receives_less(time, one, other, fade):
    low, high = sorted((one, other))
    slack = SLACK * (1.0 + time)
    assert contact_dose(time, low, fade) <= contact_dose(time, high, fade) + slack


@given(TIMES, RATES, FADES, FADES)
def test_a_mixture_that_lasts_never_gives_less(time, rate, one, other):
    low, high = sorted((one, other))
    slack = SLACK * (1.0 + time)
    assert contact_dose(time, rate, low) <= contact_dose(time, rate, high) + slack


@given(RATES, FADES)
def test_zero_time_is_zero_dose(rate, fade):
    assert contact_dose(0.0, rate, fade) == 0.0
    assert cylinder_uptake(0.0, rate) == 0.0
