"""Answers of records: those kept, one just added, and what they teach."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, Literal, cast

import numpy as np

from lift.answers.encode import Code, Part, plain
from lift.answers.parts import CurveSetPart, curve_set_part, rounded, said
from lift.practice.cautions import ALWAYS, cautions
from lift.practice.records.flat import COLUMNS, QUANTITIES, rows
from lift.practice.records.forecast import SHIFTS, Forecast
from lift.practice.records.learned import Learned
from lift.practice.records.prediction_error import Errors
from lift.practice.records.record import Record
from lift.words import known, say

Row = dict[str, Any]
"""Number and columns of one record."""


class RecordsAnswer(Part):
    """Records kept, with the unit of each column of numbers."""

    records: list[Row]
    units: dict[str, str]
    cautions: list[str]
    cautions_codes: list[Code]


class Predicted(Part):
    """What was expected of a record, one number for a level, three for a CIELAB."""

    mean: list[float]
    sd: list[float]


class AddedAnswer(Part):
    """A record as it was kept, and what was predicted for it."""

    record: Row
    predicted: Predicted
    cautions: list[str]
    cautions_codes: list[Code]


class Shift(Part):
    """One shift that all records share."""

    mean: float
    sd: float
    determined: bool


class ErrorsPart(Part):
    """Prediction error in levels, seen minus predicted."""

    rms: float
    bias: float
    band_width: float
    inside_band: int
    error: list[float]
    sd: list[float]


class HeldOutErrors(ErrorsPart):
    """The same where each record was predicted from others only."""

    left_out: Literal["client", "record"]


class LearnedAnswer(Part):
    """What records taught."""

    records: int
    clients: int
    invented: bool
    shifts: dict[str, Shift]
    before: ErrorsPart
    after: HeldOutErrors
    suspects: list[int | None]
    effective_size: float
    curve_set: CurveSetPart
    cautions: list[str]
    cautions_codes: list[Code]


def units() -> dict[str, str]:
    """Unit of each column of numbers."""
    found = {"number": "-"}
    for name in COLUMNS:
        q = QUANTITIES.get(name)
        if known(f"record.unit.{name}"):
            found[name] = say(f"record.unit.{name}")
        elif q is not None and q.low is not None:
            found[name] = q.unit or "-"
    return found


def records_answer(records: Sequence[Record]) -> RecordsAnswer:
    """Answer of a list of records."""
    return RecordsAnswer(rows(records), units(), **said(cautions=ALWAYS))


def records_json(records: Sequence[Record]) -> str:
    """JSON of a list of records, as it is printed and exported."""
    return json.dumps(plain(records_answer(records)), indent=1, allow_nan=False) + "\n"


def added_answer(record: Record, expected: Forecast) -> AddedAnswer:
    """Answer of a record that was added."""
    notes = cautions(record.mixture, record.result.minutes, record.hair)
    sd = np.sqrt(np.diag(expected.covariance[0]))
    predicted = Predicted(rounded(expected.mean[0]), rounded(sd))
    return AddedAnswer(rows([record])[0], predicted, **said(cautions=notes))


def answer(result: Learned) -> LearnedAnswer:
    """Answer of a calibration."""
    mean, sd = result.shared.moments()
    return LearnedAnswer(
        records=len(result.records),
        clients=len({record.client for record in result.records}),
        invented=result.invented,
        shifts={
            name: Shift(rounded(m), rounded(s), determined)
            for name, m, s, determined in zip(SHIFTS, mean, sd, result.determined, strict=True)
        },
        before=ErrorsPart(**_errors(result.before)),
        after=HeldOutErrors(**_errors(result.after), left_out=cast(Any, result.held_out_by)),
        suspects=[result.records[i].number for i in result.suspects],
        effective_size=rounded(result.shared.posterior.effective_size),
        curve_set=curve_set_part(result.curves),
        **said(cautions=ALWAYS),
    )


def _errors(errors: Errors) -> dict[str, Any]:
    return {
        "rms": rounded(errors.rms),
        "bias": rounded(errors.bias),
        "band_width": rounded(errors.width),
        "inside_band": errors.held,
        "error": rounded(errors.error),
        "sd": rounded(errors.sd),
    }
