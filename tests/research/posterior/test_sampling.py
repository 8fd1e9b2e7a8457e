"""Sampler and diagnostics against densities whose moments are known."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.research.posterior import sampling
from lift.research.posterior.mode import Mode, find_mode
from lift.research.posterior.sampling import diagnose, effective_draws, require_sampler, sample

pytestmark = pytest.mark.slow

COVARIANCE = np.array([[1.0, 0.9, 0.0], [0.9, 1.0, 0.0], [0.0, 0.0, 0.04]])
CENTRE = np.array([1.0, -2.0, 0.5])
PRECISION = np.linalg.inv(COVARIANCE)


def normal(points):
    off = points - CENTRE
    return -0.5 * np.einsum("ij,jk,ik->i", off, PRECISION, off)


def banana(points):
    """Normal in x and in y - 0.4 x^2: curved, so that Laplace's approximation is poor."""
    x, y = points.T
    return -0.5 * x**2 - 0.5 * ((y - 0.4 * x**2) / 0.7) ** 2


def itself(z):
    return z


def test_mode_of_a_normal_is_its_centre_and_covariance():
    mode = find_mode(normal, np.zeros(3))
    np.testing.assert_allclose(mode.point, CENTRE, atol=1e-3)
    np.testing.assert_allclose(mode.covariance, COVARIANCE, atol=1e-3)


def test_mode_of_a_flat_direction_has_a_covariance_still():
    mode = find_mode(lambda p: -0.5 * p[:, 0] ** 2, np.ones(2))
    assert np.linalg.eigvalsh(mode.covariance).min() > 0.0


def test_draws_have_the_moments_of_a_normal():
    chains = sample(normal, Mode(CENTRE, COVARIANCE), itself, seed=1, wanted=2000.0)
    draws = chains.draws.reshape(-1, 3)
    np.testing.assert_allclose(draws.mean(axis=0), CENTRE, atol=0.1)
    np.testing.assert_allclose(np.cov(draws.T), COVARIANCE, atol=0.12)
    assert 0.5 < chains.acceptance <= 1.0


def test_draws_are_right_where_the_proposal_is_poor():
    """E y = 0.4, Var y = 0.49 + 2 * 0.16, from the definition of the density."""
    mode = find_mode(banana, np.zeros(2))
    chains = sample(banana, mode, itself, seed=2, wanted=2000.0, most=2000)
    draws = chains.draws.reshape(-1, 2)
    assert draws[:, 1].mean() == pytest.approx(0.4, abs=0.07)
    assert draws[:, 1].var() == pytest.approx(0.81, rel=0.12)
    assert draws[:, 0].var() == pytest.approx(1.0, rel=0.1)


def test_moves_alone_draw_the_right_width(monkeypatch):
    """Differential evolution without the proposal; emcee's snooker move fails this by a third."""
    monkeypatch.setattr(sampling, "INDEPENDENT_SHARE", 0.02)
    start = Mode(np.zeros(6), np.eye(6))
    chains = sample(
        lambda p: -0.5 * np.sum(p**2, axis=1), start, itself, seed=5, wanted=1500.0, most=3000
    )
    np.testing.assert_allclose(chains.draws.reshape(-1, 6).var(axis=0), 1.0, atol=0.12)


def test_same_seed_same_draws():
    mode = Mode(CENTRE, COVARIANCE)
    one, two, other = (sample(normal, mode, itself, seed=s, wanted=100.0).draws for s in (3, 3, 4))
    np.testing.assert_array_equal(one, two)
    assert not np.array_equal(one, other)


def test_progress_and_limits():
    told = []
    mode = Mode(CENTRE, COVARIANCE)
    chains = sample(
        normal, mode, itself, seed=1, wanted=1e9, block=20, most=60, progress=told.append
    )
    assert chains.draws.shape[1] == 60
    assert len(told) == 3
    assert all(0.0 < share < 1.0 for share in told)
    assert chains.thinned(50).shape == (50, 3)


def test_nowhere_to_start_is_said():
    with pytest.raises(LiftError, match="no density"):
        sample(
            lambda p: np.full(len(p), -np.inf),
            Mode(CENTRE, COVARIANCE),
            itself,
            seed=1,
            wanted=100.0,
        )


def test_effective_draws_of_an_autoregression():
    """n (1 - r) / (1 + r) effective draws of a first-order autoregression, a textbook result."""
    random = np.random.default_rng(0)
    chains = np.empty((8, 4000))
    noise = random.standard_normal(chains.shape)
    r = 0.6
    chains[:, 0] = noise[:, 0]
    for i in range(1, 4000):
        chains[:, i] = r * chains[:, i - 1] + np.sqrt(1 - r**2) * noise[:, i]
    bulk, tail = effective_draws(chains)
    assert bulk == pytest.approx(8 * 4000 * (1 - r) / (1 + r), rel=0.1)
    assert tail < 8 * 4000
    independent, _ = effective_draws(random.standard_normal((8, 4000)))
    assert independent == pytest.approx(8 * 4000, rel=0.1)


def test_rhat_sees_an_ensemble_that_went_elsewhere():
    random = np.random.default_rng(0)
    draws = random.standard_normal((40, 200))
    assert diagnose(draws, 4).rhat < 1.005
    draws[:10] += 1.0
    assert diagnose(draws, 4).rhat > 1.05


def test_missing_sampler_is_one_line(monkeypatch):
    monkeypatch.setattr(sampling, "find_spec", lambda name: None)
    with pytest.raises(LiftError, match=r"lift\[research\]"):
        require_sampler()
