"""Toning against the outside: adaptation, the wheel rule, dye maxima, fading, the base break."""

import colour
import numpy as np
import pytest

from lift.chemistry.tone_kinds import TONE_KINDS
from lift.model.curves import default_curves
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.strand import strand_lab, strand_reflectance
from lift.optics.adaptation import adaptation_matrix, colour_temperature, lab_under
from lift.optics.colorimetry import reflectance_to_xyz, white
from lift.optics.dyes import dye_band, palette
from lift.optics.weights import PREPARED, WAVELENGTHS_NM
from lift.practice.tone import tone_direction
from lift.practice.toning.carried import BASE_BREAK_HAIR, carried_and_outrun, tone_over_level
from lift.practice.toning.fade import wash_fade
from lift.practice.toning.neutralise import neutralise
from lift.practice.toning.other_light import other_light
from lift.practice.toning.tone_report import underpigment_state
from lift.practice.window import find_window
from lift.reference import load

CURVES = default_curves()
VALUES = CURVES.values
OBSERVER = "CIE 1964 10 Degree Standard Observer"
TRADE = load("trade_practice")


def row(name):
    """A trade row exists; its numbers are read off its text by the test that uses it."""
    return TRADE.words("check")[TRADE.words("id").index(name)]


# Adaptation, library: colour-science.


def toned_reflectance(level=9.0):
    state = underpigment_state(level, CURVES)
    return strand_reflectance(state, VALUES, tone=neutralise(state).tone)


@pytest.mark.parametrize("light", PREPARED)
def test_adapted_chromaticity_by_colour_sciences_own_call(light):
    """From its own integration of its own tables to x, y and CIELAB, nothing of ours between."""
    spectrum = colour.SpectralDistribution(toned_reflectance(), WAVELENGTHS_NM)
    shape = colour.SpectralShape(380, 780, 5)
    cmfs = colour.MSDS_CMFS[OBSERVER].copy().align(shape)
    lamp = colour.SDS_ILLUMINANTS[light].copy().align(shape)
    day = colour.SDS_ILLUMINANTS["D65"].copy().align(shape)
    perfect = colour.SpectralDistribution(np.ones(81), WAVELENGTHS_NM)
    seen, lamp_white, day_white = (
        colour.sd_to_XYZ(sd, cmfs, source, method="Integration")
        for sd, source in ((spectrum, lamp), (perfect, lamp), (perfect, day))
    )
    adapted = colour.chromatic_adaptation(
        seen / 100, lamp_white / 100, day_white / 100, method="Von Kries", transform="CAT16"
    )
    ours = adaptation_matrix(light) @ reflectance_to_xyz(toned_reflectance(), light)
    np.testing.assert_allclose(colour.XYZ_to_xy(ours), colour.XYZ_to_xy(adapted), atol=1e-6)
    lab = colour.XYZ_to_Lab(adapted, colour.XYZ_to_xy(day_white))
    np.testing.assert_allclose(lab_under(toned_reflectance(), light), lab, atol=1e-4)


@pytest.mark.parametrize("light", ["A", "LED-B3", "LED-V1"])
def test_against_the_two_step_form(light):
    """Zhai & Luo 2018, with both degrees of adaptation 1 and D65 between: the same CAT16."""
    seen, lamp, day = (
        reflectance_to_xyz(toned_reflectance(), light), white(light), white("D65"),
    )  # fmt: skip
    two_step = colour.adaptation.chromatic_adaptation_Zhai2018(
        seen, lamp, day, D_b=1, D_d=1, XYZ_wo=day, transform="CAT16"
    )
    np.testing.assert_allclose(adaptation_matrix(light) @ seen, two_step, rtol=1e-6)


def test_against_the_published_matrix():
    """Li et al. 2017, Color Res. Appl. 42:703: the matrix of CAT16, six decimals, from memory."""
    cone = np.array(
        [
            [0.401288, 0.650173, -0.051461],
            [-0.250268, 1.204414, 0.045854],
            [-0.002079, 0.048952, 0.953127],
        ]
    )
    for light in PREPARED:
        gain = np.diag((cone @ white("D65")) / (cone @ white(light)))
        matrix = np.linalg.inv(cone) @ gain @ cone
        np.testing.assert_allclose(adaptation_matrix(light), matrix, atol=1e-9)


CIE_15_2018_CCT = {
    **{"LED-B1": 2733, "LED-B2": 2998, "LED-B3": 4103, "LED-B4": 5109, "LED-B5": 6598},
    **{"LED-BH1": 2851, "LED-RGB1": 2840, "LED-V1": 2724, "LED-V2": 4070},
    **{"D65": 6504, "D50": 5003, "A": 2856, "FL11": 4000},
}
"""CIE 15:2018, Table 12 and section 4, from memory [K]."""


@pytest.mark.parametrize(("light", "kelvin"), CIE_15_2018_CCT.items())
def test_colour_temperatures(light, kelvin):
    assert colour_temperature(light) == pytest.approx(kelvin, abs=2.0)


def test_shift_is_colour_sciences_ciede2000():
    state = underpigment_state(8, CURVES)
    tone = neutralise(state).tone
    found = other_light(state, tone)
    expected = colour.delta_E(found.lab, found.lab[found.lights.index("D65")], method="CIE 2000")
    np.testing.assert_allclose(found.shift, expected, atol=1e-4)


# Dyes and fading, published.


def test_dye_maxima():
    """Corbett 1973, Table V."""
    table = load("indo_dyes_corbett1973")
    centres = dict(zip(table.words("dye"), table.numbers("centre_nm"), strict=True))
    assert dye_band("violet").centres_nm == (centres["indoaniline"],)
    assert dye_band("blue-green").centres_nm == (centres["indamine"],)
    for name, band in palette().items():
        absorbed = band.absorption(WAVELENGTHS_NM)
        assert WAVELENGTHS_NM[np.argmax(absorbed)] == pytest.approx(band.centres_nm[0], abs=2.5)
        assert band.status in ("published", "assumed"), name


def test_the_indo_dyes_looks_are_their_names():
    """An absorber looks as Munsell's opposite: 554 nm leaves purple, 672 nm blue-green."""
    from lift.optics.colorimetry import hue_deg, reflectance_to_lab
    from lift.optics.hue_names import munsell_hue

    looks = {}
    for name in ("violet", "blue-green"):
        passed = np.exp(-60.0 * dye_band(name).absorption(WAVELENGTHS_NM))
        looks[name] = munsell_hue(hue_deg(reflectance_to_lab(passed))).lstrip("0123456789.")
    assert looks["violet"] in ("PB", "P", "RP")
    assert looks["blue-green"] in ("BG", "B")


def test_permanent_keeps_over_ninety_percent_after_thirty_washes():
    table = load("wash_fade")
    index = table.words("kind").index("permanent")
    washes, left = table.numbers("washes_low", "left")[index]
    fade = wash_fade(underpigment_state(8, CURVES), {"violet": 5.0})
    assert np.interp(washes, fade.washes, fade.left) == pytest.approx(left, abs=1e-6)


@pytest.mark.parametrize("name", ["demi-permanent", "direct"])
def test_other_tone_fades_in_as_many_washes_as_are_said(name):
    table = load("wash_fade")
    low, high = table.numbers("washes_low", "washes_high")[table.words("kind").index(name)]
    kind = TONE_KINDS[name]
    assert np.exp(-kind.fastest * low) == pytest.approx(0.1)
    assert np.exp(-kind.slowest * high) == pytest.approx(0.1)
    assert low < np.log(10.0) / kind.rate < high


# Trade rows, common practice (no source).


def test_wheel_rule():
    """Green answers red, blue orange, violet yellow; in-betweens answer in-betweens."""
    assert "wheel family" in row("wheel")
    answers = {
        level: tone_direction(strand_lab(underpigment_state(level, CURVES), VALUES)).wheel
        for level in (4, 5, 6, 7, 8)
    }
    assert answers == {4: "green", 5: "blue-green", 6: "blue", 7: "blue-violet", 8: "violet"}


def test_wheel_order_comes_out_of_the_absorption_bands():
    """Not fitted: the dye that answers moves from violet towards blue and on as hair is deeper."""
    centres, dyes = [], tuple(palette())
    for level in range(10, 2, -1):
        tone = neutralise(underpigment_state(level, CURVES), None, dyes).tone
        bands = np.array([dye_band(dye).centres_nm[0] for dye in tone])
        centres.append(float(np.average(bands, weights=list(tone.values()))))
    assert np.all(np.diff(centres) > 0.0)
    violet, blue = dye_band("violet").centres_nm[0], dye_band("blue").centres_nm[0]
    assert violet < centres[0] < (violet + blue) / 2 < centres[-1] < blue


def test_base_break_closes_between_4_and_8_min_because_tone_is_outrun():
    assert "between 4 and 8 min" in row("base break")
    mixture = Mixture("base-break", 10.0)
    window = find_window(BASE_BREAK_HAIR, mixture, None, CURVES)
    carried = carried_and_outrun(BASE_BREAK_HAIR, mixture)
    assert 4.0 <= window.closes <= 8.0
    assert window.closes_by == "warmth"
    assert carried.bare_too_warm_at < window.closes == pytest.approx(carried.too_warm_at)


def test_base_break_depth():
    """Amount needed at level 5.5 exceeds that at 7.5, and leans from violet to blue."""
    assert "5.5 exceeds that at 7.5, and leans from violet to blue" in row("base break depth")
    depth = tone_over_level([5.5, 7.5])
    assert depth.amount[0] > 1.5 * depth.amount[1]
    share = depth.doses[:, depth.dyes.index("blue")] / depth.amount
    assert share[0] > share[1] + 0.02
    whole = tone_over_level([5.5, 7.5], palette=tuple(palette()))
    assert whole.amount[0] > 1.5 * whole.amount[1]
    assert whole.centre_nm[0] > whole.centre_nm[1]


def test_base_break_depth_can_fail():
    """Were the needed tone the same at all depths, the row would not come out."""
    depth = tone_over_level([5.5, 5.5])
    assert not depth.amount[0] > 1.001 * depth.amount[1]


def test_over_toning_goes_past_neutral():
    """Faded and overdone toners, textbook of modern hair science: warm below, ash above."""
    found = neutralise(underpigment_state(9, CURVES))
    excess = [float(natural_path(CURVES).warmth(found.at(f))) for f in (0.5, 1.0, 2.0)]
    assert excess[0] > 1.0 > abs(excess[1])
    assert excess[2] < -1.0
