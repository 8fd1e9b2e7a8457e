"""Flat form of a record: one row of SQL or CSV, its columns those that quantities declare."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from typing import Any

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.mixtures import MixtureClasses, mixture_classes
from lift.practice.records.record import Record
from lift.practice.trial.observation import Observation
from lift.quantities import Quantity, quantities_of

_HAIR = quantities_of(Hair)
_MIXTURE = {{"kind": "mixture"}.get(name, name): q for name, q in quantities_of(Mixture).items()}
QUANTITIES = {**_HAIR, **_MIXTURE}
"""What a column stands for, where it is a property of hair or mixture."""


def _sql(q: Quantity) -> str:
    """Type of a column; its default is what rows get that were kept before it was known."""
    number, flag = q.low is not None, isinstance(q.default, bool)
    kind = "REAL" if number else "INTEGER" if flag else "TEXT"
    if q.required:
        return f"{kind} NOT NULL"
    if q.default is None:
        return kind
    return f"{kind} NOT NULL DEFAULT {int(q.default) if flag else repr(q.default)}"


COLUMNS = {
    "client": "TEXT NOT NULL",
    "date": "TEXT NOT NULL",
    "zone": "TEXT",
    **{name: _sql(q) for name, q in QUANTITIES.items()},
    "minutes": "REAL NOT NULL",
    "seen_level": "REAL",
    "seen_l": "REAL",
    "seen_a": "REAL",
    "seen_b": "REAL",
    "seen_sd_l": "REAL",
    "seen_sd_a": "REAL",
    "seen_sd_b": "REAL",
    "invented": "INTEGER NOT NULL",
}
"""Columns of a record's flat form; an empty cell means not given."""


def to_row(record: Record) -> dict[str, Any]:
    """Flat form of a record, keys as in `COLUMNS`; tone as ``violet=2,blue=1`` or ``none``."""
    hair, mixture, result = record.hair, record.mixture, record.result
    nothing = (None, None, None)
    cells = {
        "client": record.client,
        "date": record.date,
        "zone": record.zone,
        **{name: getattr(hair, name) for name in _HAIR},
        **{name: getattr(mixture, q.name) for name, q in _MIXTURE.items()},
        # Several developers count as what they mix to.
        "volume": float(mixture.developer_volume),
        "minutes": result.minutes,
        "seen_level": result.level,
        **dict(zip(("seen_l", "seen_a", "seen_b"), result.lab or nothing, strict=True)),
        **dict(zip(("seen_sd_l", "seen_sd_a", "seen_sd_b"), result.lab_sd or nothing, strict=True)),
        "invented": record.invented,
    }
    return {name: _cell(value) for name, value in cells.items()}


def from_row(
    row: Mapping[str, Any], number: int | None = None, classes: MixtureClasses | None = None
) -> Record:
    """Record of a flat form; every value is checked again.

    Raises
    ------
    LiftError
        For a value out of range.
    """
    given = {q.name: _value(q, row[name]) for name, q in _MIXTURE.items()}
    given["kind"] = (classes or mixture_classes())[given["kind"]]
    colour, sd = (_colour(row, name) for name in ("seen", "seen_sd"))
    return Record(
        client=row["client"],
        date=row["date"],
        hair=Hair(**{q.name: _value(q, row[name]) for name, q in _HAIR.items()}),
        mixture=Mixture(**given),
        result=Observation(row["minutes"], row["seen_level"], colour, sd),
        zone=row["zone"],
        invented=bool(row["invented"]),
        number=number,
    )


def rows(records: Sequence[Record]) -> list[dict[str, Any]]:
    """Flat form of each record, its number first."""
    return [{"number": record.number, **to_row(record)} for record in records]


def to_csv(records: Sequence[Record]) -> str:
    """Comma-separated values, one record a line, after a line of column names (RFC 4180)."""
    text = io.StringIO()
    writer = csv.DictWriter(text, ["number", *COLUMNS])
    writer.writeheader()
    writer.writerows(rows(records))
    return text.getvalue()


def _colour(row: Mapping[str, Any], name: str) -> Any:
    cells = tuple(row[f"{name}_{axis}"] for axis in "lab")
    return None if cells == (None,) * 3 else cells


def _cell(value: Any) -> Any:
    if isinstance(value, Mapping):
        return ",".join(f"{key}={dose:g}" for key, dose in value.items()) or "none"
    return int(value) if isinstance(value, bool) else value


def _value(q: Quantity, cell: Any) -> Any:
    if isinstance(q.default, bool):
        return bool(cell)
    return q.read(cell) if q.read is not None and isinstance(cell, str) else cell
