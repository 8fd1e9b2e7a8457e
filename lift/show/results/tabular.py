"""Numbers of a result as columns: for CSV and for data frames."""

from __future__ import annotations

import csv
import io
import os
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np

from lift.errors import LiftError
from lift.files import write_whole
from lift.show.results.facts import COLOURS
from lift.words import Note

Columns = dict[str, list[Any]]

ROWS = {
    "Plan": "zones",
    "Choice": "options",
    "Tuning": "parameters",
    "CurveSet": "parameters",
    "StageTable": "stages",
    "NextPlan": "next",
}
"""List in the JSON of a result that is its table, by the name of its class."""

LAB = ("L", "a", "b")
ONE = ("change", "hair", "goal")
"""Fields that hold one CIELAB, or a difference of two, and never a row of them."""


def columns_of(result: Any) -> Columns:
    """Columns of a result's table by name, all as long as one another."""
    kind = type(result).__name__
    if kind in ROWS:
        from lift.answers import to_dict

        rows = to_dict(result)[ROWS[kind]]
        return _of_rows([_flat(row) for row in rows])
    if kind in MADE:
        return MADE[kind](result)
    return _of_fields(result)


def _swatches(result: Any) -> Columns:
    """The swatch file's own columns."""
    from lift.research.swatches.written import file_rows

    return _of_rows(file_rows(result))


def _bands(drawn: Any) -> Columns:
    """Median and nine strands in ten at each time of an ensemble."""
    found: Columns = {"minutes": np.ravel(drawn.central.minutes).tolist()}
    for name in ("level", "lift", "warmth"):
        for end, values in zip(("low", "median", "high"), drawn.band(name), strict=True):
            found[f"{name}_{end}"] = np.ravel(values).tolist()
    found |= _lab(np.atleast_2d(drawn.central.lab))
    return found


def _lab(lab: Any, prefix: str = "") -> Columns:
    return {f"{prefix}{axis}": lab[:, i].tolist() for i, axis in enumerate(LAB)}


def _of_rows(rows: Sequence[Mapping[str, Any]]) -> Columns:
    names = dict.fromkeys(name for row in rows for name in row)
    return {name: [row.get(name) for row in rows] for name in names}


def _flat(row: Mapping[str, Any], prefix: str = "") -> dict[str, Any]:
    """Numbers and words of a row of JSON; CIELAB as three columns, what is longer left out."""
    found: dict[str, Any] = {}
    for key, value in row.items():
        name = f"{prefix}{key}"
        if isinstance(value, Mapping):
            if not key.endswith(("_code", "_codes")):
                found |= _flat(value, f"{name}.")
        elif isinstance(value, list | tuple):
            if len(value) == 3 and all(isinstance(each, int | float) for each in value):
                found |= {f"{name}.{axis}": each for axis, each in zip(LAB, value, strict=True)}
        else:
            found[name] = value
    return found


def _of_fields(result: Any) -> Columns:
    """Fields along its commonest axis; else its parts, a row each; else one row of its numbers."""
    values = {f.name: getattr(result, f.name) for f in fields(result)}
    arrays = {name: wide for name, value in values.items() if (wide := _wide(name, value, result))}
    lengths = Counter(len(next(iter(wide.values()))) for wide in arrays.values())
    length = lengths.most_common(1)[0][0] if lengths else 0
    if length > 0:
        found: Columns = {}
        for name, value in values.items():
            if name in arrays and len(next(iter(arrays[name].values()))) == length:
                found |= arrays[name]
            elif isinstance(value, tuple) and len(value) == length and _plain(value):
                found[name] = [_cell(each) for each in value]
        return found
    for value in values.values():
        if isinstance(value, tuple) and value and all(map(is_dataclass, value)):
            return _of_rows([_row(each) for each in value])
    return _of_rows([_row(result)])


def _wide(name: str, value: Any, result: Any) -> Columns:
    """Columns of an array that runs along some axis; none of what is no such array."""
    draws = name.endswith("draws") or name == "latent"
    if not isinstance(value, np.ndarray) or value.size == 0 or draws or name in ONE:
        return {}
    if value.ndim == 1 and not (name in COLOURS and value.shape == (3,)):
        return {name: value.tolist()}
    if value.ndim != 2:
        return {}
    dyes = getattr(result, "dyes", ())
    if value.shape[1] == 3 and name in COLOURS:
        return _lab(value, "" if name == "lab" else f"{name}.")
    if value.shape[1] == 2 and not dyes:
        return {f"{name}.{end}": value[:, i].tolist() for i, end in enumerate(("low", "high"))}
    if len(dyes) == value.shape[1]:
        return {f"{name}.{dye}": value[:, i].tolist() for i, dye in enumerate(dyes)}
    return {}


def _row(thing: Any) -> dict[str, Any]:
    """Numbers and words of one thing; CIELAB as three columns."""
    row: dict[str, Any] = {}
    for each in fields(thing):
        value = getattr(thing, each.name)
        if each.name in (*COLOURS, *ONE) and np.shape(value) == (3,):
            prefix = "" if each.name == "lab" else f"{each.name}."
            row |= {f"{prefix}{axis}": float(v) for axis, v in zip(LAB, value, strict=True)}
        elif isinstance(value, np.ndarray) and value.ndim == 0:
            row[each.name] = value.item()
        elif _plain((value,)):
            row[each.name] = _cell(value)
    return row


def _dyes(report: Any) -> Columns:
    """What each dye does by itself, and how much of it is laid on, of a single strand."""
    found = report if hasattr(report, "alone") else report.wheel_and_dye
    laid = found.best.named()
    names = list(found.dyes)
    return {
        "dye": names,
        "laid": [laid.get(dye, 0.0) for dye in names],
        "alone": np.ravel(found.alone.doses).tolist(),
        "dE00_left": np.ravel(found.alone.residual).tolist(),
        "darker": np.ravel(found.darker).tolist(),
        "aside": np.ravel(found.aside).tolist(),
        "cast": [str(each) for each in np.ravel(found.cast)],
    }


def _bands_moved(found: Any) -> Columns:
    """What does it by case and level, and what the wheel's dye leaves."""
    rows = [
        {
            "bands": str(case.words),
            "level": float(level),
            "wheel": str(one.direction.wheel),
            "does": str(one.dyes_note),
            "dE00_left": float(one.best.residual),
            "dE00_of_wheel": None if one.place is None else float(one.alone.residual[one.place]),
            "verdict": one.verdict,
        }
        for case in found.cases
        for i, level in enumerate(found.levels)
        for one in (case.answer[i],)
    ]
    return _of_rows(rows)


def _plain(values: Sequence[Any]) -> bool:
    return all(isinstance(v, str | int | float | bool | Note | np.number) for v in values)


def _cell(value: Any) -> Any:
    return str(value) if isinstance(value, Note) else value


MADE: dict[str, Callable[[Any], Columns]] = {
    "Ensemble": _bands,
    "Preview": lambda preview: _bands(preview.drawn),
    "StrandTest": lambda test: _bands(test.after.drawn),
    "Swatches": _swatches,
    "ToneReport": _dyes,
    "WheelAndDye": lambda found: _of_fields(found) if found.darker.ndim > 1 else _dyes(found),
    "BandSensitivity": _bands_moved,
}
"""Tables that are made of more than a result's own fields, by the name of its class."""


def csv_of(result: Any, path: str | os.PathLike[str] | None = None) -> str:
    """Table of a result as CSV; written to `path`, too, where one is given."""
    columns = columns_of(result)
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\r\n")
    out.writerow(columns)
    out.writerows(zip(*columns.values(), strict=True))
    if path is not None:
        write_whole(Path(path), text.getvalue().encode("utf-8"), "file.table")
    return text.getvalue()


def frame_of(result: Any) -> Any:
    """Table of a result as a data frame."""
    try:
        pandas = import_module("pandas")
    except ModuleNotFoundError:
        raise LiftError("results.no_pandas") from None
    return pandas.DataFrame(columns_of(result))
