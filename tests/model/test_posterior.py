import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.posterior import DRAWS, sample_posterior


def linear(design, seen, sd):
    """Log likelihood of a linear model with Gaussian errors, and its exact posterior."""
    design = np.asarray(design, dtype=float)

    def log_likelihood(z):
        off = (seen - z @ design.T) / sd
        return -0.5 * np.sum(off**2, axis=1) - len(seen) * np.log(sd * np.sqrt(2 * np.pi))

    # Normal prior, normal errors: the standard conjugate result, e.g. Gelman et al., Bayesian
    # Data Analysis, chapter 14 (from memory); the evidence is the marginal normal density.
    covariance = np.linalg.inv(np.eye(design.shape[1]) + design.T @ design / sd**2)
    mean = covariance @ design.T @ seen / sd**2
    marginal = design @ design.T + sd**2 * np.eye(len(seen))
    evidence = -0.5 * (
        seen @ np.linalg.solve(marginal, seen)
        + np.linalg.slogdet(marginal)[1]
        + len(seen) * np.log(2 * np.pi)
    )
    return log_likelihood, mean, covariance, evidence


CASES = {
    "one weak number": ([[0.5, 1.0, 0.0, 0.2]], [0.8], 1.0),
    "two numbers": ([[1.0, 0.3, 0.0, 0.1], [1.0, 1.5, 0.2, 0.5]], [0.4, 2.0], 0.5),
    "far out": ([[1.0, 0.3, 0.0, 0.1]], [4.0], 0.3),
    "sharp": (np.eye(4), [1.0, -2.0, 0.5, 3.0], 0.01),
}


@pytest.mark.parametrize("case", CASES, ids=str)
def test_agrees_with_the_conjugate_result(case):
    design, seen, sd = CASES[case]
    log_likelihood, mean, covariance, evidence = linear(design, np.array(seen), sd)
    found = sample_posterior(log_likelihood, 4, seed=3)
    exact_sd = np.sqrt(np.diag(covariance))
    np.testing.assert_allclose((found.mean - mean) / exact_sd, 0.0, atol=0.02)
    np.testing.assert_allclose(found.sd / exact_sd, 1.0, atol=0.02)
    assert found.log_evidence == pytest.approx(evidence, abs=0.02)
    assert found.effective_size >= 0.2 * DRAWS


def test_a_sharp_likelihood_takes_more_rounds_than_a_weak_one():
    weak = linear(*[np.asarray(v) for v in CASES["one weak number"]])[0]
    sharp = linear(*[np.asarray(v) for v in CASES["sharp"]])[0]
    assert sample_posterior(weak, 4).rounds == 1
    assert sample_posterior(sharp, 4).rounds > 1


def test_resampling_keeps_mean_and_spread():
    log_likelihood, mean, covariance, _ = linear(*[np.asarray(v) for v in CASES["two numbers"]])
    found = sample_posterior(log_likelihood, 4, seed=1)
    drawn = found.resample(2000, seed=5)
    exact_sd = np.sqrt(np.diag(covariance))
    assert drawn.shape == (2000, 4)
    np.testing.assert_allclose((drawn.mean(axis=0) - mean) / exact_sd, 0.0, atol=0.06)
    np.testing.assert_allclose(drawn.std(axis=0) / exact_sd, 1.0, atol=0.06)


def test_the_same_seed_gives_the_same_draws():
    log_likelihood = linear(*[np.asarray(v) for v in CASES["two numbers"]])[0]
    first, again = (sample_posterior(log_likelihood, 4, seed=7) for _ in range(2))
    np.testing.assert_array_equal(first.draws, again.draws)
    np.testing.assert_array_equal(first.resample(100, 2), again.resample(100, 2))
    assert not np.array_equal(first.draws, sample_posterior(log_likelihood, 4, seed=8).draws)


def test_no_data_leaves_the_prior():
    found = sample_posterior(lambda z: np.zeros(len(z)), 4)
    np.testing.assert_allclose(found.mean, 0.0, atol=0.005)
    np.testing.assert_allclose(found.sd, 1.0, atol=0.005)
    assert found.effective_size == pytest.approx(DRAWS)
    assert found.log_evidence == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("value", [-np.inf, np.nan])
def test_no_likelihood_anywhere_is_refused(value):
    with pytest.raises(LiftError, match="no likelihood"):
        sample_posterior(lambda z: np.full(len(z), value), 4)


def test_a_likelihood_that_holds_at_hardly_any_draw_is_refused():
    needle = np.random.default_rng(0)
    lone = needle.standard_normal(4096) * 1e3  # one draw outweighs all others in every round
    with pytest.raises(LiftError, match="too few draws"):
        sample_posterior(lambda z: lone[: len(z)], 4)


@pytest.mark.parametrize("draws", [10, 1e6, np.nan])
def test_number_of_draws_is_checked(draws):
    with pytest.raises(LiftError, match="draws"):
        sample_posterior(lambda z: np.zeros(len(z)), 4, draws=draws)


@pytest.mark.parametrize("members", [1, np.nan, np.inf])
def test_number_of_members_is_checked(members):
    found = sample_posterior(lambda z: np.zeros(len(z)), 4, draws=64)
    with pytest.raises(LiftError, match="members"):
        found.resample(members)
