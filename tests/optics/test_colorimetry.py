"""Colorimetry: values, shapes, scales, what is refused, and the laws of colour spaces."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from lift.errors import LiftError
from lift.optics import colorimetry as cm
from lift.optics.weights import PREPARED, weights

unit = st.floats(0.0, 1.0, allow_subnormal=False)
spectra = arrays(np.float64, (81,), elements=unit)
labs = st.tuples(st.floats(0.0, 100.0), st.floats(-100.0, 100.0), st.floats(-100.0, 100.0))
D65_10 = cm.white()
# IEC 61966-2-1, the printed matrix of the other direction: its columns are the primaries.
SRGB_TO_XYZ = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
VECTOR_FUNCTIONS = [
    lambda v: cm.xyz_to_lab(v, D65_10),
    lambda v: cm.lab_to_xyz(v, D65_10),
    cm.chroma,
    cm.hue_deg,
    lambda v: cm.delta_e_76(v, [50.0, 0.0, 0.0]),
    lambda v: cm.delta_e_2000(v, [50.0, 1.0, 0.0]),
    lambda v: cm.xyz_to_srgb(v)[0],
    lambda v: cm.lab_to_srgb(v)[0],
    cm.lab_to_linear,
]


class TestReflectance:
    @pytest.mark.parametrize("observer", [2, 10])
    @pytest.mark.parametrize("illuminant", [*PREPARED, "FL2"])
    def test_perfect_diffuser_is_exactly_white(self, illuminant, observer):
        lab = cm.reflectance_to_lab(np.ones(81), illuminant, observer)
        assert lab.tolist() == [100.0, 0.0, 0.0]

    @given(spectra)
    def test_perfect_diffuser_is_exactly_white_among_others(self, other):
        mixed = np.stack([other, np.ones(81), 1.0 - other])
        assert cm.reflectance_to_lab(mixed)[1].tolist() == [100.0, 0.0, 0.0]

    def test_black_is_zero(self):
        np.testing.assert_allclose(cm.reflectance_to_xyz(np.zeros(81)), 0.0, atol=1e-12)

    def test_grey_is_neutral(self):
        # L* 50 is Y 100 (66/116)^3 by the definition of CIELAB.
        lab = cm.reflectance_to_lab(np.full(81, (66.0 / 116.0) ** 3))
        np.testing.assert_allclose(lab, [50.0, 0.0, 0.0], atol=1e-11)

    def test_white_is_sum_of_weights(self):
        np.testing.assert_array_equal(cm.white("A", 2), weights("A", 2).sum(axis=0))
        assert cm.white("LED-B3", 10)[1] == pytest.approx(100.0, abs=1e-12)

    @given(spectra, spectra, unit)
    def test_light_adds(self, first, second, share):
        mixed = cm.reflectance_to_xyz(share * first + (1.0 - share) * second)
        parts = (
            share * cm.reflectance_to_xyz(first),
            (1.0 - share) * cm.reflectance_to_xyz(second),
        )
        np.testing.assert_allclose(mixed, sum(parts), atol=1e-11)

    def test_brighter_by_half_is_brighter_by_half_in_xyz(self):
        spectrum = np.linspace(0.1, 0.6, 81)
        np.testing.assert_allclose(
            cm.reflectance_to_xyz(1.5 * spectrum), 1.5 * cm.reflectance_to_xyz(spectrum), rtol=1e-13
        )

    def test_shapes(self):
        many = np.random.default_rng(1).uniform(size=(4, 1, 5, 81))
        lab = cm.reflectance_to_lab(many, "D50", 2)
        assert lab.shape == (4, 1, 5, 3)
        one = cm.reflectance_to_lab(many[2, 0, 3], "D50", 2)
        np.testing.assert_allclose(lab[2, 0, 3], one, atol=1e-11)
        srgb, in_gamut = cm.reflectance_to_srgb(many)
        assert srgb.shape == (4, 1, 5, 3)
        assert in_gamut.shape == (4, 1, 5)

    def test_nan_stays_in_its_row(self):
        rows = np.full((3, 81), 0.4)
        rows[1, 7] = np.nan
        lab = cm.reflectance_to_lab(rows)
        assert np.isnan(lab[1]).any()
        assert np.isfinite(lab[[0, 2]]).all()

    @pytest.mark.parametrize("bad", [0.5, np.ones(80), np.ones((81, 3))])
    def test_wrong_shape_is_refused(self, bad):
        with pytest.raises(LiftError, match=r"reflectance has shape .*; allowed: \(\.\.\., 81\)"):
            cm.reflectance_to_xyz(bad)

    def test_infinite_is_refused(self):
        with pytest.raises(LiftError, match="reflectance has an infinite element"):
            cm.reflectance_to_xyz(np.full(81, np.inf))


class TestLab:
    def test_white_and_black(self):
        lab = cm.xyz_to_lab([D65_10, np.zeros(3)], D65_10)
        np.testing.assert_allclose(lab, [[100.0, 0.0, 0.0], [0.0, 0.0, 0.0]], atol=1e-13)

    def test_pieces_meet(self):
        # Both branches of the definition give L* 8 at Y/Yn = 216/24389.
        ratios = np.array([cm.EPSILON * (1 - 1e-12), cm.EPSILON, cm.EPSILON * (1 + 1e-12)])
        lab = cm.xyz_to_lab(ratios[:, np.newaxis] * D65_10, D65_10)
        np.testing.assert_allclose(lab[:, 0], 8.0, atol=1e-9)

    def test_scale_of_both_cancels(self):
        xyz = np.array([20.0, 30.0, 10.0])
        np.testing.assert_allclose(
            cm.xyz_to_lab(xyz / 100, D65_10 / 100), cm.xyz_to_lab(xyz, D65_10), rtol=1e-13
        )

    @given(labs)
    def test_round_trip(self, lab):
        back = cm.xyz_to_lab(cm.lab_to_xyz(lab, D65_10), D65_10)
        np.testing.assert_allclose(back, lab, atol=1e-9)

    def test_white_broadcasts(self):
        lights = np.stack([cm.white("D65"), cm.white("A")])
        lab = cm.xyz_to_lab(np.full((5, 1, 3), 20.0), lights)
        assert lab.shape == (5, 2, 3)
        assert cm.lab_to_xyz(lab, lights).shape == (5, 2, 3)

    def test_chroma_and_hue(self):
        lab = np.array([[50, 3, 4], [50, 0, 2], [50, -1, 0], [50, 0, -1], [50, 1, -1], [50, 0, 0]])
        assert cm.chroma(lab)[0] == 5.0
        np.testing.assert_allclose(cm.hue_deg(lab)[1:], [90.0, 180.0, 270.0, 315.0, 0.0])

    @given(labs)
    def test_hue_is_below_360(self, lab):
        assert 0.0 <= cm.hue_deg(lab) < 360.0

    def test_hue_just_below_red_is_not_360(self):
        assert cm.hue_deg([50.0, 1.0, -1e-18]) == 0.0


class TestDifference:
    def test_76_is_distance(self):
        assert cm.delta_e_76([50.0, 1.0, 2.0], [52.0, 4.0, 8.0]) == pytest.approx(7.0)

    @given(labs, labs)
    def test_2000_is_symmetric(self, one, other):
        there, back = cm.delta_e_2000(one, other), cm.delta_e_2000(other, one)
        np.testing.assert_allclose(there, back, rtol=1e-6, atol=1e-6)

    @given(labs)
    def test_2000_of_equals_is_zero(self, lab):
        assert cm.delta_e_2000(lab, lab) == 0.0

    def test_2000_against_neutral(self):
        # With no chroma and L* meaning 50, all weights are 1: dE00 is the lightness difference.
        assert cm.delta_e_2000([48.0, 0.0, 0.0], [52.0, 0.0, 0.0]) == pytest.approx(4.0)

    @pytest.mark.parametrize("distance", [cm.delta_e_76, cm.delta_e_2000])
    def test_broadcasting(self, distance):
        rng = np.random.default_rng(2)
        first, second = rng.uniform(0, 90, (4, 1, 3)), rng.uniform(0, 90, (5, 3))
        table = distance(first, second)
        assert table.shape == (4, 5)
        assert table[3, 2] == pytest.approx(float(distance(first[3, 0], second[2])))


class TestScreen:
    @pytest.mark.parametrize(
        ("channels", "text"),
        [
            ([1, 0, 0], "#ff0000"),
            ([0, 1, 0], "#00ff00"),
            ([0, 0, 1], "#0000ff"),
            ([1, 1, 1], "#ffffff"),
        ],
    )
    def test_primaries(self, channels, text):
        srgb, in_gamut = cm.xyz_to_srgb(100.0 * SRGB_TO_XYZ @ channels)
        np.testing.assert_allclose(srgb, channels, atol=2e-3)
        assert cm.srgb_to_hex(srgb) == text
        assert in_gamut

    def test_transfer_curve(self):
        # IEC 61966-2-1: 12.92 c below 0.0031308, 1.055 c^(1/2.4) - 0.055 above.
        white = 100.0 * SRGB_TO_XYZ.sum(axis=1)
        srgb, _ = cm.xyz_to_srgb(np.array([[0.002], [0.2140411]]) * white)
        np.testing.assert_allclose(srgb, [[0.02584] * 3, [0.5] * 3], atol=1e-4)

    def test_paper_white_shows_as_white(self):
        srgb, in_gamut = cm.reflectance_to_srgb(np.ones(81))
        assert cm.srgb_to_hex(srgb) == "#ffffff"
        assert in_gamut

    @given(arrays(np.float64, (3,), elements=st.floats(-20.0, 120.0)))
    def test_channels_stay_in_range(self, xyz):
        srgb, _ = cm.xyz_to_srgb(xyz)
        assert ((srgb >= 0.0) & (srgb <= 1.0)).all()

    def test_outside_the_gamut_is_flagged(self):
        srgb, in_gamut = cm.lab_to_srgb(
            [[60.0, 10.0, 20.0], [60.0, -120.0, 90.0], [101.0, 0.0, 0.0]]
        )
        assert in_gamut.tolist() == [True, False, False]
        assert srgb.shape == (3, 3)

    def test_lab_is_taken_relative_to_d65(self):
        assert cm.srgb_to_hex(cm.lab_to_srgb([100.0, 0.0, 0.0])[0]) == "#ffffff"
        grey, _ = cm.lab_to_srgb([50.0, 0.0, 0.0])
        assert np.ptp(grey) < 1.5e-3
        assert cm.srgb_to_hex(grey) == "#777777"

    @given(st.tuples(*[st.integers(0, 255)] * 3))
    def test_hex_keeps_all_bytes(self, channels):
        text = cm.srgb_to_hex(np.array(channels) / 255.0)
        assert tuple(bytes.fromhex(text[1:])) == channels

    @pytest.mark.parametrize("bad", [[0.1, 0.2, 1.2], [np.nan, 0.0, 0.0], np.zeros((2, 3))])
    def test_hex_refuses(self, bad):
        with pytest.raises(LiftError, match="is not three numbers in 0 to 1"):
            cm.srgb_to_hex(bad)

    @given(st.floats(-2.0, 2.0))
    def test_encoding_is_the_curve_on_either_side_of_nothing(self, light):
        # IEC 61966-2-1: 12.92 c below 0.0031308, 1.055 c^(1/2.4) - 0.055 above.
        size = abs(light)
        curve = 12.92 * size if size <= 0.0031308 else 1.055 * size ** (1.0 / 2.4) - 0.055
        assert cm.encode_srgb(light) == pytest.approx(np.copysign(curve, light), abs=1e-12)

    def test_encoding_broadcasts_and_keeps_nan(self):
        light = np.linspace(0.0, 1.0, 24).reshape(2, 4, 3)
        assert cm.encode_srgb(light).shape == (2, 4, 3)
        assert cm.encode_srgb(light)[1, 2].tolist() == cm.encode_srgb(light[1, 2]).tolist()
        assert np.isnan(cm.encode_srgb([np.nan, 0.5])).tolist() == [True, False]

    @given(labs, labs)
    def test_linear_light_adds_and_is_what_is_encoded(self, first, second):
        both = np.array([first, second])
        xyz = cm.lab_to_xyz(both, cm.white("D65", 2))
        mixed = cm.xyz_to_lab(xyz.mean(axis=0), cm.white("D65", 2))
        light = cm.lab_to_linear(both)
        np.testing.assert_allclose(cm.lab_to_linear(mixed), light.mean(axis=0), atol=1e-9)
        np.testing.assert_allclose(
            np.clip(cm.encode_srgb(light), 0.0, 1.0), cm.lab_to_srgb(both)[0], atol=1e-12
        )
        np.testing.assert_allclose(cm.lab_to_linear([100.0, 0.0, 0.0]), 1.0, atol=1e-3)

    def test_nan_is_out_of_gamut(self):
        assert not cm.xyz_to_srgb([np.nan, 50.0, 50.0])[1]


@pytest.mark.parametrize("function", VECTOR_FUNCTIONS)
class TestEveryFunction:
    def test_nan_gives_nan_in_its_place(self, function):
        result = function(np.array([[50.0, 10.0, 20.0], [np.nan, np.nan, np.nan]]))
        assert np.isfinite(result[0]).all()
        assert np.isnan(result[1]).all()

    def test_infinite_is_refused(self, function):
        with pytest.raises(LiftError, match="infinite element"):
            function([np.inf, 0.0, 0.0])

    @pytest.mark.parametrize("bad", [5.0, [1.0, 2.0], np.ones((3, 4))])
    def test_wrong_shape_is_refused(self, function, bad):
        with pytest.raises(LiftError, match=r"has shape .*; allowed: \(\.\.\., 3\)"):
            function(bad)

    def test_one_colour_is_one_row_of_many(self, function):
        many = np.random.default_rng(3).uniform(5.0, 90.0, (3, 4, 3))
        np.testing.assert_allclose(function(many)[1, 2], function(many[1, 2]), rtol=1e-12)
