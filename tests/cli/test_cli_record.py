"""`lift record`. Every record here is invented."""

import csv
import io
import json

import pytest

from lift.practice.records.record_store import RecordStore

ADD = ("record", "add", "--level", "5", "--volume", "20", "--mixture", "powder")


@pytest.fixture(autouse=True)
def own_folder(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def add(call, minutes, seen, *more):
    words = (*ADD, "--minutes", str(minutes), "--seen", seen, "--invented", *more)
    return call(*words)


def test_add_makes_a_code_and_compares_with_the_prediction(answered, tmp_path):
    out = add(answered, 25, "8.5", "--zone", "regrowth")
    assert "Record 1 kept for client" in out
    assert "(invented)" in out
    assert "seen 8.5, predicted" in out
    assert "Allergy test 48 h before" in out
    with RecordStore() as store:
        kept = store.records()[0]
    assert kept.client in out
    assert store.path.parent == tmp_path / "data" / "lift" / "page"
    assert kept.zone == "regrowth"


def test_add_says_when_something_looks_wrong(answered):
    assert "UNUSUAL, check what was typed" in add(answered, 30, "3")


def test_add_json(answered):
    payload = json.loads(add(answered, 25, "55,11,33", "--client", "qf4-mk7", "--json"))
    assert payload["record"]["client"] == "qf4-mk7"
    assert payload["record"]["number"] == 1
    assert len(payload["predicted"]["mean"]) == 3
    assert payload["cautions"]


def test_list_export_and_delete(lift, answered, refused, tmp_path):
    for seen, client in (("8", "aa1"), ("8.5", "bb2"), ("9", "aa1")):
        add(lift, 25, seen, "--client", client)
    out = answered("record", "list")
    assert [line.split()[2] for line in out.splitlines()[1:4]] == ["aa1", "bb2", "aa1"]
    assert "strand test first" in out
    out = answered("record", "list", "--client", "bb2", "--json")
    assert [r["client"] for r in json.loads(out)["records"]] == ["bb2"]

    _, out, err = lift("record", "export")
    assert len(list(csv.DictReader(io.StringIO(out)))) == 3
    assert "strand test first" in err
    for name in ("out.csv", "out.json"):
        code, out, err = lift("record", "export", str(tmp_path / name))
        assert (code, out) == (0, "")
        assert (tmp_path / name).stat().st_mode & 0o077 == 0
    assert len(json.loads((tmp_path / "out.json").read_text())["records"]) == 3
    assert len((tmp_path / "out.csv").read_text().splitlines()) == 4

    sure = refused("record", "delete", "--client", "aa1")
    assert "deletes 2 records for good; add --yes" in sure
    out = answered("record", "delete", "--client", "aa1", "--yes")
    assert "Deleted for good: 2 records." in out
    out = answered("record", "delete", "--number", "2")
    assert "Deleted for good: 1 record." in out
    out = answered("record", "list")
    assert out == "No records.\n"


def test_own_file_and_delete_all(lift, refused, tmp_path):
    path = str(tmp_path / "mine.sqlite")
    add(lift, 25, "8", "--file", path)
    assert "no records at" in refused("record", "list")
    lift("record", "delete", "--all", "--yes", "--file", path)
    with RecordStore(path) as store:
        assert store.records() == ()


def test_learn_writes_curves_that_preview_uses(lift, answered, refused, tmp_path):
    own, picture = tmp_path / "mine.toml", tmp_path / "mine.png"
    for minutes, seen in ((15, "7.5"), (20, "8.5"), (25, "9.5"), (10, "6.7"), (15, "7.6")):
        add(lift, minutes, seen)
    words = ("record", "learn", "--invented", "-o", str(own), "--plot", str(picture))
    out = answered(*words)
    for text in (
        "Learned from 5 INVENTED records of 5 clients",
        "levels before; now",
        "each client left out",
        "NOT DETERMINED: only an instrument's CIELAB tells",
        "times",
        "Curve set mine: tuned to 5 INVENTED records of 5 clients.",
        "maker's directions and limits",
    ):
        assert text in out
    assert picture.read_bytes().startswith(b"\x89PNG")
    ask = ("preview", "--level", "5", "--volume", "20", "--minutes", "30", "--json")
    plain = json.loads(answered(*ask))
    learned = json.loads(answered(*ask, "--curves", str(own)))
    assert learned["at"]["level"]["median"] > plain["at"]["level"]["median"]
    assert learned["curve_set"]["name"] == "mine"
    out = answered("record", "learn", "--invented", "--json")
    assert json.loads(out)["shifts"]["rate"]["mean"] > 0.0
    assert "all records are invented" in refused("record", "learn")


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (("--client", "jane@example.org"), "e-mail"),
        (("--client", "jane"), "could be a name"),
        (("--date", "yesterday"), "date 'yesterday'"),
        (("--zone", "fringe"), "zone 'fringe'"),
        (("--seen", "14"), "level seen 14"),
        (("--seen", "50,8"), "is not a level (7.5)"),
        (("--minutes", "inf"), "time of the look"),
        (("--volume", "90", "--parts", "9"), "12 %"),
        (("--level", "nan"), "natural level"),
    ],
    ids=str,
)
def test_bad_input_is_one_line_and_leaves_no_file(refused, tmp_path, words, reason):
    assert reason in add(refused, 25, "8", *words)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (("record", "export", "x.xls"), "format 'xls'"),
        (("record", "export", "no/such/x.csv"), "cannot write"),
        (("record", "delete"), "exactly one of the three"),
        (("record", "delete", "--number", "x"), "record number"),
        (("record", "learn"), "1 record to learn from"),
        (("record", "learn", "--invented"), "all records are real"),
        (("record", "learn", "--plot", "x.gif"), "does not end in"),
    ],
    ids=str,
)
def test_bad_requests(lift, refused, words, reason):
    lift(*ADD, "--minutes", "25", "--seen", "8")
    assert reason in refused(*words)
