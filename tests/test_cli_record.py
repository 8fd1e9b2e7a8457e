"""`lift record`. Every record here is invented."""

import csv
import io
import json

import pytest

from lift.cli import main
from lift.practice.records.record_store import RecordStore

ADD = ("record", "add", "--level", "5", "--volume", "20", "--mixture", "powder")


@pytest.fixture(autouse=True)
def own_folder(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def run(monkeypatch, capsys, *words):
    monkeypatch.setattr("sys.argv", ["lift", *words])
    with pytest.raises(SystemExit) as stop:
        main()
    return stop.value.code, capsys.readouterr()


def add(monkeypatch, capsys, minutes, seen, *more):
    words = (*ADD, "--minutes", str(minutes), "--seen", seen, "--invented", *more)
    return run(monkeypatch, capsys, *words)


def test_add_makes_a_code_and_compares_with_the_prediction(monkeypatch, capsys, tmp_path):
    code, printed = add(monkeypatch, capsys, 25, "8.5", "--zone", "regrowth")
    assert code == 0
    assert "Record 1 kept for client" in printed.out
    assert "(invented)" in printed.out
    assert "seen 8.5, predicted" in printed.out
    assert "Allergy test 48 h before" in printed.out
    with RecordStore() as store:
        kept = store.records()[0]
    assert kept.client in printed.out
    assert store.path.parent == tmp_path / "data" / "lift"
    assert kept.zone == "regrowth"


def test_add_says_when_something_looks_wrong(monkeypatch, capsys):
    _, printed = add(monkeypatch, capsys, 30, "3")
    assert "UNUSUAL, check what was typed" in printed.out


def test_add_json(monkeypatch, capsys):
    code, printed = add(monkeypatch, capsys, 25, "55,11,33", "--client", "qf4-mk7", "--json")
    payload = json.loads(printed.out)
    assert code == 0
    assert payload["record"]["client"] == "qf4-mk7"
    assert payload["record"]["number"] == 1
    assert len(payload["predicted"]["mean"]) == 3
    assert payload["cautions"]


def test_list_export_and_delete(monkeypatch, capsys, tmp_path):
    for seen, client in (("8", "aa1"), ("8.5", "bb2"), ("9", "aa1")):
        add(monkeypatch, capsys, 25, seen, "--client", client)
    _, printed = run(monkeypatch, capsys, "record", "list")
    assert [line.split()[2] for line in printed.out.splitlines()[1:4]] == ["aa1", "bb2", "aa1"]
    assert "strand test first" in printed.out
    _, printed = run(monkeypatch, capsys, "record", "list", "--client", "bb2", "--json")
    assert [r["client"] for r in json.loads(printed.out)["records"]] == ["bb2"]

    _, printed = run(monkeypatch, capsys, "record", "export")
    assert len(list(csv.DictReader(io.StringIO(printed.out)))) == 3
    assert "strand test first" in printed.err
    for name in ("out.csv", "out.json"):
        code, printed = run(monkeypatch, capsys, "record", "export", str(tmp_path / name))
        assert (code, printed.out) == (0, "")
        assert (tmp_path / name).stat().st_mode & 0o077 == 0
    assert len(json.loads((tmp_path / "out.json").read_text())["records"]) == 3
    assert len((tmp_path / "out.csv").read_text().splitlines()) == 4

    code, printed = run(monkeypatch, capsys, "record", "delete", "--client", "aa1")
    assert code == 2
    assert "deletes 2 records for good; add --yes" in printed.err
    _, printed = run(monkeypatch, capsys, "record", "delete", "--client", "aa1", "--yes")
    assert "Deleted for good: 2 records." in printed.out
    _, printed = run(monkeypatch, capsys, "record", "delete", "--number", "2")
    assert "Deleted for good: 1 record." in printed.out
    _, printed = run(monkeypatch, capsys, "record", "list")
    assert printed.out == "No records.\n"


def test_own_file_and_delete_all(monkeypatch, capsys, tmp_path):
    path = str(tmp_path / "mine.sqlite")
    add(monkeypatch, capsys, 25, "8", "--file", path)
    code, printed = run(monkeypatch, capsys, "record", "list")
    assert code == 2
    assert "no records at" in printed.err
    run(monkeypatch, capsys, "record", "delete", "--all", "--yes", "--file", path)
    with RecordStore(path) as store:
        assert store.records() == ()


def test_learn_writes_curves_that_preview_uses(monkeypatch, capsys, tmp_path):
    own, picture = tmp_path / "mine.toml", tmp_path / "mine.png"
    for minutes, seen in ((15, "7.5"), (20, "8.5"), (25, "9.5"), (10, "6.7"), (15, "7.6")):
        add(monkeypatch, capsys, minutes, seen)
    words = ("record", "learn", "--invented", "-o", str(own), "--plot", str(picture))
    code, printed = run(monkeypatch, capsys, *words)
    assert code == 0
    for text in (
        "Learned from 5 INVENTED records of 5 clients",
        "levels before; now",
        "each client left out",
        "NOT DETERMINED: only an instrument's CIELAB tells",
        "times",
        "Curve set mine: tuned to 5 INVENTED records of 5 clients.",
        "Follow the maker's directions",
    ):
        assert text in printed.out
    assert picture.read_bytes().startswith(b"\x89PNG")
    ask = ("preview", "--level", "5", "--volume", "20", "--minutes", "30", "--json")
    plain = json.loads(run(monkeypatch, capsys, *ask)[1].out)
    learned = json.loads(run(monkeypatch, capsys, *ask, "--curves", str(own))[1].out)
    assert learned["at"]["level"]["median"] > plain["at"]["level"]["median"]
    assert learned["curve_set"]["name"] == "mine"
    _, printed = run(monkeypatch, capsys, "record", "learn", "--invented", "--json")
    assert json.loads(printed.out)["shifts"]["rate"]["mean"] > 0.0
    code, printed = run(monkeypatch, capsys, "record", "learn")
    assert code == 2
    assert "all records are invented" in printed.err


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
def test_bad_input_is_one_line_and_leaves_no_file(monkeypatch, capsys, tmp_path, words, reason):
    code, printed = add(monkeypatch, capsys, 25, "8", *words)
    assert code == 2
    assert printed.out == ""
    assert reason in printed.err
    assert printed.err.count("\n") == 1
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
def test_bad_requests(monkeypatch, capsys, words, reason):
    run(monkeypatch, capsys, *ADD, "--minutes", "25", "--seen", "8")
    code, printed = run(monkeypatch, capsys, *words)
    assert code == 2
    assert reason in printed.err
