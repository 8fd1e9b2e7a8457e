"""Pigment and colour of a strand."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.strand import (
    Pigment,
    hair_pigment,
    lightened,
    natural_pigment,
    strand_fibres,
    strand_lab,
    strand_reflectance,
)
from lift.optics.colorimetry import chroma, lab_to_xyz, reflectance_to_lab, white
from lift.optics.dyes import dye_band
from lift.optics.weights import WAVELENGTHS_NM

VALUES = default_curves().values
STRAND = natural_pigment(5.0, 0.05, VALUES)
NONE = Pigment(*[np.array(0.0)] * 4)


def test_one_level_is_one_equal_ratio():
    pigment = natural_pigment(np.arange(1.0, 11.0), 0.05, VALUES)
    ratio = np.exp(-VALUES["level_ratio"])
    for amount in (pigment.eumelanin, pigment.pheomelanin):
        np.testing.assert_allclose(amount[1:] / amount[:-1], ratio, rtol=1e-12)
    assert np.all(pigment.half_oxidised == 0.0)


def test_amounts_at_level_3():
    pigment = natural_pigment(3.0, 0.05, VALUES)
    load = VALUES["melanin_at_level_3"]
    assert pigment.eumelanin == pytest.approx(0.697 * load * 0.95)
    assert pigment.pheomelanin == pytest.approx(0.400 * load * 0.05)


def test_share_moves_melanin_from_one_kind_to_the_other():
    brown, red = (natural_pigment(5.0, share, VALUES) for share in (0.0, 1.0))
    assert brown.pheomelanin == 0.0
    assert red.eumelanin == 0.0
    assert red.pheomelanin / brown.eumelanin == pytest.approx(0.400 / 0.697)


def test_share_of_the_hair_goes_before_that_of_the_curve_set():
    own = hair_pigment(Hair(5.0, pheomelanin_share=0.33), VALUES)
    usual = hair_pigment(Hair(5.0), VALUES)
    assert own.pheomelanin == pytest.approx(0.33 / 0.05 * usual.pheomelanin)
    np.testing.assert_array_equal(usual.eumelanin, STRAND.eumelanin)


def test_lightening_decays_each_pigment():
    after = lightened(STRAND, 1.0, VALUES)
    ratio, yields = VALUES["half_oxidised_rate_ratio"], VALUES["half_oxidised_yield"]
    assert after.eumelanin == pytest.approx(STRAND.eumelanin * np.exp(-1.0))
    assert after.pheomelanin == pytest.approx(
        STRAND.pheomelanin * np.exp(-VALUES["pheomelanin_rate_ratio"])
    )
    # Bateman 1910: k1 / (k2 - k1) (e^-k1 - e^-k2), each melanin with an intermediate of its own.
    fed = STRAND.eumelanin * (np.exp(-1.0) - np.exp(-ratio)) / (ratio - 1.0)
    assert after.half_oxidised == pytest.approx(yields * fed)
    slower, ratio = VALUES["pheomelanin_rate_ratio"], VALUES["oxidised_pheomelanin_rate_ratio"]
    fed = STRAND.pheomelanin * slower * (np.exp(-slower) - np.exp(-ratio)) / (ratio - slower)
    assert after.oxidised_pheomelanin == pytest.approx(VALUES["oxidised_pheomelanin_yield"] * fed)


def test_red_hair_lightened_is_about_as_warm_as_brown():
    """Within a tenth, as both melanins are lost by way of the same intermediate."""
    exposure = np.array([1.0, 2.0])
    brown = strand_lab(lightened(natural_pigment(5.0, 0.05, VALUES), exposure, VALUES), VALUES)
    red = strand_lab(lightened(natural_pigment(5.0, 0.33, VALUES), exposure, VALUES), VALUES)
    assert np.all(chroma(red) > 0.9 * chroma(brown))


def test_lightening_twice_is_lightening_once_for_longer():
    """Exposures add, half-oxidised melanin left over from the first included."""
    twice = lightened(lightened(STRAND, 0.7, VALUES), 0.9, VALUES)
    once = lightened(STRAND, 1.6, VALUES)
    for name in ("eumelanin", "pheomelanin"):
        assert getattr(twice, name) == pytest.approx(getattr(once, name))
    assert twice.half_oxidised == pytest.approx(float(once.half_oxidised))


def test_half_oxidised_melanin_never_exceeds_what_it_came_from():
    exposure = np.linspace(0.0, 60.0, 601)
    after = lightened(STRAND, exposure, VALUES)
    gone = STRAND.eumelanin - after.eumelanin + STRAND.pheomelanin - after.pheomelanin
    assert np.all(after.half_oxidised <= VALUES["half_oxidised_yield"] * gone + 1e-12)
    assert after.half_oxidised[0] == 0.0
    assert after.half_oxidised[-1] < 1e-5


def test_colour_is_that_of_the_whole_spectrum():
    """However many wavelengths colour is computed from, within 2e-6 of all 81."""
    strand = lightened(natural_pigment(np.linspace(1, 10, 7), 0.05, VALUES), 1.2, VALUES)
    for tone in ({}, {"violet": 3.0, "green": 2.0}):
        for grey in (0.0, 40.0):
            spectrum = strand_reflectance(strand, VALUES, tone=tone, grey_percent=grey)
            lab = strand_lab(strand, VALUES, tone=tone, grey_percent=grey)
            np.testing.assert_allclose(lab, reflectance_to_lab(spectrum), atol=1e-5)


@pytest.mark.parametrize(("illuminant", "observer"), [("D65", 2), ("A", 10), ("LED-B3", 10)])
def test_colour_under_another_light(illuminant, observer):
    spectrum = strand_reflectance(STRAND, VALUES)
    np.testing.assert_allclose(
        strand_lab(STRAND, VALUES, illuminant=illuminant, observer=observer),
        reflectance_to_lab(spectrum, illuminant, observer),
        atol=1e-3,
    )


def test_reflectance_is_the_published_formula():
    """Rs + (1 - Rs) exp(-D sqrt(sigma)), Chiang et al. 2016, D(0.3) = 5.8884, at 550 nm."""
    at_550 = int(np.flatnonzero(WAVELENGTHS_NM == 550.0)[0])
    sigma = STRAND.eumelanin + STRAND.pheomelanin + VALUES["keratin_strength"]
    surface = VALUES["surface_reflectance"]
    expected = surface + (1.0 - surface) * np.exp(-5.8884 * np.sqrt(sigma))
    assert strand_reflectance(STRAND, VALUES)[at_550] == pytest.approx(expected, rel=1e-4)


def test_reflectance_lies_between_surface_and_bare_fibre():
    surface = strand_reflectance(natural_pigment(-200.0, 0.05, VALUES), VALUES)
    bare = strand_reflectance(NONE, VALUES)
    for level in (1.0, 5.0, 10.0):
        spectrum = strand_reflectance(natural_pigment(level, 0.05, VALUES), VALUES)
        assert spectrum.shape == (81,)
        assert np.all((spectrum > surface) & (spectrum < bare))


def test_bare_fibre_is_slightly_yellow():
    """Unpigmented hair near L* 75 and b* 16 (from memory)."""
    lightness, _, b = strand_lab(NONE, VALUES)
    assert lightness == pytest.approx(75.0, abs=2.0)
    assert b == pytest.approx(16.0, abs=2.0)


def test_grey_mixes_reflectances_linearly():
    dark, bare = strand_reflectance(STRAND, VALUES), strand_reflectance(NONE, VALUES)
    for percent in (0.0, 25.0, 100.0):
        seen = strand_reflectance(STRAND, VALUES, grey_percent=percent)
        np.testing.assert_allclose(seen, dark + percent / 100.0 * (bare - dark), atol=1e-12)


def test_tone_adds_its_band_to_both_kinds_of_fibre():
    """Doses add up as absorption: -ln of what comes back grows as the square root of the sum."""
    dyed = strand_reflectance(STRAND, VALUES, tone={"violet": 10.0})
    plain = strand_reflectance(STRAND, VALUES)
    loss = plain - dyed
    peak = WAVELENGTHS_NM[np.argmax(loss / plain)]
    assert abs(peak - dye_band("violet").centres_nm[0]) < 40.0
    assert np.all(loss > -1e-15)
    both = strand_reflectance(NONE, VALUES, tone={"violet": 10.0})
    grey = strand_reflectance(STRAND, VALUES, tone={"violet": 10.0}, grey_percent=100.0)
    np.testing.assert_allclose(grey, both, atol=1e-12)


def test_both_kinds_of_fibre_and_their_blend():
    tone = {"violet": 8.0}
    shown = strand_fibres(STRAND, VALUES, tone=tone, grey_percent=30.0)
    np.testing.assert_allclose(shown.pigmented, strand_lab(STRAND, VALUES, tone=tone), atol=1e-9)
    np.testing.assert_allclose(shown.white, strand_lab(NONE, VALUES, tone=tone), atol=1e-9)
    blend = strand_lab(STRAND, VALUES, tone=tone, grey_percent=30.0)
    np.testing.assert_allclose(shown.blend, blend, atol=1e-9)
    # XYZ is linear in reflectance.
    xyz = [lab_to_xyz(lab, white()) for lab in (shown.pigmented, shown.white, shown.blend)]
    np.testing.assert_allclose(0.7 * xyz[0] + 0.3 * xyz[1], xyz[2], atol=1e-6)


def test_hair_without_grey_is_one_kind():
    shown = strand_fibres(STRAND, VALUES, tone={"violet": 8.0})
    assert shown.white is None
    np.testing.assert_array_equal(shown.pigmented, shown.blend)


def test_resistant_fibres_take_no_tone():
    """A share of the white fibres, mixed in linearly, stays as it was."""
    tone = {"violet": 8.0}
    bare, dyed = strand_lab(NONE, VALUES), strand_lab(NONE, VALUES, tone=tone)

    def fibres(resistant, tone):
        return strand_fibres(
            STRAND, VALUES, tone=tone, grey_percent=30.0, resistant_percent=resistant
        )

    np.testing.assert_allclose(fibres(100.0, tone).white, bare, atol=1e-6)
    np.testing.assert_allclose(fibres(0.0, tone).white, dyed, atol=1e-9)
    half = lab_to_xyz(fibres(50.0, tone).white, white())
    ends = [lab_to_xyz(lab, white()) for lab in (bare, dyed)]
    np.testing.assert_allclose(half, np.mean(ends, axis=0), atol=1e-5)
    np.testing.assert_array_equal(fibres(50.0, None).white, fibres(0.0, None).white)
    assert fibres(50.0, tone).blend[0] > fibres(0.0, tone).blend[0]
    np.testing.assert_array_equal(fibres(50.0, tone).pigmented, fibres(0.0, tone).pigmented)
    kinds = fibres([0.0, 50.0, 100.0], tone)
    assert kinds.white.shape == kinds.blend.shape == (3, 3)
    np.testing.assert_allclose(kinds.white[1], fibres(50.0, tone).white, atol=1e-12)


def test_broadcasting():
    strand = lightened(natural_pigment(np.ones((2, 1, 1)), 0.05, VALUES), np.ones(5), VALUES)
    tone = {"violet": np.linspace(0.0, 1.0, 3)[:, None]}
    grey = np.array([[10.0], [20.0], [30.0]])
    assert strand_reflectance(strand, VALUES, tone=tone, grey_percent=grey).shape == (2, 3, 5, 81)
    lab = strand_lab(strand, VALUES, tone=tone, grey_percent=grey)
    assert lab.shape == (2, 3, 5, 3)
    alone = strand_lab(
        lightened(natural_pigment(1.0, 0.05, VALUES), 1.0, VALUES),
        VALUES,
        tone={"violet": 0.5},
        grey_percent=20.0,
    )
    np.testing.assert_allclose(lab[1, 1, 4], alone, atol=1e-10)
    assert strand_lab(STRAND, VALUES).shape == (3,)


def test_varied_values_broadcast_too():
    values = {**VALUES, "half_oxidised_rate_ratio": np.array([0.3, 0.5, 1.0])}
    assert lightened(STRAND, 1.0, values).half_oxidised.shape == (3,)


def test_bad_numbers():
    after = lightened(STRAND, np.array([1.0, np.nan]), VALUES)
    for left in (after.eumelanin, after.pheomelanin, after.half_oxidised):
        assert np.isnan(left).tolist() == [False, True]
    assert np.isnan(natural_pigment(np.nan, 0.05, VALUES).eumelanin)
    unknown = Pigment(np.array(np.nan), *[np.array(0.0)] * 3)
    assert np.isnan(strand_lab(unknown, VALUES)).all()
    with pytest.raises(LiftError, match="dye 'violett'"):
        strand_lab(STRAND, VALUES, tone={"violett": 1.0})
    with pytest.raises(LiftError, match="observer"):
        strand_lab(STRAND, VALUES, observer=3)
