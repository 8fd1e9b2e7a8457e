"""Records outside the domain of their mixture: invented, and left aside when learned from."""

import pytest

from lift import Hair, LiftError, Mixture, Observation, Record, learn_from_records
from lift.show.said_record import learned_note


def record(minutes, seen, mixture=None):
    return Record(
        client="qf4-mk7",
        date="2024-05-17",
        hair=Hair(6.0),
        mixture=mixture or Mixture("cream", 20.0),
        result=Observation(minutes, level=seen),
        invented=True,
    )


INSIDE = [record(minutes, seen) for minutes, seen in ((10, 6.8), (20, 7.6), (30, 8.1))]
LEFT_ON = record(25.0, 9.5, Mixture("base-break", 20.0))


def test_what_was_left_on_too_long_is_kept_and_not_learned_from():
    with_it, without = (
        learn_from_records(told, draws=256) for told in ([*INSIDE, LEFT_ON], INSIDE)
    )
    assert LEFT_ON.result.minutes == 25.0
    assert (with_it.outside, without.outside) == (1, 0)
    assert with_it.records == without.records
    assert with_it.curves.values == without.curves.values
    said = str(learned_note(with_it, 0))
    assert said.endswith("; 1 outside the domain of their mixture, left aside")
    assert "outside" not in str(learned_note(without, 0))


def test_too_few_within_it():
    with pytest.raises(LiftError, match="2 records to learn from"):
        learn_from_records([*INSIDE[:2], LEFT_ON], draws=64)
