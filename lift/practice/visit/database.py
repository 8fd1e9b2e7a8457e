"""The file of visits: one SQLite file that survives a crash and forgets what is deleted.

Every change is one transaction with a rollback journal, synced to disk before it counts
(``synchronous = EXTRA``): after a crash the file holds all of a change or nothing of it. Deleted
rows are overwritten with zeros (``secure_delete``) and the file is rewritten without them
(``VACUUM``). Blocks that the file system or the disk has set aside, and copies made elsewhere, are
out of its reach.

A file of an earlier release, whose rows were records, becomes one of visits when it is opened.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from lift.errors import LiftError
from lift.files import Kind
from lift.practice.visit.old_records import (
    known_columns,
    move_records,
    record_columns,
    scale_ends,
)
from lift.practice.visit.visit_table import vocabulary
from lift.words import note


def add_pictures(db: sqlite3.Connection) -> sqlite3.Connection:
    """Version 4: a visit may have pictures, which are deleted with it.

    An earlier release knows nothing of them and would leave them behind; so it must not open this.
    """
    db.execute(
        "CREATE TABLE picture (number INTEGER PRIMARY KEY AUTOINCREMENT, "
        "visit INTEGER NOT NULL REFERENCES visit (number) ON DELETE CASCADE, "
        "zone TEXT NOT NULL, day TEXT NOT NULL, body BLOB NOT NULL)"
    )
    db.execute("CREATE INDEX picture_visit ON picture (visit)")
    return db


KIND = Kind("file.records", (scale_ends, move_records, add_pictures))
"""A step changes the database inside the transaction that it is given."""

APPLICATION = 0x6C696674
"""``lift`` in ASCII: tells this program's files from other SQLite files."""

WAIT_SECONDS = 5.0

CREATE = (
    "CREATE TABLE IF NOT EXISTS visit (number INTEGER PRIMARY KEY AUTOINCREMENT, "
    "name TEXT NOT NULL UNIQUE, client TEXT NOT NULL, date TEXT, "
    "revision INTEGER NOT NULL, body TEXT NOT NULL)",
    "CREATE INDEX IF NOT EXISTS visit_client ON visit (client)",
    # Keys that bodies may have: what a later release adds, an earlier one must not leave out.
    "CREATE TABLE IF NOT EXISTS known (key TEXT PRIMARY KEY) WITHOUT ROWID",
)


class Database:
    """An open file of visits; `path` is made for its owner alone when it is to be created.

    Raises
    ------
    LiftError
        When the file cannot be opened, is not one of visits or records, or is of a newer release.
    """

    def __init__(self, path: Path, *, create: bool, own_folder: bool = False) -> None:
        self.path = path
        if not path.exists():
            if not create:
                raise LiftError("records.no_file", path=str(path))
            self._make(own_folder)
        with self.plain_errors():
            self.connection = sqlite3.connect(path, timeout=WAIT_SECONDS, isolation_level=None)
            try:
                self._open()
            except BaseException:
                self.connection.close()
                raise

    def close(self) -> None:
        """Close it; nothing is lost, for every change is on the disk."""
        self.connection.close()

    def rows(self, sql: str, **values: Any) -> list[tuple[Any, ...]]:
        """Rows of a question."""
        with self.plain_errors():
            return self.connection.execute(sql, values).fetchall()

    def compact(self) -> None:
        """Rewrite the file without what was deleted."""
        with self.plain_errors():
            self.connection.execute("VACUUM")

    @contextmanager
    def transaction(self) -> Iterator[sqlite3.Connection]:
        """All of what is done within, or nothing of it."""
        with self.plain_errors():
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                yield self.connection
                self.connection.execute("COMMIT")
            except BaseException:
                with suppress(sqlite3.Error):
                    self.connection.execute("ROLLBACK")
                raise

    @contextmanager
    def plain_errors(self) -> Iterator[None]:
        """Say what SQLite refuses."""
        try:
            yield
        except sqlite3.Error as error:
            code = getattr(error, "sqlite_errorcode", 0) & 0xFF
            why = {
                sqlite3.SQLITE_NOTADB: "no_records",
                sqlite3.SQLITE_CORRUPT: "damaged",
                sqlite3.SQLITE_BUSY: "busy",
                sqlite3.SQLITE_READONLY: "read_only",
                sqlite3.SQLITE_CANTOPEN: "closed",
                sqlite3.SQLITE_FULL: "disk_full",
            }.get(code, "unusable")
            said = {"path": str(self.path), "seconds": WAIT_SECONDS, "reason": str(error)}
            raise LiftError(f"records.{why}", **said) from None

    def _make(self, own_folder: bool) -> None:
        try:
            if own_folder:
                self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            # For its owner only, from the first moment.
            os.close(os.open(self.path, os.O_CREAT | os.O_WRONLY, 0o600))
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or note("file.bad_name")
            path = str(self.path)
            raise LiftError("records.cannot_make", path=path, reason=reason) from None

    def _open(self) -> None:
        db = self.connection
        version, owner = self._pragma("user_version"), self._pragma("application_id")
        tables = {name for (name,) in db.execute("SELECT name FROM sqlite_master")}
        if tables and owner != APPLICATION:
            raise LiftError("records.foreign", path=str(self.path))
        if tables:
            KIND.check_version(version or None, self.path)
            KIND.refuse_unknown(self._known(tables), vocabulary(), self.path)
            KIND.refuse_unknown(record_columns(db), known_columns(), self.path)
        for pragma in (
            "journal_mode = DELETE",
            "synchronous = EXTRA",
            "secure_delete = ON",
            "temp_store = MEMORY",
            "foreign_keys = ON",
        ):
            db.execute(f"PRAGMA {pragma}")
        if not tables or version != KIND.version or not self._known(tables) >= vocabulary():
            self._bring_up()

    def _known(self, tables: set[str]) -> set[str]:
        if "known" not in tables:
            return set()
        return {key for (key,) in self.connection.execute("SELECT key FROM known")}

    def _bring_up(self) -> None:
        """Make a new or an older file today's in one transaction: after a crash it is old or new.

        Another process may have done it while this one waited.
        """
        with self.transaction() as db:
            is_new = not db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
            for sql in CREATE:
                db.execute(sql)
            if is_new:
                add_pictures(db)
            else:
                KIND.brought_up(db, self._pragma("user_version") or None, self.path)
            db.execute(f"PRAGMA application_id = {APPLICATION}")
            db.execute(f"PRAGMA user_version = {KIND.version}")
            keys = [(key,) for key in sorted(vocabulary())]
            db.executemany("INSERT OR IGNORE INTO known VALUES (?)", keys)

    def _pragma(self, name: str) -> int:
        return int(self.connection.execute(f"PRAGMA {name}").fetchone()[0])
