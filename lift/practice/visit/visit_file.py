"""Files of visits: a scenario (TOML) or a visit (TOML or JSON) read, and a visit written.

A scenario file is a visit that is not done yet; a visit's file is a scenario file that says more.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from lift.files import parse_json, parse_toml, read_whole, shown_path
from lift.model.mixtures import MixtureClasses
from lift.practice.scenario.scenario_file import KIND, MAX_BYTES, in_file
from lift.practice.scenario.scenario_table import Table, plain_number
from lift.practice.visit.visit import Visit
from lift.practice.visit.visit_table import visit_of, visit_table

JSON_ENDING = ".json"
_BARE = re.compile(r"[A-Za-z0-9_-]+")


def load_visit(path: str | os.PathLike[str], classes: MixtureClasses | None = None) -> Visit:
    """Read a visit or a scenario from a file, by its ending JSON or else TOML.

    Raises
    ------
    LiftError
        When it cannot be read or is none; the text names file and key, of TOML the line, too.
    """
    text, name = read_whole(path, MAX_BYTES, "file.scenario"), shown_path(path)
    if Path(path).suffix.lower() != JSON_ENDING:
        table, where = parse_toml(text, name), in_file(text, name)
    else:
        table = parse_json(text, name)
        # What is listed or shown as JSON has the visit inside.
        if isinstance(table, dict) and "revision" in table:
            table = table["visit"]
        # It is one line, or a few: the keys are the place.
        where = in_file("", name)
    if isinstance(table, dict):
        table = KIND.brought_up(table, table.get("version"), name)
    return visit_of(table, where, classes)


def to_json(visit: Visit) -> str:
    """Text of a visit as JSON."""
    return json.dumps(visit_table(visit), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def to_toml(visit: Visit) -> str:
    """Text of a visit as TOML: a scenario file, and what was done.

    Examples
    --------
    >>> table = {"visit": {"name": "k7f-m3q"}, "zones": [{"name": "base", "natural_level": 7}]}
    >>> print(to_toml(visit_of(table)).splitlines()[-2])
    name = "base"
    """
    return "\n".join(_lines(visit_table(visit))).strip() + "\n"


def _lines(table: Table) -> Iterator[str]:
    for key, value in table.items():
        if not _is_table(value):
            yield f"{_key(key)} = {_value(value)}"
    for key, value in table.items():
        if isinstance(value, Mapping) and any(isinstance(v, Mapping) for v in value.values()):
            for name, inner in value.items():
                yield from _section(f"[{_key(key)}.{_key(name)}]", inner, f"{key}.{name}")
        elif isinstance(value, Mapping):
            yield from _section(f"[{_key(key)}]", value, key)
        elif _is_table(value):
            for row in value:
                yield from _section(f"[[{_key(key)}]]", row, key)


def _section(head: str, table: Mapping[str, Any], path: str) -> Iterator[str]:
    yield from ("", head)
    for key, value in table.items():
        if not _rows(value):
            yield f"{_key(key)} = {_value(value)}"
    for key, value in table.items():
        if _rows(value):
            for row in value:
                yield from _section(f"[[{path}.{_key(key)}]]", row, f"{path}.{key}")


def _rows(value: Any) -> bool:
    return isinstance(value, list) and any(isinstance(row, Mapping) for row in value)


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping) or _rows(value)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _text(key)


def _text(value: str) -> str:
    # A JSON text is a TOML one, but for one sign that TOML wants written out.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: Any) -> str:
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        # TOML has no null: a pause without an end is a list of one number.
        return "[" + ", ".join(_value(v) for v in value if v is not None) + "]"
    return plain_number(value)
