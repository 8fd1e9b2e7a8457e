"""Correction of colour: what is linear is found exactly; each patch without itself."""

import numpy as np
import pytest

from lift.make.photograph import CAMERAS, signals
from lift.photo.correction import LIGHTNESS, METHODS, Correction, nearness, root_polynomial
from lift.photo.editions import patch_lab, patch_reflectance, patch_xyz


def test_roots_of_products_grow_as_light_does():
    light = np.random.default_rng(2).random((5, 4, 3))
    for terms in (3, 6):
        found = root_polynomial(light, terms)
        assert found.shape == (5, 4, terms)
        np.testing.assert_allclose(root_polynomial(3.0 * light, terms), 3.0 * found)


def test_roots_equal_colour_science():
    """Finlayson, Mackiewicz & Hurlbert 2015, second degree, by colour-science."""
    colour = pytest.importorskip("colour")
    light = np.random.default_rng(3).random((7, 3))
    expand = colour.characterisation.polynomial_expansion_Finlayson2015
    expected = expand(light, 2, root_polynomial_expansion=True)
    np.testing.assert_allclose(root_polynomial(light, 6), expected, atol=1e-14)


MATRIX = np.array([[0.6, 0.3, 0.02], [0.3, 0.8, 0.1], [0.1, -0.05, 0.9]])


@pytest.fixture(scope="module")
def linear():
    """A camera whose colours are a matrix away from XYZ."""
    return Correction(patch_xyz() @ MATRIX, patch_xyz())


def test_a_linear_camera_is_corrected_exactly(linear):
    assert linear.errors.max() < 0.05
    for number in (0, 7, 18):
        found = linear.lab(linear.light[number])
        np.testing.assert_allclose(found, patch_lab()[number], atol=0.02)


def test_the_method_is_the_one_by_which_patches_left_out_come_out(linear):
    light = linear.light
    rooted = root_polynomial(light, 6) @ np.vstack([np.linalg.inv(MATRIX), 0.2 * np.eye(3)])
    assert linear.method == "linear"
    assert Correction(light, rooted).method == "root"
    # A measured camera is neither; what is but a little better is not preferred.
    for camera in CAMERAS:
        seen = signals(patch_reflectance(), "D65", camera)
        assert Correction(seen, patch_xyz()).method == next(iter(METHODS))


def test_a_patch_left_out_is_not_used():
    """One patch of a wrong colour spoils others by little, and itself is found as it should be."""
    wrong = patch_xyz().copy()
    wrong[8] *= (1.3, 1.0, 1.0)
    spoilt = Correction(patch_xyz() @ MATRIX, wrong)
    np.testing.assert_allclose(spoilt.left_out[8], patch_lab()[8], atol=0.5)
    assert spoilt.errors.argmax() == 8


def test_near_patches_count_most():
    known = patch_lab()
    weight = nearness(known, known[0])
    assert weight.argmax() == 0
    assert weight[0] == pytest.approx(1.0)
    apart = np.linalg.norm((known - known[0]) * (LIGHTNESS, 1.0, 1.0), axis=1)
    assert (np.diff(weight[np.argsort(apart)]) <= 0.0).all()


def test_the_error_near_a_colour_is_that_of_its_patches(linear):
    off = Correction(linear.light * (1.05, 1.0, 1.0), patch_xyz())
    assert off.error_near(patch_lab()[0]).shape == (3,)
    assert (off.error_near(patch_lab()[0]) >= 0.0).all()
