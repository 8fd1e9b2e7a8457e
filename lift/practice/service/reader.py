"""Reader: takes typed values out of a nested table and says where what is wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from difflib import get_close_matches
from typing import Any, NoReturn

from lift.errors import LiftError, LimitError, check_choice, check_number
from lift.practice.service.toml_lines import Path, path_words


class FieldError(LiftError):
    """An error about one field of an object, which a reader of files can place.

    Parameters
    ----------
    path : tuple
        Keys that lead from the object to the field, as in a file.
    message : str
        The error.
    """

    def __init__(self, path: Path, message: str) -> None:
        super().__init__(message)
        self.path = path


@contextmanager
def field_of(*path: str | int) -> Iterator[None]:
    """Turn errors raised within into errors about one field."""
    try:
        yield
    except LimitError:
        raise
    except LiftError as error:
        raise FieldError(path, str(error)) from None


class PlacedError(LiftError):
    """An error that already says where it is."""


Where = Callable[[Path], str]
"""From a path to the words that stand before an error, such as a file and a line."""


def words_only(path: Path) -> str:
    """Name a path where there is no file behind it."""
    return path_words(path)


class Reader:
    """One table, read key by key.

    Parameters
    ----------
    table : mapping
        Keys and values.
    path : tuple
        Where the table stands.
    where : callable
        Words that stand before an error.

    Raises
    ------
    LiftError
        When it is no table.
    """

    def __init__(self, table: Any, path: Path = (), where: Where = words_only) -> None:
        self._path, self._where = path, where
        if not isinstance(table, Mapping):
            self.refuse((), f"{shown(table)} is not a table of keys")
        self._table: Mapping[str, Any] = table
        self._seen: list[str] = []

    def refuse(self, path: Path, message: str) -> NoReturn:
        """Raise an error about a key of this table."""
        raise PlacedError(f"{self._where((*self._path, *path))}: {message}")

    @contextmanager
    def at(self, *path: str | int) -> Iterator[None]:
        """Put the place of a key before errors that are raised within."""
        try:
            yield
        except FieldError as error:
            place = self._where((*self._path, *path, *error.path))
            raise PlacedError(f"{place}: {error}") from None
        except PlacedError:
            raise
        except LiftError as error:
            kind = LimitError if isinstance(error, LimitError) else PlacedError
            raise kind(f"{self._where((*self._path, *path))}: {error}") from None

    def has(self, key: str) -> bool:
        """Whether a key is given."""
        return key in self._table

    def take(self, key: str) -> Any:
        """Value of a key, None when it is not given."""
        self._seen.append(key)
        return self._table.get(key)

    def need(self, *keys: str) -> None:
        """Refuse a table without these keys, naming a misspelt one where there is one."""
        for key in keys:
            if key not in self._table:
                near = get_close_matches(key, map(str, self._table), n=1, cutoff=0.75)
                tip = f"; it has {near[0]}, is that meant?" if near else ""
                self.refuse((), f"{key} is missing{tip}")

    def number(
        self, key: str, low: float, high: float, unit: str = "", default: float | None = None
    ) -> Any:
        """Take one number of a closed range, in a unit."""
        value = self.take(key)
        if value is None:
            return default
        with self.at(key):
            return number(key, value, low, high, unit)

    def whole(self, key: str, low: int, high: int, default: int) -> int:
        """Take one whole number of a closed range."""
        value = self.number(key, low, high, "", default)
        if value != int(value):
            self.refuse((key,), f"{key} {value:g} is not a whole number")
        return int(value)

    def text(self, key: str, default: str | None = None) -> Any:
        """Take a text."""
        value = self.take(key)
        if value is None:
            return default
        if not isinstance(value, str):
            self.refuse((key,), f"{key} {shown(value)} is not a text in quotes")
        return value

    def choice(self, key: str, choices: Iterable[str], default: str | None = None) -> Any:
        """Take one of several texts."""
        value = self.text(key, default)
        if value is not None:
            with self.at(key):
                check_choice(key, value, choices)
        return value

    def flag(self, key: str) -> bool | None:
        """Take true or false, None when it is not given."""
        value = self.take(key)
        if value is not None and not isinstance(value, bool):
            self.refuse((key,), f"{key} {shown(value)} is not true or false")
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        """Take a list of texts."""
        value = self.take(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
            self.refuse((key,), f"{key} {shown(value)} is not a list of texts")
        return tuple(value)

    def lab(self, key: str) -> tuple[float, float, float] | None:
        """Take three numbers L*, a*, b*."""
        value = self.take(key)
        if value is None:
            return None
        if not isinstance(value, list) or len(value) != 3:
            self.refuse((key,), f"{key} {shown(value)} is not three numbers L*, a*, b*")
        with self.at(key):
            one, two, three = (
                number(axis, v, low, high)
                for axis, v, low, high in zip(
                    ("L*", "a*", "b*"), value, (0.0, -60.0, -60.0), (100.0, 60.0, 80.0), strict=True
                )
            )
        return one, two, three

    def table(self, key: str) -> Reader | None:
        """Take a table."""
        value = self.take(key)
        return None if value is None else Reader(value, (*self._path, key), self._where)

    def tables(self, key: str) -> list[Reader]:
        """Take a list of tables."""
        value = self.take(key)
        if value is None:
            return []
        if not isinstance(value, list):
            self.refuse((key,), f"{key} is not a list of tables; write [[{key}]] before each")
        return [
            Reader(row, (*self._path, key, place), self._where) for place, row in enumerate(value)
        ]

    def names(self) -> list[str]:
        """All keys, each counted as known."""
        self._seen += list(self._table)
        return list(self._table)

    def finish(self) -> None:
        """Refuse keys that nobody asked for."""
        self._refuse_unknown(self._seen)

    def _refuse_unknown(self, known: list[str]) -> None:
        for key in self._table:
            if key in known:
                continue
            near = get_close_matches(str(key), known, n=1, cutoff=0.4)
            tip = f"did you mean {near[0]}?" if near else f"known: {', '.join(sorted(set(known)))}"
            # A unit at the end of a key that is otherwise right is a unit not understood.
            stem = str(key).rsplit("_", 1)[0]
            same = [k for k in known if "_" in k and k.rsplit("_", 1)[0] == stem]
            if same:
                tip = f"the unit of this key is fixed: use {same[0]}"
            self.refuse((key,), f"unknown key {key}; {tip}")


def number(key: str, value: Any, low: float, high: float, unit: str = "") -> float:
    """Check a number; a text, a date or a number too large for a float is refused."""
    if isinstance(value, str):
        behind = f" in {unit}" if unit else ""
        raise LiftError(
            f"{key} {value!r} is a text; give a plain number{behind}, without unit or quotes"
        )
    if not isinstance(value, int | float):
        raise LiftError(f"{key} {shown(value)} is not one number")
    try:
        value = value if isinstance(value, bool) else float(value)
    except OverflowError:
        raise LiftError(
            f"{key} is a number far too large; allowed: {low:g} to {high:g} {unit}".rstrip()
        ) from None
    return check_number(key, value, low, high, unit)


def shown(value: Any) -> str:
    """Value for an error, cut short."""
    text = repr(value)
    return text if len(text) <= 40 else text[:37] + "..."
