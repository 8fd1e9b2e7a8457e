"""Record store: one SQLite file that survives a crash and forgets what is deleted.

Every change is one transaction with a rollback journal, synced to disk before it counts
(``synchronous = EXTRA``): after a crash the file holds all of a change or nothing of it. Deleted
rows are overwritten with zeros (``secure_delete``) and the file is rewritten without them
(``VACUUM``). Blocks that the file system or the disk has set aside, and copies made elsewhere, are
out of its reach.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Any

from lift.errors import LiftError, check_number
from lift.files import Kind
from lift.model.mixtures import MixtureClasses
from lift.practice.records.flat import COLUMNS, from_row, to_row
from lift.practice.records.record import Record
from lift.practice.visit.codes import check_code
from lift.words import LAST_LEVEL, note


def _scale_ends(db: sqlite3.Connection) -> sqlite3.Connection:
    """Version 2: levels end at 10, which stands for 10 or lighter."""
    columns = {row[1] for row in db.execute("PRAGMA table_info(record)")}
    if "lightened_to" in columns:
        end = {"end": LAST_LEVEL}
        db.execute("UPDATE record SET lightened_to = :end WHERE lightened_to > :end", end)
    return db


KIND = Kind("file.records", (_scale_ends,))
"""A step changes the database inside the transaction that it is given."""

APPLICATION = 0x6C696674
"""``lift`` in ASCII: tells this program's files from other SQLite files."""

WAIT_SECONDS = 5.0
MOST_RECORDS = 100_000

_CREATE = (
    "CREATE TABLE record (number INTEGER PRIMARY KEY AUTOINCREMENT, "
    + ", ".join(f"{name} {kind}" for name, kind in COLUMNS.items())
    + ", CHECK ((seen_level IS NULL) <> (seen_l IS NULL)))"
)
_INSERT = (
    f"INSERT INTO record ({', '.join(COLUMNS)}) VALUES ({', '.join(f':{c}' for c in COLUMNS)})"
)


def default_path() -> Path:
    """Where records are kept: ``$XDG_DATA_HOME/lift``, by default ``~/.local/share/lift``.

    A relative ``XDG_DATA_HOME`` is ignored, as the XDG Base Directory Specification asks.
    """
    base = Path(os.environ.get("XDG_DATA_HOME", ""))
    if not base.is_absolute():
        base = Path.home() / ".local" / "share"
    return base / "lift" / "records.sqlite"


class RecordStore:
    """Records in one SQLite file; use it in a ``with`` block.

    Parameters
    ----------
    path : path-like, optional
        Default: `default_path`, whose folder is made when missing.
    create : bool
        Make the file when it does not exist.
    classes : MixtureClasses, optional
        Classes of mixture known; default: the shipped ones.

    Raises
    ------
    LiftError
        When the file cannot be opened, is not a record file, or is of a newer release.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from lift import RecordStore
    >>> with TemporaryDirectory() as folder:
    ...     with RecordStore(f"{folder}/records.sqlite", create=True) as store:
    ...         store.records()
    ()
    """

    def __init__(
        self,
        path: str | os.PathLike[str] | None = None,
        *,
        create: bool = False,
        classes: MixtureClasses | None = None,
    ) -> None:
        self._classes = classes
        self.path = default_path() if path is None else Path(path)
        if not self.path.exists():
            if not create:
                raise LiftError("records.no_file", path=str(self.path))
            self._make(own_folder=path is None)
        with self._plain_errors():
            self._db = sqlite3.connect(self.path, timeout=WAIT_SECONDS, isolation_level=None)
            try:
                self._open()
            except BaseException:
                self._db.close()
                raise

    def __enter__(self) -> RecordStore:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._db.close()

    def add(self, record: Record) -> int:
        """Append a record and return its number; it is on the disk when this returns."""
        with self._transaction():
            if self._count() >= MOST_RECORDS:
                raise LiftError("records.full", path=str(self.path), most=MOST_RECORDS)
            number = self._db.execute(_INSERT, to_row(record)).lastrowid
        return int(number or 0)

    def records(self, client: str | None = None) -> tuple[Record, ...]:
        """Return all records, or those of one client, in the order in which they were added."""
        where = "" if client is None else " WHERE client = :client"
        sql = f"SELECT number, {', '.join(COLUMNS)} FROM record{where} ORDER BY number"
        with self._plain_errors():
            rows = self._db.execute(sql, {"client": client}).fetchall()
        found = []
        for number, *cells in rows:
            try:
                row = dict(zip(COLUMNS, cells, strict=True))
                found.append(from_row(row, number, self._classes))
            except (LiftError, TypeError) as error:
                reason = error.note if isinstance(error, LiftError) else str(error)
                path = str(self.path)
                raise LiftError("records.row", number=number, path=path, reason=reason) from None
        return tuple(found)

    def clients(self) -> frozenset[str]:
        """Codes that are in use."""
        with self._plain_errors():
            return frozenset(c for (c,) in self._db.execute("SELECT DISTINCT client FROM record"))

    def delete(
        self, *, number: int | None = None, client: str | None = None, everything: bool = False
    ) -> int:
        """Delete one record, those of a client, or all, for good.

        Parameters
        ----------
        number : int, optional
            Number of the record.
        client : str, optional
            Code of the client.
        everything : bool
            All records.

        Returns
        -------
        int
            How many were deleted.

        Raises
        ------
        LiftError
            When not exactly one of the three is given, or there is no such record.
        """
        if (number is not None) + (client is not None) + everything != 1:
            raise LiftError("records.delete_one")
        where, what = "1", note("records.all")
        if number is not None:
            number = int(check_number("records.number", number, 1, 1e15))
            where, what = "number = :number", note("records.one", number=number)
        elif client is not None:
            what = note("records.of_client", client=check_code(client))
            where = "client = :client"
        values = {"number": number, "client": client}
        with self._transaction():
            gone = self._db.execute(f"DELETE FROM record WHERE {where}", values).rowcount
            if not gone:
                raise LiftError("records.none", what=what, path=str(self.path))
        with self._plain_errors():
            self._db.execute("VACUUM")
        return int(gone)

    def _make(self, *, own_folder: bool) -> None:
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
        version, owner = self._pragma("user_version"), self._pragma("application_id")
        tables = self._db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if tables and owner != APPLICATION:
            raise LiftError("records.foreign", path=str(self.path))
        if tables:
            KIND.check_version(version or None, self.path)
            KIND.refuse_unknown(self._columns(), {"number", *COLUMNS}, self.path)
        for pragma in (
            "journal_mode = DELETE",
            "synchronous = EXTRA",
            "secure_delete = ON",
            "temp_store = MEMORY",
        ):
            self._db.execute(f"PRAGMA {pragma}")
        if not tables:
            with self._transaction():
                # Another process may have made the table while this one waited.
                if not self._db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
                    self._db.execute(f"PRAGMA application_id = {APPLICATION}")
                    self._db.execute(f"PRAGMA user_version = {KIND.version}")
                    self._db.execute(_CREATE)
        elif version != KIND.version or not self._columns() >= COLUMNS.keys():
            self._bring_up()

    def _bring_up(self) -> None:
        """Make an older file today's in one transaction: after a crash it is old or new."""
        with self._transaction():
            # Another process may have done it while this one waited.
            KIND.brought_up(self._db, self._pragma("user_version") or None, self.path)
            self._db.execute(f"PRAGMA user_version = {KIND.version}")
            found = self._columns()
            for name in (name for name in COLUMNS if name not in found):
                self._db.execute(f"ALTER TABLE record ADD COLUMN {name} {COLUMNS[name]}")

    def _columns(self) -> set[str]:
        return {row[1] for row in self._db.execute("PRAGMA table_info(record)")}

    def _pragma(self, name: str) -> int:
        return int(self._db.execute(f"PRAGMA {name}").fetchone()[0])

    def _count(self) -> int:
        return int(self._db.execute("SELECT count(*) FROM record").fetchone()[0])

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        with self._plain_errors():
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._db.execute("COMMIT")
            except BaseException:
                with suppress(sqlite3.Error):
                    self._db.execute("ROLLBACK")
                raise

    @contextmanager
    def _plain_errors(self) -> Iterator[Any]:
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
