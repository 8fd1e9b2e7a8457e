"""Published tables that the tests and the evidence hold the model against."""

from __future__ import annotations

from pathlib import Path

from lift.errors import LiftError
from lift.files import beside
from lift.tables import Table, read_table

FOLDER = beside("reference")


def load(name: str, folder: Path = FOLDER) -> Table:
    """Return a table of ``reference/`` by its file name without ending, its checksum checked.

    Raises
    ------
    LiftError
        When the folder or the table is missing, or the table is not what its descriptor says.
    """
    if not folder.is_dir():
        raise LiftError("table.no_folder", folder=folder.name)
    return read_table(folder, name)


def names(folder: Path = FOLDER) -> tuple[str, ...]:
    """Return the names of all tables, sorted; none when the folder is missing."""
    return tuple(sorted(path.stem for path in folder.glob("*.csv")))
