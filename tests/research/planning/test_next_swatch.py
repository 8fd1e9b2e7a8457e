"""Next measurement: information against explicit Gaussian algebra, and designs put to the test."""

from dataclasses import replace

import numpy as np
import pytest

from lift.answers import to_dict
from lift.errors import LiftError, LimitError
from lift.model.curves import default_curves
from lift.model.draws import ParameterDraws
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.research.planning.choice import (
    MINUTES,
    VOLUMES,
    Choice,
    Costs,
    as_swatches,
    choices,
    join,
)
from lift.research.planning.information import Z90, Together
from lift.research.planning.next_swatch import QUANTITIES, Asked, expected_width, plan_next
from lift.research.posterior.bayes import sample_posterior
from lift.research.posterior.problem import Problem
from lift.research.swatches.generate import design, measure
from lift.research.swatches.table import SCATTER

CURVES = default_curves()
ASKED = Asked(Hair(level=5.0), Mixture("cream", 30.0), 35.0)
SOME = choices(("cream", "powder"), (3.0, 6.0), (10.0, 40.0), (10.0, 40.0))


def made(count=400, seed=0):
    """Invented posterior of three parameters and a spread."""
    random = np.random.default_rng(seed)
    z = random.standard_normal((count, 3)) @ np.array([[1, 0.6, 0], [0, 0.8, 0], [0, 0, 1.0]])
    columns = (
        0.11 * np.exp(0.05 * z[:, 0]),
        1.4 + 0.1 * z[:, 1],
        0.42 + 0.02 * z[:, 2],
        0.05 * np.exp(0.2 * random.standard_normal(count)),
    )
    names = ("lightening_rate", "persulfate_rate", "half_oxidised_yield", "rate_log_sd")
    rows = tuple(map(tuple, np.stack(columns, axis=1).tolist()))
    return replace(CURVES, posterior=ParameterDraws(names, rows))


KNOWN = made()


def by_hand(curves, measured):
    """Variance left by the textbook formula, from one covariance of everything."""
    together = Together.of(ASKED.of(curves), curves, measured, 3.0, SCATTER)
    everything = together.readings.reshape(len(together.readings), -1)
    noise = np.zeros((everything.shape[1],) * 2)
    for i in range(len(measured)):
        own = slice(6 * i, 6 * i + 6)
        noise[own, own] = together.noise[i] @ together.noise[i].T
    across = everything.T @ together.predicted
    told = across.T @ np.linalg.solve(everything.T @ everything + noise, across)
    return float(np.sum(together.predicted**2) - told[0, 0])


def test_width_after_several_swatches_is_that_of_the_joint_gaussian():
    for measured in (SOME[:1], SOME[2:5], [SOME[0], SOME[0], SOME[7]]):
        expected = 2.0 * Z90 * np.sqrt(by_hand(KNOWN, measured))
        assert expected_width(ASKED, KNOWN, measured) == pytest.approx(expected, rel=1e-9)


def test_order_of_measuring_does_not_matter():
    forth = expected_width(ASKED, KNOWN, SOME[:4])
    assert expected_width(ASKED, KNOWN, SOME[3::-1]) == pytest.approx(forth, rel=1e-9)


def test_width_now_is_that_of_the_draws():
    plan = plan_next(ASKED, KNOWN, SOME)
    assert plan.width == pytest.approx(2.0 * Z90 * ASKED.of(KNOWN).std(ddof=1))


def test_of_choices_that_are_as_good_the_nearest_is_taken():
    plan = plan_next(ASKED, KNOWN)
    off = (plan.widths - plan.widths.min()) / plan.width
    assert len(plan.alike) > 1
    assert {*plan.alike} == {*np.flatnonzero(off <= 0.03)}
    away = [ASKED.away(plan.choices[i]) for i in plan.alike]
    assert plan.taken[0] == plan.alike[0]
    assert away[0] == min(away) < max(away)
    assert ASKED.away(Choice(5.0, "cream", 30.0, 35.0)) == 0.0
    # Two levels, a doubling of the time, another class.
    assert ASKED.away(Choice(7.0, "powder", 30.0, 70.0)) == pytest.approx(4.0)
    assert len(to_dict(plan)["alike"]) == len(plan.alike)


def test_bits_are_half_the_log_determinant():
    together = Together.of(ASKED.of(KNOWN), KNOWN, SOME, 3.0, SCATTER)
    _, bits = together.weigh()
    for i in (0, 5):
        own = together.readings[:, i]
        noise = together.noise[i] @ together.noise[i].T
        ratio = np.linalg.det(own.T @ own + noise) / np.linalg.det(noise)
        assert bits[i] == pytest.approx(0.5 * np.log2(ratio))


def test_measuring_never_widens_and_repeats_help():
    plan = plan_next(ASKED, KNOWN, SOME, count=4)
    assert np.all(plan.widths <= plan.width * (1 + 1e-12))
    assert np.all(plan.bits >= 0.0)
    assert np.all(np.diff([plan.width, *plan.taken_widths]) < 0.0)
    often = plan_next(ASKED, KNOWN, SOME, repeats=30.0)
    assert np.all(often.widths <= plan.widths + 1e-12)


def test_best_is_the_least_of_all_and_only_powder_tells_of_its_boost():
    asked = Asked(Hair(level=4.0), Mixture("powder", 20.0), 30.0, "lift")
    plan = plan_next(asked, KNOWN, SOME)
    best = plan.taken[0]
    assert best == plan.order[0] == int(np.argmin(plan.widths))
    assert plan.choices[best].kind == "powder"
    cream = [w for w, c in zip(plan.widths, SOME, strict=True) if c.kind == "cream"]
    assert min(cream) > 1.1 * plan.widths[best]


def test_a_swatch_left_on_for_no_time_tells_nothing():
    plan = plan_next(ASKED, KNOWN, [Choice(5.0, "cream", 30.0, 0.0)])
    assert plan.widths[0] == pytest.approx(plan.width)
    assert plan.bits[0] == pytest.approx(0.0, abs=1e-9)


def test_strands_that_differ_more_tell_less():
    rows = np.array(KNOWN.posterior.rows)
    rows[:, -1] *= 6.0
    loose = ParameterDraws(KNOWN.posterior.names, tuple(map(tuple, rows.tolist())))
    loose = replace(CURVES, posterior=loose)
    assert np.all(
        plan_next(ASKED, loose, SOME).widths >= plan_next(ASKED, KNOWN, SOME).widths - 1e-9
    )


@pytest.mark.parametrize("quantity", QUANTITIES)
def test_any_quantity_may_be_asked(quantity):
    asked = replace(ASKED, quantity=quantity)
    found = asked.of(KNOWN)
    assert found.shape == (400,)
    assert found.std() > 0.0
    assert quantity in str(asked.words)


def test_json_form_and_cautions():
    found = to_dict(plan_next(ASKED, KNOWN, SOME, count=2))
    assert len(found["alone"]) == len(SOME) <= 20
    assert len(found["next"]) == 2
    assert found["next"][0]["width_after"] <= found["alone"][0]["width_after"]
    assert any("strand test" in line for line in found["cautions"])


def test_refusals():
    with pytest.raises(LiftError, match="run lift tune"):
        plan_next(ASKED, replace(CURVES, posterior=None), SOME)
    with pytest.raises(LiftError, match="quantity 'speed'"):
        Asked(Hair(level=5.0), Mixture("cream", 30.0), 35.0, "speed")
    with pytest.raises(LiftError, match="no swatch"):
        plan_next(ASKED, KNOWN, [])
    with pytest.raises(LiftError, match="number of swatches"):
        plan_next(ASKED, KNOWN, SOME, count=0)
    with pytest.raises(LimitError):
        plan_next(ASKED, KNOWN, [Choice(5.0, "cream", 90.0, 10.0)])
    sure = ParameterDraws(("lightening_rate",), ((0.11,),) * 60)
    with pytest.raises(LiftError, match="no doubt"):
        plan_next(ASKED, replace(CURVES, posterior=sure), SOME)


def test_tables_are_put_together():
    first, second = design(2, minutes=(0.0, 9.0)), as_swatches(SOME[:3])
    both = join(first, second)
    assert both.names == (*first.names, *second.names)
    assert len(both) == len(first) + len(second)
    np.testing.assert_array_equal(both.only(3).volume, second.only(1).volume)
    np.testing.assert_array_equal(both.without(0).lab[-6:], second.lab)
    with pytest.raises(LiftError, match="twice"):
        join(first, first)
    with pytest.raises(LiftError, match="light or observer"):
        join(first, second.replace(observer=2))


def equal_spaced(count):
    """Levels and times evenly spread over the same ranges, mixtures and strengths in turn."""
    minutes = np.linspace(MINUTES[0], MINUTES[-1], count)
    minutes = minutes[np.argsort((np.arange(count) * 0.381966) % 1.0)]
    levels = np.linspace(2.0, 8.0, count)
    return [
        Choice(float(levels[i]), ("cream", "powder")[i % 2], VOLUMES[i % 4], float(minutes[i]))
        for i in range(count)
    ]


def test_plan_is_expected_to_beat_equal_spacing():
    for seed in range(4):
        curves = made(seed=seed)
        plan = plan_next(ASKED, curves, count=4)
        assert plan.taken_widths[-1] < expected_width(ASKED, curves, equal_spaced(4))


QUESTIONS = (
    ASKED,
    Asked(Hair(level=3.0), Mixture("powder", 20.0), 45.0),
    Asked(Hair(level=6.0), Mixture("cream", 20.0), 30.0, "lift"),
)
SPREAD = 0.05


def measured(chosen, random, prefix):
    table = as_swatches(chosen, prefix=prefix)
    rates = np.exp(SPREAD * random.standard_normal(len(chosen)))
    return measure(table, CURVES.values, table.level, random, rates=rates)


def width(asked, table, seed):
    curves = sample_posterior(Problem(table, CURVES), seed=seed, wanted=200.0).curves(CURVES)
    return float(np.ptp(np.quantile(asked.of(curves), [0.05, 0.95]))), curves


@pytest.mark.no_cover
@pytest.mark.slow
def test_plan_beats_equal_spacing_on_invented_laboratories():
    """Pilot of 4 swatches, 4 more by plan or by equal spacing; the intervals that come of it."""
    ratios = []
    for seed in range(3):
        random = np.random.default_rng(100 + seed)
        pilot = design(4, minutes=(0.0, 20.0))
        rates = np.exp(SPREAD * random.standard_normal(4))
        pilot = measure(pilot, CURVES.values, pilot.level, random, rates=rates)
        _, known = width(ASKED, pilot, seed)
        even = join(pilot, measured(equal_spaced(4), random, "even"))
        _, by_even = width(ASKED, even, seed)
        for asked in QUESTIONS:
            plan = plan_next(asked, known, count=4)
            chosen = [plan.choices[i] for i in plan.taken]
            by_plan, _ = width(asked, join(pilot, measured(chosen, random, "plan")), seed)
            by_even_too = float(np.ptp(np.quantile(asked.of(by_even), [0.05, 0.95])))
            ratios.append(by_plan / by_even_too)
    ratios = np.array(ratios)
    assert np.exp(np.log(ratios).mean()) < 0.85, ratios
    assert np.mean(ratios < 1.0) >= 0.75, ratios


def test_what_costs_the_same_is_chosen_as_if_nothing_did():
    plain = plan_next(ASKED, KNOWN, SOME, count=3)
    same = plan_next(ASKED, KNOWN, SOME, count=3, costs=Costs(tress=7.0))
    assert same.taken == plain.taken
    assert same.alike == plain.alike
    np.testing.assert_array_equal(same.costs, 7.0)
    assert plain.costs is None


def test_more_is_paid_only_for_more():
    """Where minutes cost, the one taken gains most for its cost, but for those alike."""
    plan = plan_next(ASKED, KNOWN, SOME, costs=Costs(tress=1.0, minute=1.0))
    np.testing.assert_allclose(plan.costs, [1.0 + c.minutes for c in SOME])
    worth = (plan.width - plan.widths) / plan.costs
    assert plan.order[0] == int(np.argmax(worth))
    best = plan.order[0]
    least = worth[best] - 0.03 * plan.width / plan.costs[best]
    assert {*plan.alike} == {*np.flatnonzero(worth >= least)}
    told = to_dict(plan)["next"][0]
    assert told["cost"] == pytest.approx(1.0 + told["minutes"])


def test_costs_that_are_none_are_refused():
    with pytest.raises(LiftError, match="nothing costs anything"):
        Costs()
    with pytest.raises(LiftError, match="cost of a minute -1"):
        Costs(minute=-1.0)
