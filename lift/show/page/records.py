"""Records: what was done at the visits that were, what came out, what it taught."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from lift.answers import to_json
from lift.answers.encode import Part, encode
from lift.answers.record import added_answer, records_json
from lift.errors import LiftError, check_choice
from lift.practice.cautions import ALWAYS, cautions
from lift.practice.records.calibration import calibrate
from lift.practice.records.flat import to_csv
from lift.practice.records.forecast import forecast_without_records
from lift.practice.records.record import ZONES, Record
from lift.practice.records.record_store import RecordStore
from lift.practice.trial.observation import observation
from lift.practice.visit.codes import check_code, check_date, make_code
from lift.show.page.answer import Answer, answered
from lift.show.page.desk import Asked, Desk
from lift.show.page.question import (
    TOGETHER,
    Question,
    read_question,
    refuse_all,
    refused,
    without,
)
from lift.show.said_record import Rows, added_note, added_rows, learned_note, learned_rows
from lift.words import Note, note, say, says


class Outcome(Part):
    """What was done and came out, as typed: a level (``7.5``) or a CIELAB (``48,8,22``).

    Client, date and zone may be empty: a code is made, today, none.
    """

    asked: dict[str, str]
    seen: str
    client: str = ""
    date: str = ""
    zone: str = ""
    invented: bool = False


class Learn(Part):
    """Which records to learn from."""

    invented: bool = False


class Deleted(Part):
    """How many records are gone."""

    deleted: int


class Said(Part):
    """The words of the terminal."""

    text: str


def read_record(question: Question, outcome: Outcome) -> Record:
    """Read a record, as typed; every field that cannot be accepted is refused."""
    client, date, zone = outcome.client, outcome.date, outcome.zone
    checks: dict[str, Callable[[], Any]] = {
        "seen": lambda: observation(question.minutes, outcome.seen),
        "client": lambda: check_code(client) if client else make_code(),
        "date": lambda: check_date(date) if date else datetime.date.today().isoformat(),
        "zone": lambda: check_choice("page.record.zone", zone, ZONES) if zone else None,
    }
    read = refuse_all(checks)
    return Record(
        hair=question.hair,
        mixture=question.mixture,
        result=read.pop("seen"),
        invented=outcome.invented,
        **read,
    )


def add_record(desk: Desk, asked: Asked) -> Answer:
    """Append a record; answered as by ``lift record add --json``."""
    record = read_record(read_question(asked.body.asked, desk.curves), asked.body)
    expected = forecast_without_records(record, desk.curves)
    with _store(desk) as store:
        record = replace(record, number=store.add(record))
    special = cautions(record.mixture, record.result.minutes, record.hair)
    lines = [note("terminal.caution", caution=c) for c in special if c not in ALWAYS]
    file = note("record.file", path=desk.visits.name)
    text = _text(added_note(record), added_rows(record, expected), file, *lines)
    return answered(encode(added_answer(record, expected)), text)


def list_records(desk: Desk, asked: Asked) -> Answer:
    """List all records, as ``lift record list --json`` prints them."""
    return Answer(records_json(_records(desk)).encode())


def csv_records(desk: Desk, asked: Asked) -> Answer:
    """List all records for a spreadsheet."""
    headers = {"content-disposition": 'attachment; filename="records.csv"'}
    text = to_csv(_records(desk))
    return Answer(text.encode(), media="text/csv", headers=headers)


def delete_records(desk: Desk, asked: Asked) -> Deleted:
    """Delete one record, those of a client, or all, for good."""
    if len(asked.query) != 1:
        raise LiftError("page.record.which")
    which: dict[str, Any] = dict(asked.query)
    if "everything" in which:
        which["everything"] = True
    with refused("", 404), _store(desk) as store:
        return Deleted(store.delete(**which))


def learn(desk: Desk, asked: Asked) -> Answer:
    """What the records teach, as by ``lift record learn --json``; refused when they are too few."""
    records, invented = _records(desk), asked.body.invented
    chosen = [record for record in records if record.invented == invented]
    with refused("", TOGETHER):
        result = calibrate(chosen, desk.curves, name="own")
    foot = note("standing.line", name=result.curves.name, standing=result.curves.standing)
    text = _text(learned_note(result, len(records) - len(chosen)), learned_rows(result), foot)
    return answered(to_json(result), text)


def _text(head: Note, rows: Rows, *foot: Note) -> Said:
    """Lines in two columns, as in the terminal, less the cautions that the page shows anyhow."""
    said = [(say(label), say(what)) for label, what in rows]
    wide = max(len(label) for label, _ in said)
    return Said("\n".join([say(head), *(f"{a:{wide}}  {b}" for a, b in said), *says(foot)]))


def _records(desk: Desk) -> tuple[Record, ...]:
    with _store(desk) as store:
        return store.records()


@contextmanager
def _store(desk: Desk) -> Iterator[RecordStore]:
    path = desk.visits
    try:
        with RecordStore(path, create=True, classes=desk.curves.mixtures) as store:
            yield store
    except LiftError as error:
        raise LiftError(without(error.note, path, path.name)) from None
