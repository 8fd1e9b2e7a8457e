"""Tuning: recovers what an invented laboratory was made with, and says what it cannot."""

import numpy as np
import pytest

from lift import LiftError, default_curves
from lift.model.course import Structure
from lift.research.posterior.problem import Tie
from lift.research.swatches.generate import design, measure, synthetic_laboratory
from lift.research.tuning import left_out
from lift.research.tuning import starts as starts_module
from lift.research.tuning.findings import findings
from lift.research.tuning.left_out import earliest_rows, leave_out
from lift.research.tuning.starts import aicc_of
from lift.research.tuning.tune import tune

CURVES = default_curves()


def quick(table, free=("lightening_rate",), **options):
    return tune(table, free=free, starts=1, leave_swatches_out=False, **options)


def test_truth_lies_inside(tuning, truth, laboratory):
    assert tuning.converged
    assert tuning.agreed == tuning.tried == 1
    for e in tuning.estimates:
        assert e.determined, e.verdict
        assert e.low < e.value < e.high
        # Nine in ten lie inside (see below); one a little outside is to be expected.
        assert abs(truth.values[e.name] - e.value) < 0.65 * (e.high - e.low), e.name
        # 90 % of a normal variable is 3.3 standard deviations wide.
        assert (e.high - e.low) / e.standard_error == pytest.approx(3.3, rel=0.25)
    np.testing.assert_allclose(tuning.starts, laboratory.starts, atol=0.25)
    # A strand's rate is that of both oxidants, so of creams and of powders by themselves.
    table = laboratory.swatches
    kinds = np.array(table.kind)[np.searchsorted(table.swatch, np.arange(len(table.names)))]
    for kind in set(kinds):
        own, true = (rates[kinds == kind] for rates in (tuning.rates, laboratory.rates))
        np.testing.assert_allclose(own / own.mean(), true / true.mean(), rtol=0.2)


def test_misfit_is_smaller_than_before(tuning):
    assert tuning.difference.mean() < 0.5 * tuning.difference_before.mean()
    per_swatch = tuning.per_swatch(tuning.difference)
    assert per_swatch.shape == (8,)
    assert per_swatch.mean() == pytest.approx(tuning.difference.mean())


def test_swatches_left_out_are_predicted_better_than_by_the_shipped_set(tuning):
    held_out = tuning.held_out
    assert held_out.failed == 0
    assert held_out.pareto_k.shape == (8,)
    assert held_out.rows.size == 8 * 5
    assert held_out.better


@pytest.mark.slow
def test_weighing_a_swatch_out_predicts_as_the_fit_without_it(tuning, monkeypatch):
    monkeypatch.setattr(left_out, "PARETO_LIMIT", -np.inf)
    anew = leave_out(tuning.posterior)
    assert anew.refitted == 8
    weighed = tuning.held_out
    assert weighed.refitted < 8
    np.testing.assert_allclose(anew.tuned.mean(), weighed.tuned.mean(), rtol=0.05)
    np.testing.assert_allclose(anew.tuned, weighed.tuned, atol=0.5)


@pytest.mark.slow
def test_fit_without_a_swatch_does_not_see_it(laboratory, tuning):
    """Its later readings may be anything: the others' prediction of it stays what it was."""
    table = laboratory.swatches
    lab = np.array(table.lab)
    later = ~earliest_rows(table) & (table.swatch == 3)
    lab[later] += 5.0
    wrong = tune(table.replace(lab=lab), starts=1)
    was = tuning.held_out
    of_swatch = table.swatch[was.rows] == 3
    assert np.all(wrong.held_out.tuned[of_swatch] - was.tuned[of_swatch] > 1.0)
    # A swatch that no parameter can explain counts less in the fit itself, too.
    for one, other in zip(wrong.estimates, tuning.estimates, strict=True):
        assert abs(one.value - other.value) < 2.0 * other.standard_error


def test_spread_of_the_rates_is_found():
    found = []
    for seed in range(5):
        made = synthetic_laboratory(design(12, minutes=(0.0, 30.0)), seed=seed, rate_spread=0.25)
        found.append(quick(made.swatches, ("lightening_rate", "persulfate_rate")).spread)
    assert np.mean(found) == pytest.approx(0.25, rel=0.25)


def test_swatches_that_are_alike_are_found_alike():
    made = synthetic_laboratory(design(10), seed=3, rate_spread=0.0)
    alike = quick(made.swatches, ("lightening_rate", "half_oxidised_yield"))
    # What is believed of strands, 0.19, gives way to what is seen.
    assert alike.spread < 0.25 * CURVES.values["rate_log_sd"]


def test_scatter_is_found():
    laid_out = design(12)
    random = np.random.default_rng(5)
    noisy = measure(laid_out, CURVES.values, laid_out.level, random, sd=3.0 * laid_out.sd)
    found = quick(noisy, ("lightening_rate", "half_oxidised_yield"))
    assert found.scatter_scale == pytest.approx(3.0, rel=0.12)


def test_one_rate_for_all(laboratory):
    one = quick(laboratory.swatches, own_rates=False)
    assert one.spread is None
    assert [b.name for b in one.posterior.beliefs] == ["lightening_rate"]
    assert np.all(one.rates == 1.0)


def test_plain_squares(laboratory):
    """Scatter as stated: the robust fit and the plain one agree where nothing is odd."""
    table = laboratory.swatches
    plain = quick(table, ("lightening_rate", "half_oxidised_yield"), loss="linear")
    robust = quick(table, ("lightening_rate", "half_oxidised_yield"))
    for one, other in zip(plain.estimates, robust.estimates, strict=True):
        assert abs(one.value - other.value) < 2.0 * other.standard_error


def test_few_swatches_say_nothing_of_their_spread():
    made = synthetic_laboratory(design(2), seed=3)
    few = tune(made.swatches, free=("lightening_rate",), starts=1)
    assert few.spread is None
    assert few.held_out is None


def test_what_no_reading_depends_on_is_said_and_left(laboratory):
    table = laboratory.swatches
    assert "base-break" not in table.kind
    found = quick(table, ("lightening_rate", "base_break_ph"))
    unmoved = found.estimates[1]
    assert unmoved.verdict == "unmoved"
    assert unmoved.value == CURVES.values["base_break_ph"]
    assert (unmoved.low, unmoved.high) == (unmoved.prior_low, unmoved.prior_high)
    assert not unmoved.determined


def test_two_that_act_as_one_are_not_determined():
    """At one temperature the activation energy only scales the rate."""
    warm = design(6, kinds=("cream",)).replace(temperature_c=40.0)
    made = synthetic_laboratory(warm, seed=2)
    found = quick(made.swatches, ("lightening_rate", "activation_energy"))
    assert found.estimates[1].verdict == "open"
    assert abs(found.correlations[0, 1]) > 0.7


def test_at_a_bound_is_said():
    from dataclasses import replace

    narrow = tuple(
        replace(p, high=0.12, value=0.1) if p.name == "lightening_rate" else p
        for p in CURVES.parameters
    )
    fast = synthetic_laboratory(design(6), CURVES.replace(lightening_rate=0.3), seed=2)
    curves = replace(CURVES, parameters=narrow, posterior=None)
    found = quick(fast.swatches, own_rates=False, curves=curves)
    assert found.estimates[0].verdict == "no_high"


def test_far_from_what_was_believed_but_narrow_is_determined():
    fast = synthetic_laboratory(design(8), CURVES.replace(lightening_rate=0.75), seed=2)
    found = quick(fast.swatches)
    assert found.estimates[0].value > found.estimates[0].prior_high
    assert found.estimates[0].determined


def test_ties_hold(laboratory):
    tie = Tie("cream_ph", "powder_ph", 0.98)
    found = quick(laboratory.swatches, ("lightening_rate", "powder_ph"), ties=(tie,))
    values = found.problem.values([e.value for e in found.estimates])
    assert values["cream_ph"] == pytest.approx(0.98 * values["powder_ph"])


def test_criterion_prefers_the_physics_that_was_there(laboratory):
    table = laboratory.swatches
    free = ("lightening_rate", "persulfate_rate")
    whole = quick(table, (*free, "half_oxidised_yield"))
    without = quick(table, free, structure=Structure(half_oxidised=False))
    assert whole.aicc < without.aicc - 10.0
    assert whole.aicc == aicc_of(whole.posterior.mode)


def test_starts_end_at_the_same_top_and_progress_is_told(laboratory):
    told = []
    found = tune(
        laboratory.swatches,
        free=("lightening_rate", "half_oxidised_yield"),
        starts=3,
        progress=lambda *a: told.append(a),
    )
    assert found.tried == found.agreed == 3
    assert ("step.fitting", 2, 3) in told
    assert any(step == "step.sampling" for step, _, _ in told)
    assert told[-1][0] == "step.influence"


def test_who_stops_the_search_keeps_the_first_top(laboratory, monkeypatch):
    whole, calls = starts_module.find_mode, []

    def stopped(*asked):
        calls.append(1)
        if len(calls) > 1:
            raise KeyboardInterrupt
        return whole(*asked)

    monkeypatch.setattr(starts_module, "find_mode", stopped)
    found = tune(laboratory.swatches, free=("lightening_rate",))
    assert (found.tried, found.agreed) == (1, 1)
    assert found.held_out is None
    assert any(str(said).startswith("Stopped while fitting") for said in findings(found))


def test_who_stops_what_follows_the_fit_keeps_the_fit(laboratory):
    def stop(step, done, of):
        if step == "step.left_out":
            raise KeyboardInterrupt

    found = tune(laboratory.swatches, free=("lightening_rate",), starts=1, progress=stop)
    assert (found.stopped, found.suspicions, found.influences) == ("step.left_out", (), ())
    assert found.estimates == quick(laboratory.swatches).estimates


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
    for seed in range(10):
        spread = 0.2 * (seed % 2)
        made = synthetic_laboratory(design(8), truth, seed=seed, rate_spread=spread)
        found = tune(made.swatches, starts=1, leave_swatches_out=False)
        inside += [e.low <= truth.values[e.name] <= e.high for e in found.estimates]
    # 50 answers, not quite independent: three standard deviations are about 0.13.
    assert np.mean(inside) == pytest.approx(0.9, abs=0.13)


@pytest.mark.no_cover
@pytest.mark.slow
def test_one_rate_for_all_would_claim_too_much(truth):
    """Why swatches have rates of their own: without, intervals are too narrow."""
    inside = []
    for seed in range(3):
        made = synthetic_laboratory(design(8), truth, seed=seed, rate_spread=0.2)
        found = tune(made.swatches, starts=1, own_rates=False, leave_swatches_out=False)
        inside += [e.low <= truth.values[e.name] <= e.high for e in found.estimates]
    assert np.mean(inside) < 0.7
