"""Absorption shapes of the fibre."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.optics.pigments import absorption, exponential_shape, fit_exponential

NM = np.linspace(380.0, 780.0, 9)


def test_shape_is_one_at_550_nm_and_falls_by_e_over_one_over_the_slope():
    assert exponential_shape(550.0, 0.0058) == 1.0
    assert exponential_shape(450.0, 0.01) == pytest.approx(np.e)
    assert exponential_shape(650.0, 0.01) == pytest.approx(1.0 / np.e)
    assert np.all(exponential_shape(NM, 0.0) == 1.0)


def test_shapes_broadcast():
    slopes = np.array([[0.005], [0.01]])
    shape = exponential_shape(NM, slopes)
    assert shape.shape == (2, 9)
    for i in range(2):
        np.testing.assert_array_equal(shape[i], exponential_shape(NM, slopes[i, 0]))


def test_nan_stays_nan():
    assert np.isnan(exponential_shape([np.nan, 550.0], 0.01)).tolist() == [True, False]
    assert np.isnan(exponential_shape(NM[NM != 550.0], np.nan)).all()
    assert exponential_shape(np.inf, 0.01) == 0.0


def test_absorption_is_a_sum_over_absorbers():
    amounts, slopes = np.array([2.0, 0.5]), np.array([0.006, 0.009])
    total = absorption(NM, amounts, slopes)
    expected = 2.0 * exponential_shape(NM, 0.006) + 0.5 * exponential_shape(NM, 0.009)
    np.testing.assert_allclose(total, expected, rtol=1e-14)
    assert absorption([550.0], amounts, slopes) == pytest.approx(2.5)


def test_absorption_broadcasts_and_scales():
    amounts = np.random.default_rng(2).uniform(0.0, 3.0, (4, 5, 3))
    slopes = [0.006, 0.009, 0.014]
    total = absorption(NM, amounts, slopes)
    assert total.shape == (4, 5, 9)
    np.testing.assert_allclose(total[2, 3], absorption(NM, amounts[2, 3], slopes), rtol=1e-13)
    np.testing.assert_allclose(absorption(NM, 10.0 * amounts, slopes), 10.0 * total, rtol=1e-13)
    assert np.all(absorption(NM, np.zeros(3), slopes) == 0.0)
    assert np.isnan(absorption(NM, np.array([np.nan, 1.0, 1.0]), slopes)).all()


@given(st.floats(1e-6, 1e6), st.floats(-0.02, 0.02))
def test_fit_finds_an_exact_exponential(value, slope):
    found = fit_exponential(NM, value * exponential_shape(NM, slope))
    assert found[0] == pytest.approx(value, rel=1e-9)
    assert found[1] == pytest.approx(slope, abs=1e-12)
    assert found[2] == pytest.approx(0.0, abs=1e-9)


def test_fit_is_the_least_squares_line_of_the_logarithm():
    rng = np.random.default_rng(3)
    measured = np.exp(-0.006 * (NM - 550.0) + rng.normal(0.0, 0.1, NM.size))
    value, slope, rms = fit_exponential(NM, measured)
    design = np.stack([np.ones(NM.size), -(NM - 550.0)], axis=-1)
    best, *_ = np.linalg.lstsq(design, np.log(measured), rcond=None)
    assert np.log(value) == pytest.approx(best[0])
    assert slope == pytest.approx(best[1])
    assert rms == pytest.approx(np.sqrt(np.mean((np.log(measured) - design @ best) ** 2)))


def test_fit_knows_no_unit():
    measured = np.exp(-0.006 * (NM - 550.0)) + 0.01
    one, other = fit_exponential(NM, measured), fit_exponential(NM, 1e3 * measured)
    assert other[0] == pytest.approx(1e3 * one[0])
    assert other[1:] == pytest.approx(one[1:])


@pytest.mark.parametrize("bad", [0.0, -1.0, np.nan, np.inf])
def test_fit_refuses_what_has_no_logarithm(bad):
    with pytest.raises(LiftError, match="extinction"):
        fit_exponential(NM, [*np.ones(8), bad])


@pytest.mark.parametrize(
    ("wavelengths", "extinction"),
    [([500.0, 600.0], [2.0, 1.0]), ([550.0] * 4, [2.0, 1.0, 1.0, 3.0]), (NM, np.ones(5))],
)
def test_fit_refuses_too_few_points(wavelengths, extinction):
    with pytest.raises(LiftError, match="at least 3"):
        fit_exponential(wavelengths, extinction)


@pytest.mark.parametrize("bad", [np.nan, np.inf, 0.0, -500.0])
def test_fit_refuses_what_is_no_wavelength(bad):
    with pytest.raises(LiftError, match="wavelength"):
        fit_exponential([*NM[:-1], bad], np.ones(9))
