"""Swatches as strands: the density is the product of what is believed and what was read."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import invgamma, multivariate_t, norm

from lift.model.course import PEROXIDE_ORDER, Structure
from lift.model.curves import default_curves
from lift.research.posterior.strands import SCATTER_FREEDOM, StrandModel, Strands
from lift.research.swatches.forward import predict
from lift.research.swatches.generate import design
from lift.research.tuning.problem import Problem, Tie

CURVES = default_curves()
FREE = ("lightening_rate", "half_oxidised_yield")


def model(free=FREE, swatches=3, minutes=(0.0, 20.0), **kinds):
    return StrandModel(Problem(design(swatches, minutes=minutes, **kinds), CURVES, free))


def points(own, count=4, seed=0):
    return own.start() + 0.3 * np.random.default_rng(seed).standard_normal((count, own.dimensions))


def test_log_likelihood_is_the_multivariate_t_of_scipy():
    own = model()
    drawn = own.strands(points(own, 2))
    table = own.problem.swatches
    found = own.log_likelihood(drawn)
    off = (own.predict(drawn) - table.lab) / table.sd
    for swatch in range(3):
        mine = off[:, table.swatch == swatch].reshape(2, -1)
        expected = multivariate_t(np.zeros(6), np.eye(6), df=SCATTER_FREEDOM).logpdf(mine)
        assert np.diff(found[:, swatch]) == pytest.approx(np.diff(expected), rel=1e-9)


def test_scatter_integrated_out_is_the_integral_over_it():
    """One swatch's t density against the numerical integral over its scatter."""
    squares, readings, half = 7.3, 6, SCATTER_FREEDOM / 2.0

    def inside(variance, q):
        density = variance ** (-readings / 2.0) * np.exp(-0.5 * q / variance)
        return density * invgamma(half, scale=half).pdf(variance)

    found = [quad(inside, 0.0, np.inf, args=(q,))[0] for q in (squares, 2.0)]
    expected = [(1.0 + q / 4.0) ** (-0.5 * (4.0 + readings)) for q in (squares, 2.0)]
    assert found[0] / found[1] == pytest.approx(expected[0] / expected[1], rel=1e-6)


def test_density_is_prior_times_likelihood_in_the_coordinates():
    """Every factor written out by hand, with the change of coordinates taken numerically."""
    own = model()
    z = points(own, 3)
    drawn = own.strands(z)
    rate, spread = drawn.theta[:, 0], drawn.spread
    mean, sd = own.judged
    expected = (
        own.priors[0].log_density_of_log(np.log(rate))
        + norm.logpdf(z[:, 1])
        + norm.logpdf(z[:, 2])
        + norm.logpdf(drawn.starts, mean, sd).sum(axis=1)
        + norm.logpdf(np.log(drawn.rates), np.log(rate)[:, None], spread[:, None]).sum(axis=1)
        + own.log_likelihood(drawn).sum(axis=1)
    )
    up, down = z.copy(), z.copy()
    up[:, 0] += 1e-5
    down[:, 0] -= 1e-5
    slope = (np.log(own.strands(up).theta[:, 0]) - np.log(own.strands(down).theta[:, 0])) / 2e-5
    expected += np.log(slope)
    found = own.log_density(z)
    np.testing.assert_allclose(np.diff(found), np.diff(expected), rtol=1e-7)


def test_points_are_independent_of_each_other():
    own = model()
    z = points(own, 5)
    together = own.log_density(z)
    np.testing.assert_allclose(together, [own.log_density(p[None])[0] for p in z], rtol=1e-12)


@pytest.mark.parametrize(
    "free", [("half_oxidised_yield",), ("lightening_rate", "powder_boost"), ("fade_minutes",)]
)
def test_prediction_is_the_forward_model_at_each_swatchs_rate(free):
    own = model(free)
    drawn = own.strands(points(own, 2))
    table = own.problem.swatches
    found = own.predict(drawn)
    for i in range(2):
        for swatch in range(3):
            values = {k: np.asarray(v) for k, v in own.values(drawn.theta[i]).items()}
            values["lightening_rate"] = drawn.rates[i, swatch]
            rows = table.swatch == swatch
            alone = predict(table.only(swatch), values, drawn.starts[i, [swatch]])
            np.testing.assert_allclose(found[i, rows], alone, atol=1e-9)


def test_structures_order_and_ties():
    table = design(3, minutes=(0.0, 20.0))
    free = ("lightening_rate", PEROXIDE_ORDER.name)
    ties = (Tie("powder_boost", "lightening_rate", 12.0),)
    bare = StrandModel(Problem(table, CURVES, free, ties, Structure(False, False)))
    z = points(bare, 2)
    assert np.all(np.isfinite(bare.log_density(z)))
    values = bare.values(bare.strands(z).theta)
    np.testing.assert_allclose(values["powder_boost"], 12.0 * values["lightening_rate"])


def test_a_level_nobody_judged_is_wide_open():
    table = design(3, minutes=(0.0, 20.0))
    own = StrandModel(Problem(table.replace(level=[4.0, np.nan, 6.0]), CURVES, FREE))
    mean, sd = own.judged
    assert mean[1] == pytest.approx(5.5)
    assert sd[1] == pytest.approx(2.5)
    starts = own.strands(own.start()).starts
    assert starts[1] == pytest.approx(table.level[1], abs=0.1)


def test_outside_the_range_of_the_rate_there_is_no_density():
    own = model()
    z = own.start()
    z[-3:] = 60.0
    assert own.log_density(z[None])[0] == -np.inf


def test_prior_draws_and_measurements_scatter_as_they_should():
    own = model(swatches=4)
    random = np.random.default_rng(5)
    drawn = [own.draw_prior(random) for _ in range(600)]
    z = np.array([own.priors[1].to_standard(d.theta[1]) for d in drawn])
    assert abs(z.mean()) < 0.15
    assert z.std() == pytest.approx(1.0, abs=0.1)
    off = np.array([np.log(d.rates / d.theta[0]) / d.spread for d in drawn])
    assert off.std() == pytest.approx(1.0, abs=0.06)
    one = drawn[0]
    table = own.problem.swatches
    whole = Strands(one.theta[None], one.spread[None], one.starts[None], one.rates[None])
    clean = own.predict(whole)[0]
    measured = [own.measure(one, random) for _ in range(400)]
    assert all(m.invented for m in measured)
    size = np.array([(m.lab - clean) / table.sd for m in measured])
    squares = (size**2).reshape(400, 4, 6).sum(axis=2) / 6.0
    # Squares over readings follow F with 6 and 4 degrees of freedom; its median is 1.062.
    assert np.median(squares) == pytest.approx(1.062, abs=0.12)


def test_nan_readings_have_no_density():
    own = model()
    z = points(own, 1)
    z[0, 1] = np.nan
    assert not np.isfinite(own.log_density(z)[0])
