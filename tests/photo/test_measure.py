"""A colour from a photograph: what comes out, what is told, what differs."""

from dataclasses import replace

import numpy as np
import pytest

import lift
from lift.errors import LiftError
from lift.make.photograph import Scene, as_jpeg, photograph, some_hair
from lift.model.natural import natural_path
from lift.model.stages import named_stage
from lift.model.strand import lightened, natural_pigment, strand_lab, strand_reflectance
from lift.optics import adapter
from lift.optics.colorimetry import delta_e_2000, reflectance_to_lab
from lift.optics.weights import WAVELENGTHS_NM
from lift.photo.measure import CAUTIONS, measure, measure_difference, open_chart

SCENE = Scene(some_hair(1, seed=5)[0], noise=0.002, seed=2)


def codes(found):
    return {told.code for told in found.warnings}


def measured(scene):
    taken = photograph(scene)
    return measure(taken.pixels, taken.chart, taken.hair[0])


def test_both_estimates_come_near(opened, taken, hair):
    for lock, box in zip(hair, taken.hair, strict=True):
        found = opened.measure(box)
        true = reflectance_to_lab(lock)
        assert delta_e_2000(found.lab, true) < 2.0
        assert delta_e_2000(found.pigment.lab, true) < 1.5
        assert found.apart < 2.5
        assert found.pigment.plausible
        assert found.warnings == ()
        assert found.cautions == CAUTIONS
        assert (np.abs(found.lab - true) < 3.0 * found.sd).all()
        assert found.level == pytest.approx(
            natural_path(found.curves).level_of_lightness(found.lab[0]).item()
        )


def test_a_file_and_its_pixels_tell_the_same(taken, opened, tmp_path):
    path = tmp_path / "photo.png"
    from PIL import Image

    Image.fromarray(taken.pixels).save(path)
    found = lift.measure(path, taken.chart, taken.hair[0])
    np.testing.assert_array_equal(found.lab, opened.measure(taken.hair[0]).lab)


def test_what_is_left_in_the_fibre_is_found():
    """Pigment, level and stage of hair that the model made; the second estimate knows its kind."""
    curves = lift.default_curves()
    values = curves.values
    state = lightened(natural_pigment(3.0, values["pheomelanin_share"], values), 1.5, values)
    scene = replace(SCENE, hair=strand_reflectance(state, values))
    found = measured(scene).pigment
    true = strand_lab(state, values)
    path = natural_path(curves)
    assert found.stage == named_stage(true, path.warmth(true), found.level, curves) == "red"
    assert found.pigment.eumelanin == pytest.approx(float(state.eumelanin), rel=0.4)
    whole = sum(float(amount) for amount in state.amounts)
    assert sum(float(a) for a in found.pigment.amounts) == pytest.approx(whole, rel=0.15)


def test_natural_hair_is_called_natural():
    curves = lift.default_curves()
    state = natural_pigment(6.0, curves.values["pheomelanin_share"], curves.values)
    scene = replace(SCENE, hair=strand_reflectance(state, curves.values))
    assert measured(scene).level == pytest.approx(6.0, abs=0.2)


@pytest.mark.parametrize("edition", ["ohta", "average"])
def test_the_edition_matters_by_what_charts_differ(edition):
    taken = photograph(replace(SCENE, edition=edition))
    right, wrong = (
        measure(taken.pixels, taken.chart, taken.hair[0], edition=each)
        for each in (edition, {"ohta": "average", "average": "ohta"}[edition])
    )
    true = reflectance_to_lab(SCENE.hair)
    assert delta_e_2000(right.lab, true) < delta_e_2000(wrong.lab, true) + 0.3
    assert right.edition == edition
    assert delta_e_2000(right.lab, wrong.lab) < 3.0


# Differences.


def test_a_difference_is_told_more_surely_than_either_colour():
    near = some_hair(1, seed=5)[0]
    taken = photograph(replace(SCENE, hair=np.stack([near, near**0.95])))
    found = measure_difference(taken.pixels, taken.chart, *taken.hair)
    true = reflectance_to_lab(near**0.95) - reflectance_to_lab(near)
    both = np.hypot(found.first.sd, found.second.sd)
    assert (found.sd < both * (0.8, 0.4, 0.4)).all()
    assert (np.abs(found.lab - true) < 3.0 * found.sd).all()
    np.testing.assert_allclose(found.lab, found.second.lab - found.first.lab)
    assert found.de00 == pytest.approx(delta_e_2000(found.first.lab, found.second.lab).item())


def test_the_same_place_does_not_differ(taken):
    found = lift.measure_difference(taken.pixels, taken.chart, taken.hair[0], taken.hair[0])
    assert found.de00 == 0.0


# What it cannot know.


def test_another_light_on_the_hair_is_told():
    assert "photo.warning.unlike_hair" in codes(measured(replace(SCENE, hair_light="A")))


@pytest.mark.parametrize("light", ["D55", "D50", "B"])
def test_a_little_mixed_light_is_told_and_corrected(light):
    """Daylight that is warmer on the hair's side: a window and a sunlit wall."""
    scene = replace(SCENE, mixed=light)
    found = measured(scene)
    assert "photo.warning.mixed" in codes(found)
    assert delta_e_2000(found.lab, reflectance_to_lab(scene.hair)) < 2.0


@pytest.mark.parametrize(("light", "mixed"), [("D65", "A"), ("LED-B3", "D65"), ("A", "LED-B3")])
def test_mixed_light_is_refused_and_named(light, mixed):
    with pytest.raises(LiftError, match="two colours") as refused:
        measured(replace(SCENE, light=light, mixed=mixed, exposure=0.6))
    assert refused.value.note.code == "photo.mixed"


def test_a_filter_is_told_or_refused(taken):
    """Warm lights and cool shadows, as filters have them."""
    share = taken.pixels / 255.0
    warm = share + 0.15 * share[..., [1]] * np.array([1.0, 0.0, -1.0]) * (share[..., [1]] - 0.4)
    pixels = np.rint(255.0 * np.clip(warm, 0.0, 1.0)).astype(np.uint8)
    found = measure(pixels, taken.chart, taken.hair[0])
    assert "photo.warning.tinted" in codes(found)


def test_a_poster_is_refused(taken):
    """Colours reduced to a few: greys no longer darken from patch to patch."""
    pixels = (taken.pixels // 86) * 86 + 40
    with pytest.raises(LiftError) as refused:
        open_chart(pixels, taken.chart)
    assert refused.value.note.code == "photo.greys"


def test_saturated_colours_are_refused(taken):
    """A filter that makes colours stronger empties a channel of many."""
    grey = taken.pixels.mean(axis=-1, keepdims=True)
    pixels = np.clip(grey + 2.2 * (taken.pixels - grey), 0, 255).astype(np.uint8)
    with pytest.raises(LiftError) as refused:
        open_chart(pixels, taken.chart)
    assert refused.value.note.code == "photo.too_many_lost"


def test_strong_compression_is_told(taken):
    found = measure(as_jpeg(taken.pixels, 25), taken.chart, taken.hair[0])
    assert "photo.warning.compressed" in codes(found)


def test_light_and_dark_side_by_side_are_told(taken):
    pixels = taken.pixels.copy()
    (left, top), (right, bottom) = taken.hair[0].astype(int)
    random = np.random.default_rng(4)
    bright = random.random((bottom - top, right - left, 1)) < 0.5
    dim = pixels[top:bottom, left:right] // 2
    pixels[top:bottom, left:right] = np.where(bright, dim, pixels[top:bottom, left:right])
    found = measure(pixels, taken.chart, taken.hair[0])
    assert "photo.warning.uneven_hair" in codes(found)


def flat_like(lab_of, seed):
    """Paint of nearly a hair's colour from a few bands: another spectrum."""
    random = np.random.default_rng(seed)
    target = reflectance_to_lab(lab_of)
    bands = np.stack(
        [np.exp(-(((WAVELENGTHS_NM - at) / 38.0) ** 2)) for at in (445.0, 545.0, 625.0)], axis=0
    )
    best = np.full(3, 0.3)
    for size in np.geomspace(0.2, 0.002, 400):
        trial = np.clip(best + size * random.standard_normal((30, 3)), 0.01, 1.0)
        off = np.linalg.norm(reflectance_to_lab(trial @ bands) - target, axis=1)
        if off.min() < np.linalg.norm(reflectance_to_lab(best @ bands) - target):
            best = trial[off.argmin()]
    return best @ bands


def test_paint_is_told_from_hair():
    """Spectra with steps, of the colour that hair has, in a light and camera of their own."""
    paint = flat_like(SCENE.hair, 1)
    assert delta_e_2000(reflectance_to_lab(paint), reflectance_to_lab(SCENE.hair)) < 2.0
    found = measured(replace(SCENE, hair=paint))
    assert "photo.warning.unlike_hair" in codes(found)


def test_skin_is_told_from_hair():
    """Skin as colour-science carries it (its chart of skin and of common things)."""
    spectra = adapter.colour_science().SDS_COLOURCHECKERS["PMC"]
    told = 0
    names = [*spectra][:6]
    for name in names:
        skin = np.interp(WAVELENGTHS_NM, spectra[name].wavelengths, spectra[name].values)
        told += "photo.warning.unlike_hair" in codes(measured(replace(SCENE, hair=skin)))
    assert told >= len(names) - 1
