"""Visits kept: one file for the page and the command line, one row for each visit."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any

from lift.errors import LiftError, check_number
from lift.model.mixtures import MixtureClasses
from lift.practice.visit.codes import check_code, check_name, make_code
from lift.practice.visit.database import Database
from lift.practice.visit.home import default_path, old_path, take_over
from lift.practice.visit.visit import Visit
from lift.practice.visit.visit_table import visit_of, visit_table
from lift.words import Note, note

MOST_VISITS = 100_000
MOST_BYTES = 60_000
"""Of one visit as it is written; the longest service is a tenth of that."""

_COLUMNS = "number, revision, body"
_DONE = "json_type(body, '$.came_out') IS NOT NULL"


class NoVisitError(LiftError):
    """There is no visit of that name."""


class NameTakenError(LiftError):
    """There is a visit of that name already."""


class LaterError(LiftError):
    """A visit has been changed since by somebody else."""


@dataclass(frozen=True, eq=False)
class Kept:
    """A visit as it is kept: its `number` in the file, and how often it was changed."""

    number: int
    revision: int
    visit: Visit


class VisitStore:
    """Visits in one SQLite file; use it in a ``with`` block.

    Parameters
    ----------
    path : path-like, optional
        Default: `lift.practice.visit.home.default_path`, whose folder is made when missing.
    create : bool
        Make the file when it does not exist.
    classes : MixtureClasses, optional
        Classes of mixture known; default: the shipped ones.

    Raises
    ------
    LiftError
        When the file cannot be opened, is not one of visits, or is of a newer release.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     with VisitStore(f"{folder}/visits.sqlite", create=True) as store:
    ...         kept = store.add(visit_of({"zones": [{"name": "base", "natural_level": 7}]}))
    ...         [each.visit.scenario.zones[0].name for each in store.visits()]
    ['base']
    """

    def __init__(
        self,
        path: str | os.PathLike[str] | None = None,
        *,
        create: bool = False,
        classes: MixtureClasses | None = None,
    ) -> None:
        self._classes = classes
        self.path = usual = default_path()
        if path is not None:
            self.path = Path(path)
        old = old_path() if self.path == usual and old_path().is_file() else None
        self.database = Database(
            self.path, create=create or old is not None, own_folder=self.path == usual
        )
        if old is not None:
            take_over(self.database, old)

    def __enter__(self) -> VisitStore:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.database.close()

    def add(self, visit: Visit) -> Kept:
        """Append a visit, which gets a client code where it has none; it is on the disk then.

        Raises
        ------
        NameTakenError
            When a visit of that name is there already.
        LiftError
            When the file is full.
        """
        with self.database.transaction() as db:
            if db.execute("SELECT count(*) FROM visit").fetchone()[0] >= MOST_VISITS:
                raise LiftError("records.full", path=str(self.path), most=MOST_VISITS)
            if db.execute("SELECT 1 FROM visit WHERE name = ?", (visit.name,)).fetchone():
                raise NameTakenError("visit.name_taken", name=visit.name)
            if visit.client is None:
                visit = visit.replace(client=make_code(self.clients()))
            sql = "INSERT INTO visit (name, client, date, revision, body) VALUES (?, ?, ?, 1, ?)"
            row = db.execute(sql, (visit.name, visit.client, visit.date, written(visit)))
            return Kept(int(row.lastrowid or 0), 1, visit)

    def put(self, visit: Visit, revision: int) -> Kept:
        """Change a visit that stands at a revision; the same once more changes nothing.

        Raises
        ------
        NoVisitError
            When it is not there.
        LaterError
            When it stands at another revision: somebody else was later.
        """
        with self.database.transaction() as db:
            number, now, body = self._row(visit.name)
            client = (
                visit.client
                or db.execute("SELECT client FROM visit WHERE number = ?", (number,)).fetchone()[0]
            )
            visit = visit.replace(client=client)
            text = written(visit)
            if text == body:
                return Kept(number, now, visit)
            if now != revision:
                raise LaterError("visit.later", name=visit.name)
            sql = "UPDATE visit SET client = ?, date = ?, revision = ?, body = ? WHERE number = ?"
            db.execute(sql, (client, visit.date, now + 1, text, number))
            return Kept(number, now + 1, visit)

    def get(self, name: str) -> Kept:
        """Visit of a name, where it is there; see `put`."""
        return self._kept(self._row(name))

    def visits(self, client: str | None = None) -> tuple[Kept, ...]:
        """All visits, or those of one client, in the order in which they were added."""
        where = "" if client is None else " WHERE client = :client"
        sql = f"SELECT {_COLUMNS} FROM visit{where} ORDER BY number"
        return tuple(map(self._kept, self.database.rows(sql, client=client)))

    def done(self, client: str | None = None, number: int | None = None) -> tuple[Kept, ...]:
        """Visits of which something came out, or those of one client, or of one number."""
        where = _DONE if client is None else f"{_DONE} AND client = :client"
        where = where if number is None else f"{where} AND number = :number"
        sql = f"SELECT {_COLUMNS} FROM visit WHERE {where} ORDER BY number"
        return tuple(map(self._kept, self.database.rows(sql, client=client, number=number)))

    def of_client(self, client: str) -> tuple[Kept, ...]:
        """History of a client: visits by their day, those without one last."""
        kept = self.visits(check_code(client))
        return tuple(sorted(kept, key=lambda k: (k.visit.date is None, k.visit.date, k.number)))

    def revisions(self) -> tuple[tuple[int, int, str], ...]:
        """Number, revision and name of every visit, in the order in which they were added."""
        sql = "SELECT number, revision, name FROM visit ORDER BY number"
        return tuple((number, at, name) for number, at, name in self.database.rows(sql))

    def clients(self) -> frozenset[str]:
        """Codes that are in use."""
        return frozenset(c for (c,) in self.database.rows("SELECT DISTINCT client FROM visit"))

    def delete(
        self,
        *,
        name: str | None = None,
        number: int | None = None,
        client: str | None = None,
        done: bool = False,
        everything: bool = False,
    ) -> int:
        """Delete one visit, those of a client, those that are done, or all, for good.

        Returns
        -------
        int
            How many were deleted.

        Raises
        ------
        LiftError
            When not exactly one of them is given, or there is no such visit.
        """
        if [name, number, client].count(None) + (not done) + (not everything) != 4:
            raise LiftError("records.delete_one")
        where, what = "1", note("records.all")
        if name is not None:
            where, what = "name = :name", note("visit.one", name=check_name(name))
        elif number is not None:
            number = int(check_number("records.number", number, 1, 1e15))
            where, what = "number = :number", note("records.one", number=number)
        elif client is not None:
            where = "client = :client"
            what = note("records.of_client", client=check_code(client))
        elif done:
            where = _DONE
        values = {"name": name, "number": number, "client": client}
        return self._delete(where, values, what)

    def _delete(self, where: str, values: dict[str, Any], what: Note) -> int:
        with self.database.transaction() as db:
            gone = db.execute(f"DELETE FROM visit WHERE {where}", values).rowcount
            if not gone:
                raise NoVisitError("records.none", what=what, path=str(self.path))
        self.database.compact()
        return int(gone)

    def _row(self, name: str) -> Sequence[Any]:
        found = self.database.rows(f"SELECT {_COLUMNS} FROM visit WHERE name = :name", name=name)
        if not found:
            raise NoVisitError("visit.none", name=name[:60])
        return found[0]

    def _kept(self, row: Sequence[Any]) -> Kept:
        number, revision, body = row
        with self.row(number):
            return Kept(number, revision, visit_of(json.loads(body), classes=self._classes))

    @contextmanager
    def row(self, number: int) -> Iterator[None]:
        """Say of which row something is wrong."""
        try:
            yield
        except (LiftError, ValueError, TypeError) as error:
            reason = error.note if isinstance(error, LiftError) else str(error)
            path = str(self.path)
            raise LiftError("records.row", number=number, path=path, reason=reason) from None


def written(visit: Visit) -> str:
    """Text of a visit as it is kept (JSON).

    Raises
    ------
    LiftError
        When it is longer than any service.
    """
    text = json.dumps(visit_table(visit), separators=(",", ":"), allow_nan=False)
    if len(text) > MOST_BYTES:
        raise LiftError("visit.too_long", count=len(text), most=MOST_BYTES)
    return text
