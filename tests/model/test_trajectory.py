"""A strand through time."""

import numpy as np
import pytest

from lift.chemistry.strength import arrhenius_factor, hydroperoxide_fraction, volume_to_molar
from lift.chemistry.uptake import contact_dose
from lift.errors import LiftError
from lift.model.course import conditions_of, rate, uptake
from lift.model.curves import default_curves
from lift.model.domain import longest_minutes
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.mixtures import mixture_classes
from lift.model.natural import natural_path
from lift.model.strand import lightened, natural_pigment, strand_lab
from lift.model.trajectory import exposure_before, simulate
from lift.optics.colorimetry import chroma, hue_deg

CURVES = default_curves()
VALUES = CURVES.values
PATH = natural_path(CURVES)


def rate_on_head(hair, mixture):
    return rate(conditions_of(hair, mixture, 10.0, VALUES), VALUES)


def uptake_rate(hair, prior=0.0):
    return uptake(conditions_of(hair, Mixture(), 10.0, VALUES, prior), VALUES)


COLOURS = ("lab", "pigmented", "underpigment")
ARRAYS = ("minutes", *COLOURS, "level", "lift", "warmth", "blend_warmth", "exposure")


def test_rate_is_the_product_of_its_causes():
    """k ([H2O2] HO2- against that at the reference pH)^n Arrhenius boost; 20 vol 1:1 is 0.892 M."""
    order = VALUES["hydroperoxide_order"]
    mixture = Mixture("powder", 30.0, ph=10.4, boost=2.0, temperature_c=36.0)
    expected = (
        VALUES["lightening_rate"]
        * ((2.0 * 20.0 / 22.414) * (1.0 + 10.0 ** (11.75 - 10.0)) / (1.0 + 10.0 ** (11.75 - 10.4)))
        ** order
        * np.exp(50_000.0 / 8.314462618 * (1.0 / 303.15 - 1.0 / 309.15))
        * 2.0
    )
    assert rate_on_head(Hair(5), mixture) == pytest.approx(expected, rel=1e-9)
    damp = rate_on_head(Hair(5, damp=True), mixture)
    assert damp == pytest.approx(expected * VALUES["damp_dilution"] ** order)
    assert rate_on_head(Hair(5), Mixture("cream", 0.0)) == 0.0


def test_rate_broadcasts():
    mixture = Mixture("cream", [[10.0], [20.0]], temperature_c=[25.0, 30.0, 35.0])
    found = rate_on_head(Hair(5), mixture)
    assert found.shape == (2, 3)
    assert np.all(np.diff(found, axis=0) > 0.0)
    assert np.all(np.diff(found, axis=1) > 0.0)


def test_uptake_goes_with_the_inverse_square_of_the_diameter():
    found = uptake_rate(Hair(5, fibre_um=[35.0, 70.0]))
    """Published for neutral hair, r2/D 170 min at 70 um; alkali swells it."""
    assert found[1] == pytest.approx(VALUES["swelling_gain"] / 170.0, rel=1e-3)
    assert found[0] == pytest.approx(4.0 * found[1])


def test_earlier_lightening_doubles_uptake_at_most():
    """1 h of 6 % H2O2 doubles dye diffusion, 4 h adds little (J. Soc. Cosmet. Chem. 44 (1993))."""
    found = uptake_rate(Hair(5), np.array([0.0, 0.5, 1e9])) / uptake_rate(Hair(5))
    np.testing.assert_allclose(found, [1.0, 2.0 - np.exp(-1.0), 2.0], rtol=1e-12)


def test_exposure_is_rate_times_dose():
    hair, mixture = Hair(4, "fine", damp=True), Mixture("cream", 30.0)
    minutes = np.array([0.0, 7.0, 35.0])
    kept = CURVES.replace(peroxide_loss=0.0)
    uptake = (70.0 / 50.0) ** 2 * VALUES["uptake_rate"] * VALUES["swelling_gain"]
    dose = contact_dose(minutes, uptake, 40.0)
    alkali = hydroperoxide_fraction(9.8, 11.75) / hydroperoxide_fraction(10.0, 11.75)
    anion = volume_to_molar(15.0) * 0.85 * alkali
    rate = VALUES["lightening_rate"] * anion ** VALUES["hydroperoxide_order"]
    found = simulate(hair, mixture, minutes, kept)
    np.testing.assert_allclose(found.exposure, rate * dose, rtol=1e-9)
    assert arrhenius_factor(30.0, 30.0, 50.0) == 1.0


def test_colour_depends_on_exposure_alone():
    """Slow and fast ways to one exposure give one colour."""
    fast = simulate(Hair(4), Mixture("powder", 40.0), 10.0)
    minutes = np.linspace(0.0, 60.0, 2401)
    slow = simulate(Hair(4, "coarse", damp=True), Mixture("cream", 40.0), minutes)
    at = int(np.argmin(np.abs(slow.exposure - fast.exposure)))
    assert slow.exposure[at] == pytest.approx(float(fast.exposure), abs=2e-3)
    np.testing.assert_allclose(slow.lab[at], fast.lab, atol=0.05)


def test_every_array_follows_from_the_pigment():
    hair = Hair(6, pheomelanin_share=0.2)
    found = simulate(hair, Mixture("cream", 20.0), [5.0, 30.0])
    pigment = lightened(natural_pigment(6.0, 0.2, VALUES), found.exposure, VALUES)
    np.testing.assert_allclose(found.underpigment, strand_lab(pigment, VALUES), atol=1e-9)
    np.testing.assert_array_equal(found.lab, found.underpigment)
    own = natural_path(CURVES, 0.2)
    np.testing.assert_allclose(found.warmth, own.warmth(found.lab))
    np.testing.assert_allclose(found.level, 6.0 + found.lift)
    np.testing.assert_array_equal(found.hue_deg, hue_deg(found.lab))
    np.testing.assert_array_equal(found.chroma, chroma(found.lab))
    np.testing.assert_allclose(found.pigment.eumelanin, pigment.eumelanin)
    assert found.curves is CURVES
    start = own.level_of_lightness(strand_lab(natural_pigment(6.0, 0.2, VALUES), VALUES)[0])
    np.testing.assert_allclose(
        found.lift, own.level_of_lightness(found.underpigment[:, 0]) - start, atol=1e-9
    )


def test_tone_and_grey_change_what_is_seen_and_not_the_underpigment():
    plain = simulate(Hair(5), Mixture("cream", 20.0), 20.0)
    seen = simulate(Hair(5, grey_percent=30.0), Mixture("cream", 20.0, tone={"blue": 3.0}), 20.0)
    for name in ("underpigment", "level", "lift", "exposure"):
        np.testing.assert_allclose(getattr(seen, name), getattr(plain, name), atol=1e-9)
    grey = simulate(Hair(5, grey_percent=30.0), Mixture("cream", 20.0), 20.0)
    toned = simulate(Hair(5), Mixture("cream", 20.0, tone={"blue": 3.0}), 20.0)
    assert grey.lab[0] > plain.lab[0] + 1.0
    np.testing.assert_allclose(grey.pigmented, plain.lab, atol=1e-9)
    assert grey.warmth == pytest.approx(float(plain.warmth))
    assert grey.blend_warmth == pytest.approx(float(PATH.warmth(grey.lab)))
    assert grey.blend_warmth < grey.warmth
    np.testing.assert_allclose(grey.white, simulate(Hair(5, grey_percent=100.0), Mixture(), 0).lab)
    assert plain.white is None
    assert toned.lab[0] < plain.lab[0]
    assert toned.warmth < plain.warmth - 0.2
    assert toned.tone["blue"] == pytest.approx(3.0 * (1.0 - np.exp(-20.0 / 8.0)))
    assert plain.tone == {}


def test_warmth_of_red_hair_counts_from_natural_red_hair():
    brown, red = (simulate(Hair(5, pheomelanin_share=s), Mixture(), 0.0) for s in (0.05, 0.33))
    assert brown.warmth == pytest.approx(0.0, abs=1e-9)
    assert red.warmth == pytest.approx(0.0, abs=1e-9)
    assert PATH.warmth(red.lab) > 1.0
    assert red.lab[1] > brown.lab[1] + 0.5


@pytest.mark.parametrize("level", [1.0, 4.0, 7.0])
@pytest.mark.parametrize("share", [None, 0.33])
def test_earlier_lightening_starts_where_it_left_off(level, share):
    before = Hair(level, pheomelanin_share=share, lightened_to=level + 2.0)
    at = simulate(before, Mixture("cream", 20.0), 0.0)
    assert at.level == pytest.approx(level + 2.0, abs=2e-3)
    # The same colour as when lightening was stopped there the first time.
    minutes = np.linspace(0.0, 60.0, 6001)
    first = simulate(before.replace(lightened_to=None), Mixture("powder", 30.0), minutes)
    stopped = int(np.argmin(np.abs(first.lift - 2.0)))
    np.testing.assert_allclose(first.underpigment[stopped], at.underpigment, atol=0.05)
    assert first.exposure[stopped] == pytest.approx(float(at.exposure), abs=2e-3)


def test_earlier_lightening_speeds_up_what_follows():
    """More exposure in the same time, because peroxide soaks in faster."""
    mixture = Mixture("cream", 20.0)
    new, old = Hair(5), Hair(5, lightened_to=7)
    gained = [
        float(simulate(h, mixture, 20.0).exposure - simulate(h, mixture, 0.0).exposure)
        for h in (new, old)
    ]
    assert gained[1] > 1.1 * gained[0]


def test_exposure_before():
    levels = np.array([[3.0], [6.0]])
    gains = np.array([0.0, 1.0, 3.0])
    found = exposure_before(Hair(levels, lightened_to=levels + gains), VALUES, PATH)
    assert found.shape == (2, 3)
    assert np.all(found[:, 0] == 0.0)
    assert np.all(np.diff(found, axis=1) > 0.2)
    assert exposure_before(Hair(levels), VALUES, PATH).tolist() == [[0.0], [0.0]]
    for i, j in np.ndindex(2, 3):
        alone = Hair(float(levels[i, 0]), lightened_to=float(levels[i, 0] + gains[j]))
        assert exposure_before(alone, VALUES, PATH) == pytest.approx(found[i, j], abs=1e-6)


@pytest.mark.parametrize("kind", list(mixture_classes()))
def test_broadcasting(kind):
    hair = Hair(np.array([3.0, 6.0, 9.0])[:, None, None], fibre_um=np.array([50.0, 90.0])[:, None])
    minutes = np.linspace(0.0, longest_minutes(Mixture(kind, 20.0), CURVES), 5)
    many = simulate(hair, Mixture(kind, 20.0), minutes)
    for name in ARRAYS:
        shape = (3, 2, 5, 3) if name in COLOURS else (3, 2, 5)
        assert getattr(many, name).shape == shape
    assert many.stage.shape == (3, 2, 5)
    for i, j, k in ((0, 0, 0), (1, 1, 2), (2, 0, 4)):
        one = simulate(Hair((3.0, 6.0, 9.0)[i], (50.0, 90.0)[j]), Mixture(kind, 20.0), minutes[k])
        assert one.lift.shape == ()
        for name in ARRAYS:
            np.testing.assert_allclose(
                getattr(many, name)[i, j, k], getattr(one, name), rtol=1e-7, atol=1e-8
            )
        assert many.stage[i, j, k] == one.stage


@pytest.mark.parametrize(
    ("hair", "mixture"),
    [
        (Hair(5, grey_percent=[0.0, 50.0]), Mixture()),
        (Hair(5), Mixture("base-break", 10.0, tone_minutes=[4.0, 8.0])),
        (Hair(5, pheomelanin_share=[0.05, 0.3]), Mixture()),
        (Hair(5, lightened_to=[6.0, 7.0]), Mixture()),
        (Hair(5), Mixture(volume=[10.0, 20.0])),
        (Hair(5), Mixture(ph=[9.0, 10.0])),
        (Hair(5), Mixture("powder", boost=[1.0, 2.0])),
        (Hair(5), Mixture(developer_parts=[1.0, 2.0])),
    ],
)
def test_an_axis_of_any_field_reaches_every_array(hair, mixture):
    found = simulate(hair, mixture, 10.0)
    for name in ARRAYS:
        assert getattr(found, name).shape[:1] == (2,)
    assert found.lab.shape == (2, 3)
    assert not np.allclose(found.lab[0], found.lab[1], atol=1e-4)


def test_up_to_is_what_a_shorter_run_gives():
    hair = Hair([[4.0], [7.0]], grey_percent=10.0)
    mixture = Mixture("base-break", 10.0)
    minutes = np.linspace(0.0, 15.0, 7)
    short, cut = simulate(hair, mixture, minutes[:3]), simulate(hair, mixture, minutes).up_to(3)
    for name in ARRAYS:
        np.testing.assert_allclose(getattr(cut, name), getattr(short, name), atol=1e-10)
    for name in ("eumelanin", "pheomelanin", "half_oxidised"):
        assert getattr(cut.pigment, name).shape == (2, 3)
    np.testing.assert_array_equal(cut.tone["violet"], short.tone["violet"])
    np.testing.assert_array_equal(cut.stage, short.stage)


def test_stage_is_that_of_the_underpigment_not_of_the_tone():
    found = simulate(Hair(4), Mixture("powder", 20.0, tone={"blue": 40.0}), 30.0)
    assert found.stage == simulate(Hair(4), Mixture("powder", 20.0), 30.0).stage


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf, -0.1, 120.1, [1.0, np.nan], "long"])
def test_bad_times_are_refused(bad):
    with pytest.raises(LiftError, match="processing time"):
        simulate(Hair(5), Mixture(), bad)


def test_given_values_go_before_those_of_the_set():
    slower = {**VALUES, "lightening_rate": np.array([[0.05], [0.1]])}
    found = simulate(Hair(5), Mixture(), [10.0, 20.0], values=slower)
    assert found.lift.shape == (2, 2)
    assert np.all(found.lift[0] < found.lift[1])
    changed = CURVES.replace(lightening_rate=0.05)
    np.testing.assert_allclose(
        simulate(Hair(5), Mixture(), [10.0, 20.0], changed).lift, found.lift[0]
    )


def test_times_need_not_rise():
    up = simulate(Hair(5), Mixture(), [0.0, 10.0, 20.0])
    down = simulate(Hair(5), Mixture(), [20.0, 10.0, 0.0])
    np.testing.assert_allclose(down.lab[::-1], up.lab, atol=1e-12)
