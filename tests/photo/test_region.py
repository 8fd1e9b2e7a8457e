"""Which pixels are taken: boxes and outlines, shine and shadow, and what is refused."""

from dataclasses import replace

import numpy as np
import pytest

from lift.errors import LiftError
from lift.make.photograph import Scene, photograph, some_hair
from lift.photo.picture import as_picture
from lift.photo.region import take

FAR = np.array([[900.0, 900], [990, 900], [990, 990], [900, 990]])
"""A chart far from all hair."""


def plain(value=120, size=(200, 300)):
    noise = np.random.default_rng(1).normal(0.0, 3.0, (*size, 3))
    return np.clip(value + noise, 0, 255).astype(np.uint8)


def test_a_box_takes_what_lies_in_it():
    found, codes = take(as_picture(plain()), [[50, 40], [150, 100]], FAR)
    assert found.box == (50, 40, 150, 100)
    assert found.inside.sum() == 100 * 60
    assert found.share > 0.9
    assert codes.shape == (found.pixels, 3)
    assert found.places.min(axis=0).tolist() == [50.5, 40.5]
    assert found.places.max(axis=0).tolist() == [149.5, 99.5]


def test_corners_of_a_box_may_be_given_in_any_order():
    boxes = ([[50, 40], [150, 100]], [[150, 100], [50, 40]], [[150, 40], [50, 100]])
    assert len({take(as_picture(plain()), box, FAR)[0].box for box in boxes}) == 1


def test_an_outline_takes_what_it_encloses():
    triangle = [[40, 40], [240, 40], [40, 140]]
    found, _ = take(as_picture(plain()), triangle, FAR)
    assert found.inside.sum() == pytest.approx(200 * 100 / 2, rel=0.01)
    assert found.inside[5, 5]
    assert not found.inside[-5, -5]


def test_shine_and_shadow_are_left_out():
    pixels = plain()
    pixels[40:50], pixels[90:100] = 200, 60
    found, codes = take(as_picture(pixels), [[50, 30], [150, 130]], FAR)
    assert not found.mask[10:20].any()
    assert not found.mask[60:70].any()
    assert codes.mean() == pytest.approx(120, abs=1)
    assert found.share == pytest.approx(0.8, abs=0.05)


def test_a_large_region_is_looked_at_in_steps():
    found, codes = take(as_picture(plain(size=(900, 900))), [[0, 0], [900, 900]], FAR + 1000)
    assert found.step == 3
    assert len(codes) <= 120_000
    np.testing.assert_array_equal(found.places % 3, 0.5)


@pytest.mark.parametrize(
    ("region", "code"),
    [
        ("there", "photo.no_region"),
        ([[1, 2]], "photo.no_region"),
        ([[1, 2, 3], [4, 5, 6]], "photo.no_region"),
        ([[np.inf, 0], [5, 5]], "photo.no_region"),
        ([[10, 10], [310, 50]], "photo.region_outside"),
        ([[10, 10], [20, 20]], "photo.few_pixels"),
    ],
)
def test_what_is_no_region_is_refused(region, code):
    with pytest.raises(LiftError) as refused:
        take(as_picture(plain()), region, FAR)
    assert refused.value.note.code == code


@pytest.mark.parametrize(("value", "code"), [(254, "photo.hair_clipped"), (1, "photo.hair_dark")])
def test_hair_too_bright_or_too_dark_is_refused(value, code):
    with pytest.raises(LiftError) as refused:
        take(as_picture(np.full((200, 300, 3), value, np.uint8)), [[50, 40], [150, 100]], FAR)
    assert refused.value.note.code == code


def test_hair_on_the_chart_is_refused(taken):
    low, high = taken.chart.min(axis=0), taken.chart.max(axis=0)
    with pytest.raises(LiftError) as refused:
        take(as_picture(taken.pixels), [low + 20, high - 20], taken.chart)
    assert refused.value.note.code == "photo.on_chart"


def test_the_share_of_shine_and_shadow_drawn_is_left_out():
    scene = Scene(some_hair(1, seed=5)[0], shine=0.1, shadow=0.1, texture=0.02)
    shares = []
    for change in ({}, {"shine": 0.0, "shadow": 0.0}):
        taken = photograph(replace(scene, **change))
        box = taken.hair[0] + [[3, 3], [-3, -3]]
        shares.append(take(as_picture(taken.pixels), box, taken.chart)[0].share)
    assert shares[1] - shares[0] == pytest.approx(0.2, abs=0.04)
