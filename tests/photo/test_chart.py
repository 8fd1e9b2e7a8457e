"""Where patches lie, what is read of them, and every reason to refuse a chart."""

from dataclasses import replace

import numpy as np
import pytest

from lift.errors import LiftError
from lift.make.photograph import Scene, photograph, some_hair
from lift.photo.chart import GAP, chart_places, check_corners, read_patches, to_picture
from lift.photo.editions import EDITIONS, PATCHES, patch_lab, patch_reflectance
from lift.photo.measure import open_chart
from lift.photo.picture import as_picture

SCENE = Scene(some_hair(1, seed=5)[0], tilt=0.02, seed=2)


def test_places_fill_the_chart():
    starts, size = chart_places()
    assert starts.shape == (24, 2)
    np.testing.assert_allclose(starts[0], 0.0)
    np.testing.assert_allclose(starts[-1] + size, 1.0)
    assert (starts[1, 0] - size[0]) / size[0] == pytest.approx(GAP)


def test_a_homography_takes_corners_to_corners_and_back():
    corners = np.array([[10.0, 20], [300, 5], [330, 210], [4, 190]])
    square = np.array([[0.0, 0], [1, 0], [1, 1], [0, 1]])
    np.testing.assert_allclose(to_picture(square, corners), corners, atol=1e-9)
    inside = np.random.default_rng(1).random((20, 2))
    there = to_picture(inside, corners)
    np.testing.assert_allclose(to_picture(there, corners, back=True), inside, atol=1e-9)
    # Lines stay lines: the middle of the diagonals is where they cross.
    cross = to_picture(np.array([0.5, 0.5]), corners)
    for a, b in ((0, 2), (1, 3)):
        along, off = corners[b] - corners[a], cross - corners[a]
        assert along[0] * off[1] - along[1] * off[0] == pytest.approx(0.0, abs=1e-6)


def test_patches_are_read_where_they_lie():
    taken = photograph(replace(SCENE, texture=0.0))
    picture = as_picture(taken.pixels)
    found = read_patches(picture, check_corners(taken.chart, picture))
    assert found.light.shape == found.sd.shape == (24, 3)
    greys = found.light[18:].mean(axis=1)
    assert (np.diff(greys) < 0.0).all()
    # Reflectance of the greys, by the exposure: white 0.9 at 0.8 of full scale.
    expected = patch_reflectance()[18:, 34] * 0.8 / 0.9
    np.testing.assert_allclose(greys, expected, rtol=0.05, atol=0.004)
    # Strong cyan lies outside what sRGB can hold; all else can be used.
    assert [PATCHES[i] for i in np.flatnonzero(~found.good)] in ([], ["cyan"])
    assert found.warnings == ()


@pytest.mark.parametrize("edition", EDITIONS)
def test_editions_are_the_same_chart(edition):
    lab = patch_lab(edition)
    assert lab.shape == (24, 3)
    assert np.abs(lab[18:, 1:]).max() < 3.0
    assert not lab.flags.writeable


def test_an_unknown_edition_is_refused(taken):
    with pytest.raises(LiftError, match="did you mean average"):
        open_chart(taken.pixels, taken.chart, edition="averages")


def moved(corners, by):
    return (np.asarray(corners) + by).tolist()


BAD_CORNERS = {
    "three": (lambda c: c[:3], "photo.no_corners"),
    "words": (lambda c: "here", "photo.no_corners"),
    "nan": (lambda c: [[np.nan, 0], *c[1:].tolist()], "photo.no_corners"),
    "cut off": (lambda c: moved(c, [-40, 0]), "photo.cut_off"),
    "crossed": (lambda c: c[[0, 2, 1, 3]], "photo.corners_crossed"),
    "counterclockwise": (lambda c: c[[0, 3, 2, 1]], "photo.corners_counterclockwise"),
    "begins elsewhere": (lambda c: c[[2, 3, 0, 1]], "photo.turned"),
    "small": (lambda c: c[0] + (c - c[0]) * 0.2, "photo.chart_small"),
    "shifted": (lambda c: moved(c, [14, 12]), "photo.too_bent"),
}


@pytest.mark.parametrize("name", BAD_CORNERS)
def test_wrong_corners_are_refused(name, taken):
    change, code = BAD_CORNERS[name]
    with pytest.raises(LiftError) as refused:
        open_chart(taken.pixels, change(taken.chart))
    assert refused.value.note.code == code
    assert "\n" not in str(refused.value)


def test_who_begins_elsewhere_is_told_where(taken):
    for shift in (1, 2, 3):
        with pytest.raises(LiftError) as refused:
            open_chart(taken.pixels, np.roll(taken.chart, shift, axis=0))
        assert refused.value.note.code == "photo.turned"
        corner = dict(refused.value.note.values)["corner"]
        again = np.roll(np.roll(taken.chart, shift, axis=0), 1 - corner, axis=0)
        np.testing.assert_allclose(again, taken.chart)


BAD_LIGHT = {
    "too bright": (dict(exposure=2.5), "photo.too_bright"),
    "too dark": (dict(exposure=0.004), "photo.too_dark"),
    "bent": (dict(bend=0.16), "photo.too_bent"),
}


@pytest.mark.parametrize("name", BAD_LIGHT)
def test_a_chart_that_cannot_be_read_is_refused(name):
    change, code = BAD_LIGHT[name]
    taken = photograph(replace(SCENE, **change))
    with pytest.raises(LiftError) as refused:
        open_chart(taken.pixels, taken.chart)
    assert refused.value.note.code == code


def test_a_filter_that_reverses_greys_is_refused(taken):
    with pytest.raises(LiftError) as refused:
        open_chart((255 - taken.pixels) // 2 + 60, taken.chart)
    assert refused.value.note.code == "photo.greys"


def painted(taken, colours):
    """The photograph with patches painted over, each by its number."""
    pixels = taken.pixels.copy()
    starts, size = chart_places()
    for number, colour in colours.items():
        corners = to_picture(starts[number] + size * np.array([[-0.05], [1.05]]), taken.chart)
        (left, top), (right, bottom) = corners.astype(int)
        pixels[top:bottom, left:right] = colour
    return pixels


@pytest.mark.parametrize(("code", "value"), [("clipped", 255), ("dark", 0)])
def test_a_patch_that_is_too_bright_or_too_dark_is_left_out_and_told(taken, code, value):
    found = open_chart(painted(taken, {4: value}), taken.chart)
    assert not found.patches.good[4]
    (told,) = found.warnings
    assert told.code == f"photo.warning.{code}"
    assert "blue flower" in str(told)


def test_a_chart_with_too_few_greys_is_refused(taken):
    with pytest.raises(LiftError) as refused:
        open_chart(painted(taken, {18: 255, 19: 255, 20: 255}), taken.chart)
    assert refused.value.note.code == "photo.greys_lost"
    assert "only 3 of the six greys" in str(refused.value)


def test_a_patch_of_another_colour_is_told(taken):
    """A chart that is worn or not the one that was named."""
    found = open_chart(painted(taken, {14: (130, 60, 80)}), taken.chart)
    assert found.left_out.worst > 10.0
    assert found.left_out.median < 3.0
    told = [each.code for each in found.measure(taken.hair[0]).warnings]
    assert told == ["photo.warning.worst"]


def test_one_patch_with_shine_is_left_out_and_told(taken):
    pixels = taken.pixels.copy()
    starts, size = chart_places()
    x, y = to_picture(starts[8] + size * (0.7, 0.5), taken.chart).astype(int)
    pixels[y - 9 : y + 9, x - 5 : x + 8] = 240
    found = open_chart(pixels, taken.chart)
    assert not found.patches.good[8]
    (told,) = found.warnings
    assert told.code == "photo.warning.straying"
    assert "moderate red" in str(told)
