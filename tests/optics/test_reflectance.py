"""Reflectance of a mass of fibres."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.optics.reflectance import (
    diffusion,
    hair_reflectance,
    surface_reflectance,
)


def test_diffusion_is_the_published_polynomial():
    """D(b) = 5.969 - 0.215 b + 2.532 b^2 - 10.73 b^3 + 5.574 b^4 + 0.245 b^5, Chiang et al."""
    assert diffusion(0.0) == 5.969
    assert diffusion(1.0) == pytest.approx(5.969 - 0.215 + 2.532 - 10.73 + 5.574 + 0.245)
    b = 0.7
    assert diffusion(b) == pytest.approx(
        5.969 - 0.215 * b + 2.532 * b**2 - 10.73 * b**3 + 5.574 * b**4 + 0.245 * b**5, rel=1e-14
    )
    grid = diffusion(np.linspace(0.0, 1.0, 6).reshape(2, 3))
    assert grid.shape == (2, 3)
    assert grid[1, 2] == diffusion(1.0)


def test_nan_roughness_stays_where_it_is():
    assert np.isnan(diffusion([0.3, np.nan])).tolist() == [False, True]


def test_surface_falls_with_wavelength_from_its_value_at_550():
    surface = surface_reflectance([450.0, 550.0, 650.0], 0.02, 0.001)
    np.testing.assert_allclose(surface, [0.02 * np.exp(0.1), 0.02, 0.02 * np.exp(-0.1)])
    assert np.isnan(surface_reflectance([550.0], np.nan, 0.001)).all()


def test_reflectance_values():
    """Rs + (1 - Rs) exp(-D sqrt(sigma)) for sigma 0, 0.25 and far too much."""
    found = hair_reflectance([0.0, 0.25, 1e6], 6.0, 0.04)
    np.testing.assert_allclose(found, [1.0, 0.04 + 0.96 * np.exp(-3.0), 0.04], rtol=1e-14)


def test_only_the_path_squared_times_absorption_counts():
    sigma = np.array([0.1, 0.5, 2.0])
    np.testing.assert_allclose(
        hair_reflectance(4.0 * sigma, 3.0, 0.02), hair_reflectance(sigma, 6.0, 0.02), rtol=1e-13
    )


def test_reflectance_broadcasts_and_leaves_its_input_alone():
    sigma, surface = np.full((4, 5, 9), 0.3), np.linspace(0.01, 0.05, 9)
    before = sigma.copy()
    found = hair_reflectance(sigma, 5.9, surface)
    assert found.shape == (4, 5, 9)
    np.testing.assert_array_equal(sigma, before)
    np.testing.assert_allclose(found[1, 2, 3], hair_reflectance([0.3], 5.9, surface[3])[0])


def test_reflectance_passes_nan_on():
    found = hair_reflectance([np.nan, 0.1], 5.9, 0.02)
    assert np.isnan(found).tolist() == [True, False]
    assert hair_reflectance([np.inf], 5.9, 0.02) == 0.02


@given(st.lists(st.floats(0.0, 50.0), min_size=1, max_size=9), st.floats(0.0, 0.5))
def test_reflectance_is_a_fraction_and_never_below_the_surface(sigma, surface):
    found = hair_reflectance(sorted(sigma), 5.8884, surface)
    assert np.all((found >= surface - 1e-15) & (found <= 1.0 + 1e-15))
    assert np.all(np.diff(found) <= 1e-15)
