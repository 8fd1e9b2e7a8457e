"""Records of a session: what was done, what came out, what it taught."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from lift.answers.encode import Part
from lift.errors import LiftError, check_choice
from lift.model.curves import CurveSet
from lift.model.mixtures import MixtureClasses
from lift.practice.cautions import ALWAYS, cautions
from lift.practice.records.calibration import calibrate
from lift.practice.records.forecast import forecast_without_records
from lift.practice.records.record import ZONES, Record, check_code, check_date, make_code
from lift.practice.records.record_export import to_csv, to_json
from lift.practice.records.record_store import RecordStore
from lift.practice.trial.observation import observation
from lift.show.page.answers import Answer, answered
from lift.show.page.answers import to_json as compact
from lift.show.page.question import Question, RefusedError, refuse_all, refused
from lift.show.said_record import Rows, added_note, added_rows, learned_note, learned_rows
from lift.show.terminal.record import added_to_dict
from lift.words import Note, note, say, says

FILE = "records.sqlite"


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


def add_record(record: Record, folder: Path, curves: CurveSet) -> Answer:
    """Append a record; answered as by ``lift record add --json``."""
    expected = forecast_without_records(record, curves)
    with RecordStore(folder / FILE, create=True, classes=curves.mixtures) as store:
        record = replace(record, number=store.add(record))
    special = (c for c in cautions(record.mixture, record.result.minutes, record.hair))
    lines = [note("terminal.caution", caution=c) for c in special if c not in ALWAYS]
    text = _text(
        added_note(record), added_rows(record, expected), note("record.file", path=FILE), *lines
    )
    return answered(compact(added_to_dict(record, expected)), text)


def list_records(folder: Path, classes: MixtureClasses) -> str:
    """JSON of all records, as ``lift record list --json`` prints it."""
    return to_json(_records(folder, classes))


def csv_records(folder: Path, classes: MixtureClasses) -> str:
    """All records as comma-separated values."""
    return to_csv(_records(folder, classes))


def delete_records(folder: Path, asked: Mapping[str, str]) -> int:
    """Delete one record, those of a client, or all, for good; how many.

    Raises
    ------
    RefusedError
        When not just one of the three is asked for, or there is no such record.
    """
    if len(asked) != 1:
        raise LiftError("page.record.which")
    which: dict[str, Any] = dict(asked)
    if "everything" in which:
        check_choice("page.record.everything", which["everything"], ("true",))
        which["everything"] = True
    if not (folder / FILE).exists():
        raise RefusedError({"": note("page.record.no_records")}, 404)
    with refused("", 404), RecordStore(folder / FILE) as store, _short(folder):
        return store.delete(**which)


def learn_records(folder: Path, curves: CurveSet, invented: bool) -> Answer:
    """What the records teach, as by ``lift record learn --json``; refused when they are too few."""
    records = _records(folder, curves.mixtures)
    chosen = [record for record in records if record.invented == invented]
    with refused("", 409):
        result = calibrate(chosen, curves, name="own")
    foot = note("standing.line", name=result.curves.name, standing=result.curves.standing)
    text = _text(learned_note(result, len(records) - len(chosen)), learned_rows(result), foot)
    return answered(compact(result.to_dict()), text)


def _text(head: Note, rows: Rows, *foot: Note) -> Said:
    """Lines in two columns, as in the terminal, less the cautions that the page shows anyhow."""
    said = [(say(label), say(what)) for label, what in rows]
    wide = max(len(label) for label, _ in said)
    return Said("\n".join([say(head), *(f"{a:{wide}}  {b}" for a, b in said), *says(foot)]))


def _records(folder: Path, classes: MixtureClasses) -> tuple[Record, ...]:
    if not (folder / FILE).exists():
        return ()
    with RecordStore(folder / FILE, classes=classes) as store, _short(folder):
        return store.records()


@contextmanager
def _short(folder: Path) -> Iterator[None]:
    """Leave the folder out of errors: it means nothing to a reader of the page."""
    try:
        yield
    except LiftError as error:
        raise LiftError(str(error).replace(f" in {str(folder / FILE)!r}", "")) from None
