"""Files of earlier releases open for good, and tell the same numbers as then."""

import json
import multiprocessing
import os
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from textwrap import dedent

import pytest

from lift.errors import LiftError
from lift.files import Kind
from lift.model.curves import FILLED, default_curves, load_curves
from lift.model.mixtures import load_mixtures
from lift.model.parameter import Parameter
from lift.practice.records.flat import to_row
from lift.practice.records.record_store import RecordStore
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.trial.strand_file import load_strand
from lift.research.swatches.swatch_file import read_swatches
from lift.words import note

FOLDER = Path(__file__).parent / "kept"
sys.path.insert(0, str(FOLDER))

from kept_numbers import kept_files, numbers_of  # noqa: E402

RELEASES = [f for f in sorted(FOLDER.iterdir()) if (f / "numbers.json").is_file()]


def near(found, then):
    """Equal, numbers within rounding."""
    if isinstance(then, dict):
        return found.keys() >= then.keys() and all(near(found[k], then[k]) for k in then)
    if isinstance(then, list):
        return len(found) == len(then) and all(map(near, found, then))
    return found == (pytest.approx(then, abs=1e-5) if isinstance(then, float) else then)


LEVEL_AND_LIFT = slice(0, 6)
ALL_BUT_THE_CLOSE = slice(0, -1)
EXPECTED_WINDOW = slice(10, 12)


def without_the_best(told):
    """Numbers of a preview but for its best time and the chance then."""
    return [*told[:10], *told[12:]]


def still_told(numbers, name):
    """Numbers of a file without what has been found wrong since.

    0.1.0 took warmth, risk and window of grey hair from the blend, where white fibres hide warm
    ones; see ``tests/test_laws.py``. It counted red hair from brown hair. It gave slow strands the
    slow draws of a posterior, as if what nobody measured were a strand's own: bands were drawn
    otherwise, the expected strand was not. Nor is the close of a base break's window told again:
    0.1.0 had one past the 15 min that are predicted now. Its best time was the middle of those that
    are as good, and now is the soonest.
    """
    if name == "records.sqlite":
        numbers = [[row, without_the_best(told)] for row, told in numbers]
    elif isinstance(numbers, list) and isinstance(numbers[0], list):
        numbers = [without_the_best(told) for told in numbers]
    elif isinstance(numbers, list):
        numbers = without_the_best(numbers)
    if name == "bayes.toml":
        return numbers[EXPECTED_WINDOW]
    if name == "grey_blending.toml":
        return [zone[LEVEL_AND_LIFT] for zone in numbers]
    if name == "records.sqlite":
        return [
            [row, told[LEVEL_AND_LIFT if row["grey_percent"] > 0.0 else ALL_BUT_THE_CLOSE]]
            for row, told in numbers
            if row["pheomelanin_share"] is None
        ]
    return numbers


@pytest.mark.parametrize(
    "path", [p for f in RELEASES for p in kept_files(f)], ids=lambda p: f"{p.parent.name}/{p.name}"
)
def test_a_kept_file_tells_what_it_told(path):
    then = json.loads((path.parent / "numbers.json").read_text("utf-8"))[path.name]
    assert near(still_told(numbers_of(path), path.name), still_told(then, path.name))


# One field more: yesterday's files open, and tell what they told.

NEWEST = RELEASES[-1]
THEN = json.loads((NEWEST / "numbers.json").read_text("utf-8"))


def with_one_more():
    """The default set as it is when the model has learned the pH of an oil."""
    more = Parameter("oil_ph", 9.3, "-", 2.0, 13.0, "assumed", "made up by a test")
    usual = default_curves()
    return replace(usual, parameters=(*usual.parameters, more))


@pytest.mark.parametrize("name", ["default", "tuned", "bayes", "own"])
def test_a_curve_set_from_before_a_parameter(monkeypatch, name):
    today = with_one_more()
    monkeypatch.setattr("lift.model.curves.default_curves", lambda: today)
    path = NEWEST / f"{name}.toml"
    curves = load_curves(path)
    assert curves["oil_ph"] == today["oil_ph"]
    assert dict(curves.provenance)[FILLED].endswith("oil_ph")
    assert near(still_told(numbers_of(path), path.name), still_told(THEN[path.name], path.name))


def test_what_a_curve_set_lacks_is_said_once(monkeypatch, lift):
    monkeypatch.setattr("lift.model.curves.default_curves", with_one_more)
    words = ["preview", "--level", "6", "--volume", "20", "--minutes", "5", "--json"]
    code, out, err = lift(*words, "--curves", NEWEST / "tuned.toml")
    assert code == 0
    assert re.search(r"tuned.toml lacks .*, oil_ph: .*\n$", err)
    assert json.loads(out)["curve_set"]["provenance"]["filled_in"].endswith(", oil_ph")


def test_a_strand_test_from_before_a_parameter(monkeypatch):
    strand_file = import_module("lift.practice.trial.strand_file")
    monkeypatch.setattr(strand_file, "CENTRE", (*strand_file.CENTRE, "oil_ph"))
    monkeypatch.setattr("lift.model.curves.default_curves", with_one_more)
    found = load_strand(NEWEST / "strand.json")
    assert found.values["oil_ph"] == 9.3
    assert near(numbers_of(NEWEST / "strand.json"), THEN["strand.json"])


POROUS = """
import json, sys
from dataclasses import dataclass
from typing import Any
import lift.model.hair
from lift.quantities import quantity

@dataclass(frozen=True, eq=False)
class Hair(lift.model.hair.Hair):
    porosity: Any = quantity(low=0.0, high=1.0, default=0.25)

# Whatever is imported after this takes hair for porous.
lift.model.hair.Hair = Hair
sys.path.insert(0, sys.argv[1])
"""


def porous(tmp_path, code):
    """Run code in a lift that has learned of porosity."""
    words = [sys.executable, "-c", POROUS + dedent(code), str(FOLDER), str(tmp_path)]
    return subprocess.run(words, capture_output=True, text=True, check=False)


def test_every_kind_of_file_from_before_a_property_of_hair(tmp_path):
    shutil.copytree(NEWEST, tmp_path / "kept")
    done = porous(
        tmp_path,
        """
        from pathlib import Path
        from kept_numbers import kept_files, numbers_of
        from lift.practice.trial.strand_file import load_strand
        kept = Path(sys.argv[2]) / "kept"
        assert load_strand(kept / "strand.json").hair["porosity"] == 0.25
        print(json.dumps({path.name: numbers_of(path) for path in kept_files(kept)}))
        """,
    )
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert {row["porosity"] for row, _ in found["records.sqlite"]} == {0.25}
    assert found.keys() == THEN.keys()
    for name in THEN:
        assert near(still_told(found[name], name), still_told(THEN[name], name)), name


OPEN = """
from lift.model.mixtures import load_mixtures
from lift.practice.records.flat import to_row
from lift.practice.records.record_store import RecordStore
from lift.practice.scenario.scenario_file import load_scenario
from lift.words import note
store = RecordStore(sys.argv[2] + "/records.sqlite")
"""


def test_a_store_of_a_newer_lift_is_refused_by_an_older_one(tmp_path):
    shutil.copy(NEWEST / "records.sqlite", tmp_path)
    done = porous(
        tmp_path,
        OPEN
        + """
from dataclasses import replace
record = store.records()[0]
assert record.hair.porosity == 0.25
store.add(replace(record, hair=record.hair.replace(porosity=0.75)))
assert [r.hair.porosity for r in store.records()] == [0.25] * 4 + [0.75]
""",
    )
    assert done.returncode == 0, done.stderr
    kept = (tmp_path / "records.sqlite").read_bytes()
    with pytest.raises(LiftError, match="has porosity, unknown here: update lift; left untouched"):
        RecordStore(tmp_path / "records.sqlite")
    assert (tmp_path / "records.sqlite").read_bytes() == kept


def test_a_store_from_before_pictures_that_knows_a_key_no_more_is_read(tmp_path):
    """Version 3 listed, and could hold, whether a visit was to be planned with what was learned."""
    path = shutil.copy(NEWEST / "records.sqlite", tmp_path)
    with RecordStore(path) as store:
        before = [*map(to_row, store.records())]
    db = sqlite3.connect(path)
    db.execute("DROP TABLE picture")
    db.execute("PRAGMA user_version = 3")
    db.execute("INSERT OR IGNORE INTO known VALUES ('learned')")
    (body,) = db.execute("SELECT body FROM visit ORDER BY number").fetchone()
    told = json.loads(body)
    told["visit"]["learned"] = True
    db.execute("UPDATE visit SET body = ? WHERE body = ?", (json.dumps(told), body))
    db.commit()
    db.close()
    with RecordStore(path) as store:
        assert [*map(to_row, store.records())] == before


def rows(folder):
    """Every row of a file of records as it lies there, whatever its columns; none of visits."""
    db = sqlite3.connect(folder / "records.sqlite")
    assert db.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    is_old = db.execute("SELECT 1 FROM sqlite_master WHERE name = 'record'").fetchone()
    found = db.execute("SELECT * FROM record").fetchall() if is_old else []
    db.close()
    return found


def test_a_crash_while_records_become_visits_leaves_the_old_file_or_the_new(tmp_path):
    shutil.copy(NEWEST / "records.sqlite", tmp_path)
    before = rows(tmp_path)
    assert len(before) == 4
    crash = """
import os, signal, sqlite3
connect = sqlite3.connect

def dying(*args, **kwargs):
    db = connect(*args, **kwargs)
    db.execute("PRAGMA cache_size = 1")
    db.execute("PRAGMA cache_spill = 1")
    db.set_trace_callback(
        lambda sql: os.kill(os.getpid(), signal.SIGKILL) if sql.startswith("COMMIT") else None
    )
    return db

sqlite3.connect = dying
"""
    assert porous(tmp_path, crash + OPEN).returncode == -signal.SIGKILL
    assert rows(tmp_path) == before
    with RecordStore(tmp_path / "records.sqlite") as store:
        assert [record.number for record in store.records()] == [row[0] for row in before]
        assert store.delete(everything=True) == 4
    assert rows(tmp_path) == []
    assert b"aa1-bb2" not in (tmp_path / "records.sqlite").read_bytes()
    assert [p.name for p in tmp_path.iterdir()] == ["records.sqlite"]


def test_numbers_of_deleted_records_are_not_used_again(tmp_path):
    path = shutil.copy(NEWEST / "records.sqlite", tmp_path)
    db = sqlite3.connect(path)
    db.execute("DELETE FROM record")
    db.commit()
    db.close()
    whole = shutil.copy(NEWEST / "records.sqlite", tmp_path / "whole.sqlite")
    with RecordStore(path) as store, RecordStore(whole) as other:
        assert store.add(other.records()[0]) == 5


def test_swatches_from_before_a_column(monkeypatch):
    columns = import_module("lift.research.swatches.columns")
    more = columns.Column("porosity", "-", 0.0, 1.0, empty=note("text", text="0.25"))
    monkeypatch.setattr(columns, "CONDITIONS", (*columns.CONDITIONS, more))
    monkeypatch.setitem(columns.BY_NAME, "porosity", more)
    for name in ("swatches.csv", "swatches.cxf"):
        assert near(numbers_of(NEWEST / name), THEN[name])


# Files of the future.


def changed(path, folder, old, new):
    """Copy of a kept file with some text changed."""
    text = path.read_text("utf-8")
    assert old in text
    (folder / path.name).write_text(text.replace(old, new, 1), "utf-8")
    return folder / path.name


@pytest.mark.parametrize(
    ("name", "old", "new", "message"),
    [
        ("tuned.toml", "name =", "version = 9\nname =", "curve set .* version 9, newer than 1"),
        ("tuned.toml", "name =", "version = 'x'\nname =", "version 'x', which is not a whole"),
        ("tuned.toml", "[parameters.fade_minutes]", "[parameters.oil_ph]", "'oil_ph' is not one"),
        ("strand.json", '"version": 1', '"version": 9', "strand file .* version 9, newer than 2"),
        ("strand.json", '"damp"', '"porosity": 0.5, "damp"', "porosity, unknown here: update lift"),
        ("strand.json", '"values": {', '"values": {"oil_ph": 9.3, ', "oil_ph, unknown here: upd"),
        ("blonde_refresh.toml", "title", "version = 9\ntitle", "scenario .* 9, newer than 1"),
        ("swatches.csv", "# INVENTED", "# lift-swatches: 9\n# INVENTED", "swatches .* 9, newer"),
        ("swatches.cxf", "INVENTED", "lift-swatches: 9; INVENTED", "swatches .* 9, newer than 1"),
    ],
)
def test_a_file_of_the_future_is_refused_kindly(tmp_path, name, old, new, message):
    path = changed(NEWEST / name, tmp_path, old, new)
    before = path.read_bytes()
    with pytest.raises(LiftError, match=message) as caught:
        numbers_of(path)
    assert "\n" not in str(caught.value)
    assert path.read_bytes() == before


def test_steps_bring_an_older_version_up_to_today():
    kind = Kind(
        "file.strand",
        (lambda old: {"b": old["a"]}, lambda old: {"c": old["b"] + 1}),
    )
    assert kind.version == 3
    assert kind.brought_up({"a": 1}, None, "x") == {"c": 2}
    assert kind.brought_up({"a": 1}, 1, "x") == {"c": 2}
    assert kind.brought_up({"b": 1}, 2, "x") == {"c": 2}
    assert kind.brought_up({"c": 1}, 3, "x") == {"c": 1}
    for bad in (0, -1, True, 1.5, "2"):
        with pytest.raises(LiftError, match="which is not a whole number from 1"):
            kind.brought_up({}, bad, "x")


def test_mixtures_have_a_version_too(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text("version = 9\n", "utf-8")
    with pytest.raises(LiftError, match=r"mine\.toml has version 9, newer than 1: update lift"):
        load_mixtures(path)
    path.write_text("version = 1\n", "utf-8")
    assert "cream" in load_mixtures(path)


# What is no file of ours, for each kind: one line, at once.

LOADERS = {
    "curves.toml": load_curves,
    "mixtures.toml": load_mixtures,
    "scenario.toml": load_scenario,
    "strand.json": load_strand,
    "swatches.csv": read_swatches,
    "swatches.cxf": read_swatches,
}
DEEP = {".toml": "x = " + "[" * 5000, ".json": "[" * 100_000}
DIGITS = {".toml": f"x = {'9' * 5000}", ".json": "9" * 5000}


@pytest.mark.parametrize("name", LOADERS)
def test_what_is_no_file_of_ours_is_one_line(tmp_path, name):
    path = tmp_path / name

    def refused():
        with pytest.raises(LiftError) as caught:
            LOADERS[name](path)
        said = str(caught.value)
        assert "\n" not in said
        assert len(said) <= 300

    refused()
    os.mkfifo(path)
    refused()
    path.unlink()
    for text in (DEEP.get(path.suffix, "["), DIGITS.get(path.suffix, "9"), "\x00", ""):
        path.write_text(text, "utf-8")
        if name != "mixtures.toml" or text:
            refused()
    path.write_bytes(b"\xff\xfe")
    refused()
    path = path / "below"
    refused()
    path = f"{tmp_path}/nul\0{name}"
    if not name.endswith(".cxf"):
        refused()


@pytest.mark.parametrize(
    "name", ["tuned.toml", "blonde_refresh.toml", "strand.json", "swatches.csv"]
)
def test_a_byte_order_mark_changes_nothing(tmp_path, name):
    (tmp_path / name).write_bytes(b"\xef\xbb\xbf" + (NEWEST / name).read_bytes())
    shutil.copy(NEWEST / "default.toml", tmp_path)
    assert near(numbers_of(tmp_path / name), THEN[name])


def save_often(path):
    for _ in range(10):
        default_curves().save(path)


def test_four_at_once_save_one_curve_set(tmp_path):
    path = tmp_path / "mine.toml"
    context = multiprocessing.get_context("fork")
    writers = [context.Process(target=save_often, args=(path,)) for _ in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [writer.exitcode for writer in writers] == [0, 0, 0, 0]
    assert load_curves(path) == default_curves()
    assert [p.name for p in tmp_path.iterdir()] == ["mine.toml"]


@pytest.mark.parametrize("make", [os.mkfifo, os.mkdir])
def test_what_is_no_record_file_is_one_line(tmp_path, make):
    make(tmp_path / "records.sqlite")
    with pytest.raises(LiftError, match="cannot be"):
        RecordStore(tmp_path / "records.sqlite")
    with pytest.raises(LiftError, match="no file can have such a name"):
        RecordStore(f"{tmp_path}/nul\0", create=True)
