"""A CSV table with its descriptor: what each column means, where it comes from, its checksum."""

from __future__ import annotations

import csv
import hashlib
import io
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError
from lift.files import write_whole
from lift.words import Note, note

TEXT = "text"
DESCRIBED = ("title", "source", "read", "conditions")


@dataclass(frozen=True)
class Column:
    """Meaning and unit of one column; a unit of ``text`` means words, ``-`` no unit."""

    meaning: str
    unit: str


@dataclass(frozen=True)
class Table:
    """One table, verified against the checksum in its descriptor.

    Parameters
    ----------
    name : str
        File name without its ending.
    title, source, read, conditions : str
        What it is, the work it comes from, whether that work was read or is quoted from memory,
        and the conditions under which the figures hold.
    sha256 : str
        Checksum of the CSV file.
    described : mapping of str to Column
        Meaning and unit by column name, in the order of the file.
    columns : mapping of str to numpy.ndarray or tuple of str
        Read-only numbers, shape (rows,), an empty cell being nan; or words.
    """

    name: str
    title: str
    source: str
    read: str
    conditions: str
    sha256: str
    described: Mapping[str, Column]
    columns: Mapping[str, Floats | tuple[str, ...]]

    def numbers(self, *names: str) -> Floats:
        """Return columns of numbers, shape (rows,) for one name, (rows, names) for several.

        Raises
        ------
        LiftError
            When a column is unknown or holds words.
        """
        found = [self._column(name) for name in names]
        for name, column in zip(names, found, strict=True):
            if isinstance(column, tuple):
                raise LiftError("table.words", column=name, table=self.name)
        numbers = np.array(found[0] if len(found) == 1 else np.stack(found, axis=-1), dtype=float)
        numbers.flags.writeable = False
        return numbers

    def words(self, name: str) -> tuple[str, ...]:
        """Return a column of words.

        Raises
        ------
        LiftError
            When the column is unknown or holds numbers.
        """
        column = self._column(name)
        if not isinstance(column, tuple):
            raise LiftError("table.numbers", column=name, table=self.name)
        return column

    def _column(self, name: str) -> Floats | tuple[str, ...]:
        if name not in self.columns:
            tip = nearest(name, [*self.columns])
            raise LiftError("table.no_column", table=self.name, column=name, tip=tip)
        return self.columns[name]


def nearest(name: str, known: list[str]) -> Note:
    """Nearest known name, or what there is, as the end of an error."""
    near = get_close_matches(str(name), known, n=1, cutoff=0.4)
    return note("choice.meant", near=near[0]) if near else note("table.there_are", names=known)


def read_table(folder: Path, name: str) -> Table:
    """Read ``folder/name.csv`` and check it against ``folder/name.toml``.

    Raises
    ------
    LiftError
        When there is no such table, the checksum differs, the descriptor leaves something out, or
        a cell is not a number where one is due.
    """
    paths = {path.stem: path for path in sorted(folder.glob("*.csv"))}
    if name not in paths:
        tip = nearest(name, [*paths])
        raise LiftError("table.unknown", name=name, folder=folder.name, tip=tip)
    content = paths[name].read_bytes()
    descriptor = _descriptor(folder / f"{name}.toml")
    found = hashlib.sha256(content).hexdigest()
    if found != descriptor["sha256"]:
        told = descriptor["sha256"]
        raise LiftError("table.sha256", folder=folder.name, name=name, found=found, told=told)
    header, *rows = csv.reader(io.StringIO(content.decode("utf-8")))
    described = {key: Column(**value) for key, value in descriptor["columns"].items()}
    if list(described) != header:
        raise LiftError("table.header", name=name, told=list(described), found=header)
    if ragged := [line for line, row in enumerate(rows, 2) if len(row) != len(header)]:
        raise LiftError("table.ragged", name=name, line=ragged[0], cells=len(header))
    columns = {
        key: cells if described[key].unit == TEXT else _numbers(name, key, cells)
        for key, cells in zip(header, zip(*rows, strict=True), strict=True)
    }
    return Table(
        name=name,
        sha256=found,
        described=MappingProxyType(described),
        columns=MappingProxyType(columns),
        **{key: descriptor[key] for key in DESCRIBED},
    )


def write_table(folder: Path, name: str, rows: list[list[Any]], descriptor: str) -> None:
    """Write ``name.csv``, header first, and ``name.toml``.

    Floats read back exactly. The descriptor is TOML text with ``{sha256}`` where the checksum of
    the CSV belongs.
    """
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    content = text.getvalue().encode("utf-8")
    checksum = hashlib.sha256(content).hexdigest()
    meaning = descriptor.replace("{sha256}", checksum).encode("utf-8")
    for path, data in ((f"{name}.csv", content), (f"{name}.toml", meaning)):
        write_whole(folder / path, data, "file.table")


def _descriptor(path: Path) -> dict[str, Any]:
    try:
        found = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise LiftError("table.no_descriptor", folder=path.parent.name, name=path.stem) from None
    missing = [key for key in (*DESCRIBED, "sha256", "columns") if not found.get(key)]
    if missing:
        where = {"folder": path.parent.name, "name": path.name}
        raise LiftError("table.not_given", **where, missing=missing)
    return found


def _numbers(table: str, name: str, cells: tuple[str, ...]) -> Floats:
    try:
        numbers = np.array([float(cell) if cell else np.nan for cell in cells])
    except ValueError as error:
        raise LiftError("table.cell", table=table, column=name, reason=str(error)) from None
    numbers.flags.writeable = False
    return numbers
