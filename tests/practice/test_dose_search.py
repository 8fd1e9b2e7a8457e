"""The search for the best dose, against scipy's global optimiser and against brute force."""

from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import differential_evolution

from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.model.strand import Pigment, strand_lab
from lift.optics.colorimetry import delta_e_2000
from lift.optics.dyes import MAX_DOSE, palette
from lift.practice.dose_search import LIGHTNESS_COST, best_doses, residual_to
from lift.practice.toning.tone_report import underpigment_state

CURVES = default_curves()
VALUES = CURVES.values
DYES = tuple(palette())
GOALS = {
    "natural": None,
    "level 7": tuple(natural_path(CURVES).lab_of_level(7.0)),
    "out of reach": (70.0, 0.0, 5.0),
}


def score(pigment, dyes, doses, goal):
    """Residual plus cost, written out again; doses of shape (len(dyes), ...)."""
    tone = dict(zip(dyes, doses, strict=True))
    lab = strand_lab(pigment, VALUES, tone=tone)
    start = strand_lab(pigment, VALUES)
    wanted = natural_path(CURVES).lab_of_lightness(lab[..., 0]) if goal is None else goal
    return delta_e_2000(lab, wanted) + LIGHTNESS_COST * (start[0] - lab[..., 0])


@pytest.mark.parametrize("goal", GOALS.values(), ids=GOALS)
@pytest.mark.parametrize("level", [4.0, 6.5, 9.0])
def test_two_dyes_against_scipy(level, goal):
    """Differential evolution over every pair finds nothing better, and the same best score."""
    pigment = underpigment_state(level, CURVES)
    found = best_doses(pigment, DYES, 2, residual_to(goal, CURVES), VALUES)
    best = min(
        differential_evolution(
            lambda doses, pair=pair: score(pigment, pair, doses, goal),
            [(0.0, MAX_DOSE)] * 2,
            vectorized=True,
            updating="deferred",
            popsize=20,
            maxiter=120,
            tol=1e-8,
            rng=3,
            polish=False,
        ).fun
        for pair in combinations(DYES, 2)
    )
    assert float(found.score) == pytest.approx(best, abs=0.01)
    doses = [found.doses[i] for i in range(len(DYES))]
    assert float(score(pigment, DYES, doses, goal)) == pytest.approx(float(found.score), abs=1e-9)


@pytest.mark.parametrize("level", [3.0, 5.0, 8.0, 10.0])
def test_one_dye_against_brute_force(level):
    pigment = underpigment_state(level, CURVES)
    found = best_doses(pigment, DYES, 1, residual_to(None, CURVES), VALUES)
    doses = MAX_DOSE * np.linspace(0.0, 1.0, 4001) ** 2
    best = min(score(pigment, (dye,), [doses], None).min() for dye in DYES)
    assert float(found.score) == pytest.approx(best, abs=1e-4)
    assert len(found.named()) == 1


def test_a_batch_is_each_strand_alone():
    strands = [underpigment_state(level, CURVES) for level in (5.0, 7.0, 9.0)]
    fields = ("eumelanin", "pheomelanin", "half_oxidised", "oxidised_pheomelanin")
    batch = Pigment(
        *(np.array([getattr(s, f) for s in strands]).reshape(3, 1) + np.zeros(2) for f in fields)
    )
    for size in (1, 2):
        found = best_doses(batch, DYES, size, residual_to(None, CURVES), VALUES)
        assert found.doses.shape == (3, 2, 5)
        assert found.score.shape == found.residual.shape == (3, 2)
        for index, strand in enumerate(strands):
            one = best_doses(strand, DYES, size, residual_to(None, CURVES), VALUES)
            np.testing.assert_allclose(found.doses[index, 1], one.doses, atol=1e-9)


def test_two_dyes_are_never_worse_than_one():
    for level in range(2, 11):
        pigment = underpigment_state(level, CURVES)
        one, two = (best_doses(pigment, DYES, n, residual_to(None, CURVES), VALUES) for n in (1, 2))
        assert float(two.score) <= float(one.score) + 1e-3
        assert np.count_nonzero(two.doses) <= 2


def test_the_cost_picks_the_dye_that_darkens_less_and_no_more():
    """The claim beside LIGHTNESS_COST: same dose where the goal is reached, else less with cost."""
    residual = residual_to(None, CURVES)
    for level in (6.0, 8.0, 10.0):
        pigment = underpigment_state(level, CURVES)
        low, high = (
            best_doses(pigment, DYES, 2, residual, VALUES, lightness_cost=cost)
            for cost in (0.05, 0.2)
        )
        np.testing.assert_allclose(low.doses, high.doses, atol=0.02)
    orange = underpigment_state(6.0, CURVES)
    low, high = (
        best_doses(orange, ("violet",), 1, residual, VALUES, lightness_cost=cost)
        for cost in (0.05, 0.2)
    )
    assert high.doses[0] < 0.5 * low.doses[0]
