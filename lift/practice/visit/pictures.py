"""Pictures kept with a visit: they lie in the file of visits and are deleted with their visit."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from lift.errors import LiftError
from lift.practice.visit.visit_store import VisitStore

MOST_PICTURES = 12
"""Of one visit: chosen, so that a zone can be seen before, during and after."""

MOST_BYTES = 2_000_000
"""Of one picture as it is kept."""


@dataclass(frozen=True)
class KeptPicture:
    """A picture that is kept: its `number`, of which `zone`, and kept since which `day`."""

    number: int
    zone: str
    day: str


class NoPictureError(LiftError):
    """There is no such picture."""


class VisitPictures:
    """Pictures of the visits of an open store.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from lift.practice.visit.visit_table import visit_of
    >>> with TemporaryDirectory() as folder:
    ...     with VisitStore(f"{folder}/visits.sqlite", create=True) as store:
    ...         zone = {"name": "base", "natural_level": 7}
    ...         name = store.add(visit_of({"zones": [zone]})).visit.name
    ...         pictures = VisitPictures(store)
    ...         number = pictures.add(name, "base", b"a picture").number
    ...         kept = [each.zone for each in pictures.of(name)], pictures.body(name, number)
    ...         _ = store.delete(name=name)
    ...         kept, store.database.rows("SELECT * FROM picture")
    ((['base'], b'a picture'), [])
    """

    def __init__(self, store: VisitStore) -> None:
        self._store = store

    def of(self, name: str) -> tuple[KeptPicture, ...]:
        """Pictures of a visit, in the order in which they were kept."""
        sql = "SELECT number, zone, day FROM picture WHERE visit = :visit ORDER BY number"
        rows = self._store.database.rows(sql, visit=self._store.get(name).number)
        return tuple(KeptPicture(*row) for row in rows)

    def add(self, name: str, zone: str, body: bytes) -> KeptPicture:
        """Keep a picture of a zone of a visit; it is on the disk then.

        Raises
        ------
        NoVisitError
            When there is no such visit.
        LiftError
            When it is too large, or the visit has as many as it may.
        """
        if len(body) > MOST_BYTES:
            raise LiftError("visit.picture.large", count=len(body), most=MOST_BYTES)
        visit, day = self._store.get(name).number, datetime.date.today().isoformat()
        with self._store.database.transaction() as db:
            count = "SELECT count(*) FROM picture WHERE visit = ?"
            if db.execute(count, (visit,)).fetchone()[0] >= MOST_PICTURES:
                raise LiftError("visit.picture.many", most=MOST_PICTURES)
            sql = "INSERT INTO picture (visit, zone, day, body) VALUES (?, ?, ?, ?)"
            row = db.execute(sql, (visit, zone, day, body))
            return KeptPicture(int(row.lastrowid or 0), zone, day)

    def body(self, name: str, number: int) -> bytes:
        """What a picture of a visit is, as it was given.

        Raises
        ------
        NoPictureError
            When the visit has none of that number.
        """
        sql = "SELECT body FROM picture WHERE visit = :visit AND number = :number"
        visit = self._store.get(name).number
        found = self._store.database.rows(sql, visit=visit, number=number)
        if not found:
            raise NoPictureError("visit.picture.none", name=name, number=number)
        return bytes(found[0][0])

    def delete(self, name: str, number: int) -> None:
        """Delete a picture of a visit for good; see `body`."""
        visit = self._store.get(name).number
        with self._store.database.transaction() as db:
            sql = "DELETE FROM picture WHERE visit = ? AND number = ?"
            if not db.execute(sql, (visit, number)).rowcount:
                raise NoPictureError("visit.picture.none", name=name, number=number)
        self._store.database.compact()
