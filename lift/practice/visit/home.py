"""Home of visits: where they are kept, and what is taken over from where they were kept before."""

from __future__ import annotations

import os
from pathlib import Path

from lift.errors import LiftError
from lift.practice.visit.database import Database

FILE = "visits.sqlite"
_WRITTEN = "name, client, date, revision, body"
_INSERT = f"INSERT OR IGNORE INTO visit (number, {_WRITTEN}) VALUES (?, ?, ?, ?, ?, ?)"


def default_path() -> Path:
    """Where visits are kept: in ``$XDG_DATA_HOME/lift/page``, by default ``~/.local/share``.

    A relative ``XDG_DATA_HOME`` is ignored, as the XDG Base Directory Specification asks.
    """
    return data_folder() / FILE


def data_folder() -> Path:
    """Folder of all that page and command line keep."""
    base = Path(os.environ.get("XDG_DATA_HOME", ""))
    if not base.is_absolute():
        base = Path.home() / ".local" / "share"
    return base / "lift" / "page"


def old_path() -> Path:
    """Where the command line kept records before there were visits."""
    return data_folder().parent / "records.sqlite"


def take_over(database: Database, path: Path) -> None:
    """Take over all visits of another file, which is no more afterwards.

    A crash on the way loses nothing: what was taken already is known by its name.
    """
    try:
        other = Database(path, create=False)
    except LiftError:
        if path.exists():
            raise
        return  # another process was first
    try:
        # Nobody may add to the other file meanwhile.
        with other.transaction() as old:
            rows = old.execute(f"SELECT number, {_WRITTEN} FROM visit ORDER BY number").fetchall()
            with database.transaction() as db:
                empty = not db.execute("SELECT 1 FROM visit").fetchone()
                db.executemany(_INSERT, [(n if empty else None, *cells) for n, *cells in rows])
            old.execute("DELETE FROM visit")
    finally:
        other.close()
    path.unlink(missing_ok=True)
