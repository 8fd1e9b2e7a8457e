"""Records as they were kept before there were visits, one flat row each, and the visit of a row."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from typing import Any

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.scenario.scenario_file import OWN
from lift.practice.scenario.scenario_table import Table, plain_number, typed
from lift.practice.trial.observation import GIVE_OR_TAKE
from lift.practice.visit.codes import make_code
from lift.quantities import Quantity, quantities_of
from lift.words import LAST_LEVEL

HAIR = quantities_of(Hair)
MIXTURE = {{"kind": "mixture"}.get(name, name): q for name, q in quantities_of(Mixture).items()}
"""Properties by their column."""

NAMELESS = "hair"
"""Name of a zone of which a record said nothing."""


def scale_ends(db: sqlite3.Connection) -> sqlite3.Connection:
    """Version 2: levels end at 10, which stands for 10 or lighter."""
    if "lightened_to" in record_columns(db):
        end = {"end": LAST_LEVEL}
        db.execute("UPDATE record SET lightened_to = :end WHERE lightened_to > :end", end)
    return db


def move_records(db: sqlite3.Connection) -> sqlite3.Connection:
    """Version 3: each record becomes a visit with one zone, and keeps its number."""
    columns = record_columns(db)
    if not columns:
        return db
    for cells in db.execute(f"SELECT {', '.join(columns)} FROM record").fetchall():
        row = dict(zip(columns, cells, strict=True))
        name, values = make_code(), (row["number"], row["client"], row["date"])
        body = json.dumps(table_of_row(row, name))
        db.execute(
            "INSERT INTO visit VALUES (?, ?, ?, ?, 1, ?)", (values[0], name, *values[1:], body)
        )
    # Numbers of what was deleted are not used again.
    used = db.execute("SELECT seq FROM sqlite_sequence WHERE name = 'record'").fetchone()
    db.execute("DELETE FROM sqlite_sequence WHERE name = 'visit'")
    db.execute("INSERT INTO sqlite_sequence VALUES ('visit', ?)", used or (0,))
    db.execute("DROP TABLE record")
    return db


def record_columns(db: sqlite3.Connection) -> list[str]:
    """Columns of the table of records; none where there is no such table."""
    return [row[1] for row in db.execute("PRAGMA table_info(record)")]


def known_columns() -> set[str]:
    """Columns that a table of records may have."""
    seen = {"seen_level", "seen_l", "seen_a", "seen_b"}
    own = {"number", "client", "date", "zone", "minutes", "invented"}
    return {*HAIR, *MIXTURE} | own | seen


def table_of_row(row: Mapping[str, Any], name: str) -> Table:
    """Table of the visit that a record tells of, in the form of `lift.practice.records.flat`.

    Nothing is checked here: a class of mixture need not be known to be kept.
    """
    zone, kind = row["zone"] or NAMELESS, row["mixture"]
    mixture = _cells(MIXTURE, row, without=("mixture", "tone", "temperature_c"))
    # What is left out a plan would choose.
    mixture["volume"] = row["volume"]
    mixture["tone"] = OWN if row["tone"] is None else _doses(row["tone"])
    seen = ",".join(map(plain_number, _seen(row)))
    if row.get("seen_sd_l") is not None:
        seen += GIVE_OR_TAKE[0] + ",".join(plain_number(row[f"seen_sd_{axis}"]) for axis in "lab")
    own = {"name": name, "client": row["client"], "date": row["date"]}
    return {
        "version": 1,
        "title": "",
        "visit": own | ({"invented": True} if row["invented"] else {}),
        "mixtures": {kind: {"kind": kind, **mixture}},
        "zones": [
            {
                "name": zone,
                **_cells(HAIR, row),
                "mixture": kind,
                "temperature_c": row["temperature_c"],
            }
        ],
        "came_out": [{"zone": zone, "minutes": row["minutes"], "seen": seen}],
    }


def _seen(row: Mapping[str, Any]) -> list[float]:
    if row["seen_level"] is not None:
        return [row["seen_level"]]
    return [row[f"seen_{axis}"] for axis in "lab"]


def _cells(
    quantities: Mapping[str, Quantity], row: Mapping[str, Any], without: tuple[str, ...] = ()
) -> Table:
    found: Table = {}
    for column, q in quantities.items():
        if column in without or row.get(column) is None:
            continue
        value = bool(row[column]) if isinstance(q.default, bool) else row[column]
        if q.required or value != q.default:
            found[q.file or q.name] = typed(q, value)
    return found


def _doses(cell: str) -> dict[str, float]:
    pairs = [] if cell == "none" else cell.split(",")
    return {dye: float(dose) for dye, _, dose in (pair.partition("=") for pair in pairs)}
