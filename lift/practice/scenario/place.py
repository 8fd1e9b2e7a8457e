"""Place: where in a file a value stands, for the errors about it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from lift.errors import LiftError, LimitError
from lift.words import Note, note

Path = tuple[str | int, ...]
Where = Callable[[Path], Note]
"""From a path of keys to what stands before an error, such as a file and a line."""


class FieldError(LiftError):
    """An error about one field of an object; `path` leads to it, as in a file."""

    def __init__(self, path: Path, what: str | Note, /, **values: Any) -> None:
        super().__init__(what, **values)
        self.path = path

    def __reduce__(self) -> Any:
        return type(self), (self.path, self.note)


class PlacedError(FieldError):
    """An error that already says where it is; the error alone is its ``error``."""


class PlacedLimitError(PlacedError, LimitError):
    """A refused limit that says where it is."""


def placed(error: LiftError, path: Path, where: Where) -> PlacedError:
    """Put the place of a path of keys before an error."""
    kind = PlacedLimitError if isinstance(error, LimitError) else PlacedError
    return kind(path, "reader.at", place=where(path), error=error.note)


@contextmanager
def field_of(*path: str | int) -> Iterator[None]:
    """Turn errors raised within into errors about one field."""
    try:
        yield
    except LimitError:
        raise
    except LiftError as error:
        raise FieldError(path, error.note) from None


def no_file(path: Path) -> Note:
    """Name a path of keys where there is no file behind it, places counted from 1."""
    words = ""
    for part in path:
        words += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if words else part
    return note("text", text=words)


# Line numbers of the keys of a TOML text, which the parser does not keep.

_PART = r"(?:[A-Za-z0-9_-]+|\"[^\"]*\"|'[^']*')"
_DOTTED = rf"{_PART}(?:\s*\.\s*{_PART})*"
_HEADER = re.compile(rf"^\s*(\[\[?)\s*({_DOTTED})\s*\]")
_KEY = re.compile(rf"^\s*({_DOTTED})\s*=")
_INLINE = re.compile(rf"[{{,]\s*({_DOTTED})\s*=")


def key_lines(text: str) -> Mapping[Path, int]:
    """Line, from 1, on which each key and table begins, by path; places in arrays from 0."""
    lines: dict[Path, int] = {}
    count: dict[Path, int] = {}
    table: Path = ()
    within = ""  # the quotes of a text that spans lines
    for number, line in enumerate(text.splitlines(), 1):
        if within:
            within = "" if within in line else within
            continue
        if header := _HEADER.match(line):
            table = _resolve(_parts(header.group(2)), count)
            if header.group(1) == "[[":
                count[table] = count.get(table, -1) + 1
                table = (*table, count[table])
            for depth in range(1, len(table) + 1):
                lines.setdefault(table[:depth], number)
            continue
        if key := _KEY.match(line):
            path = (*table, *_parts(key.group(1)))
            for depth in range(len(table) + 1, len(path) + 1):
                lines.setdefault(path[:depth], number)
            value = line[key.end() :]
            if value.lstrip().startswith("{"):
                for inner in _INLINE.finditer(value):
                    lines.setdefault((*path, *_parts(inner.group(1))), number)
            for quotes in ('"""', "'''"):
                if value.count(quotes) == 1:
                    within = quotes
    return lines


def line_of(path: Path, lines: Mapping[Path, int]) -> int | None:
    """Line of a path, or of the nearest table around it."""
    for depth in range(len(path), 0, -1):
        if path[:depth] in lines:
            return lines[path[:depth]]
    return None


def _parts(dotted: str) -> Path:
    return tuple(p.strip("\"'") for p in re.findall(_PART, dotted))


def _resolve(parts: Path, count: Mapping[Path, int]) -> Path:
    """Path of a header, its arrays of tables standing at their last table."""
    path: Path = ()
    for place, part in enumerate(parts):
        path = (*path, part)
        if place < len(parts) - 1 and path in count:
            path = (*path, count[path])
    return path
