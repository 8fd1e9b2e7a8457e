"""What is said of records and of what they teach: notes that terminal and page share."""

from __future__ import annotations

from typing import Any

import numpy as np

from lift.practice.records.forecast import SHIFTS, Forecast
from lift.practice.records.learned import Learned
from lift.practice.records.prediction_error import COVERED
from lift.practice.records.record import Record
from lift.quantities import described
from lift.words import Note, note

UNUSUAL = 3.29
"""Standard deviations passed once in a thousand times."""

Rows = list[tuple[Note, Note]]
"""What each row of a table is called, and what stands in it."""


def done_note(record: Record) -> Note:
    """What was done, in a few words."""
    mixture = record.mixture
    return note(
        "record.done",
        hair=described(record.hair),
        kind=mixture.kind,
        volume=mixture.developer_volume,
        minutes=record.result.minutes,
    )


def added_note(record: Record) -> Note:
    """That a record was kept."""
    return note(
        "record.added",
        number=record.number,
        client=record.client,
        invented=record.invented,
        done=done_note(record),
    )


def added_rows(record: Record, expected: Forecast) -> Rows:
    """How a record compares with what was predicted."""
    mean, sd = expected.mean[0], np.sqrt(np.diag(expected.covariance[0]))
    axes = ("level",) if record.result.lab is None else ("L*", "a*", "b*")
    rows = []
    for axis, seen, m, s in zip(axes, record.result.numbers, mean, sd, strict=True):
        values = {"low": m - COVERED * s, "mean": m, "high": m + COVERED * s}
        predicted = note(
            "record.predicted.level" if axis == "level" else "record.predicted",
            seen=float(seen),
            unusual=note("record.unusual") if abs(seen - m) > UNUSUAL * s else "",
            **{name: float(value) for name, value in values.items()},
        )
        rows.append((note("record.axis", axis=axis), predicted))
    return rows


def learned_note(result: Learned, left_aside: int) -> Note:
    """From how much was learned."""
    aside = note("record.aside", count=left_aside, invented=result.invented)
    return note(
        "record.learned",
        count=len(result.records),
        clients=len({record.client for record in result.records}),
        invented=result.invented,
        aside=aside if left_aside else "",
        outside=note("record.outside", count=result.outside) if result.outside else "",
    )


def learned_rows(result: Learned) -> Rows:
    """What records taught and how well it predicts."""
    rows, before, after = [], result.before, result.after
    mean, sd = result.shared.moments()
    for name, m, s, known in zip(SHIFTS, mean, sd, result.determined, strict=True):
        shift = _shift_note(name, float(m), float(s))
        unknown = note("record.unknown", shift=shift, why=note(f"record.unknown.{name}"))
        rows.append((note(f"record.shift.{name}.label"), shift if known else unknown))
    held_out = note(f"record.held_out.{result.held_out_by}")
    pairs: dict[str, dict[str, Any]] = {
        "error": {"before": before.rms, "now": after.rms, "left_out": held_out},
        "mean_error": {"before": before.bias, "now": after.bias},
        "band": {"before": before.width, "now": after.width},
        "inside": {"before": before.held, "now": after.held, "count": len(result.records)},
    }
    for name, values in pairs.items():
        rows.append((note(f"record.{name}.label"), note(f"record.{name}", **values)))
    if result.suspects:
        numbers = [result.records[i].number for i in result.suspects]
        rows.append((note("record.check.label"), note("record.check", numbers=numbers)))
    draws = result.shared.posterior.effective_size
    return [*rows, (note("strand.rests.label"), note("record.rests", draws=draws))]


def _shift_note(name: str, mean: float, sd: float) -> Note:
    """One shared shift, with the interval that holds nine of ten."""
    low, high = mean - COVERED * sd, mean + COVERED * sd
    if name == "level":
        side = note("record.dark" if mean >= 0.0 else "record.light")
        return note("record.shift.level", size=abs(mean), side=side, low=low, high=high)
    middle, low, high = (float(np.exp(value)) for value in (mean, low, high))
    return note(f"record.shift.{name}", times=middle, low=low, high=high)
