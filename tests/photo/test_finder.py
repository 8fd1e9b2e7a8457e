"""A chart is found where one is, however it lies; what is found is what reads as a chart."""

import sys
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from lift.errors import LiftError
from lift.make.photograph import Scene, photograph, some_hair
from lift.photo.chart import to_picture
from lift.photo.finder import UNIT, find_chart, settle
from lift.photo.picture import Picture, as_picture

SCENE = Scene(some_hair(1, seed=5)[0], tilt=0.02, noise=0.002, vignetting=0.2, seed=2)


@pytest.fixture(scope="module")
def whole():
    """With more pixels than most: patches as a phone shows them."""
    return photograph(replace(SCENE, size=(720, 440)))


def near(corners):
    """Corners as a detector tells them: the chart's edge in place of the patches', and askew."""
    grown = 0.5 + (UNIT - 0.5) * 1.04 + np.array([0.004, -0.006])
    return to_picture(grown, corners)


@pytest.mark.parametrize("turn", range(4))
def test_corners_are_moved_to_the_patches_and_turned(whole, turn):
    """The order of patches tells which of four ways the chart lies."""
    rolled = np.roll(near(whole.chart), turn, axis=0)
    found = settle(as_picture(whole.pixels), [rolled]).corners
    np.testing.assert_allclose(found, whole.chart, atol=0.008 * 720)


def test_what_does_not_read_as_a_chart_is_passed_over(whole):
    nowhere = np.full((4, 2), np.nan)
    elsewhere = whole.chart * 0.5 + np.array([300.0, 10.0])
    outside = whole.chart + np.array([400.0, 0.0])
    picture = as_picture(whole.pixels)
    found = settle(picture, [nowhere, elsewhere, outside, whole.chart]).corners
    np.testing.assert_allclose(found, whole.chart, atol=0.008 * 720)
    for none in ([], [nowhere, elsewhere, outside]):
        with pytest.raises(LiftError) as refused:
            settle(picture, none)
        assert refused.value.note.code == "photo.not_found"
        assert "--chart" in str(refused.value)


def test_another_order_of_patches_is_no_chart(whole):
    """The same chart in a mirror: patches are all there, none where it should be."""
    mirrored = whole.chart[[1, 0, 3, 2]] * [-1.0, 1.0] + [720.0, 0.0]
    with pytest.raises(LiftError) as refused:
        settle(as_picture(whole.pixels[:, ::-1]), [mirrored])
    assert refused.value.note.code == "photo.not_found"


def test_the_extra_that_is_missing_is_named(whole, monkeypatch):
    monkeypatch.setitem(sys.modules, "cv2", None)
    with pytest.raises(LiftError, match=r"pip install 'lift\[chart\]'"):
        find_chart(whole.pixels)


def test_the_extra_without_its_detector_is_named(whole, monkeypatch):
    """Other builds of the same library come without it."""
    monkeypatch.setitem(sys.modules, "cv2", object())
    with pytest.raises(LiftError, match=r"pip install 'lift\[chart\]'"):
        find_chart(whole.pixels)


class Failing:
    """A library whose detector fails in its own way."""

    error = ArithmeticError

    def __init__(self):
        self.mcc = self.CCheckerDetector = self
        self.DetectorParametersMCC = SimpleNamespace
        self.MCC24 = 0
        self.asked = 0

    def CCheckerDetector_create(self):
        return self

    def setColorChartType(self, kind): ...

    def setDetectionParams(self, parameters): ...

    def process(self, pixels, count):
        self.asked += 1
        raise self.error


def test_a_detector_that_fails_has_found_nothing(whole, monkeypatch):
    library = Failing()
    monkeypatch.setitem(sys.modules, "cv2", library)
    with pytest.raises(LiftError) as refused:
        find_chart(whole.pixels)
    assert refused.value.note.code == "photo.not_found"
    assert library.asked == 4


class TestDetector:
    """Where the extra is installed."""

    @pytest.fixture(autouse=True)
    def extra(self):
        pytest.importorskip("cv2.mcc")

    @pytest.mark.parametrize("quarters", range(4))
    def test_a_chart_is_found_however_the_picture_is_turned(self, whole, quarters):
        turned = np.rot90(whole.pixels, quarters)
        height, width = turned.shape[:2]
        found = find_chart(turned).corners
        for _ in range(quarters):  # and its corners back
            found = np.stack([height - found[:, 1], found[:, 0]], axis=-1)
            height, width = width, height
        np.testing.assert_allclose(found, whole.chart, atol=0.008 * 720)

    def test_light_of_more_bits_and_by_another_curve(self, whole):
        light = as_picture(whole.pixels).light(whole.pixels)
        raw = Picture(np.rint(60000.0 * light).astype(np.uint16), linear=True)
        np.testing.assert_allclose(find_chart(raw).corners, whole.chart, atol=0.008 * 720)

    def test_a_large_picture_is_looked_at_small(self, whole):
        large = np.repeat(np.repeat(whole.pixels, 3, axis=0), 3, axis=1)
        np.testing.assert_allclose(find_chart(large).corners / 3.0, whole.chart, atol=0.008 * 720)

    def test_where_there_is_none_it_is_said(self, whole):
        pixels = whole.pixels.copy()
        pixels[:, :500] = 120
        with pytest.raises(LiftError) as refused:
            find_chart(pixels)
        assert refused.value.note.code == "photo.not_found"
