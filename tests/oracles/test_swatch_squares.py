"""The oracle of the tuning: what it makes small, and that the posterior agrees with it."""

import numpy as np
import pytest
from oracles.least_squares import jacobian, profile_interval
from oracles.swatch_squares import Squares, jackknife_errors, least_squares

from lift import default_curves
from lift.research.posterior.problem import FREE, Problem
from lift.research.swatches.forward import predict
from lift.research.swatches.generate import design

CURVES = default_curves()
TABLE = design(4)


def squares(rate_spread=0.0, **options):
    return Squares(Problem(TABLE, CURVES, **options), rate_spread)


def test_truth_leaves_nothing():
    exact = squares(0.2, free=FREE)
    x = exact.start.copy()
    x[len(FREE) : len(FREE) + 4] = TABLE.level
    np.testing.assert_allclose(exact.residuals(x), 0.0, atol=1e-9)
    assert exact.residuals(x).shape == (3 * len(TABLE) + 4 + 4,)
    assert exact.residuals(np.tile(x, (3, 1))).shape == (3, 3 * len(TABLE) + 8)


def test_residuals_count_in_standard_deviations():
    one = squares()
    moved = Squares(Problem(TABLE.replace(lab=TABLE.lab + TABLE.sd), CURVES))
    wider = Squares(Problem(TABLE, CURVES), scatter_scale=2.0)
    x = one.start
    colours = slice(0, 3 * len(TABLE))
    np.testing.assert_allclose((one.residuals(x) - moved.residuals(x))[colours], 1.0)
    np.testing.assert_allclose(wider.residuals(x)[colours], one.residuals(x)[colours] / 2.0)


def test_judged_levels_count_where_there_are_any():
    table = TABLE.replace(level=[3.0, np.nan, 5.0, np.nan])
    half = Squares(Problem(table, CURVES, ()))
    x = half.start.copy()
    x[0] += CURVES.values["level_sd"]
    change = half.residuals(x) - half.residuals(half.start)
    assert change.shape == (3 * len(TABLE) + 2,)
    np.testing.assert_allclose(change[-2:], [1.0, 0.0])


def test_rates_of_swatches_move_only_their_own_colours():
    own = squares(0.3)
    x = own.start.copy()
    x[-4] = 1.0
    change = own.predict(x) - own.predict(own.start)
    assert np.abs(change[TABLE.swatch == 0]).max() > 0.5
    assert np.abs(change[TABLE.swatch != 0]).max() == 0.0
    faster = {**CURVES.values, "lightening_rate": CURVES.values["lightening_rate"] * np.exp(0.3)}
    one = TABLE.only(0)
    np.testing.assert_allclose(
        own.predict(x)[TABLE.swatch == 0], predict(one, faster, x[len(FREE) : len(FREE) + 1])
    )


@pytest.mark.parametrize("spread", [0.0, 0.2])
def test_sparsity_is_true(spread):
    sparse = squares(spread, free=("lightening_rate", "half_oxidised_yield"))
    x = sparse.start + 0.01
    low, high = sparse.bounds
    full = jacobian(sparse.residuals, x, low, high)
    grouped = jacobian(sparse.residuals, x, low, high, sparse.sparsity)
    np.testing.assert_allclose(grouped, full, atol=1e-6)
    assert len(set(sparse.sparsity.groups.tolist())) == 2 + (1 if spread == 0.0 else 2)


@pytest.mark.slow
def test_posterior_agrees_with_least_squares_profile_and_jackknife(laboratory, tuning):
    """Another likelihood, another optimiser, no prior: the same numbers within their error."""
    fitted, best = least_squares(Problem(laboratory.swatches, CURVES))
    errors, between = best.standard_errors, jackknife_errors(fitted, best)
    degrees = len(laboratory.swatches.names) - 1
    for column, e in enumerate(tuning.estimates):
        larger = max(errors[column], between[column])
        assert abs(e.value - best.x[column]) < 1.2 * larger, e.name
        interval = profile_interval(
            fitted.residuals,
            best,
            column,
            degrees=degrees,
            sparsity=fitted.sparsity,
        )
        width = (e.high - e.low) / (interval.high - interval.low)
        assert 0.6 < width < 1.6, e.name
    assert tuning.spread == pytest.approx(fitted.rate_spread, rel=0.3)
    assert tuning.scatter_scale == pytest.approx(fitted.scatter_scale, rel=0.3)
    levels = fitted.split(best.x)[1]
    np.testing.assert_allclose(tuning.starts, levels, atol=0.1)
