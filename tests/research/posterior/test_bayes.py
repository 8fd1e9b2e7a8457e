"""Posterior: against another way of computing it, against the truth, and as a curve set."""

from dataclasses import replace

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.course import PEROXIDE_ORDER, Structure
from lift.model.curves import default_curves, load_curves
from lift.model.ensemble import ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.research.posterior.bayes import IN_FILE, KEPT, sample_posterior
from lift.research.posterior.mode import find_mode
from lift.research.posterior.predictive import predictive
from lift.research.posterior.strands import StrandModel, Strands
from lift.research.swatches.generate import design, synthetic_laboratory
from lift.research.tuning.problem import Problem, Tie

pytestmark = pytest.mark.slow

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


def test_truth_lies_inside_and_the_chains_agree(posterior, lab):
    assert posterior.converged
    for belief, true in zip(posterior.beliefs, (0.15, 0.5, 0.1), strict=True):
        half = belief.high - belief.low
        assert belief.low - 0.6 * half < true < belief.high + 0.6 * half
        assert belief.high - belief.low < belief.prior_high - belief.prior_low
        assert belief.diagnostic.rhat < 1.01
        assert min(belief.diagnostic.bulk, belief.diagnostic.tail) >= 1000.0
    own = posterior.strands
    assert own.theta.shape == (KEPT, 2)
    np.testing.assert_allclose(np.median(own.starts, axis=0), lab.starts, atol=0.15)


def test_importance_sampling_finds_the_same_posterior(posterior):
    """Another way to the same integrals: weighted draws from a wide t about the mode."""
    model = posterior.model
    mode = find_mode(model.log_density, model.start())
    random = np.random.default_rng(3)
    freedom, count = 6.0, 60_000
    root = np.linalg.cholesky(1.5 * mode.covariance)
    z = random.standard_normal((count, model.dimensions))
    z /= np.sqrt(random.chisquare(freedom, (count, 1)) / freedom)
    points = mode.point + z @ root.T
    log_proposed = -0.5 * (freedom + model.dimensions) * np.log1p(np.sum(z**2, axis=1) / freedom)
    parts = np.array_split(points, 60)
    log_weight = np.concatenate([model.log_density(p) for p in parts]) - log_proposed
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    assert 1.0 / np.sum(weight**2) > 1500.0
    numbers = np.log(model.strands(points).parameters)
    mean = weight @ numbers
    sd = np.sqrt(weight @ (numbers - mean) ** 2)
    drawn = np.log(posterior.strands.parameters)
    np.testing.assert_allclose(drawn.mean(axis=0), mean, atol=0.12 * sd.max())
    assert np.all(np.abs(drawn.mean(axis=0) - mean) < 0.12 * sd)
    np.testing.assert_allclose(drawn.std(axis=0), sd, rtol=0.12)


@pytest.mark.no_cover
def test_plain_emcee_finds_the_same_posterior(posterior):
    """The library's own stretch move, without proposal or differential evolution."""
    import emcee

    model = posterior.model
    mode = find_mode(model.log_density, model.start())
    sampler = emcee.EnsembleSampler(64, model.dimensions, model.log_density, vectorize=True)
    random = np.random.RandomState(5)
    sampler.random_state = random.get_state()
    start = (
        mode.point
        + random.standard_normal((64, model.dimensions)) @ np.linalg.cholesky(mode.covariance).T
    )
    sampler.run_mcmc(start, 4000)
    plain = np.log(model.strands(sampler.get_chain(discard=1000, flat=True)).parameters)
    drawn = np.log(posterior.strands.parameters)
    assert np.all(np.abs(drawn.mean(axis=0) - plain.mean(axis=0)) < 0.2 * plain.std(axis=0))
    np.testing.assert_allclose(drawn.std(axis=0), plain.std(axis=0), rtol=0.2)


def test_same_seed_same_posterior(lab):
    few = lab.swatches.rows(lab.swatches.swatch < 2)
    problem = Problem(few, CURVES, ("half_oxidised_yield",))
    one, two = (sample_posterior(problem, seed=4, wanted=100.0) for _ in range(2))
    np.testing.assert_array_equal(one.strands.theta, two.strands.theta)


def test_more_swatches_tell_more(posterior):
    more = sample_posterior(
        Problem(laboratory(swatches=10).swatches, CURVES, FREE), seed=2, wanted=400.0
    )
    width = [[b.high - b.low for b in p.beliefs] for p in (posterior, more)]
    assert np.all(np.array(width[1]) < np.array(width[0]))


def test_curve_set_carries_the_draws(posterior, tmp_path):
    curves = posterior.curves(CURVES, "own")
    assert curves.name == "own"
    assert curves["lightening_rate"].value == posterior.beliefs[0].median
    assert curves["lightening_rate"].status == "tuned"
    assert "INVENTED" in curves["lightening_rate"].source
    assert "R-hat" in dict(curves.provenance)["posterior"]
    assert len(curves.posterior) == IN_FILE
    curves.save(tmp_path / "own.toml")
    again = load_curves(tmp_path / "own.toml")
    np.testing.assert_allclose(again.posterior.array, curves.posterior.array, rtol=1e-5)
    hair, mixture = Hair(level=5.0), Mixture("cream", 30.0)
    before, after = (ensemble(hair, mixture, [35.0], c) for c in (CURVES, again))
    width = [float(np.ptp(np.asarray(e.band("lift"))[::2], axis=0)[0]) for e in (before, after)]
    assert width[1] < width[0]


def test_tied_parameters_are_drawn_too(lab):
    ties = (Tie("powder_boost", "lightening_rate", 10.0),)
    few = lab.swatches.rows(lab.swatches.swatch < 2)
    found = sample_posterior(Problem(few, CURVES, ("lightening_rate",), ties), wanted=100.0)
    curves = found.curves(CURVES)
    np.testing.assert_allclose(
        curves.posterior.column("powder_boost"), 10.0 * curves.posterior.column("lightening_rate")
    )
    assert curves["powder_boost"].value == pytest.approx(10.0 * curves["lightening_rate"].value)


@pytest.mark.parametrize(
    ("free", "structure"),
    [
        (("half_oxidised_yield", PEROXIDE_ORDER.name), Structure()),
        (("lightening_rate",), Structure(uptake=False)),
    ],
)
def test_other_physics_cannot_become_a_curve_set(lab, posterior, free, structure):
    other = StrandModel(Problem(lab.swatches, CURVES, free, structure=structure))
    with pytest.raises(LiftError, match="standard structure"):
        replace(posterior, model=other).curves(CURVES)


def test_json_form(posterior):
    found = posterior.to_dict()
    assert found["invented"] is True
    assert [p["name"] for p in found["parameters"]] == [*FREE, "rate_log_sd"]
    assert np.array(found["correlations"]).shape == (3, 3)
    assert all(p["interval"][0] < p["median"] < p["interval"][1] for p in found["parameters"])


@pytest.mark.parametrize("asked", [{"seed": -1}, {"wanted": 5.0}, {"most": 10}])
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
    truth = Problem(table, TRUTH, ("lightening_rate",))
    model = StrandModel(truth)
    true = Strands(np.array([[0.15]]), np.array([0.1]), lab.starts[None], 0.15 * lab.rates[None])
    lab_true = model.predict(true)[0]
    held = [
        (bands[0] <= again) & (again <= bands[2])
        for again in (
            lab_true + table.sd * random.standard_normal(table.lab.shape) for _ in range(200)
        )
    ]
    assert np.mean(held) == pytest.approx(0.9, abs=0.09)
    assert set(found.to_dict()["inside"]) == {"L*", "a*", "b*"}
