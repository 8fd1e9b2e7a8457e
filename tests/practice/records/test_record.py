import csv
import io
import json
import os
import shutil
import signal
import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.answers.record import records_json, units
from lift.errors import LiftError
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.records.flat import COLUMNS, from_row, to_csv, to_row
from lift.practice.records.record import Record
from lift.practice.records.record_store import RecordStore
from lift.practice.trial.observation import Observation
from lift.practice.visit.codes import check_code, make_code
from lift.practice.visit.database import APPLICATION, KIND
from lift.practice.visit.home import default_path, old_path
from lift.practice.visit.visit_table import visit_of

KEPT = Path(__file__).parents[2] / "kept" / "0.1.0" / "records.sqlite"
HAIR = Hair(5.0, "fine", damp=True, grey_percent=10.0, lightened_to=6.0, pheomelanin_share=0.2)
MIXTURE = Mixture("base-break", 10.0, tone={"violet": 2.5, "blue": 0.5}, ph=10.1, tone_minutes=7.0)


def record(client="qf4-mk7", level=7.5, **changes):
    kept = {
        "client": client,
        "date": "2024-05-17",
        "hair": HAIR,
        "mixture": MIXTURE,
        "result": Observation(12.0, level),
        "zone": "regrowth",
        "invented": True,
    }
    return Record(**{**kept, **changes})


@pytest.fixture
def store(tmp_path):
    with RecordStore(tmp_path / "records.sqlite", create=True) as opened:
        yield opened


def connection(store):
    return store.store.database.connection


def test_what_is_added_comes_back(store):
    first = store.add(record())
    second = store.add(record("bd2-xz9", result=Observation(30.0, lab=(60.0, -1.5, 33.25))))
    assert (first, second) == (1, 2)
    assert [to_row(r) for r in store.records()] == [
        to_row(record()),
        to_row(record("bd2-xz9", result=Observation(30.0, lab=(60.0, -1.5, 33.25)))),
    ]
    assert [r.number for r in store.records()] == [1, 2]
    assert [r.client for r in store.records("bd2-xz9")] == ["bd2-xz9"]
    assert store.records("none-0") == ()
    assert store.clients() == {"qf4-mk7", "bd2-xz9"}


@given(
    st.floats(1.0, 10.0),
    st.floats(30.0, 130.0),
    st.booleans(),
    st.floats(0.0, 80.0),
    st.sampled_from(["cream", "base-break", "powder"]),
    st.one_of(st.none(), st.just({}), st.fixed_dictionaries({"violet": st.floats(0.0, 9.5)})),
    st.floats(0.0, 120.0),
    st.floats(1.0, 10.0),
)
def test_flat_form_is_faithful(level, fibre, damp, volume, kind, tone, minutes, seen):
    parts = 4.0  # weak enough for any strength on the head
    one = record(
        hair=Hair(level, fibre, damp=damp),
        mixture=Mixture(kind, volume / 2.0, developer_parts=parts, tone=tone),
        result=Observation(minutes, seen),
    )
    row = to_row(one)
    assert set(row) == set(COLUMNS)
    again = from_row(row)
    for name in ("level", "fibre_um", "damp"):
        assert getattr(again.hair, name) == getattr(one.hair, name)
    assert again.result == one.result
    assert again.mixture.developer_volume == one.mixture.developer_volume
    assert (again.mixture.tone is None) == (tone is None)
    for dye, dose in (tone or {}).items():
        assert again.mixture.tone[dye] == pytest.approx(dose, rel=1e-5)


def test_it_is_still_there_after_closing(tmp_path):
    path = tmp_path / "records.sqlite"
    with RecordStore(path, create=True) as opened:
        opened.add(record())
    with RecordStore(path) as opened:
        assert len(opened.records()) == 1
    assert [p.name for p in tmp_path.iterdir()] == ["records.sqlite"]
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_file_says_what_it_is(store):
    db = sqlite3.connect(store.path)
    assert db.execute("PRAGMA user_version").fetchone() == (KIND.version,)
    assert db.execute("PRAGMA application_id").fetchone() == (APPLICATION,)
    assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    tables = {name for (name,) in db.execute("SELECT name FROM sqlite_master")}
    db.close()
    assert {"visit", "known", "picture"} <= tables


def test_a_file_from_before_there_were_pictures(store):
    """As version 3 was: the same without the table of pictures."""
    store.add(record())
    with sqlite3.connect(store.path) as db:
        db.execute("DROP TABLE picture")
        db.execute("PRAGMA user_version = 3")
    db.close()
    with RecordStore(store.path) as opened:
        assert len(opened.records()) == 1
        count = connection(opened).execute("SELECT count(*) FROM picture")
        assert count.fetchone() == (0,)


def test_durability_settings(store):
    pragma = lambda name: connection(store).execute(f"PRAGMA {name}").fetchone()[0]  # noqa: E731
    # https://www.sqlite.org/pragma.html: 3 is EXTRA, FULL and the folder synced too.
    assert pragma("synchronous") == 3
    assert pragma("journal_mode") == "delete"
    assert pragma("secure_delete") == 1
    assert pragma("temp_store") == 2


CRASH = """
import os, signal, sys
from lift.practice.records.record_store import RecordStore
sys.path.insert(0, {tests!r})
from test_record import record

store = RecordStore({path!r})
db = store.store.database.connection
db.execute("PRAGMA cache_size = 1")
db.execute("PRAGMA cache_spill = 1")
{how}
"""

BEFORE_COMMIT = """
db.set_trace_callback(
    lambda sql: os.kill(os.getpid(), signal.SIGKILL) if sql.startswith("COMMIT") else None
)
store.add(record("half-1"))
"""

# Many rows in one transaction spill to the file, so that a hot journal must undo them.
SPILLED = """
db.execute("BEGIN IMMEDIATE")
for number in range(3000):
    row = (f"v-{number}", "half-1", None, 1, '{"visit": {}}' * 40)
    db.execute("INSERT INTO visit (name, client, date, revision, body) VALUES (?, ?, ?, ?, ?)", row)
os.kill(os.getpid(), signal.SIGKILL)
"""

WHILE_DELETING = """
db.set_trace_callback(
    lambda sql: os.kill(os.getpid(), signal.SIGKILL) if sql.startswith("COMMIT") else None
)
store.delete(everything=True)
"""

BEFORE_VACUUM = """
db.set_trace_callback(
    lambda sql: os.kill(os.getpid(), signal.SIGKILL) if sql.startswith("VACUUM") else None
)
store.delete(client="qf4-mk7")
"""


@pytest.mark.parametrize(
    ("how", "left"),
    [(BEFORE_COMMIT, 20), (SPILLED, 20), (WHILE_DELETING, 20), (BEFORE_VACUUM, 0)],
    ids=["adding", "adding, pages written", "deleting", "deleted, not yet compacted"],
)
def test_a_crash_leaves_all_of_a_change_or_nothing(tmp_path, how, left):
    path = tmp_path / "records.sqlite"
    with RecordStore(path, create=True) as opened:
        for _ in range(20):
            opened.add(record())
    size = path.stat().st_size
    code = CRASH.format(tests=os.path.dirname(__file__), path=str(path), how=how)
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == -signal.SIGKILL, done.stderr
    if how is SPILLED:
        assert path.stat().st_size > size
        assert path.with_name(path.name + "-journal").stat().st_size > 0
    with RecordStore(path) as opened:
        assert len(opened.records()) == left
        assert connection(opened).execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert opened.clients() <= {"qf4-mk7"}
        assert opened.add(record("after-1")) > 0
    assert [p.name for p in tmp_path.iterdir()] == ["records.sqlite"]
    if not left:
        assert b"qf4-mk7" not in path.read_bytes()


def test_deleted_means_gone_from_the_file(tmp_path):
    path = tmp_path / "records.sqlite"
    with RecordStore(path, create=True) as opened:
        for client in ("gone-11", "kept-22") * 40:
            opened.add(record(client, 3.25 if client == "gone-11" else 4.5))
        large = path.stat().st_size
        assert b"gone-11" in path.read_bytes()
        assert opened.delete(client="gone-11") == 40
        assert b"gone-11" not in path.read_bytes()
        assert path.stat().st_size < large
        assert opened.delete(number=2) == 1
        assert len(opened.records()) == 39
        assert opened.delete(everything=True) == 39
        assert b"kept-22" not in path.read_bytes()
        assert opened.records() == ()
    assert [p.name for p in tmp_path.iterdir()] == ["records.sqlite"]


def test_numbers_are_not_used_again(store):
    assert store.add(record()) == 1
    store.delete(everything=True)
    assert store.add(record()) == 2


@pytest.mark.parametrize(
    ("asked", "reason"),
    [
        ({}, "exactly one"),
        ({"number": 1, "everything": True}, "exactly one"),
        ({"number": 7}, "no record 7"),
        ({"number": 0}, "record number"),
        ({"number": np.nan}, "number is nan; it takes a whole number"),
        ({"client": "none-0"}, "no record of client none-0"),
        ({"client": "a@b.example"}, "e-mail"),
    ],
    ids=str,
)
def test_deleting_what_is_not_there_is_refused(store, asked, reason):
    store.add(record())
    with pytest.raises(LiftError, match=reason):
        store.delete(**asked)
    assert len(store.records()) == 1


def test_missing_and_foreign_files(tmp_path):
    with pytest.raises(LiftError, match="no records at"):
        RecordStore(tmp_path / "none.sqlite")
    assert not list(tmp_path.iterdir())
    with pytest.raises(LiftError, match="cannot make"):
        RecordStore(tmp_path / "no" / "x.sqlite", create=True)

    text = tmp_path / "text.sqlite"
    text.write_text("not a database, and long enough to have a header " * 40)
    with pytest.raises(LiftError, match="is not a record file"):
        RecordStore(text)

    other = tmp_path / "other.sqlite"
    db = sqlite3.connect(other)
    db.execute("PRAGMA journal_mode = WAL")
    db.execute("CREATE TABLE mine (x)")
    db.close()
    before = other.read_bytes()
    with pytest.raises(LiftError, match="another program's database"):
        RecordStore(other)
    assert other.read_bytes() == before

    newer = tmp_path / "newer.sqlite"
    RecordStore(newer, create=True).__exit__(None, None, None)
    db = sqlite3.connect(newer)
    db.execute(f"PRAGMA user_version = {KIND.version + 1}")
    db.close()
    with pytest.raises(LiftError, match=f"newer than {KIND.version}: update lift"):
        RecordStore(newer)


def test_an_empty_file_is_a_new_one(tmp_path):
    path = tmp_path / "empty.sqlite"
    path.touch()
    with RecordStore(path) as opened:
        assert opened.records() == ()
        assert opened.add(record()) == 1


def test_a_locked_file_says_so(store, monkeypatch):
    monkeypatch.setattr("lift.practice.visit.database.WAIT_SECONDS", 0.05)
    db = sqlite3.connect(store.path, isolation_level=None)
    db.execute("BEGIN IMMEDIATE")
    with RecordStore(store.path) as second, pytest.raises(LiftError, match="in use by another"):
        second.add(record())
    db.execute("ROLLBACK")
    db.close()


def test_two_writers_at_once_lose_nothing(tmp_path):
    path = tmp_path / "records.sqlite"
    code = (
        f"import sys; sys.path.insert(0, {os.path.dirname(__file__)!r})\n"
        "from test_record import record\n"
        "from lift.practice.records.record_store import RecordStore\n"
        f"with RecordStore({str(path)!r}, create=True) as store:\n"
        "    for _ in range(15): store.add(record())\n"
    )
    both = [subprocess.Popen([sys.executable, "-c", code]) for _ in range(2)]
    assert [one.wait(60) for one in both] == [0, 0]
    with RecordStore(path) as opened:
        assert [r.number for r in opened.records()] == list(range(1, 31))


def test_a_damaged_row_is_named(store):
    store.add(record())
    connection(store).execute(
        "UPDATE visit SET body = json_set(body, '$.zones[0].natural_level', 55)"
    )
    with pytest.raises(LiftError, match=r"record 1 in .* natural_level 55"):
        store.records()


def test_default_place_follows_the_xdg_specification(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert default_path() == tmp_path / "data" / "lift" / "page" / "visits.sqlite"
    monkeypatch.setenv("HOME", str(tmp_path))
    for relative in ("", "data"):
        monkeypatch.setenv("XDG_DATA_HOME", relative)
        folder = tmp_path / ".local" / "share" / "lift" / "page"
        assert default_path() == folder / "visits.sqlite"
    with pytest.raises(LiftError, match="no records"):
        RecordStore()
    with RecordStore(create=True) as opened:
        opened.add(record())
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_records_of_before_are_taken_over_for_good(monkeypatch, tmp_path):
    """Those of the command line, found where they were, with their numbers; and again later."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    old_path().parent.mkdir()
    shutil.copy(KEPT, old_path())
    with RecordStore(tmp_path / "elsewhere.sqlite", create=True) as opened:
        assert opened.records() == ()
    with RecordStore() as opened:
        before = [to_row(r) for r in opened.records()]
        assert [r.number for r in opened.records()] == [1, 2, 3, 4]
        assert opened.add(record()) == 5
    assert not old_path().exists()
    shutil.copy(KEPT, old_path())
    with RecordStore() as opened:
        again = [to_row(r) for r in opened.records()]
    assert again == [*before, to_row(record()), *before]


CRASH_TAKING = """
import os, signal
from lift.practice.visit import home
from lift.practice.records.record_store import RecordStore
home.Path.unlink = lambda *_, **__: os.kill(os.getpid(), signal.SIGKILL)
RecordStore()
"""


def test_a_crash_while_taking_over_takes_nothing_twice(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    old_path().parent.mkdir()
    shutil.copy(KEPT, old_path())
    done = subprocess.run([sys.executable, "-c", CRASH_TAKING], check=False)
    assert done.returncode == -signal.SIGKILL
    with RecordStore() as opened:
        assert len(opened.records()) == 4
    assert not old_path().exists()


def test_a_record_is_mended(store):
    number = store.add(record())
    store.mend(record(level=8.0, number=number))
    (kept,) = store.records()
    assert (kept.number, kept.result.level) == (number, 8.0)
    with pytest.raises(LiftError, match="no record 9"):
        store.mend(record(number=9))


def test_what_is_planned_is_no_record_and_goes_with_its_client_only(store):
    store.add(record())
    planned = visit_of({"visit": {"name": "planned", "client": "qf4-mk7"}})
    store.store.add(planned)
    assert len(store.records()) == 1
    store.delete(everything=True)
    assert [kept.visit.name for kept in store.store.visits()] == ["planned"]
    assert store.delete(client="qf4-mk7") == 1
    assert store.store.visits() == ()


def test_each_zone_of_a_visit_is_a_record(store):
    zones = [
        {"name": "foils", "along": "foils", "natural_level": 6, "mixture": "x"},
        {"name": "base", "along": "regrowth", "natural_level": 6, "mixture": "x"},
        {"name": "ends", "along": "ends", "natural_level": 6},
    ]
    came_out = [{"zone": z["name"], "minutes": 20, "seen": "7.5"} for z in zones]
    mixtures = {"x": {"kind": "cream", "volume": 20}}
    table = {"visit": {"name": "a", "date": "2025-01-02"}, "zones": zones, "mixtures": mixtures}
    number = store.store.add(visit_of({**table, "came_out": came_out})).number
    assert [(r.zone, r.number) for r in store.records()] == [
        ("highlights", number),
        ("regrowth", number),
    ]
    with pytest.raises(LiftError, match="one of several"):
        store.mend(record(number=number))


@pytest.mark.parametrize(
    ("code", "reason"),
    [
        ("jane@example.org", "e-mail"),
        ("+49 171 2345678", "telephone"),
        ("0171-2345678", "telephone"),
        ("1990-05-17", "date of birth"),
        ("jane", "could be a name"),
        ("Jane Doe 1", "no spaces"),
        ("", "3 to 24"),
        ("a1", "3 to 24"),
        ("-a1b", "3 to 24"),
        ("x" * 30 + "1", "3 to 24"),
        ("=1+cmd", "3 to 24"),
        ("bob;drop1", "3 to 24"),
    ],
)
def test_codes_that_could_be_a_person_are_refused(code, reason):
    with pytest.raises(LiftError, match=reason) as told:
        check_code(code)
    # What a person typed by mistake is not printed back where it names somebody.
    if reason in ("e-mail", "telephone", "date of birth"):
        assert code not in str(told.value)


def test_made_codes_are_valid_and_differ():
    codes = {make_code() for _ in range(200)}
    assert len(codes) > 195
    for code in codes:
        assert check_code(code) == code
    taken = set(codes)
    assert make_code(taken) not in taken


@pytest.mark.parametrize("date", ["17.5.2024", "2024-13-01", "2999-01-01", "", None])
def test_dates_are_checked(date):
    with pytest.raises(LiftError, match="date"):
        record(date=date)


def test_zone_is_checked():
    with pytest.raises(LiftError, match="did you mean mid-lengths"):
        record(zone="midlengths")


def test_csv_export(store):
    store.add(record())
    store.add(record("bd2-xz9", result=Observation(30.0, lab=(60.0, -1.5, 33.25))))
    table = list(csv.DictReader(io.StringIO(to_csv(store.records()))))
    assert list(table[0]) == ["number", *COLUMNS]
    assert table[0]["tone"] == "violet=2.5,blue=0.5"
    assert table[0]["seen_l"] == ""
    assert float(table[1]["seen_a"]) == -1.5
    assert [row["invented"] for row in table] == ["1", "1"]


def test_json_export(store):
    store.add(record())
    payload = json.loads(records_json(store.records()))
    kept = payload["records"][0]
    assert kept.pop("number") == 1
    assert kept == to_row(record())
    assert payload["cautions"]
    words = {"client", "date", "zone", "mixture", "damp", "invented"}
    assert set(units()) == {"number", *COLUMNS} - words


def test_store_is_full_at_its_limit(store, monkeypatch):
    monkeypatch.setattr("lift.practice.visit.visit_store.MOST_VISITS", 1)
    store.add(record())
    with pytest.raises(LiftError, match="the most it can"):
        store.add(record())
    assert len(store.records()) == 1
