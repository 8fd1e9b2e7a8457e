"""Profile intervals: exact for a linear model, open where the data allow everything."""

from dataclasses import replace

import numpy as np
import pytest
from oracles.least_squares import Sparsity, fit, profile_interval
from scipy.stats import t

from lift import LiftError

X = np.linspace(0.0, 3.0, 25)
DESIGN = np.stack([np.ones(25), X], axis=1)
FREE = np.full(2, np.inf)
Y = DESIGN @ [1.0, -2.0] + np.random.default_rng(1).normal(0.0, 0.3, 25)


def line(sets):
    return sets @ DESIGN.T - Y


@pytest.mark.parametrize("coverage", [0.5, 0.9, 0.99])
@pytest.mark.parametrize("column", [0, 1])
def test_linear_model_gives_the_usual_interval(coverage, column):
    found = fit(line, np.zeros(2), -FREE, FREE, tolerance=1e-14)
    interval = profile_interval(line, found, column, coverage=coverage)
    half = t.ppf(0.5 + coverage / 2.0, 23) * found.standard_errors[column]
    assert interval.low == pytest.approx(found.x[column] - half, abs=5e-3 * half)
    assert interval.high == pytest.approx(found.x[column] + half, abs=5e-3 * half)
    assert not interval.low_open
    assert not interval.high_open
    assert not interval.open
    assert interval.better is None


def test_degrees_of_freedom_can_be_given():
    found = fit(line, np.zeros(2), -FREE, FREE, tolerance=1e-14)
    few = profile_interval(line, found, 1, degrees=3)
    assert few.high - found.x[1] == pytest.approx(
        t.ppf(0.95, 3) * found.standard_errors[1], rel=5e-3
    )


def test_bound_before_the_end_leaves_it_open():
    high = np.array([np.inf, float(np.polyfit(X, Y, 1)[0]) + 0.01])
    found = fit(line, np.array([1.0, -3.0]), -FREE, high)
    interval = profile_interval(line, found, 1)
    assert interval.high == high[1]
    assert interval.high_open
    assert not interval.low_open


def test_parameter_without_effect_is_open_on_both_sides():
    def spare(sets):
        return sets[:, :2] @ DESIGN.T - Y

    low, high = np.array([-9.0, -9.0, -1.0]), np.array([9.0, 9.0, 2.0])
    found = fit(spare, np.zeros(3), low, high)
    interval = profile_interval(spare, found, 2)
    assert interval.open
    assert (interval.low, interval.high) == (-1.0, 2.0)


def test_estimate_at_its_bound_is_open_there():
    low = np.array([-9.0, -1.0])
    found = fit(line, np.zeros(2), low, FREE)
    interval = profile_interval(line, found, 1)
    assert interval.low == -1.0
    assert interval.low_open


def test_curved_model_gives_a_lopsided_interval_within_which_the_misfit_stays_low():
    y = np.exp(-0.7 * X) + np.random.default_rng(4).normal(0.0, 0.15, 25)

    def decay(sets):
        return np.exp(-sets @ X[None, :]) - y

    found = fit(decay, np.array([1.0]), np.array([0.0]), np.array([9.0]), tolerance=1e-12)
    interval = profile_interval(
        decay, found, 0, sparsity=Sparsity(np.array([0]), np.ones((25, 1), bool))
    )
    wanted = t.ppf(0.95, 24) ** 2 * found.variance
    for end in (interval.low, interval.high):
        excess = np.sum(decay(np.array([[end]])) ** 2) - found.misfit
        assert excess == pytest.approx(wanted, rel=1e-2)
    assert interval.high - found.x[0] > found.x[0] - interval.low


def test_better_fit_met_on_the_way_is_handed_back():
    found = fit(line, np.zeros(2), -FREE, FREE, tolerance=1e-14)
    x = found.x + np.array([0.2, 0.0])
    stopped_early = replace(found, x=x, residuals=line(x[None, :])[0])
    interval = profile_interval(line, stopped_early, 1)
    assert interval.better is not None
    better = np.sum(line(interval.better[None, :]) ** 2)
    assert found.misfit <= better < stopped_early.misfit


@pytest.mark.parametrize("coverage", [0.0, 1.0, np.nan])
def test_bad_coverage_is_refused(coverage):
    found = fit(line, np.zeros(2), -FREE, FREE)
    with pytest.raises(LiftError, match="coverage"):
        profile_interval(line, found, 0, coverage=coverage)
