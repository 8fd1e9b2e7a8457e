"""Inverse: known states come back from their colours, as surely as is said."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import LEVEL_RANGE
from lift.model.inverse import (
    DEFAULT_SD,
    EXPOSURE_RANGE,
    READING_SD,
    SHARE_LOG_SD,
    SHARE_Z,
    infer_pigment,
)
from lift.model.strand import lightened, natural_pigment, strand_lab
from lift.optics.colorimetry import delta_e_2000
from lift.reference import load

CURVES = default_curves()
VALUES = CURVES.values
NAMES = ("level", "exposure", "share")
TONE = {"violet": 1.5, "blue-violet": 5.0}
DRAWS = 360


def state(level, exposure, share=VALUES["pheomelanin_share"]):
    return lightened(natural_pigment(level, share, VALUES), exposure, VALUES)


def colour(*of, tone=None):
    return strand_lab(state(*of), VALUES, tone=tone)


def drawn_from_the_prior(random, sd):
    """A state out of the prior, and its colour as an instrument with that noise reads it."""
    z = random.standard_normal()
    while abs(z) > SHARE_Z:
        z = random.standard_normal()
    share = VALUES["pheomelanin_share"] * np.exp(SHARE_LOG_SD * z)
    truth = (random.uniform(*LEVEL_RANGE), random.uniform(*EXPOSURE_RANGE), share)
    return truth, colour(*truth) + np.asarray(sd) * random.standard_normal(3)


@pytest.fixture(scope="module", params=[DEFAULT_SD, READING_SD], ids=["default", "instrument"])
def trials(request):
    random = np.random.default_rng(7)
    rows = []
    for seed in range(DRAWS):
        truth, read = drawn_from_the_prior(random, request.param)
        rows.append((truth, infer_pigment(read, CURVES, sd=request.param, seed=seed)))
    return rows


@pytest.mark.slow
@pytest.mark.parametrize("coverage", [0.5, 0.9])
@pytest.mark.parametrize("name", NAMES)
def test_stated_interval_holds_the_truth_at_the_stated_rate(trials, name, coverage):
    """Within 5 points at 90 % (3.2 standard errors of 360 draws), 8 points at 50 %."""
    inside = 0
    for truth, found in trials:
        low, high = found.interval(name, coverage)
        inside += low <= truth[NAMES.index(name)] <= high
    assert inside / DRAWS == pytest.approx(coverage, abs=0.05 if coverage == 0.9 else 0.08)


@pytest.mark.slow
@pytest.mark.parametrize("axis", [0, 1, 2])
def test_colour_after_toning_is_covered_too(trials, axis):
    """What the inference is for: the toned colour of the true state."""
    inside = 0
    for truth, found in trials:
        low, high = np.percentile(strand_lab(found.draws, VALUES, tone=TONE)[:, axis], [5, 95])
        inside += low <= colour(*truth, tone=TONE)[axis] <= high
    assert inside / DRAWS == pytest.approx(0.9, abs=0.05)


@pytest.mark.slow
def test_enough_candidates_stand_behind_every_draw(trials):
    counts = [found.effective for _, found in trials]
    assert min(counts) > 20.0
    assert np.median(counts) > 500.0


@pytest.mark.parametrize("level", [2.0, 4.5, 7.0, 9.5])
@pytest.mark.parametrize("exposure", [0.5, 2.0, 4.0])
def test_known_state_comes_back(level, exposure):
    found = infer_pigment(colour(level, exposure), CURVES)
    assert found.misfit < 0.5
    assert found.plausible
    low, high = found.interval("level", 0.95)
    assert low <= level <= high
    low, high = found.interval("exposure", 0.95)
    assert low <= exposure <= high


@pytest.mark.parametrize("shift", [(0.0, 0.0, 0.0), (1.0, -1.0, 0.5)])
def test_the_estimate_gives_its_pigment_and_the_draws_theirs(shift):
    """Level, exposure and share that are reported are those of the state that is reported."""
    found = infer_pigment(colour(5.0, 2.5) + np.array(shift), CURVES)
    best = state(found.natural_level, found.exposure, found.pheomelanin_share)
    drawn = state(found.level_draws, found.exposure_draws, found.share_draws)
    for name in ("eumelanin", "pheomelanin", "half_oxidised"):
        assert getattr(found.pigment, name) == pytest.approx(float(getattr(best, name)), rel=1e-9)
        np.testing.assert_allclose(getattr(found.draws, name), getattr(drawn, name), rtol=1e-9)
    lab = strand_lab(best, VALUES)
    assert found.misfit == pytest.approx(float(delta_e_2000(lab, found.lab)))
    assert found.squared_misfit == pytest.approx(np.sum(((lab - found.lab) / DEFAULT_SD) ** 2))


def test_better_readings_tell_more():
    lab = colour(6.0, 3.0)
    rough, fine = (infer_pigment(lab, CURVES, sd=sd) for sd in (3.0, 0.3))
    for name in ("level", "exposure"):
        wide, narrow = (np.subtract(*found.interval(name)[::-1]) for found in (rough, fine))
        assert narrow < 0.5 * wide


def test_draws_have_the_colour_that_was_read():
    lab = colour(6.0, 3.0)
    found = infer_pigment(lab, CURVES)
    back = strand_lab(found.draws, VALUES)
    assert back.shape == (400, 3)
    np.testing.assert_allclose(back.mean(axis=0), lab, atol=0.6)
    assert np.all(back.std(axis=0) < np.array(DEFAULT_SD) * 1.1)


def test_most_plausible_is_no_less_so_than_any_draw():
    lab = colour(5.0, 2.5) + np.array([1.0, -1.0, 0.5])
    found = infer_pigment(lab, CURVES)

    def height(pigment, share):
        off = (strand_lab(pigment, VALUES) - lab) / DEFAULT_SD
        z = np.log(np.asarray(share) / VALUES["pheomelanin_share"]) / SHARE_LOG_SD
        return -0.5 * np.sum(off**2, axis=-1) - 0.5 * z**2

    top = height(found.pigment, found.pheomelanin_share)
    assert top >= height(found.draws, found.share_draws).max() - 1e-9


def test_seed_decides_all():
    lab = colour(5.0, 2.0)
    one, two, other = (infer_pigment(lab, CURVES, seed=seed) for seed in (1, 1, 2))
    np.testing.assert_array_equal(one.level_draws, two.level_draws)
    assert not np.array_equal(one.level_draws, other.level_draws)
    assert one.exposure == pytest.approx(other.exposure, abs=0.3)


@pytest.mark.parametrize("lab", [(60.0, -3.0, -8.0), (30.0, -10.0, 5.0), (60.0, 0.0, 0.0)])
def test_colours_that_lightened_hair_cannot_have(lab):
    found = infer_pigment(lab, CURVES)
    assert not found.plausible
    assert found.misfit > 3.0


def test_measured_dark_brown_tress_is_natural_hair():
    """J. Cosmet. Sci. 51 (2000), Table III: never lightened, and read as such."""
    table = load("hair_colour_measured")
    rows = [i for i, name in enumerate(table.words("sample")) if name.startswith("dark brown")]
    assert len(rows) == 2
    for lab in table.numbers("L", "a", "b")[rows]:
        found = infer_pigment(lab, CURVES)
        assert found.plausible
        assert found.misfit < 1.5
        assert found.interval("exposure")[0] < 0.25
        assert 1.0 < found.natural_level < 4.0


def test_reading_noise_is_the_published_one():
    table = load("hair_colour_measured")
    row = table.words("sample").index("dark brown hair (tress vertical)")
    assert table.numbers("sd_L", "sd_a", "sd_b")[row].tolist() == list(READING_SD)
    assert list(DEFAULT_SD) == pytest.approx(np.hypot(READING_SD, 1.0))


def test_lightening_in_two_steps_is_lightening_once():
    """So that an inferred state can be lightened further."""
    once = state(4.0, 3.0, 0.1)
    twice = lightened(state(4.0, 1.2, 0.1), 1.8, VALUES)
    for name in ("eumelanin", "pheomelanin", "half_oxidised"):
        assert getattr(twice, name) == pytest.approx(float(getattr(once, name)), rel=1e-12)
    assert delta_e_2000(strand_lab(once, VALUES), strand_lab(twice, VALUES)) < 1e-9


@pytest.mark.parametrize("grey", [10.0, 30.0, 60.0])
def test_white_fibres_are_taken_out_of_a_blend(grey):
    once = state(4.0, 3.0, 0.05)
    blend = strand_lab(once, VALUES, grey_percent=grey)
    found = infer_pigment(blend, CURVES, grey_percent=grey)
    plain = infer_pigment(strand_lab(once, VALUES), CURVES)
    np.testing.assert_array_equal(found.lab, blend)
    np.testing.assert_allclose(found.pigmented, strand_lab(once, VALUES), atol=1e-6)
    assert found.plausible
    np.testing.assert_allclose(strand_lab(found.pigment, VALUES), found.pigmented, atol=0.3)
    # A reading of few fibres says less of them.
    ends = [f.interval("exposure") for f in (plain, found)]
    assert np.ptp(ends[1]) > 1.05 * np.ptp(ends[0])


def test_no_more_white_fibres_than_a_colour_can_hold():
    dark = strand_lab(state(4.0, 0.5, 0.05), VALUES)
    with pytest.raises(LiftError, match=r"they alone would be lighter .* at most ") as refused:
        infer_pigment(dark, CURVES, grey_percent=60.0)
    most = refused.value.note["most"]
    assert 0.0 < most < 60.0
    assert infer_pigment(dark, CURVES, grey_percent=most).pigmented[0] >= 0.0
    with pytest.raises(LiftError, match="at most"):
        infer_pigment(dark, CURVES, grey_percent=most + 1.0)
    with pytest.raises(LiftError, match="at most 99"):
        infer_pigment((90.0, 0.0, 10.0), CURVES, grey_percent=100.0)


@pytest.mark.parametrize(
    ("lab", "options", "message"),
    [
        ((50.0, 10.0), {}, r"shape \(2,\)"),
        ([[50.0, 10.0, 20.0]], {}, r"shape \(1, 3\)"),
        ((np.nan, 10.0, 20.0), {}, r"measured colour L\* nan"),
        ((np.inf, 10.0, 20.0), {}, r"measured colour L\* inf"),
        (("dark", 1, 2), {}, "is not three numbers"),
        ((50.0, 10.0, 20.0), {"sd": 0.0}, "standard deviation 0"),
        ((50.0, 10.0, 20.0), {"draws": 3}, "draws 3"),
        ((50.0, 10.0, 20.0), {"grey_percent": 101.0}, "grey 101"),
        ((50.0, 10.0, 20.0), {"grey_percent": np.nan}, "grey nan"),
    ],
)
def test_bad_input_is_refused(lab, options, message):
    with pytest.raises(LiftError, match=message):
        infer_pigment(lab, CURVES, **options)


def test_interval_names_and_coverage_are_checked():
    found = infer_pigment((51.0, 15.0, 37.0))
    with pytest.raises(LiftError, match="did you mean level"):
        found.interval("levels")
    with pytest.raises(LiftError, match="coverage 1"):
        found.interval("level", 1.0)
