"""Records: what came out of the visits that were, for learning and for a spreadsheet."""

from __future__ import annotations

from lift.errors import LiftError
from lift.practice.records.flat import to_csv
from lift.practice.records.record import Record
from lift.practice.records.record_store import RecordStore
from lift.show.page.answer import Answer
from lift.show.page.desk import Asked, Desk
from lift.show.page.question import without


def csv_records(desk: Desk, asked: Asked) -> Answer:
    """List all records for a spreadsheet."""
    headers = {"content-disposition": 'attachment; filename="records.csv"'}
    return Answer(to_csv(all_records(desk)).encode(), media="text/csv", headers=headers)


def all_records(desk: Desk) -> tuple[Record, ...]:
    """What came out of all visits; the path of their file is nobody's business on the page."""
    try:
        with RecordStore(desk.visits, create=True, classes=desk.curves.mixtures) as store:
            return store.records()
    except LiftError as error:
        raise LiftError(without(error.note, desk.visits, desk.visits.name)) from None
