"""Swatches as strands: what is each swatch's own is integrated out, exactly where that is known."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import logsumexp
from scipy.stats import invgamma, multivariate_t, norm

from lift.model.course import Structure
from lift.model.curves import default_curves
from lift.research.posterior.own import Own, level_and_rate
from lift.research.posterior.problem import Problem, Tie
from lift.research.posterior.strands import SCATTER_FREEDOM, StrandModel
from lift.research.swatches.forward import predict
from lift.research.swatches.generate import design

CURVES = default_curves()
FREE = ("lightening_rate", "half_oxidised_yield")


def model(free=FREE, swatches=3, minutes=(0.0, 20.0), **options):
    options = {"misfit": False, **options}
    return StrandModel(Problem(design(swatches, minutes=minutes), CURVES, free, **options))


def points(own, count=4, seed=0):
    random = np.random.default_rng(seed)
    z = 0.1 * random.standard_normal((count, own.dimensions))
    deviates = own.first + 0.3 * random.standard_normal((count, *own.first.shape))
    return z, deviates


def test_density_of_a_swatch_is_the_multivariate_t_of_scipy():
    own = model()
    z, deviates = points(own, 2)
    found = own.look(z, deviates).log_density()
    table = own.problem.swatches
    off = (own.predict(own.strands(z, deviates)) - table.lab) / table.sd
    for swatch in range(3):
        mine = off[:, table.swatch == swatch].reshape(2, -1)
        expected = multivariate_t(np.zeros(6), np.eye(6), df=SCATTER_FREEDOM).logpdf(mine)
        expected = expected + norm.logpdf(deviates[:, swatch]).sum(axis=1)
        assert np.diff(found[:, swatch]) == pytest.approx(np.diff(expected), rel=1e-6)


def test_scatter_integrated_out_is_the_integral_over_it():
    """One swatch's t density against the numerical integral over its scatter."""
    squares, readings, half = 7.3, 6, SCATTER_FREEDOM / 2.0

    def inside(variance, q):
        density = variance ** (-readings / 2.0) * np.exp(-0.5 * q / variance)
        return density * invgamma(half, scale=half).pdf(variance)

    found = [quad(inside, 0.0, np.inf, args=(q,))[0] for q in (squares, 2.0)]
    expected = [(1.0 + q / 4.0) ** (-0.5 * (4.0 + readings)) for q in (squares, 2.0)]
    assert found[0] / found[1] == pytest.approx(expected[0] / expected[1], rel=1e-6)


def straight(squares, slope, bend, readings=12.0, freedom=4.0, at=(0.0, 0.0)):
    """One swatch whose colours are straight in level and rate."""
    return Own(
        np.array([[at]], float),
        np.array([[squares]], float),
        np.array([[slope]], float),
        np.array([[bend]], float),
        np.zeros((1, 1)),
        np.array([readings]),
        freedom,
    )


def test_a_normal_swatch_is_integrated_exactly():
    bend, slope, squares = np.array([[9.0, 3.0], [3.0, 4.0]]), np.array([1.0, -2.0]), 5.0
    found = level_and_rate(straight(squares, slope, bend, freedom=np.inf))
    whole = bend + np.eye(2)
    expected = 0.5 * slope @ np.linalg.solve(whole, slope) - 0.5 * squares
    expected -= 0.5 * np.linalg.slogdet(whole)[1]
    assert found[0, 0] == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("readings", [6.0, 18.0])
def test_a_scattering_swatch_is_integrated_as_on_a_fine_grid(readings):
    one = straight(14.0, (2.0, -3.0), ((20.0, 6.0), (6.0, 9.0)), readings=readings)
    axis = np.linspace(-5.0, 5.0, 401)
    grid = np.stack(np.meshgrid(axis, axis, indexing="ij"), axis=-1).reshape(-1, 1, 1, 2)
    exact = logsumexp(one.log_density(grid))
    exact += 2.0 * np.log(axis[1] - axis[0]) - np.log(2.0 * np.pi)
    assert level_and_rate(one)[0, 0] == pytest.approx(exact, abs=0.02)
    assert level_and_rate(one, 15)[0, 0] == pytest.approx(exact, abs=2e-3)


def test_best_has_no_slope_left():
    own = model(minutes=(0.0, 10.0, 30.0))
    z, deviates = points(own, 3)
    best = own.settle(z, deviates, 5).best()
    there = own.look(z, best)
    for i, step in enumerate(1e-4 * np.eye(2)):
        slope = (there.log_density(step) - there.log_density(-step)) / 2e-4
        np.testing.assert_allclose(slope, 0.0, atol=0.05), i


def test_own_draws_have_the_moments_of_their_density():
    bend = np.array([[20.0, 6.0], [6.0, 9.0]])
    one = straight(6.0, (2.0, -3.0), bend, freedom=np.inf)
    many = Own.joined([one] * 4000)
    drawn = many.draw(np.random.default_rng(1))[:, 0]
    covariance = np.linalg.inv(bend + np.eye(2))
    np.testing.assert_allclose(drawn.mean(axis=0), -covariance @ [2.0, -3.0], atol=0.02)
    np.testing.assert_allclose(np.cov(drawn.T), covariance, atol=0.012)


def test_points_are_independent_of_each_other():
    own = model()
    z, deviates = points(own, 5)
    together, _ = own.log_likelihood(z, deviates)
    alone = [own.log_likelihood(z[[i]], deviates[[i]])[0][0] for i in range(5)]
    np.testing.assert_allclose(together, alone, rtol=1e-10)


def test_a_swatch_of_another_rate_is_found_from_afar():
    """As one with a wrong label has."""
    own = model(minutes=(0.0, 10.0, 20.0, 40.0))
    table = own.problem.swatches
    fast = own.strands(np.zeros((1, 3)), own.first[None] + np.array([[0, 0], [0, 5.0], [0, 0]]))
    wrong = StrandModel(
        Problem(table.replace(lab=own.predict(fast)[0]), CURVES, FREE, misfit=False)
    )
    found = wrong.from_afar(np.zeros((1, 3)))
    assert found[1, 1] == pytest.approx(5.0, abs=0.5)
    assert np.abs(found[[0, 2], 1]).max() < 0.5


@pytest.mark.parametrize(
    "free", [("half_oxidised_yield",), ("lightening_rate", "persulfate_rate"), ("fade_minutes",)]
)
def test_prediction_is_the_forward_model_at_each_swatchs_rate(free):
    own = model(free)
    drawn = own.strands(*points(own, 2))
    table = own.problem.swatches
    found = own.predict(drawn)
    for i in range(2):
        for swatch in range(3):
            values = {k: np.asarray(v) for k, v in own.problem.values(drawn.theta[i]).items()}
            values["lightening_rate"] = values["lightening_rate"] * drawn.rates[i, swatch]
            rows = table.swatch == swatch
            alone = predict(table.only(swatch), values, drawn.starts[i, [swatch]])
            np.testing.assert_allclose(found[i, rows], alone, atol=1e-9)


def test_structures_order_and_ties():
    free = ("lightening_rate", "hydroperoxide_order")
    ties = (Tie("persulfate_rate", "lightening_rate", 12.0),)
    bare = model(free, ties=ties, structure=Structure(False, False))
    z, deviates = points(bare, 2)
    assert np.all(np.isfinite(bare.log_likelihood(z, deviates)[0]))
    values = bare.problem.values(bare.strands(z, deviates).theta)
    np.testing.assert_allclose(values["persulfate_rate"], 12.0 * values["lightening_rate"])


def test_one_rate_for_all_has_no_spread():
    own = model(own_rates=False)
    assert own.names == FREE
    z, deviates = points(own, 2)
    drawn = own.strands(z, deviates)
    assert np.all(drawn.spread == 0.0)
    assert np.all(drawn.rates == 1.0)


def test_a_level_nobody_judged_is_wide_open():
    table = design(3, minutes=(0.0, 20.0))
    own = StrandModel(Problem(table.replace(level=[4.0, np.nan, 6.0]), CURVES, FREE, misfit=False))
    mean, sd = own.judged
    assert mean[1] == pytest.approx(5.5)
    assert sd[1] == pytest.approx(2.5)
    starts = own.strands(np.zeros((1, 3)), own.first[None]).starts[0]
    assert starts[1] == pytest.approx(table.level[1], abs=0.1)


def test_prior_draws_and_measurements_scatter_as_they_should():
    own = model(swatches=4)
    random = np.random.default_rng(5)
    drawn = [own.draw_prior(random) for _ in range(600)]
    middle = own.priors[1].from_standard(0.0)
    assert np.mean([d.theta[0, 1] < middle for d in drawn]) == pytest.approx(0.5, abs=0.06)
    off = np.array([np.log(d.rates[0]) / d.spread[0] for d in drawn])
    assert off.std() == pytest.approx(1.0, abs=0.06)
    one, table = drawn[0], own.problem.swatches
    clean = own.predict(one)[0]
    measured = [own.measure(one, random) for _ in range(400)]
    assert all(m.invented for m in measured)
    size = np.array([(m.lab - clean) / table.sd for m in measured])
    squares = (size**2).reshape(400, 4, 6).sum(axis=2) / 6.0
    # Squares over readings follow F with 6 and 4 degrees of freedom; its median is 1.062.
    assert np.median(squares) == pytest.approx(1.062, abs=0.12)


def test_a_misfit_is_one_more_source_of_what_is_measured():
    """Given all else, readings vary by scatter and misfit together, and lean on each other."""
    own = model(swatches=4, minutes=(10.0, 11.0), misfit=True)
    assert own.dimensions == len(own.names) + 3
    one = own.draw_prior(np.random.default_rng(1))
    np.testing.assert_allclose(own.misfit(np.zeros((2, 6))), 0.5, rtol=0.02)
    random, table = np.random.default_rng(5), own.problem.swatches
    clean = own.predict(one)[0]
    off = np.array([own.measure(one, random).lab - clean for _ in range(1500)])
    factor = np.median(off**2, axis=0) / (table.sd**2 + one.misfit[0] ** 2)
    # Its median is that of F with 1 and 4 degrees of freedom: 0.549.
    np.testing.assert_allclose(factor.mean(), 0.549, rtol=0.1)
    ranks = off[:, :, 2].argsort(axis=0).argsort(axis=0)
    share = 0.95 * one.misfit[0, 2] ** 2 / (table.sd[0, 2] ** 2 + one.misfit[0, 2] ** 2)
    assert np.corrcoef(ranks[:, 0], ranks[:, 1])[0, 1] == pytest.approx(share, abs=0.1)
    assert abs(np.corrcoef(ranks[:, 0], ranks[:, 2])[0, 1]) < 0.1
