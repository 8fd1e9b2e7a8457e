"""Lifts of the trade, row by row: common practice (no source), a part of it left out of the fit."""

import numpy as np
import pytest

from lift import Hair, Mixture, simulate
from lift.reference import load

TABLE = load("trade_lifts")
NUMBERS = TABLE.numbers("volume", "level", "fibre_um", "damp", "minutes", "low", "high")
WORDS = list(zip(*(TABLE.words(n) for n in ("row", "mixture", "use")), strict=True))
NAMES = [
    f"{row} {mixture} {n[0]:g} vol level {n[1]:g} {use}"
    for (row, mixture, use), n in zip(WORDS, NUMBERS, strict=True)
]


def test_at_least_a_third_is_left_out_and_every_row_is_a_rule():
    uses = [use for *_, use in WORDS]
    assert set(uses) == {"fitted", "left out"}
    assert uses.count("left out") >= len(uses) / 3
    rules = load("trade_practice").words("id")
    assert {row for row, *_ in WORDS} <= set(rules)
    assert len(set(NAMES)) == len(NAMES)


@pytest.mark.parametrize("row", range(len(NAMES)), ids=NAMES)
def test_lift(row):
    """Fitted or predicted, inside the range that the rule says."""
    _, mixture, _ = WORDS[row]
    volume, level, fibre, damp, minutes, low, high = NUMBERS[row].tolist()
    hair = Hair(level, fibre, damp=bool(damp))
    assert low <= float(simulate(hair, Mixture(mixture, volume), minutes).lift) <= high


def test_more_strength_is_said_to_lift_no_less():
    """The ranges themselves: of one mixture, level and time they rise with the strength."""
    for row in ("volumes", "powder by volume"):
        mine = np.array([name == row for name, *_ in WORDS])
        volume, level, low, high = NUMBERS[mine][:, [0, 1, 5, 6]].T
        for one in np.unique(level):
            at = np.flatnonzero(level == one)
            order = at[np.argsort(volume[at])]
            assert np.all(np.diff(low[order]) >= 0.0)
            assert np.all(np.diff(high[order]) >= 0.0)
