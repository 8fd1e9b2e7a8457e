"""Ensemble: what varies, bands and probabilities."""

from dataclasses import replace

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.course import RATES
from lift.model.curves import default_curves
from lift.model.ensemble import (
    LATENT,
    MEMBERS,
    OF_HEAD,
    SEED,
    apply_latent,
    draw_latent,
    ensemble,
    expected_strand,
)
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate

# Of one head: what nobody measured has tests of its own.
CURVES = replace(default_curves(), posterior=None)
HAIR, MIXTURE = Hair(6.0), Mixture("cream", 20.0)
MINUTES = np.linspace(0.0, 40.0, 9)
STILL = {name: 0.0 for name in ("level_sd", "rate_log_sd", "fibre_log_sd", "fade_log_sd")}


def quiet(**changes):
    return CURVES.replace(**{**STILL, **changes})


@pytest.fixture(scope="module")
def drawn():
    return ensemble(HAIR, MIXTURE, MINUTES, CURVES)


def test_shapes_and_central_strand(drawn):
    assert drawn.members.lab.shape == (MEMBERS, 9, 3)
    assert drawn.members.lift.shape == (MEMBERS, 9)
    assert drawn.latent.shape == (MEMBERS, 5)
    central = simulate(HAIR, MIXTURE, MINUTES)
    np.testing.assert_allclose(drawn.central.lab, central.lab, atol=1e-10)


def test_one_time_is_a_list_of_one():
    assert ensemble(HAIR, MIXTURE, 5.0, members=7).members.lift.shape == (7, 1)


def test_each_member_is_a_simulation_of_its_own(drawn):
    for member in (0, 57, MEMBERS - 1):
        level, rate, fibre, fade, _ = drawn.latent[member]
        hair = Hair(6.0 + 0.3 * level, 70.0 * np.exp(0.1 * fibre))
        curves = CURVES.replace(
            **{name: CURVES[name].value * np.exp(0.2 * rate) for name in RATES},
            fade_minutes=40.0 * np.exp(0.25 * fade),
        )
        alone = simulate(hair, MIXTURE, MINUTES, curves)
        np.testing.assert_allclose(drawn.members.lab[member], alone.lab, atol=2e-3)
        np.testing.assert_allclose(drawn.members.lift[member], alone.lift, atol=2e-3)


def test_seed_decides(drawn):
    again, other = (ensemble(HAIR, MIXTURE, MINUTES, CURVES, seed=s) for s in (SEED, 1))
    np.testing.assert_array_equal(again.members.lab, drawn.members.lab)
    assert not np.array_equal(other.members.lab, drawn.members.lab)
    # And hardly matters: another draw moves the median by little.
    np.testing.assert_allclose(other.band("lab")[1], drawn.band("lab")[1], atol=0.4)


def test_bands_are_ordered_and_hold_what_they_say(drawn):
    known = ("lab", "pigmented", "underpigment", "level", "lift", "warmth", "blend_warmth")
    for quantity in known:
        low, median, high = drawn.band(quantity)
        values = getattr(drawn.members, quantity)
        assert low.shape == median.shape == high.shape == values.shape[1:]
        assert np.all(low <= median)
        assert np.all(median <= high)
        inside = np.mean((values >= low) & (values <= high), axis=0)
        # Where all are one number, its rounding is no band.
        moving = np.ptp(values, axis=0) > 1e-9
        np.testing.assert_allclose(inside[moving], 0.9, atol=0.03)


def test_wider_coverage_is_a_wider_band(drawn):
    half, most = drawn.band("lab", 0.5), drawn.band("lab", 0.95)
    assert np.all(half[0] >= most[0])
    assert np.all(half[2] <= most[2])
    np.testing.assert_array_equal(half[1], most[1])


def test_median_is_near_the_central_strand(drawn):
    np.testing.assert_allclose(drawn.band("lab")[1], drawn.central.lab, atol=0.6)
    np.testing.assert_allclose(drawn.band("lift")[1], drawn.central.lift, atol=0.05)


def test_before_anything_happens_only_the_level_is_uncertain():
    """A level judged by eye is good to about half a level, nine times in ten."""
    low, median, high = ensemble(HAIR, MIXTURE, 0.0, CURVES).band("level")
    assert median[0] == pytest.approx(6.0, abs=0.01)
    assert (high - low)[0] / 2.0 == pytest.approx(0.5, abs=0.03)


@pytest.mark.parametrize("bad", [0.0, 1.0, np.nan, np.inf, [0.9, 0.5]])
def test_bad_coverage(drawn, bad):
    with pytest.raises(LiftError, match="coverage"):
        drawn.band("lab", bad)


def test_unknown_quantity(drawn):
    with pytest.raises(LiftError, match=r"quantity 'warm' is not one of lab.*did you mean warmth"):
        drawn.band("warm")


def test_probability_is_a_share_and_falls_with_the_allowance(drawn):
    shares = [drawn.probability_too_warm(allowance) for allowance in (-50, 1, 3, 6, 12, 100)]
    assert np.all(np.diff(shares, axis=0) <= 0.0)
    assert np.all((np.array(shares) >= 0.0) & (np.array(shares) <= 1.0))
    assert np.all(shares[0] == 1.0)
    assert np.all(shares[-1] == 0.0)
    counted = (drawn.members.warmth[:, 2] > 3.0).sum() / MEMBERS
    assert shares[2][2] == pytest.approx(counted)
    assert 0.0 < counted < 1.0
    for bad in (np.nan, np.inf, "warm"):
        with pytest.raises(LiftError, match="allowance"):
            drawn.probability_too_warm(bad)


@pytest.mark.parametrize("name", [*STILL])
def test_spread_grows_with_each_standard_deviation(name):
    widths = []
    for share in (0.0, 0.5, 1.0):
        curves = quiet(**{name: share * CURVES[name].value})
        low, _, high = ensemble(HAIR, MIXTURE, [20.0], curves).band("lab")
        widths.append(float((high - low)[0, 0]))
    assert widths[0] == pytest.approx(0.0, abs=1e-9)
    assert 0.4 < widths[1] / widths[2] < 0.6


def test_without_spread_every_member_is_the_central_strand():
    drawn = ensemble(HAIR, Mixture("base-break", 10.0), MINUTES / 4.0, quiet(), members=5)
    np.testing.assert_allclose(
        drawn.members.lab, np.broadcast_to(drawn.central.lab, (5, 9, 3)), atol=1e-9
    )
    assert set(drawn.probability_too_warm(3.0)) <= {0.0, 1.0}


def test_levels_and_fibres_stay_on_their_scales():
    extreme = np.array([[-6.0, 0.0, -6.0, 0.0, 0.0], [6.0, 0.0, 6.0, 0.0, 0.0]])
    loose = CURVES.replace(level_sd=1.0, fibre_log_sd=0.5)
    hair, _ = apply_latent(Hair(5.0), loose, extreme)
    assert hair.level.tolist() == [[1.0], [10.0]]
    assert hair.fibre_um.tolist() == [[30.0], [130.0]]


def test_earlier_lightening_moves_with_the_level():
    latent = np.outer([-2.0, 0.0, 2.0], np.eye(5)[0])
    hair, values = apply_latent(Hair(6.0, lightened_to=8.0), CURVES, latent)
    np.testing.assert_allclose(hair.lightened_to - hair.level, 2.0)
    assert values["fade_minutes"].shape == (3, 1)
    top, _ = apply_latent(Hair(9.0, lightened_to=10.0), CURVES, latent)
    assert top.lightened_to.max() == pytest.approx(9.6 + 1.0)


def test_given_deviates_are_used():
    """As the posterior of a strand test gives them: here, one that lightens fast."""
    fast = np.tile([0.0, 2.0, 0.0, 0.0, 0.0], (6, 1))
    drawn = ensemble(HAIR, MIXTURE, MINUTES, CURVES, latent=fast)
    assert drawn.members.lift.shape == (6, 9)
    curves = CURVES.replace(lightening_rate=CURVES["lightening_rate"].value * np.exp(0.4))
    alone = simulate(HAIR, MIXTURE, MINUTES, curves)
    np.testing.assert_allclose(drawn.members.lab[0], alone.lab, atol=1e-9)
    # What is expected of the strand follows them too.
    np.testing.assert_allclose(drawn.central.lab, alone.lab, atol=1e-9)
    np.testing.assert_array_equal(drawn.latent, fast)


def test_expected_strand_is_the_mean_of_the_deviates():
    latent = np.array([[1.0, 0.0, -1.0, 2.0, 0.0], [3.0, 2.0, -1.0, 0.0, 0.0]])
    hair, curves = expected_strand(Hair(6.0, lightened_to=8.0), CURVES, latent)
    assert hair.level == pytest.approx(6.6)
    assert hair.lightened_to == pytest.approx(8.6)
    assert hair.fibre_um == pytest.approx(70.0 * np.exp(-0.1))
    rate = CURVES["lightening_rate"].value
    assert curves["lightening_rate"].value == pytest.approx(rate * np.exp(0.2))
    assert curves["fade_minutes"].value == pytest.approx(40.0 * np.exp(0.25))
    assert curves.name == CURVES.name


@pytest.mark.parametrize(
    "hair",
    [
        Hair([5.0, 6.0]),
        Hair(5.0, fibre_um=[50.0, 70.0]),
        Hair(5.0, grey_percent=[0.0, 10.0]),
        Hair(5.0, pheomelanin_share=[0.05, 0.3]),
        Hair(5.0, lightened_to=[6.0, 7.0]),
    ],
)
def test_several_strands_at_once_are_refused(hair):
    with pytest.raises(LiftError, match="one strand; give one hair"):
        ensemble(hair, MIXTURE, MINUTES)


def test_several_mixtures_at_once_are_refused():
    with pytest.raises(LiftError, match="give one mixture volume"):
        ensemble(HAIR, Mixture("cream", [10.0, 20.0]), MINUTES)
    with pytest.raises(LiftError, match="give one mixture temperature_c"):
        ensemble(HAIR, Mixture("cream", temperature_c=[30.0, 31.0]), MINUTES)
    # Several developers in one bowl are one mixture.
    assert ensemble(HAIR, Mixture("cream", ((10, 1), (20, 1))), 5.0, members=3)


@pytest.mark.parametrize("bad", [np.nan, np.inf, -1.0, 121.0, [1.0, np.nan]])
def test_bad_times(bad):
    with pytest.raises(LiftError, match="processing time"):
        ensemble(HAIR, MIXTURE, bad)


def test_bad_shapes():
    with pytest.raises(LiftError, match=r"processing times have shape \(1, 2\)"):
        ensemble(HAIR, MIXTURE, [[1.0, 2.0]])
    for bad in (np.zeros(5), np.zeros((5, 4)), 0.0):
        with pytest.raises(LiftError, match=r"latent deviates have shape .*\(members, 5\)"):
            ensemble(HAIR, MIXTURE, MINUTES, latent=bad)
    for bad in (np.nan, np.inf, 11.0):
        with pytest.raises(LiftError, match="latent deviates"):
            ensemble(HAIR, MIXTURE, MINUTES, latent=np.full((3, 5), bad))


def test_up_to(drawn):
    cut = drawn.up_to(4)
    np.testing.assert_array_equal(cut.members.lab, drawn.members.lab[:, :4])
    np.testing.assert_array_equal(cut.central.lift, drawn.central.lift[:4])
    assert cut.latent is drawn.latent


def test_each_column_of_deviates_moves_its_own_quantity():
    """Names and columns agree: one standard deviation of each, alone."""
    for column, name in enumerate(OF_HEAD):
        latent = np.zeros((1, 5))
        latent[0, column] = 1.0
        hair, values = apply_latent(HAIR, CURVES, latent)
        moved = {
            "level": hair.level[0, 0] != 6.0,
            "rate": values["lightening_rate"].item() != CURVES["lightening_rate"].value,
            "fibre": hair.fibre_um[0, 0] != 70.0,
            "fade": values["fade_minutes"].item() != 40.0,
        }
        assert [n for n, m in moved.items() if m] == [name]
    assert draw_latent(10).shape == (10, len(LATENT))
