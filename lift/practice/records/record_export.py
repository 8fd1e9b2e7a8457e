"""Export of records: CSV for a spreadsheet, JSON with the cautions."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from typing import Any

from lift.practice.cautions import ALWAYS
from lift.practice.records.record import COLUMNS, Record, to_row

UNITS = {
    "number": "-",
    "level": "levels",
    "fibre_um": "um",
    "grey_percent": "%",
    "pheomelanin_share": "-",
    "lightened_to": "levels",
    "volume": "vol",
    "developer_parts": "parts to one of product",
    "ph": "-",
    "boost": "-",
    "temperature_c": "C",
    "tone": "0.01 absorption per fibre radius",
    "tone_minutes": "min",
    "minutes": "min",
    "seen_level": "levels",
    "seen_l": "CIELAB L*",
    "seen_a": "CIELAB a*",
    "seen_b": "CIELAB b*",
}


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


def to_json(records: Sequence[Record]) -> str:
    """JSON with the records, the unit of each column and the cautions."""
    payload = {"records": rows(records), "units": UNITS, "cautions": list(map(str, ALWAYS))}
    return json.dumps(payload, indent=1, allow_nan=False) + "\n"
