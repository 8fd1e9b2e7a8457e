"""Draws of parameters: their file form, their place in a curve set and in an ensemble."""

import pickle
from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtri

from lift.answers.parts import curve_set_part
from lift.errors import LiftError
from lift.model.curves import default_curves, load_curves
from lift.model.draws import DRAW, ParameterDraws
from lift.model.ensemble import apply_latent, draw_latent, ensemble, expected_strand
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.strand import lightened, natural_pigment, strand_lab
from lift.optics.pigments import absorption
from lift.optics.weights import WAVELENGTHS_NM

CURVES = default_curves()
HAIR, MIXTURE = Hair(level=5.0), Mixture("cream", 30.0)


def made(count=400, rate_sd=0.05, spread=0.02, **others):
    """Invented posterior: rate, spread, and others given as (mean, sd)."""
    random = np.random.default_rng(4)
    columns = {
        "lightening_rate": 0.11 * np.exp(rate_sd * random.standard_normal(count)),
        "rate_log_sd": np.full(count, spread),
    }
    columns |= {n: m + sd * random.standard_normal(count) for n, (m, sd) in others.items()}
    rows = tuple(map(tuple, np.stack(list(columns.values()), axis=1).tolist()))
    return ParameterDraws(tuple(columns), rows)


def with_posterior(draws):
    return replace(CURVES, posterior=draws)


def test_strands_keep_the_spread_of_parameter_and_strand_together():
    curves = with_posterior(made(2000, rate_sd=0.05, spread=0.12))
    _, values = apply_latent(HAIR, curves, draw_latent(20000, 1))
    rate = values["lightening_rate"]
    assert np.std(np.log(rate)) == pytest.approx(np.hypot(0.05, 0.12), rel=0.03)
    assert np.median(rate) == pytest.approx(0.11, rel=0.01)


def test_draws_come_in_the_order_of_their_deviate_and_whole():
    draws = made(half_oxidised_yield=(0.4, 0.02))
    found = draws.drawn(CURVES.values, ndtri((np.arange(1000) + 0.5) / 1000))
    assert np.all(np.diff(found[DRAW]) >= 0)
    pairs = set(zip(found["lightening_rate"], found["half_oxidised_yield"], strict=True))
    assert len(pairs) == len(draws)


def test_a_rate_that_was_not_drawn_keeps_the_assumed_spread():
    rows = tuple((0.4 + 0.001 * i / 400,) for i in range(400))
    curves = with_posterior(ParameterDraws(("half_oxidised_yield",), rows))
    _, values = apply_latent(HAIR, curves, draw_latent(9000))
    assert np.std(np.log(values["lightening_rate"])) == pytest.approx(0.2, rel=0.03)


def test_ensemble_draws_from_the_posterior():
    narrow = with_posterior(made(half_oxidised_slope=(0.0145, 0.0002)))
    times = [0.0, 10.0, 35.0]
    before, after = (ensemble(HAIR, MIXTURE, times, c) for c in (CURVES, narrow))
    width = [float(np.ptp(e.band("warmth")[::2], axis=0)[-1]) for e in (before, after)]
    assert width[1] < 0.75 * width[0]
    wide = ensemble(HAIR, MIXTURE, times, with_posterior(made(rate_sd=0.5)))
    assert np.ptp(wide.band("lift")[::2], axis=0)[-1] > np.ptp(before.band("lift")[::2], axis=0)[-1]
    np.testing.assert_array_equal(after.central.lab, before.central.lab)


def test_a_strand_fades_its_own_way_about_what_was_drawn():
    latent = np.array([[0.0, 0.0, 0.0, 2.0, 1.0], [0.0, 0.0, 0.0, -2.0, 1.0]])
    ratio = np.exp(4.0 * CURVES.values["fade_log_sd"])
    for draws in (made(), made(fade_minutes=(40.0, 1.0))):
        _, values = apply_latent(HAIR, with_posterior(draws), latent)
        assert values["fade_minutes"][0] / values["fade_minutes"][1] == pytest.approx(ratio)


def test_row_of_zeros_is_the_expected_strand():
    _, values = apply_latent(
        HAIR, with_posterior(made(half_oxidised_yield=(0.4, 0.02))), [[0.0] * 5]
    )
    for name in ("lightening_rate", "half_oxidised_yield", "fade_minutes"):
        assert np.asarray(values[name]).item() == CURVES[name].value


def test_expected_strand_follows_a_strand_test():
    curves = with_posterior(made(rate_sd=0.2, spread=0.1))
    latent = np.random.default_rng(2).normal([0.0, 1.2, 0.0, 0.0, 0.0], 0.1, (300, 5))
    _, own = expected_strand(HAIR, curves, latent)
    after = np.median(curves.posterior.drawn(CURVES.values, latent[:, -1])["lightening_rate"])
    moved = (
        after
        / np.median(curves.posterior.column("lightening_rate"))
        * np.exp(CURVES.values["rate_log_sd"] * 1.2)
    )
    central = CURVES["lightening_rate"].value
    assert own.values["lightening_rate"] == pytest.approx(central * moved, rel=0.02)


def test_deviates_that_say_nothing_leave_the_expected_strand_where_it_is():
    _, own = expected_strand(HAIR, CURVES, draw_latent(4000))
    for name in CURVES.posterior.names:
        assert own.values[name] == pytest.approx(CURVES[name].value, rel=0.01)


def test_file_round_trip(tmp_path):
    curves = with_posterior(made(half_oxidised_slope=(0.0145, 0.0002)))
    path = tmp_path / "own.toml"
    curves.save(path)
    again = load_curves(path)
    assert again.posterior.names == curves.posterior.names
    np.testing.assert_allclose(again.posterior.array, curves.posterior.array, rtol=5e-6)
    assert hash(again) is not None
    assert curve_set_part(again).posterior == list(curves.posterior.names)
    assert curve_set_part(replace(CURVES, posterior=None)).posterior is None
    again.save(path)
    assert load_curves(path) == again


def test_pickle_keeps_everything():
    curves = with_posterior(made())
    assert pickle.loads(pickle.dumps(curves)) == curves


def test_a_changed_parameter_is_no_longer_drawn():
    curves = with_posterior(made())
    assert curves.replace(lightening_rate=0.12).posterior.names == ("rate_log_sd",)
    assert curves.replace(lightening_rate=0.12, rate_log_sd=0.1).posterior is None
    assert curves.replace(cream_ph=9.5).posterior == curves.posterior


@pytest.mark.parametrize(
    ("names", "rows", "words"),
    [
        (("lightening_rate",), ((0.1,),) * 20, "at least 50"),
        (("lightening_rate",), ((0.1, 0.2),) * 60, "1 numbers long"),
        (("lightening_rate",), ((float("nan"),),) * 60, "draw of the posterior"),
        ((), ((),) * 60, "no parameter"),
        (("a", "a"), ((1.0, 1.0),) * 60, "twice"),
    ],
)
def test_bad_draws_are_refused(names, rows, words):
    with pytest.raises(LiftError, match=words):
        ParameterDraws(names, rows)


def test_draws_outside_a_parameters_range_are_refused():
    rows = ((5.0,),) * 60
    with pytest.raises(LiftError, match="posterior of lightening_rate"):
        with_posterior(ParameterDraws(("lightening_rate",), rows))
    with pytest.raises(LiftError, match="parameter 'speed'"):
        with_posterior(ParameterDraws(("speed",), rows))


@pytest.mark.parametrize(
    "table", ["[posterior]\nnames = ['lightening_rate']\n", "[posterior]\nnames = 3\ndraws = 4\n"]
)
def test_a_bad_table_is_refused(tmp_path, table):
    path = tmp_path / "bad.toml"
    path.write_text(replace(CURVES, posterior=None).to_toml() + table, "utf-8")
    with pytest.raises(LiftError, match=r"\[posterior\]"):
        load_curves(path)


def test_optical_parameters_may_vary_by_member():
    values = dict(CURVES.values)
    exposure = np.linspace(0.0, 3.0, 7)
    natural = natural_pigment(np.array([[3.0], [6.0]]), 0.05, values)
    names = ("half_oxidised_slope", "azimuthal_roughness", "surface_reflectance", "surface_slope")
    arrays = {**values, **{n: values[n] * np.array([[1.0], [1.1]]) for n in names}}
    both = strand_lab(lightened(natural, exposure, arrays), arrays, grey_percent=10.0)
    for row in range(2):
        own = {**values, **{n: arrays[n][row, 0] for n in names}}
        one = natural_pigment([3.0, 6.0][row], 0.05, own)
        alone = strand_lab(lightened(one, exposure, own), own, grey_percent=10.0)
        np.testing.assert_allclose(both[row], alone, atol=1e-10)


def test_absorption_with_a_slope_for_each_member_equals_one_by_one():
    amounts = np.random.default_rng(0).random((3, 2, 4))
    slopes = [0.006, np.array([[0.01], [0.011], [0.012]]), 0.014, 0.008]
    found = absorption(WAVELENGTHS_NM, amounts, slopes)
    assert found.shape == (3, 2, 81)
    for i in range(3):
        own = [0.006, slopes[1][i, 0], 0.014, 0.008]
        np.testing.assert_allclose(found[i], absorption(WAVELENGTHS_NM, amounts[i], own))
