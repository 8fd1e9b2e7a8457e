"""Model criticism: the wrong structures lose on readings made with a right one."""

from dataclasses import replace

import numpy as np
import other_physics
import pytest

from lift.answers import to_dict
from lift.errors import LiftError
from lift.model.course import STANDARD, Structure
from lift.model.curves import default_curves
from lift.research.posterior.mode import find_mode
from lift.research.posterior.problem import Problem
from lift.research.posterior.strands import StrandModel
from lift.research.swatches.generate import design, measure
from lift.research.tuning.criticism import (
    FULL,
    NEITHER,
    NO_HALF_OXIDISED,
    NO_UPTAKE,
    ORDER_FREE,
    Criticism,
    criticise,
    support,
)
from lift.research.tuning.starts import aicc_of

pytestmark = pytest.mark.slow

CURVES = default_curves()


def laboratory(seed, *, order=1.0, structure=STANDARD, swatches=8, spread=0.05):
    random = np.random.default_rng(seed)
    table = design(swatches, minutes=(0.0, 5.0, 15.0, 30.0, 50.0))
    values = {**CURVES.values, "hydroperoxide_order": order}
    starts = table.level + 0.2 * random.standard_normal(swatches)
    rates = np.exp(spread * random.standard_normal(swatches))
    return measure(table, values, starts, random, rates=rates, structure=structure)


@pytest.fixture(scope="module")
def found():
    told = []
    result = criticise(laboratory(1), starts=1, progress=lambda *step: told.append(step))
    assert told[-1] == ("step.done", 5, 5)
    return result


def test_wrong_structures_lose_on_the_full_models_readings(found):
    names = [t.variant.name for t in found.tried]
    assert names == [FULL, NO_HALF_OXIDISED, NO_UPTAKE, NEITHER, ORDER_FREE]
    assert found.best_of(names[:4]) == FULL
    for wrong in (NO_HALF_OXIDISED, NO_UPTAKE, NEITHER):
        assert found[wrong].aicc - found[FULL].aicc > 100.0
        mean, error = found.left_out_against(wrong, FULL)
        assert mean > 2.0 * error > 0.0
        assert found[wrong].colour_error.mean() > 2.0 * found[FULL].colour_error.mean()
    assert found[ORDER_FREE].aicc > found[FULL].aicc - 4.0
    order, error = found[ORDER_FREE].estimate("hydroperoxide_order")
    assert abs(order - 1.0) < max(3.0 * error, 0.1)


def test_findings_say_so(found):
    invented, half_oxidised, uptake, order = map(str, found.findings)
    assert "invented" in invented
    assert half_oxidised.startswith("The data need half-oxidised melanin")
    assert uptake.startswith("The data need uptake")
    assert "do not ask for it" in order


@pytest.mark.parametrize(
    ("worse", "says"),
    [
        (0.5, "need"),
        (0.15, "favour"),
        (0.0, "cannot tell whether there is"),
        (-0.5, "do without"),
    ],
)
def test_findings_follow_swatches_left_out(found, worse, says):
    """The same fits, with errors left out put in by hand: 1 dE00, give or take 0.1."""
    random, shape = np.random.default_rng(1), found[FULL].held_out.tuned.shape
    noise = random.standard_normal((5, *shape))
    noise -= noise.mean(axis=-1, keepdims=True)
    by_hand = {FULL: 0.0, NO_HALF_OXIDISED: worse, NO_UPTAKE: 2.0, NEITHER: 2.0 + worse}
    tried = [
        replace(
            t,
            aicc=0.0,
            held_out=replace(t.held_out, tuned=1.0 + by_hand.get(t.variant.name, -0.9) + 0.4 * own),
        )
        for t, own in zip(found.tried, noise, strict=True)
    ]
    _, half_oxidised, uptake, order = map(str, Criticism(tuple(tried)).findings)
    assert half_oxidised.startswith(f"The data {says} half-oxidised melanin")
    assert uptake.startswith("The data need uptake")
    assert "the data ask for it" in order


def test_of_another_physics_none_fits():
    none = criticise(other_physics.laboratory(8, 1), starts=1)
    assert str(none.findings[1]).startswith("None fits: even with the best, ")
    assert min(t.scatter_scale for t in none.tried) > 5.0


def test_weights_and_json(found):
    assert found.weights.sum() == pytest.approx(1.0)
    assert found.delta.min() == 0.0
    rows = to_dict(found)["structures"]
    assert [r["delta_aicc"] == 0.0 for r in rows].count(True) == 1
    assert rows[1]["support"] == "essentially none"
    assert rows[1]["support_code"] == "none"
    assert rows[1]["free"] == ["lightening_rate", "persulfate_rate"]
    assert rows[4]["free"][-1] == "hydroperoxide_order"
    with pytest.raises(LiftError, match="structure"):
        found["fulll"]


def test_marginal_criterion_is_the_marginal_gaussian():
    """Two parameter values, their likelihoods by one covariance of all readings of a swatch."""
    table = laboratory(3)
    found, exact = [], []
    for rate in (0.10, 0.115):
        curves = CURVES.replace(lightening_rate=rate, rate_log_sd=0.1)
        model = StrandModel(Problem(table, curves, (), loss="linear", misfit=False))
        z = np.zeros((1, 1))
        own = model.from_afar(z)[None]
        told, _ = model.log_likelihood(z, own)
        found.append(told.sum())
        lab = [
            model.predict(model.strands(z, own + shift))[0]
            for shift in ([0.0, 0.0], [1e-4, 0.0], [0.0, 1e-4])
        ]
        off = ((table.lab - lab[0]) / table.sd).reshape(len(table), 3)
        slopes = [((one - lab[0]) / table.sd / 1e-4).reshape(len(table), 3) for one in lab[1:]]
        total = 0.0
        for swatch in range(len(table.names)):
            rows = table.swatch == swatch
            design = np.stack([s[rows].ravel() for s in slopes], axis=1)
            residual = off[rows].ravel() + design @ own[0, swatch]
            covariance = np.eye(len(residual)) + design @ design.T
            total -= 0.5 * residual @ np.linalg.solve(covariance, residual)
            total -= 0.5 * np.linalg.slogdet(covariance)[1]
        exact.append(total)
    assert found[1] - found[0] == pytest.approx(exact[1] - exact[0], abs=0.05)
    assert abs(exact[1] - exact[0]) > 1.0


def test_criterion_charges_for_a_parameter_that_does_nothing():
    table = laboratory(3)
    readings = 3 * len(table)

    def charge(used):
        return 2.0 * used + 2.0 * used * (used + 1) / (readings - used - 1)

    found = []
    for free in ((), ("tone_minutes",)):
        found.append(aicc_of(find_mode(StrandModel(Problem(table, CURVES, free, misfit=False)))))
    assert found[1] - found[0] == pytest.approx(charge(2) - charge(1), abs=1e-3)


def test_too_few_readings_cannot_be_charged():
    table = laboratory(3).rows([0, 1])
    free = ("lightening_rate", "cream_ph", "uptake_rate", "half_oxidised_yield")
    assert aicc_of(find_mode(StrandModel(Problem(table, CURVES, free, misfit=False)))) == np.inf


@pytest.mark.parametrize(
    ("delta", "words"),
    [
        (0.0, "substantial"),
        (2.0, "substantial"),
        (3.0, "some"),
        (7.0, "less"),
        (10.0, "less"),
        (11.0, "none"),
    ],
)
def test_support_in_words(delta, words):
    assert support(delta) == words


def test_refusals():
    with pytest.raises(LiftError, match="at least 4"):
        criticise(laboratory(1, swatches=3))
    with pytest.raises(LiftError, match="leave it out"):
        criticise(laboratory(1), free=("lightening_rate", "hydroperoxide_order"))
    with pytest.raises(LiftError, match="starts"):
        criticise(laboratory(1), starts=0)
    start_only = laboratory(1, swatches=4)
    with pytest.raises(LiftError, match="cannot decide"):
        criticise(start_only.rows(start_only.minutes == 0.0))


def test_an_order_other_than_one_is_found():
    found = criticise(laboratory(2, order=0.7), starts=1)
    order, error = found[ORDER_FREE].estimate("hydroperoxide_order")
    assert order == pytest.approx(0.7, abs=max(3.0 * error, 0.05))
    assert found[FULL].aicc - found[ORDER_FREE].aicc > 10.0
    assert "the data ask for it" in str(found.findings[-1])


@pytest.mark.parametrize(
    ("structure", "winner", "words"),
    [
        (Structure(uptake=False), NO_UPTAKE, "The data do without uptake"),
        (
            Structure(half_oxidised=False),
            NO_HALF_OXIDISED,
            "The data do without half-oxidised melanin",
        ),
    ],
)
def test_simpler_truths_are_found(structure, winner, words):
    found = criticise(laboratory(4, structure=structure), starts=1)
    assert found.best_of([FULL, NO_HALF_OXIDISED, NO_UPTAKE, NEITHER]) == winner
    assert any(str(line).startswith(words) for line in found.findings)
