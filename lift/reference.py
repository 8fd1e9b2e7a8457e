"""Published tables that the tests and the evidence hold the model against."""

from __future__ import annotations

from pathlib import Path

from lift.errors import LiftError
from lift.tables import Table, read_table

FOLDER = Path(__file__).parents[1] / "reference"


def load(name: str, folder: Path = FOLDER) -> Table:
    """Return a table of ``reference/``, checked against the checksum in its descriptor.

    Parameters
    ----------
    name : str
        File name without its ending, such as ``melanin_extinction``.
    folder : pathlib.Path
        Where the tables lie.

    Returns
    -------
    lift.tables.Table
        Frozen.

    Raises
    ------
    LiftError
        When the folder or the table is missing, or the table is not what its descriptor says.
    """
    if not folder.is_dir():
        raise LiftError(
            f"no folder {folder.name}/ beside the package; its tables come with the sources, so run"
            " this from a checkout"
        )
    return read_table(folder, name)


def names(folder: Path = FOLDER) -> tuple[str, ...]:
    """Return the names of all tables, sorted; none when the folder is missing."""
    return tuple(sorted(path.stem for path in folder.glob("*.csv")))
