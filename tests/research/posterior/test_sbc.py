"""Simulation-based calibration: its statistics, and that it finds out a sampler told wrong."""

import numpy as np
import pytest
from scipy.stats import binom

from lift.answers import to_dict
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.research.posterior import sbc
from lift.research.posterior.problem import Problem
from lift.research.posterior.sbc import BINS, DRAWS, RankCheck, check_calibration, small_laboratory
from lift.research.posterior.strands import StrandModel
from lift.research.swatches.generate import design

FREE = ("lightening_rate", "half_oxidised_yield")


def made(ranks):
    ranks = np.asarray(ranks)
    inside = (ranks >= 5) & (ranks <= 94)
    names = tuple(f"quantity {i}" for i in range(ranks.shape[1]))
    return RankCheck(names, ranks, inside, np.full(len(ranks), 300.0), 1)


def test_uniform_ranks_pass():
    even = made(np.tile(np.arange(DRAWS + 1), 4)[:, None])
    np.testing.assert_array_equal(even.histograms, np.full((1, BINS), 20.0))
    assert even.p_values[0] == pytest.approx(1.0)
    assert even.coverage[0] == pytest.approx(0.9)
    assert even.passed
    found = to_dict(even)
    assert found["laboratories"] == 400
    assert found["passed"] is True
    assert found["invented"] is True


@pytest.mark.parametrize("width", [0.6, 1.6])
def test_intervals_of_the_wrong_width_fail(width):
    """Ranks of a normal truth among normal draws that are too narrow or too wide."""
    random = np.random.default_rng(1)
    truth = random.standard_normal((400, 1))
    ranks = np.sum(width * random.standard_normal((400, DRAWS)) < truth, axis=1)
    assert not made(ranks[:, None]).passed


def test_shifted_intervals_fail():
    random = np.random.default_rng(1)
    truth = 0.6 + random.standard_normal((400, 1))
    ranks = np.sum(random.standard_normal((400, DRAWS)) < truth, axis=1)
    assert made(ranks[:, None]).p_values[0] < 0.01


def test_chi_square_by_hand():
    counts = np.full(BINS, 5)
    counts[:2] = 8, 2
    ranks = np.repeat(np.arange(BINS) * 5, counts)
    from scipy.stats import chi2

    assert made(ranks[:, None]).p_values[0] == pytest.approx(chi2.sf(18.0 / 5.0, BINS - 1))


@pytest.mark.parametrize(
    "asked", [{"laboratories": 3}, {"processes": 0}, {"distort": 100.0}, {"seed": -1}]
)
def test_bad_requests_are_refused(asked):
    with pytest.raises(LiftError, match="outside"):
        check_calibration(**{"laboratories": 20, "processes": 1, **asked})


def test_laboratories_are_invented_and_small():
    table = small_laboratory()
    assert table.invented
    assert len(table) == 20


@pytest.fixture(scope="module")
def right():
    told = []
    found = check_calibration(40, seed=11, free=FREE, progress=told.append)
    assert told[-1] == 1.0
    return found


@pytest.mark.no_cover
@pytest.mark.slow
def test_intervals_are_as_wide_as_they_say(right):
    """A shorter run of ``lift calibration``: bounds that a right sampler passes 999 in 1000."""
    assert right.effective.min() > 100.0
    low, high = binom.ppf([0.0005, 0.9995], 40, 0.9) / 40.0
    assert np.all((right.coverage >= low) & (right.coverage <= high)), right.coverage
    assert np.all(right.p_values > 0.001), right.p_values


@pytest.mark.no_cover
@pytest.mark.slow
def test_a_sampler_told_a_tenth_of_the_scatter_is_found_out(right):
    """By what it then takes the misfit to be."""
    few = check_calibration(20, seed=11, free=FREE, distort=0.1)
    assert few.names == right.names
    at = [few.names.index(name) for name in ("misfit_lightness", "misfit_a", "misfit_b")]
    assert few.coverage[at].mean() < right.coverage[at].mean() - 0.1


def test_so_many_processes_give_the_same_ranks():
    asked = {"seed": 3, "free": FREE[:1], "conditions": design(2, minutes=(0.0, 20.0))}
    one, two = (check_calibration(20, processes=count, **asked) for count in (1, 2))
    np.testing.assert_array_equal(one.ranks, two.ranks)


def test_what_no_colour_can_be_is_invented_anew(monkeypatch):
    whole, calls = StrandModel.measure, []

    def at_first_none(self, truth, random):
        calls.append(truth)
        if len(calls) < 3:
            raise LiftError("range.outside")
        return whole(self, truth, random)

    monkeypatch.setattr(StrandModel, "measure", at_first_none)
    model = StrandModel(Problem(small_laboratory(), default_curves(), FREE))
    truth, measured = sbc._measured(model, np.random.default_rng(1))
    assert truth is calls[-1]
    assert len(measured) == 20
    monkeypatch.setattr(sbc, "MOST_TRIES", 0)
    with pytest.raises(LiftError, match="no colours of hair"):
        sbc._measured(model, np.random.default_rng(1))
