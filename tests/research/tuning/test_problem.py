"""What is varied, what is made small, and which names are refused."""

import numpy as np
import pytest

from lift import LiftError, default_curves
from lift.research.swatches.generate import design
from lift.research.tuning.fitting import jacobian
from lift.research.tuning.problem import FREE, Problem, Tie, parse_tie

CURVES = default_curves()
TABLE = design(4)


def problem(**options):
    return Problem(TABLE, CURVES, **options)


def test_truth_leaves_nothing():
    exact = problem(free=FREE, rate_spread=0.2)
    x = exact.start.copy()
    x[len(FREE) : len(FREE) + 4] = TABLE.level
    np.testing.assert_allclose(exact.residuals(x), 0.0, atol=1e-9)
    assert exact.residuals(x).shape == (3 * len(TABLE) + 4 + 4,)
    assert exact.residuals(np.tile(x, (3, 1))).shape == (3, 3 * len(TABLE) + 8)


def test_residuals_count_in_standard_deviations():
    one = problem()
    moved = Problem(TABLE.replace(lab=TABLE.lab + TABLE.sd), CURVES)
    wider = problem(scatter_scale=2.0)
    x = one.start
    colours = slice(0, 3 * len(TABLE))
    np.testing.assert_allclose((one.residuals(x) - moved.residuals(x))[colours], 1.0)
    np.testing.assert_allclose(wider.residuals(x)[colours], one.residuals(x)[colours] / 2.0)


def test_judged_levels_count_where_there_are_any():
    table = TABLE.replace(level=[3.0, np.nan, 5.0, np.nan])
    half = Problem(table, CURVES, ())
    x = half.start.copy()
    x[0] += CURVES.values["level_sd"]
    change = half.residuals(x) - half.residuals(half.start)
    assert change.shape == (3 * len(TABLE) + 2,)
    np.testing.assert_allclose(change[-2:], [1.0, 0.0])


def test_rates_of_swatches_move_only_their_own_colours():
    own = problem(rate_spread=0.3)
    x = own.start.copy()
    x[-4] = 1.0
    change = own.predict(x) - own.predict(own.start)
    assert np.abs(change[TABLE.swatch == 0]).max() > 0.5
    assert np.abs(change[TABLE.swatch != 0]).max() == 0.0
    faster = {**CURVES.values, "lightening_rate": CURVES.values["lightening_rate"] * np.exp(0.3)}
    one = TABLE.only(0)
    from lift.research.swatches.forward import predict

    np.testing.assert_allclose(
        own.predict(x)[TABLE.swatch == 0], predict(one, faster, x[len(FREE) : len(FREE) + 1])
    )


@pytest.mark.parametrize("spread", [0.0, 0.2])
def test_sparsity_is_true(spread):
    sparse = problem(free=("lightening_rate", "half_oxidised_yield"), rate_spread=spread)
    x = sparse.start + 0.01
    low, high = sparse.bounds
    full = jacobian(sparse.residuals, x, low, high)
    grouped = jacobian(sparse.residuals, x, low, high, sparse.sparsity)
    np.testing.assert_allclose(grouped, full, atol=1e-6)
    assert len(set(sparse.sparsity.groups.tolist())) == 2 + (1 if spread == 0.0 else 2)


def test_first_levels_come_from_the_colour_before():
    unknown = Problem(TABLE.replace(level=np.full(4, np.nan)), CURVES)
    _, starts, _ = unknown.split(unknown.start)
    np.testing.assert_allclose(starts, TABLE.level, atol=0.02)
    late = TABLE.rows(TABLE.minutes > 0.0)
    _, starts, _ = Problem(late, CURVES).split(Problem(late, CURVES).start)
    np.testing.assert_allclose(starts, TABLE.level)


def test_ties_follow_and_narrow():
    tied = problem(
        free=("half_oxidised_slope",), ties=(Tie("pheomelanin_slope", "half_oxidised_slope", 0.5),)
    )
    assert tied.values([0.02])["pheomelanin_slope"] == pytest.approx(0.01)
    low, high = tied.bounds
    # 0.5 times it has to stay within 0.006 to 0.013, and itself within 0.009 to 0.022.
    assert low[0] == pytest.approx(0.012)
    assert high[0] == pytest.approx(0.022)
    assert tied.tuned([0.02]) == {"half_oxidised_slope": 0.02, "pheomelanin_slope": 0.01}
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
        ({"ties": (Tie("lightening_rate", "powder_boost"),)}, "freed or tied twice"),
        ({"rate_spread": -0.1}, "spread of the rate -0.1"),
        ({"scatter_scale": np.nan}, "scale of the scatter nan"),
    ],
)
def test_bad_problems_are_refused(options, message):
    with pytest.raises(LiftError, match=message):
        problem(**options)


def test_order_in_peroxide_can_be_freed():
    free = problem(free=("peroxide_order",))
    assert free.start[0] == 1.0
    assert free.values([1.5])["peroxide_order"] == 1.5
