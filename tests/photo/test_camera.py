"""What is found of camera and light is what a computed photograph was taken with."""

from dataclasses import replace

import numpy as np
import pytest

from lift.make.photograph import Scene, photograph, sensitivities, some_hair
from lift.optics import adapter
from lift.photo.camera import Camera
from lift.photo.measure import open_chart

SCENE = Scene(some_hair(1, seed=5)[0], noise=0.001, seed=2)


def camera(**change):
    taken = photograph(replace(SCENE, **change))
    return open_chart(taken.pixels, taken.chart).camera


def test_even_light_and_the_nominal_curve_need_no_terms():
    assert np.abs(camera().theta[:3]).max() < 0.03
    assert np.abs(camera().theta[3:]).max() < 0.03


@pytest.mark.parametrize("light", ["D65", "LED-B3", "A"])
def test_unevenness_is_found(light):
    """In the logarithm: slope over width, and vignetting over half the diagonal."""
    found = camera(light=light, slope=0.2, vignetting=0.3).theta
    width, height = SCENE.size
    across = 0.2 * np.hypot(width, height) / (2.0 * width)
    assert found[3] == pytest.approx(across, abs=0.03)
    assert found[4] == pytest.approx(0.0, abs=0.03)
    assert found[5] == pytest.approx(-0.3, abs=0.06)


@pytest.mark.parametrize("tone", [0.85, 1.0, 1.2])
def test_a_tone_curve_is_undone(tone):
    """Light of the greys comes out in the ratios that they were made in."""
    taken = photograph(replace(SCENE, tone=tone))
    found = open_chart(taken.pixels, taken.chart)
    known = found.correction.xyz[-6:, 1]
    light = found.camera.light[-6:, 1]
    np.testing.assert_allclose(light / light[0], known / known[0], rtol=0.04)


def test_sensitivities_tell_the_light_of_other_spectra():
    """They were found from patches; hair is none of them."""
    taken = photograph(SCENE)
    found = open_chart(taken.pixels, taken.chart).camera.sensitivity
    hair = some_hair(40, seed=9)
    power = adapter.illuminant("D65", 380.0, 780.0, 5.0)
    seen = hair @ (sensitivities(0) * power[:, None])
    # The camera's own matrix stands between: three channels, mixed.
    mixed, *_ = np.linalg.lstsq(seen, hair @ found, rcond=None)
    np.testing.assert_allclose(hair @ found, seen @ mixed, rtol=0.03)


def test_terms_take_any_shape():
    log_light, place = np.zeros((4, 5, 3)), np.zeros((4, 5, 2))
    assert Camera.terms(log_light, place).shape == (4, 5, 3, 10)
    assert np.abs(Camera.terms(log_light, place)).max() == 0.0


def test_uncertainty_grows_away_from_the_chart(opened):
    on_chart = opened.camera.chart_terms.mean(axis=0)
    sizes = []
    for across in (0.3, 0.6, 0.9):
        beyond = Camera.terms(np.full(3, -1.0), np.array([across, 0.0])) - on_chart
        sizes.append(np.trace(beyond @ opened.camera.covariance @ beyond.T))
    assert sizes == sorted(sizes)
