"""Numbers of a file as spreadsheets write them, in one way before they are read."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from lift.errors import LiftError
from lift.research.swatches.columns import BY_NAME, GROUPED, TEXT, in_column
from lift.research.swatches.raw import Raw
from lift.words import Note, note

_COMMA = re.compile(r"[+-]?\d*,\d+(?:[eE][+-]?\d+)?")
_POINT = re.compile(r"[+-]?\d*\.\d+(?:[eE][+-]?\d+)?")


def with_points(raws: Sequence[Raw], spectrum: Iterable[str]) -> tuple[list[Raw], tuple[Note, ...]]:
    """Rows whose numbers have decimal points, and what was done for it.

    A comma is a decimal one where no number of the file has a point, and where it cannot part
    thousands as well. Others are left as they are, to be refused: guessed wrong, nobody would see.
    """
    columns = [n for n, c in BY_NAME.items() if c.unit != TEXT or n == "fibre"]
    columns += spectrum
    made = [Raw(raw.line, {n: _minus(v) for n, v in raw.cells.items()}) for raw in raws]
    numbers = [(raw, name) for raw in made for name in columns if raw.cells.get(name)]
    pointed = any("." in raw.cells[n] and _POINT.fullmatch(raw.cells[n]) for raw, n in numbers)
    commas = [(raw, n) for raw, n in numbers if "," in raw.cells[n] and not pointed]
    commas = [(raw, n) for raw, n in commas if _is_decimal(n, raw.cells[n])]
    if not commas:
        return made, ()
    changed: dict[int, dict[str, str]] = {}
    for raw, name in commas:
        changed.setdefault(raw.line, {})[name] = raw.cells[name].replace(",", ".")
    told = note("swatches.commas", count=len(commas))
    return [Raw(raw.line, {**raw.cells, **changed.get(raw.line, {})}) for raw in made], (told,)


def _is_decimal(name: str, text: str) -> bool:
    """Whether a comma can be nothing but a decimal one."""
    if not _COMMA.fullmatch(text):
        return False
    return not (GROUPED.fullmatch(text) and _fits(name, text.replace(",", "")))


def folded(text: str) -> str:
    """A word as it is compared: small letters, one kind of hyphen.

    Examples
    --------
    >>> folded("Base Break")
    'base-break'
    """
    return re.sub(r"[\s_\-\u2010-\u2013]+", "-", text.strip()).casefold()


def _minus(text: str) -> str:
    """With the hyphen that numbers are read with."""
    return text.replace("\u2212", "-") if text[:1] == "\u2212" else text


def _fits(name: str, text: str) -> bool:
    if name not in BY_NAME:
        return False
    try:
        in_column(name, text)
    except LiftError:
        return False
    return True
