"""`lift visit`: the same file as the page's, and as records. Every visit here is invented."""

import csv
import io
import json
from pathlib import Path

import pytest

from lift.practice.visit.home import default_path
from lift.practice.visit.pictures import VisitPictures
from lift.practice.visit.visit_store import VisitStore

SHARED = Path(__file__).parents[2] / "shared"
DONE = """
[visit]
name = "done-1"
client = "qf4-mk7"
date = "2025-03-01"
next = "2025-04-12"

[mixtures.cream]
kind = "cream"
volume = 20

[[zones]]
name = "base"
natural_level = 6
mixture = "cream"

[[came_out]]
zone = "base"
minutes = 25
seen = "7.5"
"""


@pytest.fixture(autouse=True)
def own_folder(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("COLUMNS", "200")


@pytest.fixture
def done(answered, tmp_path):
    (tmp_path / "done.toml").write_text(DONE, "utf-8")
    answered("visit", "import", "--invented", tmp_path / "done.toml")


def names(answered, *more):
    return [v["name"] for v in json.loads(answered("visit", "list", "--json", *more))["visits"]]


def test_a_scenario_becomes_a_visit_and_a_scenario_again(answered, lift, tmp_path):
    answered("visit", "import", SHARED / "blonde_refresh.toml")
    assert default_path().is_file()
    (name,) = names(answered)
    shown = answered("visit", "show", name)
    assert "blend with the lightest blonde of mid-lengths" in shown
    assert "strand test first" in shown
    lift("visit", "export", name, tmp_path / "again.toml")
    both = [
        json.loads(answered("plan", "--json", path))
        for path in (SHARED / "blonde_refresh.toml", tmp_path / "again.toml")
    ]
    assert both[0] == both[1]


def test_what_came_out_of_a_visit_is_a_record(answered, lift, done):
    (record,) = json.loads(answered("record", "list", "--json"))["records"]
    assert (record["client"], record["minutes"], record["invented"]) == ("qf4-mk7", 25, 1)
    _, out, _ = lift("visit", "export", "done-1", "--format", "csv")
    assert [row["seen_level"] for row in csv.DictReader(io.StringIO(out))] == ["7.5"]
    assert "Next visit: 2025-04-12" in answered("visit", "show", "done-1")


def test_pictures_kept_are_counted(answered, done):
    assert "picture" not in answered("visit", "show", "done-1")
    with VisitStore() as store:
        VisitPictures(store).add("done-1", "base", b"a picture")
    assert "1 picture." in answered("visit", "show", "done-1")


def test_the_next_visit_is_a_calendar_entry(answered, lift, refused, done, tmp_path):
    lift("visit", "export", "done-1", tmp_path / "next.ics")
    entry = (tmp_path / "next.ics").read_bytes()
    assert b"DTSTART;VALUE=DATE:20250412\r\n" in entry
    assert b"qf4-mk7" in entry
    answered("visit", "import", SHARED / "darker_base.toml")
    (planned,) = set(names(answered)) - {"done-1"}
    assert "choose it first" in refused("visit", "export", planned, "--format", "ics")


@pytest.mark.parametrize("ending", ["toml", "json"])
def test_a_visit_is_mended_by_export_and_import(answered, lift, refused, done, tmp_path, ending):
    path = tmp_path / f"out.{ending}"
    lift("visit", "export", "done-1", path)
    path.write_text(path.read_text("utf-8").replace('"7.5"', '"8"'), "utf-8")
    assert "--replace" in refused("visit", "import", path)
    answered("visit", "import", "--replace", path)
    kept = json.loads(answered("visit", "show", "done-1", "--json"))
    assert kept["visit"]["came_out"][0]["seen"] == "8"
    assert (kept["number"], kept["revision"]) == (1, 2)


def test_a_client_has_a_history(answered, done, tmp_path):
    (tmp_path / "early.toml").write_text(DONE.replace("done-1", "early-1").replace("2025", "2024"))
    (tmp_path / "other.toml").write_text(DONE.replace("done-1", "other-1").replace("qf4", "xx4"))
    answered("visit", "import", tmp_path / "early.toml", tmp_path / "other.toml")
    assert names(answered) == ["done-1", "early-1", "other-1"]
    assert names(answered, "--client", "qf4-mk7") == ["early-1", "done-1"]


def test_deleting(answered, refused, done):
    assert "add --yes" in refused("visit", "delete", "--client", "qf4-mk7")
    assert "give exactly one" in refused("visit", "delete")
    assert answered("visit", "delete", "--client", "qf4-mk7", "--yes").strip().endswith("1 visit.")
    assert "no visit" in refused("visit", "delete", "done-1")
    assert b"qf4-mk7" not in default_path().read_bytes()


def test_a_wrong_file_is_told_with_its_place(refused, tmp_path):
    path = tmp_path / "wrong.toml"
    path.write_text(DONE.replace("natural_level = 6", "natural_level = 16"), "utf-8")
    assert "wrong.toml, line 14, zones[1].natural_level" in refused("visit", "import", path)
    path = tmp_path / "wrong.json"
    path.write_text('{"zones": [{"name": "base"}]}', "utf-8")
    assert "zones[1]: natural_level is missing" in refused("visit", "import", path)
    path.write_text('{"version": 9}', "utf-8")
    assert "newer than 1" in refused("visit", "import", path)
    assert not default_path().exists()
