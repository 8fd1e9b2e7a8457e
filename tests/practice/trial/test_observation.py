"""What was seen: as typed, how sure it is, and what cannot be."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.records.flat import from_row, to_row
from lift.practice.records.of_visit import records_of, visit_of_record
from lift.practice.records.record import Record
from lift.practice.trial.observation import (
    INSTRUMENT_SD,
    MODEL_SD,
    Observation,
    observation,
    observation_text,
    parse_seen,
)

MEASURED = "48,8,22\u00b10.9,0.5,1.8"


@pytest.mark.parametrize("typed", ["7.5", "48,8,22", MEASURED])
def test_what_is_typed_is_read_and_written_the_same(typed):
    assert observation_text(observation(5, typed)) == typed


@pytest.mark.parametrize("typed", [MEASURED, "48, 8, 22 +- 0.9, 0.5, 1.8"])
def test_a_colour_brings_its_own_standard_deviations(typed):
    seen = observation(5, typed)
    assert seen.lab_sd == (0.9, 0.5, 1.8)
    np.testing.assert_allclose(seen.sd, np.hypot(seen.lab_sd, MODEL_SD))
    told = "L* 48, a* 8, b* 22 (give or take 0.9, 0.5, 1.8) at 5 min"
    assert str(seen.note) == told
    np.testing.assert_allclose(observation(5, "48,8,22").sd, np.hypot(INSTRUMENT_SD, MODEL_SD))


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "7.5\u00b10.2",
        "48,8",
        "48,8,22\u00b11",
        "48,8,22\u00b1",
        "48,8,22\u00b11,1,0",
        "48,8,22\u00b11,1,31",
    ],
)
def test_what_cannot_be_is_refused(typed):
    with pytest.raises(LiftError):
        parse_seen(f"5:{typed}")


def test_standard_deviations_belong_to_a_colour():
    with pytest.raises(LiftError, match="not three numbers beside a colour"):
        Observation(5, level=7, lab_sd=(1, 1, 1))


def test_a_record_keeps_them():
    kept = Record("qf4-mk7", "2024-05-17", Hair(6), Mixture("cream", 20), observation(25, MEASURED))
    assert from_row(to_row(kept)).result == kept.result
    assert [each.result for each in records_of(visit_of_record(kept))] == [kept.result]
