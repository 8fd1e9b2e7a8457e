"""The drawn lock: its mean is the number, in pixels and as a drawing, whatever the colour."""

from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from oracles.screen import LIKE, lab_of, off

from lift.errors import LiftError
from lift.optics.adapter import colour_science
from lift.optics.colorimetry import lab_to_srgb
from lift.show.lock.image import lock_cover, lock_image, strip_image, strip_weights
from lift.show.lock.shades import (
    GROUND_LAB,
    ground,
    in_gamut,
    linear_shades,
    screen_shades,
    shade_texts,
)
from lift.show.lock.shape import SHADES, STOPS, STRANDS, shape, sway
from lift.show.lock.svg import DIGITS, HEIGHT, WIDTH, lock_svg, lock_template

GRID = np.array(
    [
        (lightness, chroma * np.cos(hue), chroma * np.sin(hue))
        for lightness in np.arange(10.0, 96.0, 5.0)
        for chroma in np.arange(0.0, 71.0, 10.0)
        for hue in np.radians(np.arange(0.0, 360.0, 30.0))
    ]
)
SHOWN = GRID[in_gamut(GRID)]
HAIR = np.array([(18.0, 1.0, -1.0), (32.0, 16.0, 22.0), (55.0, 13.0, 37.0), (80.0, 2.0, 22.0)])


def lock_pixels(lab, height=120, width=60):
    return lock_image(lab, height, width)[lock_cover(height, width)]


def test_the_mean_of_a_lock_is_its_number_all_over_what_a_screen_can_show():
    assert len(SHOWN) > 300
    assert max(off(lock_pixels(lab), lab) for lab in SHOWN) < LIKE


@given(st.tuples(*[st.floats(0.0, 1.0)] * 3))
def test_the_mean_of_a_lock_is_its_number_for_any_screen_colour(rgb):
    lab = lab_of(rgb)
    assert off(lock_pixels(lab), lab) < LIKE
    assert linear_shades(lab).min() >= -1e-12
    assert linear_shades(lab).max() <= 1.0 + 1e-12


@given(st.lists(st.sampled_from(range(len(SHOWN))), min_size=1, max_size=5))
def test_the_mean_of_each_place_along_a_strip_is_its_number(chosen):
    lab = SHOWN[chosen]
    pixels = strip_image(lab, 60)
    assert pixels.shape == (60, len(chosen), 3)
    for column, number in zip(np.moveaxis(pixels, 1, 0), lab, strict=True):
        assert off(column, number) < LIKE


@pytest.mark.parametrize("height", [3, 17, 200])
def test_a_strip_has_as_much_of_each_shade_as_a_lock(height):
    np.testing.assert_allclose(strip_weights(height).mean(axis=0), shape().share, atol=1e-12)


def test_shades_run_from_dark_edges_to_shine():
    lightness = screen_shades(HAIR).sum(axis=-1)
    assert (np.diff(lightness, axis=-1) > 0.0).all()
    # A flat patch would have none: hair glistens, dark hair most of all.
    spread = linear_shades(HAIR)[..., 1]
    assert (spread[:, -1] / spread[:, 0] > 1.5).all()
    table = shape().table
    assert table[[0, -1]].mean() < table[STRANDS // 2 - 2 : STRANDS // 2 + 2].mean()
    assert 0 < int(np.argmax(table.mean(axis=0))) < STOPS // 2


def test_shine_is_whiter_than_hair():
    share = linear_shades(HAIR)[1]
    saturation = 1.0 - share.min(axis=-1) / share.max(axis=-1)
    assert saturation[-1] < saturation[0]


def test_shine_is_reduced_where_it_would_be_brighter_than_a_screen():
    lab = np.array([(55.0, 0.0, 0.0), (90.0, 0.0, 5.0), (99.0, 0.0, 0.0)])
    light = linear_shades(lab)[..., 1]
    spread = (light[:, -1] - light[:, 0]) / (shape().share @ light.T)
    assert (np.diff(spread) < 0.0).all()
    assert light.max() <= 1.0
    assert np.allclose(linear_shades((100.0, 0.0, 0.0)), 1.0, atol=1e-3)


def test_a_colour_beyond_the_screen_is_clipped_and_said_so():
    assert in_gamut(HAIR).all()
    beyond = np.array([(60.0, 90.0, 80.0), (30.0, 0.0, -90.0)])
    assert not in_gamut(beyond).any()
    clipped = lab_to_srgb(beyond)[0]
    for lab, channels in zip(beyond, clipped, strict=True):
        mean = colour_science().models.eotf_sRGB(lock_pixels(lab)).mean(axis=0)
        expected = colour_science().models.eotf_sRGB(channels)
        np.testing.assert_allclose(mean, expected, atol=0.01)


def test_locks_are_vectorised_and_do_not_twitch():
    together = lock_image(HAIR, 40, 20)
    assert together.shape == (4, 40, 20, 3)
    for lab, pixels in zip(HAIR, together, strict=True):
        np.testing.assert_array_equal(lock_image(lab, 40, 20), pixels)
    assert linear_shades(HAIR.reshape(2, 2, 3)).shape == (2, 2, SHADES, 3)
    assert np.isnan(linear_shades((np.nan, 0.0, 0.0))).all()
    with pytest.raises(LiftError, match="infinite"):
        linear_shades((np.inf, 0.0, 0.0))
    with pytest.raises(ValueError, match="read-only"):
        shape().table[0, 0] = 1


def test_the_ground_is_neutral_and_halfway_to_white():
    assert GROUND_LAB == (50.0, 0.0, 0.0)
    red, green, blue = (int(ground()[i : i + 2], 16) for i in (1, 3, 5))
    assert red == green == blue
    image, cover = lock_image(HAIR[0], 60, 30), lock_cover(60, 30)
    np.testing.assert_allclose(image[~cover], lab_to_srgb(GROUND_LAB)[0][0], atol=1e-3)
    assert 0.6 < cover.mean() < 0.9


def test_texts_carry_the_shades():
    first, second = shade_texts(HAIR[:2])
    assert len(first) == DIGITS * SHADES
    channels = np.frombuffer(bytes.fromhex(second), np.uint8).reshape(SHADES, 3)
    np.testing.assert_allclose(channels / 255.0, screen_shades(HAIR[1]))


# The drawing.


def rendered(text, height, width):
    """Pixels of a drawing, painted as browsers do: path over path, gradients mixed as encoded."""
    drawing = ElementTree.fromstring(text)
    gradients = {}
    for gradient in drawing.iter("linearGradient"):
        stops = [(float(s.get("offset")), s.get("stop-color")) for s in gradient.iter("stop")]
        assert gradient.get("gradientUnits") == "userSpaceOnUse"
        gradients[f"url(#{gradient.get('id')})"] = (float(gradient.get("y2")), stops)

    def channels(colour):
        return [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]

    across = (np.arange(width) + 0.5) * WIDTH / width
    down = (np.arange(height) + 0.5) * HEIGHT / height
    (rect,) = drawing.findall("rect")
    pixels = np.tile(channels(rect.get("fill")), (height, width, 1))
    for path in drawing.findall("path"):
        ring = [p.split() for p in path.get("d").strip("MZ").split("L")]
        ring = np.array(ring, dtype=float)
        left, right = ring[: len(ring) // 2], ring[len(ring) // 2 :][::-1]
        low = np.interp(down, left[:, 1], left[:, 0])[:, None]
        high = np.interp(down, right[:, 1], right[:, 0])[:, None]
        end, stops = gradients[path.get("fill")]
        places, colours = zip(*stops, strict=True)
        mixed = np.stack(
            [np.interp(down / end, places, c) for c in np.transpose([*map(channels, colours)])],
            axis=-1,
        )
        inside = (across >= low) & (across < high)
        pixels = np.where(inside[..., None], mixed[:, None, :], pixels)
    return pixels


@pytest.mark.parametrize("lab", HAIR)
def test_the_drawing_is_the_picture(lab):
    drawing = rendered(lock_svg(lab, "one", "a lock"), 240, 120)
    picture = lock_image(lab, 240, 120)
    # The sway is drawn in a few straight stretches: at edges between strands pixels may differ.
    same = np.abs(drawing - picture).max(axis=-1) < 0.02
    assert same.mean() > 0.9
    inside = np.any(np.abs(drawing - np.array(lab_to_srgb(GROUND_LAB)[0])) > 0.01, axis=-1)
    assert off(drawing[inside], lab) < LIKE
    assert off(picture[lock_cover(240, 120)], lab) < LIKE


def test_locks_of_one_document_have_gradients_of_their_own():
    both = lock_svg(HAIR[0], "first", "one") + lock_svg(HAIR[1], "second", "two")
    names = [part.split('"')[0] for part in both.split('linearGradient id="')[1:]]
    assert len(names) == len(set(names))
    assert 'aria-label="&lt;&amp;&quot;"' in lock_svg(HAIR[0], "a", '<&"')


def test_the_template_says_which_shade_each_stop_takes():
    template = ElementTree.fromstring(lock_template())
    (shades,) = shade_texts(HAIR[2])
    for stop in template.iter("stop"):
        shade = int(stop.attrib.pop("data-shade"))
        stop.set("stop-color", f"#{shades[DIGITS * shade : DIGITS * (shade + 1)]}")
    painted = ElementTree.tostring(template, encoding="unicode")
    expected = lock_svg(HAIR[2], "lock", "")
    np.testing.assert_array_equal(rendered(painted, 60, 30), rendered(expected, 60, 30))
    carried = [float(x) for x in template.get("data-threads").split()]
    widths = np.bincount(np.array(carried[::2], int), carried[1::2], SHADES)
    np.testing.assert_allclose(widths, shape().share, atol=1e-3)
    np.testing.assert_allclose(
        [float(x) for x in template.get("data-shares").split()], shape().share, atol=1e-5
    )
    assert template.get("data-ground") == ground()


def test_strands_sway_without_changing_their_width():
    assert np.abs(sway(np.linspace(0.0, 1.0, 50))).max() <= 0.03
    cover = lock_cover(50, 400).sum(axis=1)
    assert np.ptp(cover) <= 1
