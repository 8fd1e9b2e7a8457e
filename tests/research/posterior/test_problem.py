"""What is varied, what is made small, and which names are refused."""

import numpy as np
import pytest

from lift import LiftError, default_curves
from lift.research.posterior.problem import Problem, Tie, first_levels, parse_tie
from lift.research.swatches.generate import design

CURVES = default_curves()
TABLE = design(4)


def problem(**options):
    return Problem(TABLE, CURVES, **options)


def test_first_levels_come_from_the_colour_before():
    unknown = Problem(TABLE.replace(level=np.full(4, np.nan)), CURVES)
    np.testing.assert_allclose(first_levels(unknown), TABLE.level, atol=0.02)
    late = TABLE.rows(TABLE.minutes > 0.0)
    np.testing.assert_allclose(first_levels(Problem(late, CURVES)), TABLE.level)


def test_ties_follow_and_narrow():
    tied = problem(
        free=("half_oxidised_slope",), ties=(Tie("pheomelanin_slope", "half_oxidised_slope", 0.5),)
    )
    assert tied.values([0.02])["pheomelanin_slope"] == pytest.approx(0.01)
    low, high = tied.bounds
    # 0.5 times it has to stay within 0.006 to 0.013, and itself within 0.009 to 0.022.
    assert low[0] == pytest.approx(0.012)
    assert high[0] == pytest.approx(0.022)
    with pytest.raises(LiftError, match="leaves no range"):
        _ = problem(
            free=("half_oxidised_slope",),
            ties=(Tie("pheomelanin_slope", "half_oxidised_slope", 9),),
        ).bounds


@pytest.mark.parametrize(
    ("text", "tie"),
    [
        ("cream_ph=powder_ph", Tie("cream_ph", "powder_ph")),
        (" cream_ph = 0.98 * powder_ph ", Tie("cream_ph", "powder_ph", 0.98)),
        ("a=1e-2*b", Tie("a", "b", 0.01)),
    ],
)
def test_ties_are_read(text, tie):
    assert parse_tie(text) == tie


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("cream_ph", "is not NAME=OTHER"),
        ("cream_ph=9.8", "is not NAME=OTHER"),
        ("a=0*b", "factor of a 0 is outside"),
        ("a=1.2.3*b", "factor of a '1.2.3' is not a number"),
    ],
)
def test_bad_ties_are_refused(text, message):
    with pytest.raises(LiftError, match=message):
        parse_tie(text)


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"free": ("lightning_rate",)}, "did you mean lightening_rate"),
        ({"free": ("lightening_rate",) * 2}, "freed or tied twice"),
        ({"free": ("warmth_allowance",)}, "colours do not depend on it"),
        ({"ties": (Tie("cream_ph", "powder_ph"),)}, "tie of cream_ph 'powder_ph' is not one of"),
        ({"ties": (Tie("lightening_rate", "persulfate_rate"),)}, "freed or tied twice"),
        ({"loss": "cauchy"}, "loss 'cauchy' is not one of"),
    ],
)
def test_bad_problems_are_refused(options, message):
    with pytest.raises(LiftError, match=message):
        problem(**options)


def test_order_in_peroxide_can_be_freed():
    free = problem(free=("hydroperoxide_order",))
    assert free.parameters[0] == default_curves()["hydroperoxide_order"]
    assert free.values([1.5])["hydroperoxide_order"] == 1.5
