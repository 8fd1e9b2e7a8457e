"""Reader: takes typed values out of the tables of a TOML file and says where what is wrong."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from contextlib import contextmanager
from difflib import get_close_matches
from typing import Any, NoReturn

from lift.errors import LiftError, check_choice, check_number
from lift.practice.scenario.place import FieldError, Path, PlacedError, Where, no_file, placed
from lift.quantities import Lab, Quantity, check_lab, quantities_of
from lift.words import Note, note

UNITS = ("c", "minutes", "mm", "percent", "um")
"""Units that keys end in."""


class Reader:
    """One table, read key by key; `path` is where it stands, `where` says so before an error.

    Raises
    ------
    LiftError
        When it is no table.
    """

    def __init__(self, table: Any, path: Path = (), where: Where = no_file) -> None:
        self._path, self._where = path, where
        if not isinstance(table, Mapping):
            self.refuse((), "reader.no_table", value=shown(table))
        self._table: Mapping[str, Any] = table
        self._seen: list[str] = []

    def refuse(self, path: Path, what: str, **values: Any) -> NoReturn:
        """Raise an error about a key of this table."""
        raise placed(LiftError(what, **values), (*self._path, *path), self._where)

    @contextmanager
    def at(self, *path: str | int) -> Iterator[None]:
        """Put the place of a key before errors that are raised within."""
        try:
            yield
        except PlacedError:
            raise
        except LiftError as error:
            inner = error.path if isinstance(error, FieldError) else ()
            raise placed(error, (*self._path, *path, *inner), self._where) from None

    def has(self, key: str) -> bool:
        """Whether a key is given."""
        return key in self._table

    def take(self, key: str) -> Any:
        """Value of a key, None when it is not given."""
        self._seen.append(key)
        return self._table.get(key)

    def need(self, *keys: str) -> None:
        """Refuse a table without these keys; one that is misspelt is told as that."""
        for key in keys:
            if key not in self._table:
                others = [str(other) for other in self._table if other not in self._seen]
                if near := get_close_matches(key, others, n=1, cutoff=0.75):
                    tip = note("reader.did_you_mean", near=key)
                    self.refuse((near[0],), "reader.unknown", key=near[0], tip=tip)
                self.refuse((), "reader.missing", key=key)

    def given(self, owner: type, *, without: Container[str] = ()) -> dict[str, Any]:
        """Values of the quantities of a class that are given, by field name."""
        found = {}
        for name, q in quantities_of(owner).items():
            key = q.file or name
            if name in without:
                continue
            if self.take(key) is not None:
                found[name] = self.value(q, key)
        return found

    def value(self, q: Quantity, key: str) -> Any:
        """Value of a key that is given, as its quantity declares it."""
        value = self._table[key]
        if q.flag is not None:
            if isinstance(value, bool):
                return q.flag if value else q.default
            # What a flag stands for may be a number, as the share of pheomelanin is of red hair.
            if q.low is None or not isinstance(value, int | float):
                self.refuse((key,), "reader.no_flag", key=key, value=shown(value))
        with self.at(key):
            if q.lab and isinstance(value, list):
                return lab_of(key, value)
            if q.low is not None and q.high is not None:
                if q.words and isinstance(value, str):
                    return q.words[check_choice(key_name(key), value, q.words)]
                if q.read is not None and isinstance(value, str) and ":" in value:
                    return q.read(value)
                return number_of(key, value, q)
        if isinstance(q.default, tuple):
            texts = self.texts(key)
            with self.at(key):
                return q.check(texts) if q.choices is not None else texts
        words = self.text(key)
        with self.at(key):
            if q.choices is not None:
                return check_choice(key_name(key), words, q.choices())
            return words if q.read is None else q.read(words)

    def text(self, key: str, default: str | None = None) -> Any:
        """Take a text."""
        value = self.take(key)
        if value is None:
            return default
        if not isinstance(value, str):
            self.refuse((key,), "reader.no_text", key=key, value=shown(value))
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        """Take a list of texts."""
        value = self.take(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
            self.refuse((key,), "reader.no_texts", key=key, value=shown(value))
        return tuple(value)

    def lab(self, key: str) -> Lab | None:
        """Take three numbers L*, a*, b*."""
        value = self.take(key)
        if value is None:
            return None
        with self.at(key):
            return lab_of(key, value)

    def numbers(self, owner: Mapping[str, Any]) -> dict[str, float]:
        """Take numbers by the names of what has ``low``, ``high`` and ``unit``; all optional."""
        found = {}
        for name, q in owner.items():
            value = self.take(name)
            if value is not None:
                with self.at(name):
                    found[name] = number_of(name, value, q)
        return found

    def table(self, key: str) -> Reader:
        """Take a table; an empty one when it is not given."""
        value = self.take(key)
        return Reader({} if value is None else value, (*self._path, key), self._where)

    def tables(self, key: str) -> list[Reader]:
        """Take a list of tables."""
        value = self.take(key)
        if value is None:
            return []
        if not isinstance(value, list):
            self.refuse((key,), "reader.no_tables", key=key)
        return [
            Reader(row, (*self._path, key, place), self._where) for place, row in enumerate(value)
        ]

    def all_tables(self) -> dict[str, Reader]:
        """Every key as a table."""
        return {key: self.table(key) for key in self._table}

    def finish(self) -> None:
        """Refuse keys that nobody asked for."""
        for key in self._table:
            if key in self._seen:
                continue
            near = get_close_matches(str(key), self._seen, n=1, cutoff=0.4)
            # A unit at the end of a key that is otherwise right is a unit not understood.
            stem, _, ending = str(key).rpartition("_")
            same = [
                k
                for k in self._seen
                if stem
                and k.rpartition("_")[0] == stem
                and (unit := k.rpartition("_")[2]) in UNITS
                and not get_close_matches(ending, [unit], cutoff=0.75)
            ]
            if same:
                tip = note("reader.unit_fixed", key=same[0])
            elif near:
                tip = note("reader.did_you_mean", near=near[0])
            else:
                tip = note("reader.known", known=sorted(set(self._seen)))
            self.refuse((key,), "reader.unknown", key=key, tip=tip)


def key_name(key: str) -> Note:
    """Key as the name of what is wrong, even where it is a code, too."""
    return note("text", text=key)


def number_of(key: str, value: Any, q: Any) -> float:
    """Check a number of a closed range; a text, a date or one too large is refused."""
    if isinstance(value, str):
        raise LiftError(
            "reader.text_for_number",
            key=key,
            value=value,
            unit=note("reader.in_unit", unit=q.unit) if q.unit else "",
        )
    if not isinstance(value, int | float):
        raise LiftError("reader.no_number", key=key, value=shown(value))
    try:
        value = value if isinstance(value, bool) else float(value)
    except OverflowError:
        unit = note("range.unit", unit=q.unit) if q.unit else ""
        limits = {"low": q.low, "high": q.high, "unit": unit}
        raise LiftError("reader.far_too_large", key=key, **limits) from None
    found = check_number(key_name(key), value, q.low, q.high, q.unit)
    if getattr(q, "whole", False) and found != int(found):
        raise LiftError("quantity.not_whole", name=key_name(key), value=found)
    return found


def lab_of(key: str, value: Any) -> Lab:
    """Check three numbers L*, a*, b*."""
    if not isinstance(value, list) or len(value) != 3:
        raise LiftError("reader.no_lab", key=key, value=shown(value))
    return check_lab(value)


def shown(value: Any) -> str:
    """Value for an error, cut short."""
    words = repr(value)
    return words if len(words) <= 40 else words[:37] + "..."
