"""Robust least squares: against linear algebra, and where parameters are not determined."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from oracles.least_squares import Sparsity, fit, jacobian, misfit_of

from lift import LiftError

X = np.linspace(0.0, 3.0, 25)
DESIGN = np.stack([np.ones(25), X, X**2], axis=1)
FREE = np.full(3, np.inf)


def line(y):
    return lambda sets: sets @ DESIGN.T - y


@pytest.fixture
def noisy():
    return DESIGN @ [1.0, -2.0, 0.5] + np.random.default_rng(1).normal(0.0, 0.3, 25)


def test_linear_model_is_linear_algebra(noisy):
    found = fit(line(noisy), np.zeros(3), -FREE, FREE, tolerance=1e-14)
    expected, rss, _, _ = np.linalg.lstsq(DESIGN, noisy)
    covariance = rss[0] / 22 * np.linalg.inv(DESIGN.T @ DESIGN)
    np.testing.assert_allclose(found.x, expected, rtol=1e-8)
    np.testing.assert_allclose(found.covariance, covariance, rtol=1e-6)
    assert found.misfit == pytest.approx(rss[0])
    assert found.degrees == 22
    assert found.variance == pytest.approx(rss[0] / 22)
    hat = np.diag(DESIGN @ np.linalg.inv(DESIGN.T @ DESIGN) @ DESIGN.T)
    np.testing.assert_allclose(found.leverages, hat, atol=1e-8)
    assert found.converged


def test_outlier_moves_the_robust_fit_less(noisy):
    bad = noisy.copy()
    bad[3] += 20.0
    clean = fit(line(noisy), np.zeros(3), -FREE, FREE)
    squares = fit(line(bad), np.zeros(3), -FREE, FREE)
    robust = fit(line(bad), np.zeros(3), -FREE, FREE, loss="soft_l1", knee=0.6)
    assert np.abs(robust.x - clean.x).max() < 0.2 * np.abs(squares.x - clean.x).max()


def test_robust_errors_are_as_wide_as_the_estimates_scatter():
    random = np.random.default_rng(2)
    estimates, errors = [], []
    for _ in range(300):
        found = fit(
            line(random.standard_normal(25)),
            np.zeros(3),
            -FREE,
            FREE,
            loss="soft_l1",
            knee=1.5,
            tolerance=1e-7,
        )
        estimates.append(found.x)
        errors.append(found.standard_errors)
    # 300 draws: the standard deviation itself is known to 4 %.
    np.testing.assert_allclose(np.std(estimates, axis=0), np.mean(errors, axis=0), rtol=0.12)


@given(
    st.lists(st.floats(0.2, 3.0), min_size=3, max_size=3),
    st.floats(1e-6, 1e6),
)
def test_jacobian_is_the_derivative_in_any_unit(x, unit):
    x = np.array(x)

    def curve(sets):
        a, b, c = np.moveaxis(sets, -1, 0)[..., None]
        return (a * np.exp(-b * X) + c**2) * unit

    found = jacobian(curve, x, -FREE, FREE)
    a, b, c = x
    exact = unit * np.stack([np.exp(-b * X), -a * X * np.exp(-b * X), np.full(25, 2.0 * c)], axis=1)
    np.testing.assert_allclose(found, exact, rtol=1e-7, atol=1e-7 * unit)


def test_jacobian_stays_inside_the_bounds():
    seen = []

    def root(sets):
        seen.append(sets)
        return np.sqrt(sets) @ np.ones((2, 3))

    found = jacobian(root, np.array([0.0, 1.0]), np.zeros(2), np.ones(2))
    assert np.isfinite(found).all()
    assert np.min(seen) >= 0.0
    assert np.max(seen) <= 1.0


def test_sparsity_saves_calls_and_changes_nothing():
    count = 40
    calls = []

    def blocks(sets):
        calls.append(len(sets))
        own = sets[:, 1:] ** 2 * sets[:, :1]
        return np.repeat(own, 2, axis=1)

    touches = np.concatenate(
        [np.ones((2 * count, 1), dtype=bool), np.repeat(np.eye(count, dtype=bool), 2, axis=0)],
        axis=1,
    )
    sparsity = Sparsity(np.array([0, *[1] * count]), touches)
    x = np.random.default_rng(3).uniform(0.5, 2.0, count + 1)
    free = np.full(count + 1, np.inf)
    grouped = jacobian(blocks, x, -free, free, sparsity)
    full = jacobian(blocks, x, -free, free)
    np.testing.assert_allclose(grouped, full, atol=1e-9)
    assert calls == [4, 2 * (count + 1)]
    held = sparsity.without(0)
    assert held.groups.tolist() == [1] * count
    assert held.touches.shape == (2 * count, count)


def test_parameter_without_effect_is_infinite_and_others_are_not(noisy):
    def spare(sets):
        return sets[:, :3] @ DESIGN.T - noisy

    free = np.full(4, np.inf)
    found = fit(spare, np.zeros(4), -free, free)
    assert np.isinf(found.standard_errors[3])
    assert np.isfinite(found.standard_errors[:3]).all()
    assert found.degrees == 22
    np.testing.assert_allclose(found.correlations[3], [0.0, 0.0, 0.0, 1.0])


def test_two_that_act_as_one_are_both_infinite(noisy):
    def doubled(sets):
        return (
            np.stack([sets[:, 0], sets[:, 1] + sets[:, 3], sets[:, 2]], axis=1) @ DESIGN.T - noisy
        )

    free = np.full(4, np.inf)
    found = fit(doubled, np.zeros(4), -free, free)
    assert np.isinf(found.standard_errors[[1, 3]]).all()
    assert np.isfinite(found.standard_errors[[0, 2]]).all()


def test_no_parameter_at_all():
    def constant(sets):
        return np.zeros((len(sets), 1)) * sets[:, :1] + 2.0

    found = fit(constant, np.zeros(1), np.array([-1.0]), np.array([1.0]))
    assert np.isinf(found.standard_errors).all()
    assert found.leverages.sum() == 0.0


def test_at_bound_is_told(noisy):
    low, high = np.array([0.0, -1.0, -9.0]), np.array([9.0, 9.0, 9.0])
    found = fit(line(noisy), np.ones(3), low, high)
    assert found.at_bound.tolist() == [False, True, False]
    unbounded = fit(line(noisy), np.ones(3), -FREE, FREE)
    assert not unbounded.at_bound.any()


def test_several_starts_keep_the_best_end():
    def two_valleys(sets):
        return np.stack([(sets[:, 0] ** 2 - 4.0), 0.3 * (sets[:, 0] - 2.0)], axis=1)

    bounds = (np.array([-9.0]), np.array([9.0]))
    stuck = fit(two_valleys, np.array([-3.0]), *bounds)
    both = fit(two_valleys, np.array([[-3.0], [3.0]]), *bounds)
    assert stuck.x[0] < 0.0
    assert both.x[0] == pytest.approx(2.0)
    assert both.evaluations > stuck.evaluations


def test_misfit():
    residuals = np.array([[3.0, 4.0], [0.0, 1.0]])
    np.testing.assert_allclose(misfit_of(residuals), [25.0, 1.0])
    small = 1e-4 * residuals
    np.testing.assert_allclose(misfit_of(small, "soft_l1", 1.0), misfit_of(small), rtol=1e-6)
    assert np.isnan(misfit_of(np.array([np.nan, 1.0]), "soft_l1"))


def test_giving_up_is_told(noisy):
    found = fit(line(noisy), np.full(3, 50.0), -FREE, FREE, most=1)
    assert not found.converged
    assert "maximum number" in found.message


@pytest.mark.parametrize(
    ("option", "message"),
    [({"loss": "cauchy"}, "loss 'cauchy' is not one of"), ({"tolerance": 0.0}, "tolerance 0")],
)
def test_bad_options_are_refused(noisy, option, message):
    with pytest.raises(LiftError, match=message):
        fit(line(noisy), np.zeros(3), -FREE, FREE, **option)
