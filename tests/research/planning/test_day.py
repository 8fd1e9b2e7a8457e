"""Days in a laboratory: one pair of hands, every rinse in time, an order that is drawn."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lift import LiftError
from lift.research.planning.day import COVER_MIN, READ_MIN, RINSE_MIN, lay_out_days

TIMES = [0.0, 5.0, 10.0, 20.0, 30.0, 45.0] * 6


def hands_of(run, repeats):
    """When a strand asks for hands: day, beginning and end [min]."""
    told = [(run.day, run.rinse, run.rinse + RINSE_MIN)]
    if run.cover is not None:
        told.append((run.day, run.cover, run.cover + COVER_MIN))
    return [*told, (run.read_day, run.read, run.read + READ_MIN * repeats)]


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.sampled_from([0.0, 5.0, 12.5, 20.0, 45.0, 120.0]), min_size=1, max_size=20),
    st.integers(1, 10),
    st.sampled_from([150.0, 480.0]),
    st.integers(0, 99),
)
def test_hands_are_never_at_two_places_and_no_rinse_is_late(minutes, repeats, day, seed):
    runs = lay_out_days(minutes, repeats, day=day, seed=seed)
    assert sorted(run.strand for run in runs) == list(range(len(minutes)))
    spans = sorted(span for run in runs for span in hands_of(run, repeats))
    for (on, start, end), (next_on, next_start, _) in pairwise(spans):
        assert 0.0 <= start < end <= day
        assert next_on > on or next_start >= end
    for run in runs:
        assert run.read_day > run.day
        if minutes[run.strand] == 0.0:
            assert run.cover is None
        else:
            assert run.rinse - run.cover - COVER_MIN == pytest.approx(minutes[run.strand])


def test_a_series_takes_two_days_and_its_order_goes_with_no_condition():
    runs = lay_out_days(TIMES, 5)
    assert max(run.read_day for run in runs) == 2
    later = [np.corrcoef([r.number for r in lay_out_days(TIMES, 5, seed=s)],
                         [TIMES[r.strand] for r in lay_out_days(TIMES, 5, seed=s)])[0, 1]
             for s in range(40)]  # fmt: skip
    assert abs(np.mean(later)) < 0.1


def test_the_order_is_drawn_by_its_seed():
    order = [[run.strand for run in lay_out_days(TIMES, 3, seed=s)] for s in (1, 1, 2)]
    assert order[0] == order[1] != order[2]


def test_a_day_that_is_too_short_is_told():
    need = COVER_MIN + 120.0 + RINSE_MIN
    with pytest.raises(LiftError, match=f"asks for {need:g} min at a time, more than a day of 120"):
        lay_out_days([120.0], 3, day=120.0)
    with pytest.raises(LiftError, match="working day 30"):
        lay_out_days([5.0], 3, day=30.0)
