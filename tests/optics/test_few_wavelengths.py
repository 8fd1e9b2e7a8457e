"""Colour of smooth spectra from few wavelengths, against the sum over all of them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.model.curves import default_curves
from lift.model.strand import lightened, natural_pigment, strand_lab, strand_reflectance
from lift.optics.colorimetry import reflectance_to_lab, white
from lift.optics.dyes import palette
from lift.optics.few_wavelengths import few_to_lab, few_wavelengths, few_weights
from lift.optics.weights import WAVELENGTHS_NM, weights

VALUES = default_curves().values


def hair(count=3000):
    random = np.random.default_rng(4)
    natural = natural_pigment(random.uniform(0, 10, count), random.random(count), VALUES)
    return lightened(natural, random.exponential(2.0, count), VALUES)


def off(pigment, illuminant="D65", **more):
    whole = reflectance_to_lab(strand_reflectance(pigment, VALUES, **more), illuminant)
    return np.abs(strand_lab(pigment, VALUES, illuminant=illuminant, **more) - whole).max()


@pytest.mark.parametrize("illuminant", ["D65", "A", "LED-B1", "LED-RGB1"])
def test_undyed_hair_is_the_same_as_from_all_wavelengths(illuminant):
    assert off(hair(), illuminant, grey_percent=30.0) < 1e-9


@pytest.mark.parametrize("dye", sorted(palette()))
def test_dyed_hair_in_daylight(dye):
    assert off(hair(), tone={dye: np.linspace(0, 6, 3000)}) < 2e-6


def test_the_heaviest_dyeing_there_is():
    assert off(hair(), tone={dye: np.linspace(0, 60, 3000) for dye in palette()}) < 3e-4


@pytest.mark.parametrize("count", [4, 24, 36, 81])
def test_weights_sum_to_the_white(count):
    np.testing.assert_allclose(few_weights(count).sum(axis=0), white(), rtol=1e-12)
    np.testing.assert_allclose(few_to_lab(np.ones(count)), [100, 0, 0], atol=1e-9)


@given(st.lists(st.floats(-1, 1), min_size=1, max_size=12))
def test_polynomials_are_exact(coefficients):
    """A polynomial of lower degree than there are wavelengths loses nothing."""
    grid = (WAVELENGTHS_NM - 580) / 200
    nodes = (few_wavelengths(16) - 580) / 200
    value = np.polynomial.polynomial.polyval
    whole = value(grid, coefficients) @ weights()
    np.testing.assert_allclose(
        value(nodes, coefficients) @ few_weights(16), whole, rtol=1e-9, atol=1e-9
    )


def test_wavelengths_run_from_end_to_end():
    nodes = few_wavelengths(24)
    assert (nodes[0], nodes[-1], nodes.size) == (380.0, 780.0, 24)
    assert np.all(np.diff(nodes) > 0)


def test_arrays_broadcast_and_nan_stays_where_it_is():
    reflectance = np.full((2, 3, 24), 0.5)
    reflectance[1, 2, 0] = np.nan
    lab = few_to_lab(reflectance)
    assert lab.shape == (2, 3, 3)
    assert np.isnan(lab).any(axis=-1).tolist() == [[False] * 3, [False, False, True]]


def test_the_dark_branch_of_cielab_is_taken():
    """Surfaces darker than hair ever is: L* is linear there."""
    for level in (0.0, 0.001, 0.0088, 0.0089, 0.02):
        got = few_to_lab(np.full((2, 24), level))
        expected = reflectance_to_lab(np.full((2, 81), level))
        np.testing.assert_allclose(got, expected, atol=1e-9)
