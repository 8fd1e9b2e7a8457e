"""Posterior: against another way of computing it, against the truth, and as a curve set."""

from dataclasses import replace

import numpy as np
import pytest

from lift.answers import to_dict
from lift.errors import LiftError
from lift.model import misfit
from lift.model.course import Structure
from lift.model.curves import default_curves, load_curves
from lift.model.ensemble import ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.research.posterior.bayes import KEPT, sample_posterior
from lift.research.posterior.mode import curvature, find_mode, gradient, one_thread
from lift.research.posterior.predictive import predictive
from lift.research.posterior.problem import Problem, Tie
from lift.research.posterior.strands import StrandModel, Strands
from lift.research.swatches.generate import design, synthetic_laboratory

CURVES = default_curves()
FREE = ("lightening_rate", "half_oxidised_yield")
TRUTH = CURVES.replace(lightening_rate=0.15, half_oxidised_yield=0.5)


def laboratory(seed=7, swatches=5, minutes=(0.0, 10.0, 20.0, 40.0)):
    return synthetic_laboratory(
        design(swatches, minutes=minutes), TRUTH, seed=seed, rate_spread=0.1
    )


@pytest.fixture(scope="module")
def lab():
    return laboratory()


@pytest.fixture(scope="module")
def posterior(lab):
    return sample_posterior(Problem(lab.swatches, CURVES, FREE), seed=2, wanted=1000.0)


def test_truth_lies_inside_and_the_draws_are_good(posterior, lab):
    assert posterior.converged
    assert posterior.mode.converged
    assert posterior.draws.reached
    for belief, true in zip(posterior.beliefs, (0.15, 0.5, 0.1), strict=True):
        width = belief.high - belief.low
        assert belief.low - 0.6 * width < true < belief.high + 0.6 * width
        assert width < belief.prior_high - belief.prior_low
    own = posterior.strands
    assert own.theta.shape == (KEPT, 2)
    np.testing.assert_allclose(np.median(own.starts, axis=0), lab.starts, atol=0.15)
    assert "Pareto shape" in str(posterior.sampler)
    assert f"{KEPT} kept, none twice" in str(posterior.sampler)


def test_mode_is_a_top_and_its_covariance_the_curvature(posterior):
    mode = posterior.mode
    height, slope = gradient(mode.smooth, mode.point)
    assert height == pytest.approx(mode.height)
    assert np.abs(slope @ mode.covariance @ slope) < 1e-3
    bend = -curvature(mode.smooth, mode.point)
    np.testing.assert_allclose(bend @ mode.covariance, np.eye(6), atol=1e-6)


def test_a_direction_that_nothing_bends_is_as_wide_as_the_prior(lab):
    mode = find_mode(StrandModel(Problem(lab.swatches, CURVES, ("base_break_ph",))))
    assert mode.point[0] == pytest.approx(0.0, abs=1e-3)
    assert mode.covariance[0, 0] == pytest.approx(1.0, rel=1e-3)


def everything(model):
    """Log density of parameters and of every swatch's own, nothing integrated out."""

    def log_density(x):
        z, own = x[:, : model.dimensions], x[:, model.dimensions :]
        own = own.reshape(len(x), -1, 2)
        lab = model.predict(model.strands(z, own))
        table = model.problem.swatches
        squares = np.sum(((lab - table.lab) / table.sd) ** 2, axis=-1)
        squares = squares @ np.eye(len(table.names))[table.swatch]
        readings = 3.0 * np.bincount(table.swatch)
        told = -0.5 * (4.0 + readings) * np.log1p(squares / 4.0)
        return told.sum(axis=1) - 0.5 * np.sum(x**2, axis=1)

    return log_density


@pytest.mark.no_cover
@pytest.mark.slow
def test_plain_emcee_over_everything_finds_the_same_posterior(lab):
    """The library's own stretch move on all coordinates: neither mode nor integral of ours."""
    import emcee

    posterior = sample_posterior(Problem(lab.swatches, CURVES, FREE, misfit=False), seed=2)
    model, mode = posterior.model, posterior.mode
    middle = np.concatenate([mode.point, mode.own.ravel()])
    sampler = emcee.EnsembleSampler(64, middle.size, everything(model), vectorize=True)
    random = np.random.RandomState(5)
    sampler.random_state = random.get_state()
    # Its steps hang together over some four hundred, so it has to be long.
    sampler.run_mcmc(middle + 0.05 * random.standard_normal((64, middle.size)), 4500)
    plain = sampler.get_chain(discard=1500, flat=True)
    drawn = np.average(posterior.draws.points, axis=0, weights=posterior.draws.weights)
    sd = np.sqrt(np.diag(np.cov(posterior.draws.points.T, aweights=posterior.draws.weights)))
    z = plain[:, : model.dimensions]
    assert np.all(np.abs(drawn - z.mean(axis=0)) < 0.2 * z.std(axis=0))
    np.testing.assert_allclose(sd, z.std(axis=0), rtol=0.2)
    starts = model.judged[0] + model.judged[1] * plain[:, model.dimensions :: 2]
    own = posterior.strands.starts
    np.testing.assert_allclose(own.mean(axis=0), starts.mean(axis=0), atol=0.03)
    np.testing.assert_allclose(own.std(axis=0), starts.std(axis=0), rtol=0.25)


def test_same_seed_same_posterior(lab):
    few = lab.swatches.rows(lab.swatches.swatch < 2)
    problem = Problem(few, CURVES, ("half_oxidised_yield",))
    one, two = (sample_posterior(problem, seed=4, wanted=100.0) for _ in range(2))
    np.testing.assert_array_equal(one.strands.theta, two.strands.theta)
    np.testing.assert_array_equal(one.strands.starts, two.strands.starts)


def test_more_swatches_tell_more(posterior):
    more = sample_posterior(Problem(laboratory(swatches=12).swatches, CURVES, FREE), seed=2)
    width = [p.beliefs[1].high - p.beliefs[1].low for p in (posterior, more)]
    assert width[1] < width[0]


@pytest.mark.parametrize("swatch", [0, 3])
def test_one_wrong_label_is_sampled_too(lab, swatch):
    """A swatch of 10 written for 40 vol, or the other way: no chains needed."""
    volume = np.array(lab.swatches.volume)
    own = lab.swatches.swatch == swatch
    volume[own] = 10.0 if volume[own][0] > 20.0 else 40.0
    wrong = lab.swatches.replace(volume=volume)
    found = sample_posterior(Problem(wrong, CURVES, FREE), seed=2)
    assert found.converged
    assert found.draws.reached


def test_curve_set_carries_medians_and_draws(posterior, tmp_path):
    curves = posterior.curves(CURVES, "mine")
    path = tmp_path / "mine.toml"
    curves.save(path)
    loaded = load_curves(path)
    assert loaded.name == "mine"
    assert loaded.posterior.names == (*FREE, "rate_log_sd", *misfit.NAMES)
    assert len(loaded.posterior.rows) == KEPT
    assert len(set(loaded.posterior.rows)) == KEPT
    for belief in posterior.beliefs:
        p = loaded[belief.name]
        assert p.value == pytest.approx(belief.value, rel=1e-5)
        assert p.status == "tuned"
        assert "INVENTED" in p.source
    assert loaded["persulfate_rate"] == CURVES["persulfate_rate"]
    assert "Pareto shape" in dict(loaded.provenance)["posterior"]
    # What was invented says so wherever it goes.
    assert loaded.invented
    assert str(loaded.standing).startswith("tuned to INVENTED swatches")


def test_ensemble_of_the_curve_set_is_narrower(posterior):
    before, after = (
        ensemble(Hair(level=5.0), Mixture("cream", 20.0), [30.0], c)
        for c in (CURVES, posterior.curves(CURVES))
    )
    width = [np.ptp(np.asarray(e.band("lift"))[[0, 2], 0]) for e in (before, after)]
    assert width[1] < width[0]


def test_tied_parameters_are_drawn_too(lab):
    ties = (Tie("persulfate_rate", "lightening_rate", 10.0),)
    few = lab.swatches.rows(lab.swatches.swatch < 2)
    found = sample_posterior(Problem(few, CURVES, ("lightening_rate",), ties), wanted=100.0)
    curves = found.curves(CURVES)
    np.testing.assert_allclose(
        curves.posterior.column("persulfate_rate"),
        10.0 * curves.posterior.column("lightening_rate"),
    )
    assert curves["persulfate_rate"].value == pytest.approx(10.0 * curves["lightening_rate"].value)


@pytest.mark.parametrize("structure", [Structure(half_oxidised=False), Structure(uptake=False)])
def test_other_physics_cannot_become_a_curve_set(lab, posterior, structure):
    other = StrandModel(Problem(lab.swatches, CURVES, ("lightening_rate",), structure=structure))
    with pytest.raises(LiftError, match="standard structure"):
        replace(posterior, model=other).curves(CURVES)


def test_stopping_short_and_bad_draws_are_said(posterior):
    short = replace(posterior, draws=replace(posterior.draws, reached=False))
    assert short.converged
    assert "stopped short of 1000" in str(short.sampler)
    bad = replace(posterior, draws=replace(posterior.draws, pareto_k=0.9))
    assert not bad.converged
    assert "NOT CONVERGED" in str(bad.sampler)
    apart = replace(posterior, draws=replace(posterior.draws, method="chains", rhat=1.2))
    assert not apart.converged
    assert "R-hat 1.200" in str(apart.sampler)


@pytest.mark.parametrize("asked", [{"seed": -1}, {"wanted": 5.0}, {"most": 10}, {"coverage": 1}])
def test_bad_requests_are_refused(lab, asked):
    with pytest.raises(LiftError, match="outside"):
        sample_posterior(Problem(lab.swatches, CURVES, FREE), **asked)


def test_predictive_bands_hold_readings_not_yet_taken(posterior, lab):
    """Readings of the same strands taken again, from the truth."""
    found = predictive(posterior)
    table = lab.swatches
    assert found.readings == len(table)
    assert np.all(found.inside >= 0.8)
    assert [b.minutes.tolist() for b in found.bands] == [[0.0, 10.0, 20.0, 40.0]] * 5
    for band in found.bands:
        low, median, high = band.reading
        assert np.all((low < median) & (median < high))
        curve_low, curve, curve_high = band.curve
        assert np.all(curve_high - curve_low < (high - low).max(axis=0))
        np.testing.assert_allclose(curve[0], median[0], atol=0.4)
    random = np.random.default_rng(0)
    bands = np.concatenate([b.reading for b in found.bands], axis=1)
    model = StrandModel(Problem(table, TRUTH, ("lightening_rate",)))
    own = lab.starts[None], lab.rates[None], np.zeros((1, 3)), np.zeros((1, 0))
    true = Strands(np.array([[0.15]]), np.array([0.1]), *own)
    lab_true = model.predict(true)[0]
    held = [
        (bands[0] <= again) & (again <= bands[2])
        for again in (
            lab_true + table.sd * random.standard_normal(table.lab.shape) for _ in range(200)
        )
    ]
    assert np.mean(held) == pytest.approx(0.9, abs=0.09)


def test_json_form(posterior):
    from lift.answers.encode import plain
    from lift.answers.tuning import posterior_answer

    found = plain(posterior_answer(posterior))
    assert found["invented"] is True
    assert [p["name"] for p in found["parameters"]] == [*FREE, "rate_log_sd"]
    assert np.array(found["correlations"]).shape == (3, 3)
    assert all(p["interval"][0] < p["value"] < p["interval"][1] for p in found["parameters"])
    assert set(found["inside"]) == {"L*", "a*", "b*"}
    assert found["sampler_code"]["code"] == "posterior.importance"
    assert to_dict(posterior.curves(CURVES))["posterior"] == [
        *(*FREE, "rate_log_sd"),
        *misfit.NAMES,
    ]


def test_one_thread_with_and_without_the_library(monkeypatch):
    import sys

    with one_thread():
        assert np.linalg.svd(np.eye(3), compute_uv=False).shape == (3,)
    monkeypatch.setitem(sys.modules, "threadpoolctl", None)
    with one_thread():
        assert np.linalg.svd(np.eye(3), compute_uv=False).shape == (3,)
