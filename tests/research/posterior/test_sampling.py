"""Draws and diagnostics against densities whose moments are known."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.research.posterior import chains as chains_module
from lift.research.posterior import drawn, sampling
from lift.research.posterior.chains import chains, effective_draws, nested_rhat
from lift.research.posterior.drawn import CHAINS, IMPORTANCE, Draws, require_sampler
from lift.research.posterior.proposal import Proposal
from lift.research.posterior.sampling import explore

COVARIANCE = np.array([[1.0, 0.9, 0.0], [0.9, 1.0, 0.0], [0.0, 0.0, 0.04]])
CENTRE = np.array([1.0, -2.0, 0.5])
PRECISION = np.linalg.inv(COVARIANCE)
START = Proposal.about(CENTRE, COVARIANCE)


def normal(points):
    off = points - CENTRE
    return -0.5 * np.einsum("ij,jk,ik->i", off, PRECISION, off)


def banana(points):
    """Normal in x and in y - 0.4 x^2: curved, so that Laplace's approximation is poor."""
    x, y = points.T
    return -0.5 * x**2 - 0.5 * ((y - 0.4 * x**2) / 0.7) ** 2


def moments(draws):
    mean = np.average(draws.points, axis=0, weights=draws.weights)
    return mean, np.cov(draws.points.T, aweights=draws.weights)


def test_draws_have_the_moments_of_a_normal():
    found = explore(normal, CENTRE, COVARIANCE, seed=1, wanted=3000.0)
    assert found.method == IMPORTANCE
    assert found.reached
    assert found.effective >= 3000.0
    assert found.pareto_k < 0.5
    mean, covariance = moments(found)
    np.testing.assert_allclose(mean, CENTRE, atol=0.06)
    np.testing.assert_allclose(covariance, COVARIANCE, atol=0.08)
    np.testing.assert_allclose(found.quantile(0.5), CENTRE, atol=0.08)
    spread = found.quantile([0.05, 0.95])
    np.testing.assert_allclose(
        spread[1] - spread[0], 2.0 * 1.645 * np.sqrt(np.diag(COVARIANCE)), rtol=0.06
    )


@pytest.mark.parametrize("scale", [0.2, 5.0])
def test_a_poor_first_proposal_is_fitted(scale):
    found = explore(normal, CENTRE + 0.3, scale * COVARIANCE, seed=3, wanted=2000.0)
    assert found.method == IMPORTANCE
    mean, covariance = moments(found)
    np.testing.assert_allclose(mean, CENTRE, atol=0.1)
    np.testing.assert_allclose(covariance, COVARIANCE, atol=0.15)


def test_draws_are_right_where_the_proposal_is_poor():
    """E y = 0.4, Var y = 0.49 + 2 * 0.16, from the definition of the density."""
    found = explore(banana, np.zeros(2), np.diag([1.0, 0.5]), seed=2, wanted=2000.0)
    mean, covariance = moments(found)
    assert mean[1] == pytest.approx(0.4, abs=0.07)
    assert covariance[1, 1] == pytest.approx(0.81, rel=0.12)
    assert covariance[0, 0] == pytest.approx(1.0, rel=0.1)


def test_weights_that_cannot_be_trusted_ask_for_chains(monkeypatch):
    """A density with tails far beyond the proposal's."""

    def heavy(points):
        return -1.5 * np.sum(np.log1p((points / 0.05) ** 2), axis=1)

    monkeypatch.setattr(sampling, "ROUNDS", 1)
    tight = 1e-5 * np.eye(4)
    found = explore(heavy, np.zeros(4), tight, seed=1, wanted=100.0, most=100)
    assert found.method == CHAINS
    assert np.isfinite(found.rhat)


@pytest.mark.slow
def test_chains_have_the_moments_of_a_normal():
    found = chains(normal, START, seed=1, wanted=2000.0)
    assert found.reached
    assert found.rhat < 1.01
    mean, covariance = moments(found)
    np.testing.assert_allclose(mean, CENTRE, atol=0.1)
    np.testing.assert_allclose(covariance, COVARIANCE, atol=0.12)
    same = chains(normal, START, seed=1, wanted=2000.0)
    np.testing.assert_array_equal(same.points, found.points)


@pytest.mark.slow
def test_moves_alone_draw_the_right_width(monkeypatch):
    """Differential evolution without the proposal; emcee's snooker move fails this by a third."""
    monkeypatch.setattr(chains_module, "INDEPENDENT_SHARE", 0.02)
    start = Proposal.about(np.zeros(6), np.eye(6))
    found = chains(lambda p: -0.5 * np.sum(p**2, axis=1), start, seed=5, wanted=1500.0, most=3000)
    np.testing.assert_allclose(np.diag(moments(found)[1]), 1.0, atol=0.12)


def test_a_second_top_is_climbed_to_and_shares_the_draws():
    """Two normal tops; the search had found the lower and wider, which has a fifth."""
    far = np.array([4.0, *np.zeros(5)])

    def two(points):
        low = np.log(0.2) - 0.5 * np.sum(points**2, axis=1)
        high = np.log(0.8 * 2.0**6) - 0.5 * np.sum(((points - far) / 0.5) ** 2, axis=1)
        return np.logaddexp(low, high)

    climbed = []

    def climb(start):
        climbed.append(start)
        return far, 0.25 * np.eye(6)

    found = explore(two, np.zeros(6), np.eye(6), seed=1, wanted=2000.0, climb=climb)
    assert len(climbed) == 1
    assert found.method == IMPORTANCE
    assert np.sum(found.weights[found.points[:, 0] < 2.0]) == pytest.approx(0.2, abs=0.03)


def test_who_stops_it_keeps_what_was_drawn():
    calls = []

    def stopped(points):
        calls.append(len(points))
        if len(calls) > 4:
            raise KeyboardInterrupt
        return normal(points)

    found = explore(stopped, CENTRE, COVARIANCE, seed=1, wanted=1e5)
    assert found.stopped
    assert not found.reached
    assert found.pareto_k < 0.5
    assert len(found.weights) == sum(calls[1:4])
    with pytest.raises(KeyboardInterrupt):
        explore(stopped, CENTRE, COVARIANCE, seed=1, wanted=1e5)


def test_same_seed_same_draws():
    one, two, other = (
        explore(normal, CENTRE, COVARIANCE, seed=s, wanted=100.0).points for s in (3, 3, 4)
    )
    np.testing.assert_array_equal(one, two)
    assert not np.array_equal(one, other)


def test_stopping_short_is_told(monkeypatch):
    monkeypatch.setattr(sampling, "MOST_DRAWS", 1500)
    short = explore(normal, CENTRE, COVARIANCE, seed=1, wanted=1e6)
    assert not short.reached
    told = []
    slow = chains(normal, START, seed=1, wanted=1e9, block=20, most=60, progress=told.append)
    assert not slow.reached
    assert len(told) == 3
    assert all(0.0 < share < 1.0 for share in told)


def test_kept_draws_are_distinct_and_in_random_order():
    """The bug that this replaces kept 167 distinct ones of 400."""
    found = explore(banana, np.zeros(2), np.diag([1.0, 0.5]), seed=2, wanted=1500.0)
    kept, effective = found.kept(400, np.random.default_rng(1))
    assert kept.shape == (400, 2)
    assert len(np.unique(kept, axis=0)) == 400
    assert 250.0 < effective <= 400.0
    again, _ = found.kept(400, np.random.default_rng(1))
    np.testing.assert_array_equal(kept, again)
    assert kept[:, 1].mean() == pytest.approx(moments(found)[0][1], abs=0.14)
    order = np.corrcoef(np.arange(400), kept[:, 0])[0, 1]
    assert abs(order) < 0.15


def test_kept_draws_of_chains_are_distinct():
    """Chains stay where they are when a proposal is refused: the same point counts more."""
    found = chains(banana, Proposal.about(np.zeros(2), np.eye(2)), seed=1, wanted=1e9, most=50)
    assert found.weights.max() > 1.5 * found.weights.min()
    kept, effective = found.kept(400, np.random.default_rng(2))
    assert len(np.unique(kept, axis=0)) == len(kept) == 400
    assert effective <= 400.0


def test_effective_number_of_kept_draws_is_how_much_their_mean_scatters():
    random = np.random.default_rng(4)
    means, promised = [], []
    for _ in range(300):
        points = random.standard_normal((600, 1))
        weights = np.exp(0.8 * points[:, 0])
        weights /= weights.sum()
        draws = Draws(points, weights, IMPORTANCE, 1.0 / np.sum(weights**2), 0.1, np.nan, True)
        kept, effective = draws.kept(100, random)
        means.append(kept.mean())
        promised.append(effective)
    # Weighted so, a standard normal variable has its mean at 0.8 and the same spread.
    assert np.mean(means) == pytest.approx(0.8, abs=0.05)
    assert 1.0 / np.var(means) == pytest.approx(np.mean(promised), rel=0.35)


def test_nowhere_to_start_is_said():
    with pytest.raises(LiftError, match="no density"):
        explore(lambda p: np.full(len(p), -np.inf), CENTRE, COVARIANCE, seed=1, wanted=100.0)


def test_effective_draws_of_an_autoregression():
    """n (1 - r) / (1 + r) effective draws of a first-order autoregression, a textbook result."""
    random = np.random.default_rng(0)
    drawn = np.empty((8, 4000))
    noise = random.standard_normal(drawn.shape)
    r = 0.6
    drawn[:, 0] = noise[:, 0]
    for i in range(1, 4000):
        drawn[:, i] = r * drawn[:, i - 1] + np.sqrt(1 - r**2) * noise[:, i]
    assert effective_draws(drawn) == pytest.approx(8 * 4000 * (1 - r) / (1 + r), rel=0.1)
    independent = effective_draws(random.standard_normal((8, 4000)))
    assert independent == pytest.approx(8 * 4000, rel=0.1)


def test_rhat_sees_an_ensemble_that_went_elsewhere():
    random = np.random.default_rng(0)
    drawn = random.standard_normal((40, 200))
    assert nested_rhat(drawn, 4) < 1.005
    drawn[:10] += 1.0
    assert nested_rhat(drawn, 4) > 1.05


def test_missing_sampler_is_one_line(monkeypatch):
    monkeypatch.setattr(drawn, "find_spec", lambda name: None)
    with pytest.raises(LiftError, match=r"lift\[research\]"):
        require_sampler()
