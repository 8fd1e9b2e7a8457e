"""Several laboratories in one file: each with its own rate and its own scale of colour."""

import numpy as np
import pytest

from lift import LiftError, default_curves
from lift.answers import to_dict
from lift.research.posterior.bayes import sample_posterior
from lift.research.posterior.problem import Problem
from lift.research.posterior.settings import MOST, Settings
from lift.research.posterior.strands import StrandModel
from lift.research.swatches.generate import design, synthetic_laboratory
from lift.research.tuning.tune import tune

FASTER, OFF = 1.35, np.array([1.5, 0.4, -0.3])
"""Of the second invented laboratory."""


def pooled(seed=3, swatches=12, **named):
    """Two invented laboratories that share a design; the second is faster and reads lighter."""
    table = synthetic_laboratory(design(swatches), seed=seed, rate_spread=0.1).swatches
    second = table.swatch % 2 == 1
    minutes = np.where(second, table.minutes / FASTER, table.minutes)
    lab = table.lab + np.where(second[:, None], OFF, 0.0)
    names = tuple(np.where(second, "second", "first").tolist())
    return table.replace(minutes=minutes, lab=lab, carried=named or {"laboratory": names})


@pytest.fixture(scope="module")
def found():
    return sample_posterior(Problem(pooled(), default_curves()), wanted=400)


@pytest.fixture(scope="module")
def mixed_up():
    """The same readings, and nobody says that they are of two laboratories."""
    return sample_posterior(Problem(pooled(weather=("",) * 72), default_curves()), wanted=400)


def draws_of(found):
    return found.strands.settings


def test_how_laboratories_differ_is_found(found):
    """Nine in ten of the draws hold the truth; what both have in common is not told apart."""
    assert [b.name for b in found.settings[:3]] == ["rate: first", "rate: second", "L: first"]
    rates, colours = draws_of(found)[:, :2], draws_of(found)[:, 2:].reshape(-1, 2, 3)
    apart = rates[:, 1] - rates[:, 0]
    low, high = np.percentile(apart, [1.0, 99.0])
    assert low < np.log(FASTER) < high
    assert high - low < 0.5
    for axis, true in enumerate(OFF):
        low, high = np.percentile(colours[:, 1, axis] - colours[:, 0, axis], [1.0, 99.0])
        assert low < true < high


def test_mixed_up_they_widen_what_they_should_not(found, mixed_up):
    """The spread of strands takes up the laboratories', and the misfit their scales."""
    spread = {name: p.beliefs[-1].value for name, p in (("told", found), ("not", mixed_up))}
    assert spread["told"] < 0.7 * spread["not"]
    assert found.misfit[0].value < 0.6 * mixed_up.misfit[0].value
    assert mixed_up.settings == ()


def test_the_common_rate_is_less_sure_than_one_laboratory_would_say(found, mixed_up):
    errors = [p.beliefs[0].standard_error for p in (found, mixed_up)]
    assert errors[0] > 1.3 * errors[1]


def test_one_of_each_is_told_apart_from_nobody():
    table = pooled(laboratory=("only",) * 72, geometry=("45/0",) * 72)
    assert Settings.of(table) == Settings()
    assert StrandModel(Problem(table, default_curves())).problem.told_apart.priors == ()


def test_hands_have_a_rate_and_eyes_a_scale():
    who = tuple(np.where(np.arange(72) % 2 == 0, "Ada", "Bea").tolist())
    assert Settings.of(pooled(operator=who)) == Settings(hands=("Ada", "Bea"))
    how = tuple(np.where(np.arange(72) % 2 == 0, "d/8 SCI", "45/0").tolist())
    assert Settings.of(pooled(geometry=how)) == Settings(eyes=("d/8 SCI", "45/0"))
    both = Settings.of(pooled(laboratory=who, geometry=how))
    assert both == Settings(("Ada", "Bea"), ("Ada, d/8 SCI", "Bea, 45/0"))


def test_more_than_can_be_told_apart_are_refused():
    many = tuple(f"lamp {i % (MOST + 1)}" for i in range(72))
    with pytest.raises(LiftError, match=f"tell {MOST + 1} apart, and at most {MOST} can be"):
        Settings.of(pooled(instrument=many))


def test_a_tuning_tells_them():
    result = tune(pooled(swatches=6), free=("lightening_rate",), starts=1)
    told = to_dict(result)["settings"]
    assert [each["name"] for each in told] == [
        *("rate: first", "rate: second"),
        *(f"{axis}: {who}" for who in ("first", "second") for axis in "Lab"),
    ]
    assert all(each["interval"][0] < each["value"] < each["interval"][1] for each in told)
