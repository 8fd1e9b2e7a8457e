"""Invented laboratories: marked as such, repeatable, with the scatter of real ones."""

import numpy as np
import pytest

from lift import LiftError, default_curves
from lift.research.swatches.forward import predict
from lift.research.swatches.generate import (
    SCATTER_RANGE,
    design,
    measure,
    synthetic_laboratory,
)

VALUES = default_curves().values


def test_design_takes_turns():
    table = design(8)
    assert len(table) == 8 * 6
    assert sorted(table.level) == pytest.approx(np.linspace(2.0, 8.0, 8))
    pairs = {(table.kind[i], table.volume[i]) for i in range(len(table))}
    assert len(pairs) == 8
    # The order of levels must not be the order of strengths.
    first = table.minutes == 0.0
    assert abs(np.corrcoef(table.level, table.volume[first])[0, 1]) < 0.5


def test_everything_says_invented():
    made = synthetic_laboratory(seed=4).swatches
    assert made.invented
    assert made.source.startswith("INVENTED")
    assert all(name.startswith("invented") for name in made.names)
    assert design().invented


def test_seed_decides():
    one, same, other = (synthetic_laboratory(seed=s).swatches for s in (1, 1, 2))
    assert one.sha256 == same.sha256 != other.sha256


def test_levels_are_judged_to_the_half():
    made = synthetic_laboratory(design(100), seed=5)
    level = made.swatches.level
    np.testing.assert_array_equal(level * 2.0, np.round(level * 2.0))
    # 0.3 by eye, and 0.5 / sqrt 12 from rounding.
    assert np.std(level - made.starts) == pytest.approx(np.hypot(0.3, 0.144), rel=0.2)


def test_rates_spread_as_asked():
    made = synthetic_laboratory(design(400, minutes=(0.0, 30.0)), seed=6, rate_spread=0.3)
    assert np.std(np.log(made.rates)) == pytest.approx(0.3, rel=0.12)
    alike = synthetic_laboratory(seed=6, rate_spread=0.0)
    assert np.all(alike.rates == 1.0)


def test_scatter_lies_in_the_published_range():
    laid_out = design(60, minutes=np.linspace(0.0, 50.0, 26), repeats=1)
    made = synthetic_laboratory(laid_out, seed=7, rate_spread=0.0)
    off = made.swatches.lab - predict(laid_out, VALUES, made.starts)
    sd = np.array([np.std(off[laid_out.swatch == i, 0]) for i in range(60)])
    low, high = SCATTER_RANGE
    assert sd.min() > 0.6 * low
    assert sd.max() < 1.4 * high
    assert np.exp(np.mean(np.log(sd))) == pytest.approx(np.sqrt(low * high), rel=0.12)


def test_measure_scatters_as_the_table_says():
    laid_out = design(50, repeats=4)
    random = np.random.default_rng(8)
    measured = measure(laid_out, VALUES, laid_out.level, random)
    z = (measured.lab - laid_out.lab) / laid_out.sd
    assert z.mean() == pytest.approx(0.0, abs=0.1)
    assert z.std() == pytest.approx(1.0, rel=0.08)
    exact = measure(laid_out, VALUES, laid_out.level, random, sd=0.0)
    np.testing.assert_allclose(exact.lab, laid_out.lab)
    quick = measure(laid_out, VALUES, laid_out.level, random, sd=0.0, rates=np.full(50, 2.0))
    assert np.all(quick.lab[:, 0] >= exact.lab[:, 0] - 1e-9)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: design(0), "number of swatches 0 is outside 1 to 500"),
        (lambda: design(minutes=()), "at least one time"),
        (lambda: design(kinds=("creme",)), "did you mean cream"),
        (lambda: design(levels=(0.0, 5.0)), "natural level 0 is outside"),
        (lambda: design(minutes=(0.0, 500.0)), "processing time 500 min is outside"),
        (lambda: design(volumes=(np.nan,)), "developer volume nan vol is outside"),
        (lambda: synthetic_laboratory(seed=-1), "seed -1 is outside"),
        (lambda: synthetic_laboratory(rate_spread=2.0), "spread of the rate 2 is outside"),
        (lambda: synthetic_laboratory(scatter_range=(0.0, 1.0)), "scatter of L"),
        (
            lambda: synthetic_laboratory(design(2).replace(level=[3.0, np.nan])),
            "needs a level",
        ),
    ],
)
def test_bad_designs_are_refused(call, message):
    with pytest.raises(LiftError, match=message):
        call()
