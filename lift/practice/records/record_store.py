"""Record store: what came out of the visits that were, in the file of visits."""

from __future__ import annotations

import os
from types import TracebackType

from lift.doors import checked
from lift.errors import LiftError, check_number
from lift.model.mixtures import MixtureClasses
from lift.practice.records.of_visit import mended, records_of, visit_of_record
from lift.practice.records.record import Record
from lift.practice.visit.visit_store import Kept, NoVisitError, VisitStore
from lift.words import note


@checked
class RecordStore:
    """Records in one SQLite file; use it in a ``with`` block.

    A record is what came out of one zone of a visit, and has the visit's number.

    Parameters
    ----------
    path : path-like, optional
        Default: that of all visits, `lift.practice.visit.home.default_path`.
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
        self.store = VisitStore(path, create=create, classes=classes)
        self.path = self.store.path

    def __enter__(self) -> RecordStore:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.store.__exit__(kind, error, trace)

    def add(self, record: Record) -> int:
        """Append a record and return its number; it is on the disk when this returns."""
        return self.store.add(visit_of_record(record, classes=self._classes)).number

    def mend(self, record: Record) -> None:
        """Put a record in place of the one of its number, which was kept wrongly.

        Raises
        ------
        LiftError
            When there is none, or it is one of several of a visit, which is mended as a visit.
        """
        number = int(check_number("records.number", record.number, 1, 1e15))
        kept = self._numbered(number)
        if len(records_of(kept.visit)) != 1:
            raise LiftError("records.one_of_several", number=number, name=kept.visit.name)
        self.store.put(mended(kept.visit, record, self._classes), kept.revision)

    def records(self, client: str | None = None) -> tuple[Record, ...]:
        """Return all records, or those of one client, in the order in which they were added."""
        found: list[Record] = []
        for kept in self.store.done(client):
            with self.store.row(kept.number):
                found += records_of(kept.visit, kept.number)
        return tuple(found)

    def clients(self) -> frozenset[str]:
        """Codes that are in use."""
        return self.store.clients()

    def delete(
        self, *, number: int | None = None, client: str | None = None, everything: bool = False
    ) -> int:
        """Delete the visit of a record, all of a client, or all that were, for good.

        Parameters
        ----------
        number : int, optional
            Number of the record.
        client : str, optional
            Code of the client, of whom nothing is left, what is planned neither.
        everything : bool
            All visits of which something came out.

        Returns
        -------
        int
            How many were deleted.

        Raises
        ------
        LiftError
            When not exactly one of the three is given, or there is no such record.
        """
        if number is not None and client is None and not everything:
            number = int(check_number("records.number", number, 1, 1e15))
            self._numbered(number)
        return self.store.delete(number=number, client=client, done=everything)

    def _numbered(self, number: int) -> Kept:
        for kept in self.store.done(number=number):
            return kept
        what = note("records.one", number=number)
        raise NoVisitError("records.none", what=what, path=str(self.path))
