"""Photographs computed from published parts, and what is measured in them.

Sources: camera sensitivities, National Physical Laboratory, as colour-science carries them;
reflectances of the classic chart (N. Ohta 1997), likewise; illuminants of CIE 15:2018; the curve of
IEC 61966-2-1; JPEG by Pillow. Hair is this model's: what is checked is the measuring, not hair.
"""

import numpy as np
import pytest

from lift.make.photograph import CAMERAS, LIGHTS, Scene, photograph, signals, some_hair
from lift.make.photographs import even_scene, study, uneven_scene
from lift.optics.colorimetry import delta_e_2000, white, xyz_to_lab
from lift.photo.correction import Correction, nearness, root_polynomial
from lift.photo.editions import EDITIONS, patch_lab, patch_reflectance, patch_xyz
from lift.photo.measure import open_chart
from lift.practice.trial.observation import PHOTOGRAPH_SD

BOUNDS = {"D65": (1.1, 1.5, 2.2), "LED-B3": (1.1, 1.5, 2.5), "A": (1.8, 2.5, 3.6)}
"""Of dE00 in one even light: median, 95 in 100, and 95 in 100 with half a percent of noise. What a
first calculation with the same parts gave."""


@pytest.fixture(scope="module")
def plain():
    """In one even light, without noise and with half a percent."""
    return {noise: study(even_scene, 48, noise=noise) for noise in (0.0, 0.005)}


@pytest.mark.parametrize("light", LIGHTS)
def test_bounds_hold_in_each_light(plain, light):
    median, most, noisy = BOUNDS[light]
    errors = plain[0.0].errors[plain[0.0].light == light]
    assert np.median(errors) <= median
    assert np.quantile(errors, 0.95) <= most
    assert np.quantile(plain[0.005].errors[plain[0.005].light == light], 0.95) <= noisy


@pytest.mark.parametrize("camera", CAMERAS)
@pytest.mark.parametrize("light", LIGHTS)
def test_bounds_hold_with_each_camera(plain, camera, light):
    found = plain[0.0]
    errors = found.errors[(found.light == light) & (found.camera == camera)]
    assert np.median(errors) <= BOUNDS[light][0]


def test_what_is_known_of_hair_brings_it_nearer(plain):
    for found in plain.values():
        assert np.median(found.like_errors) < 0.6 * np.median(found.errors)


def test_both_estimates_agree_on_hair(plain):
    """And hardly any hair that the model can have is taken for something else."""
    told = [code for found in plain.values() for codes in found.told for code in codes]
    assert told.count("photo.warning.unlike_hair") <= 2
    for found in plain.values():
        assert np.quantile(delta_e_2000(found.lab, found.like), 0.95) < 2.5


CASES = [(e, light, camera) for e in EDITIONS for light in LIGHTS for camera in CAMERAS]


@pytest.mark.parametrize(("edition", "light", "camera"), CASES)
def test_the_chart_alone_gives_back_its_colours(edition, light, camera):
    """Each patch left out in turn, by the camera's own signals; nothing is drawn."""
    seen = signals(patch_reflectance(edition), light, camera)
    found = Correction(seen, patch_xyz(edition))
    errors = delta_e_2000(found.left_out, patch_lab(edition))
    assert np.median(errors) < 1.6
    assert np.median(errors[18:]) < 1.4
    # With none left out they are nearer still.
    own = [delta_e_2000(found.lab(one), lab) for one, lab in zip(seen, found.known, strict=True)]
    assert np.median(own) < np.median(errors)


def test_leaving_out_is_leaving_out():
    """All at once, against least squares over 23 patches by another way."""
    seen, xyz, lab = signals(patch_reflectance(), "LED-B3", 1), patch_xyz(), patch_lab()
    whole = Correction(seen, xyz).left_out
    scale = np.maximum(xyz / white(), 0.01) ** (-2.0 / 3.0) / white()
    for number in (0, 6, 18, 23):
        others = np.arange(24) != number
        weight = np.sqrt(nearness(lab[others], lab[number]))[:, None] * scale[others]
        found = []
        for roots in (3, 6):
            terms = root_polynomial(seen, roots)
            columns = [
                np.linalg.lstsq(terms[others] * w[:, None], x * w, rcond=None)[0]
                for x, w in zip(xyz[others].T, weight.T, strict=True)
            ]
            found.append(xyz_to_lab(terms[number] @ np.stack(columns, axis=-1), white()))
        np.testing.assert_allclose(np.mean(found, axis=0), whole[number], atol=0.05)


def test_the_chart_photographed_comes_out_as_it_is():
    taken = photograph(Scene(some_hair(1)[0], noise=0.002, vignetting=0.2, tilt=0.03))
    assert open_chart(taken.pixels, taken.chart).left_out.median < 1.5


@pytest.mark.parametrize("mixed", ["D55", "D50"])
def test_intervals_hold_where_daylight_of_two_colours_mixes(mixed):
    """It is told in each picture, as it is not in one light; and corrected, so that bounds hold."""
    found = study(uneven_scene, 24, light="D65", mixed=mixed)
    assert all("photo.warning.mixed" in told for told in found.told)
    assert np.median(found.errors) <= BOUNDS["D65"][0]
    assert 0.85 <= found.inside()[0].mean() <= 0.97


def test_one_light_is_not_taken_for_two(plain):
    told = [code for found in plain.values() for codes in found.told for code in codes]
    assert told.count("photo.warning.mixed") == 0


@pytest.mark.slow
def test_intervals_hold_what_they_say():
    """Nine in ten: 85 to 95 in 100 of 1000 colours on each axis, in 500 pictures.

    Of uneven light, tilt, tone curves, noise up to half a percent, JPEG; all three lights, both
    cameras.
    """
    found = study(uneven_scene, 500, size=(280, 172))
    first, like, differs = found.inside()
    held = first.mean(axis=(0, 1))
    assert (held >= 0.85).all(), held
    assert (held <= 0.95).all(), held
    assert 0.80 <= like.mean() <= 0.97
    # What a look by photograph is weighed by, before one is taken.
    blonde = np.median(found.sd[found.true[..., 0] > 45.0], axis=0)
    np.testing.assert_allclose(blonde, PHOTOGRAPH_SD, atol=0.1)
    # A difference within one picture is told more surely, and no less truly.
    assert differs.mean() >= 0.85
    both = np.hypot(found.sd[:, 0], found.sd[:, 1])
    near = delta_e_2000(found.lab[:, 0], found.lab[:, 1]) < 10.0
    assert np.median((found.differs_sd / both)[near]) < 0.6
    assert np.median(found.errors) < 1.1
    assert np.quantile(found.errors, 0.95) < 2.0
