"""Records of a session: what was done, what came out, what it taught."""

from __future__ import annotations

import datetime
import io
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from rich.console import Console

from lift.errors import LiftError, check_choice
from lift.model.curves import CurveSet
from lift.practice.cautions import ALWAYS
from lift.practice.records.calibration import calibrate
from lift.practice.records.forecast import forecast_without_records
from lift.practice.records.record import ZONES, Record, check_code, check_date, make_code
from lift.practice.records.record_export import to_csv, to_json
from lift.practice.records.record_store import RecordStore
from lift.practice.trial.observation import observation
from lift.show.page.answers import Answer, with_shown
from lift.show.page.answers import to_json as compact
from lift.show.page.question import Question, RefusedError
from lift.show.terminal.record import added_to_dict, print_added, print_calibration

FILE = "records.sqlite"
WIDE = 400


@dataclass(frozen=True)
class Outcome:
    """What came out, as typed.

    Parameters
    ----------
    seen : str
        A level (``7.5``) or a CIELAB (``48,8,22``).
    client, date, zone : str
        Code, day and zone; empty for one made, today and none.
    invented : bool
        Made up for a demonstration.
    """

    seen: str
    client: str = ""
    date: str = ""
    zone: str = ""
    invented: bool = False


def read_record(question: Question, outcome: Outcome) -> Record:
    """Read a record, as typed.

    Raises
    ------
    RefusedError
        Naming each field whose value cannot be accepted.
    """
    checks: dict[str, Callable[[], object]] = {
        "seen": lambda: observation(question.minutes, outcome.seen),
        "client": lambda: outcome.client and check_code(outcome.client),
        "date": lambda: outcome.date and check_date(outcome.date),
        "zone": lambda: outcome.zone and check_choice("zone", outcome.zone, ZONES),
    }
    errors = {}
    for field, check in checks.items():
        try:
            check()
        except LiftError as error:
            errors[field] = str(error)
    if errors:
        raise RefusedError(errors)
    return Record(
        client=outcome.client or make_code(),
        date=outcome.date or datetime.date.today().isoformat(),
        hair=question.hair,
        mixture=question.mixture,
        result=observation(question.minutes, outcome.seen),
        zone=outcome.zone or None,
        invented=outcome.invented,
    )


def add_record(record: Record, folder: Path, curves: CurveSet) -> Answer:
    """Append a record; ``plain`` is what ``lift record add --json`` prints."""
    expected = forecast_without_records(record, curves)
    with RecordStore(folder / FILE, create=True) as store:
        record = replace(record, number=store.add(record))
    plain = compact(added_to_dict(record, expected))
    said = printed(lambda to: print_added(record, expected, Path(FILE), to))
    return Answer(plain, with_shown(plain, {"text": said}))


def list_records(folder: Path) -> str:
    """JSON of all records, as ``lift record list --json`` prints it."""
    return to_json(_records(folder))


def csv_records(folder: Path) -> str:
    """All records as comma-separated values."""
    return to_csv(_records(folder))


def delete_records(folder: Path, which: Mapping[str, Any]) -> int:
    """Delete one record, those of a client, or all, for good; how many.

    Raises
    ------
    LiftError
        When there is no such record.
    """
    if not (folder / FILE).exists():
        raise LiftError("there are no records")
    with RecordStore(folder / FILE) as store, _short(folder):
        return store.delete(**which)


def learn_records(folder: Path, curves: CurveSet, invented: bool) -> Answer:
    """What the records teach; ``plain`` is what ``lift record learn --json`` prints.

    Raises
    ------
    LiftError
        When there are too few.
    """
    records = _records(folder)
    chosen = [record for record in records if record.invented == invented]
    result = calibrate(chosen, curves, name="own")
    plain = compact(result.to_dict())
    left = len(records) - len(chosen)
    said = printed(lambda to: print_calibration(result, left, to))
    return Answer(plain, with_shown(plain, {"text": said}))


def printed(show: Callable[[Console], None]) -> str:
    """Text that a terminal would show, less the cautions that the page shows anyhow."""
    page = io.StringIO()
    show(Console(file=page, highlight=False, width=WIDE, no_color=True))
    lines = (line.rstrip() for line in page.getvalue().splitlines())
    return "\n".join(line for line in lines if line.removeprefix("  ! ") not in map(str, ALWAYS))


def _records(folder: Path) -> tuple[Record, ...]:
    if not (folder / FILE).exists():
        return ()
    with RecordStore(folder / FILE) as store, _short(folder):
        return store.records()


@contextmanager
def _short(folder: Path) -> Iterator[None]:
    """Leave the folder out of errors: it means nothing to a reader of the page."""
    try:
        yield
    except LiftError as error:
        raise LiftError(str(error).replace(f" in {str(folder / FILE)!r}", "")) from None
