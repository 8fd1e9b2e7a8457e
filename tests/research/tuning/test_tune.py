"""Tuning: recovers what an invented laboratory was made with, and says what it cannot."""

import numpy as np
import pytest

from lift import LiftError, default_curves
from lift.model.course import Structure
from lift.research.swatches.generate import design, measure, synthetic_laboratory
from lift.research.tuning.held_out import earliest_rows
from lift.research.tuning.problem import FREE, Tie
from lift.research.tuning.tune import tune
from lift.research.tuning.variance import LEAST_SPREAD, aicc_of

pytestmark = pytest.mark.slow


def test_truth_lies_inside(tuning, truth, laboratory):
    assert tuning.converged
    assert tuning.agreed >= 1
    for e in tuning.estimates:
        assert e.determined, e.verdict
        assert e.low <= truth.values[e.name] <= e.high, e.name
        assert e.low < e.value < e.high
        # An interval of 90 % and 7 degrees of freedom is 3.8 standard errors wide.
        assert (e.high - e.low) / e.standard_error == pytest.approx(3.8, rel=0.25)
    np.testing.assert_allclose(tuning.starts, laboratory.starts, atol=0.25)
    np.testing.assert_allclose(
        tuning.rates / tuning.rates.mean(), laboratory.rates / laboratory.rates.mean(), rtol=0.15
    )


def test_misfit_is_smaller_than_before(tuning):
    assert tuning.difference.mean() < 0.5 * tuning.difference_before.mean()
    per_swatch = tuning.per_swatch(tuning.difference)
    assert per_swatch.shape == (8,)
    assert per_swatch.mean() == pytest.approx(tuning.difference.mean())


def test_swatches_left_out_are_predicted_better_than_by_the_shipped_set(tuning):
    held_out = tuning.held_out
    assert held_out.folds == 8
    assert held_out.failed == 0
    assert held_out.rows.size == 8 * 5
    assert held_out.better
    assert held_out.parameters.shape == (8, len(FREE))
    jackknife = np.array([e.jackknife_error for e in tuning.estimates])
    np.testing.assert_allclose(jackknife, held_out.jackknife_errors)
    errors = np.array([e.standard_error for e in tuning.estimates])
    assert np.all((jackknife / errors > 0.2) & (jackknife / errors < 5.0))


def test_fit_without_a_swatch_does_not_see_it(laboratory, tuning):
    """Its later readings may be anything: the fit that predicts it stays nearly what it was."""
    table = laboratory.swatches
    lab = np.array(table.lab)
    lab[~earliest_rows(table) & (table.swatch == 3)] += 5.0
    wrong = tune(table.replace(lab=lab), starts=1).held_out
    was = tuning.held_out
    of_swatch = table.swatch[was.rows] == 3
    assert np.all(wrong.tuned[of_swatch] - was.tuned[of_swatch] > 1.0)
    # Spread and scatter are those of the fit to all swatches, hence "nearly".
    errors = np.array([e.standard_error for e in tuning.estimates])
    assert np.all(np.abs(wrong.parameters[3] - was.parameters[3]) < errors)
    assert np.any(np.abs(wrong.parameters[2] - was.parameters[2]) > errors)


def test_spread_of_the_rates_is_found():
    found = []
    for seed in range(5):
        made = synthetic_laboratory(design(12, minutes=(0.0, 30.0)), seed=seed, rate_spread=0.25)
        free = ("lightening_rate", "powder_boost")
        found.append(tune(made.swatches, free=free, starts=1, leave_swatches_out=False).spread)
    assert np.mean(found) == pytest.approx(0.25, rel=0.25)


def test_swatches_that_are_alike_are_found_alike():
    made = synthetic_laboratory(design(10), seed=3, rate_spread=0.0)
    alike = tune(made.swatches, starts=1, leave_swatches_out=False)
    assert alike.spread < 4.0 * LEAST_SPREAD


def test_scatter_is_found():
    laid_out = design(12)
    random = np.random.default_rng(5)
    noisy = measure(laid_out, default_curves().values, laid_out.level, random, sd=3.0 * laid_out.sd)
    found = tune(noisy, starts=1, loss="linear", leave_swatches_out=False)
    assert found.problem.scatter_scale == pytest.approx(3.0, rel=0.12)


def test_one_rate_for_all(laboratory):
    one = tune(laboratory.swatches, starts=1, own_rates=False, leave_swatches_out=False)
    assert one.spread is None
    assert one.problem.rate_spread == 0.0
    assert np.all(one.rates == 1.0)


def test_few_swatches_keep_the_spread_of_the_curve_set():
    made = synthetic_laboratory(design(2), seed=3)
    few = tune(made.swatches, free=("lightening_rate",), starts=1)
    assert few.spread is None
    assert few.problem.rate_spread == default_curves().values["rate_log_sd"]
    assert few.held_out is None
    assert few.estimates[0].jackknife_error is None


def test_what_no_reading_depends_on_is_said_and_left(laboratory):
    table = laboratory.swatches
    assert "base-break" not in table.kind
    found = tune(
        table, free=("lightening_rate", "base_break_ph"), starts=2, leave_swatches_out=False
    )
    unmoved = found.estimates[1]
    assert unmoved.verdict == "no reading depends on it"
    assert unmoved.value == default_curves().values["base_break_ph"]
    assert (unmoved.low, unmoved.high) == (8.0, 11.5)
    assert np.isinf(unmoved.standard_error)
    assert not unmoved.determined


def test_two_that_act_as_one_are_not_determined():
    """At one temperature the activation energy only scales the rate."""
    laid_out = design(6)
    warm = laid_out.replace(temperature_c=40.0)
    made = synthetic_laboratory(warm, seed=2)
    free = ("lightening_rate", "activation_energy")
    found = tune(made.swatches, free=free, starts=1, leave_swatches_out=False)
    assert found.estimates[1].verdict == "not determined by these data"
    assert np.isinf(found.estimates[1].standard_error)


def test_at_a_bound_is_said():
    from dataclasses import replace

    curves = default_curves()
    narrow = tuple(
        replace(p, high=0.12, value=0.1) if p.name == "lightening_rate" else p
        for p in curves.parameters
    )
    fast = synthetic_laboratory(design(6), curves.replace(lightening_rate=0.3), seed=2)
    found = tune(
        fast.swatches,
        replace(curves, parameters=narrow),
        ("lightening_rate",),
        starts=1,
        own_rates=False,
        leave_swatches_out=False,
    )
    estimate = found.estimates[0]
    assert estimate.at_bound
    assert estimate.high_open
    assert estimate.verdict == "at its bound"


def test_ties_hold(laboratory):
    tie = Tie("cream_ph", "powder_ph", 0.98)
    found = tune(
        laboratory.swatches,
        free=("lightening_rate", "powder_ph"),
        ties=(tie,),
        starts=1,
        leave_swatches_out=False,
    )
    values = found.problem.tuned([e.value for e in found.estimates])
    assert values["cream_ph"] == pytest.approx(0.98 * values["powder_ph"])


def test_criterion_prefers_the_physics_that_was_there(laboratory):
    table = laboratory.swatches
    options = {"starts": 1, "leave_swatches_out": False}
    free = ("lightening_rate", "powder_boost")
    whole = tune(table, free=(*free, "half_oxidised_yield"), **options)
    without = tune(table, free=free, structure=Structure(half_oxidised=False), **options)
    assert whole.aicc < without.aicc - 10.0
    assert whole.aicc == aicc_of(whole.problem, whole.fit)


def test_better_fit_met_on_the_way_is_taken_up(laboratory, monkeypatch):
    from dataclasses import replace

    from lift.research.tuning import tune as module

    options = {"free": ("lightening_rate",), "starts": 1, "leave_swatches_out": False}
    best = tune(laboratory.swatches, **options)
    real = module.fit_variances

    def stopped_early(problem, ends, loss):
        problem, found = real(problem, ends, loss)
        x = found.x.copy()
        x[1] += 0.5
        residuals = problem.residuals(x)
        return problem, replace(found, x=x, residuals=residuals)

    monkeypatch.setattr(module, "fit_variances", stopped_early)
    again = tune(laboratory.swatches, **options)
    assert again.fit.misfit == pytest.approx(best.fit.misfit, rel=1e-5)
    assert again.estimates[0].high == pytest.approx(best.estimates[0].high, rel=1e-2)


def test_progress_is_told(laboratory):
    told = []
    tune(
        laboratory.swatches, free=("lightening_rate",), starts=2, progress=lambda *a: told.append(a)
    )
    assert ("fitting", 2, 2) in told
    assert ("intervals", 1, 1) in told
    assert told[-1] == ("leaving swatches out", 8, 8)


def test_many_swatches_are_left_out_in_groups(monkeypatch, laboratory):
    monkeypatch.setattr("lift.research.tuning.held_out.MOST_FOLDS", 3)
    found = tune(laboratory.swatches, free=("lightening_rate",), starts=1)
    assert found.held_out.folds == 3
    assert np.isfinite(found.held_out.tuned).all()


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"free": ("lightning_rate",)}, "did you mean lightening_rate"),
        ({"starts": 0}, "starts 0 is outside 1 to 50"),
        ({"loss": "cauchy"}, "loss 'cauchy'"),
        ({"coverage": 1.0}, "coverage 1 is outside"),
    ],
)
def test_bad_options_are_refused(laboratory, options, message):
    with pytest.raises(LiftError, match=message):
        tune(laboratory.swatches, leave_swatches_out=False, **{"starts": 1, **options})


def test_too_few_readings_are_refused():
    with pytest.raises(LiftError, match="1 readings cannot decide 6 unknowns"):
        tune(design(1, minutes=(0.0,)))


@pytest.mark.no_cover
@pytest.mark.slow
def test_intervals_cover_the_truth(truth):
    """Many laboratories, five parameters each: 90 % intervals hold about nine in ten."""
    inside = []
    for seed in range(24):
        spread = 0.2 * (seed % 2)
        made = synthetic_laboratory(design(8), truth, seed=seed, rate_spread=spread)
        found = tune(made.swatches, starts=1, leave_swatches_out=False)
        inside += [e.low <= truth.values[e.name] <= e.high for e in found.estimates]
    # 120 answers, not quite independent: three standard deviations are about 0.09.
    assert np.mean(inside) == pytest.approx(0.9, abs=0.09)


@pytest.mark.no_cover
@pytest.mark.slow
def test_one_rate_for_all_would_claim_too_much(truth):
    """Why swatches have rates of their own: without, the intervals are far too narrow."""
    inside = []
    for seed in range(6):
        made = synthetic_laboratory(design(8), truth, seed=seed, rate_spread=0.2)
        found = tune(made.swatches, starts=1, own_rates=False, leave_swatches_out=False)
        inside += [e.low <= truth.values[e.name] <= e.high for e in found.estimates]
    assert np.mean(inside) < 0.6
