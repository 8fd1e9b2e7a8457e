"""What stands in a swatch file, before any of it is believed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lift.words import Note, note

WHAT = "file.swatches"
"""Code of what such a file is called."""

INVENTED_MARK = "INVENTED"
"""Word by which a file says that nothing in it was measured."""


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong: where, what stands there, and why it cannot be used."""

    line: int
    column: str
    value: str
    reason: Note

    @property
    def note(self) -> Note:
        """All of it, to be said."""
        return note("fault.in_column" if self.column else "fault.in_row", **vars(self))


@dataclass(frozen=True)
class Raw:
    """One row as it stands in the file; no cells when it could not be taken apart."""

    line: int
    cells: Mapping[str, str]


@dataclass(frozen=True)
class Header:
    """Column names and the line they stand on; 0 where they come from tags."""

    line: int
    names: tuple[str, ...]


@dataclass(frozen=True)
class Sheet:
    """Cells of a file.

    Parameters
    ----------
    lines : tuple
        Number of each line or row, and its cells without spaces around.
    words : tuple of str
        What stands in it for people: lines that begin with ``#``.
    told : tuple of Note
        How it was read, where it was not plain CSV.
    unit : str
        What a line's number counts: ``line`` or ``row``.
    """

    lines: tuple[tuple[int, tuple[str, ...]], ...]
    words: tuple[str, ...]
    told: tuple[Note, ...] = ()
    unit: str = "line"
