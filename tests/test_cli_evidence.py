"""`lift evidence`."""

import json
import re
from dataclasses import fields

import pytest

from lift.cli import main
from lift.model.curves import default_curves
from lift.model.strand import Pigment
from lift.research.evidence.checks import STANDINGS


def run(monkeypatch, capsys, *words):
    monkeypatch.setattr("sys.argv", ["lift", *words])
    with pytest.raises(SystemExit) as stop:
        main()
    return stop.value.code, capsys.readouterr()


def test_prints_every_check_by_its_standing(monkeypatch, capsys):
    code, printed = run(monkeypatch, capsys, "evidence")
    assert code == 0
    lines = printed.out.splitlines()
    checks = [line for line in lines if line.startswith("  holds")]
    for word in ("source", "expected", "got"):
        assert sum(line.strip().startswith(word) for line in lines) == len(checks)
    counts = re.findall(r"^(\S.*?): (\d+) of (\d+) hold\. ", printed.out, re.M)
    assert [name.split(":")[0] for name, _, _ in counts] == [
        *("Measured and not fitted", "Measured and fitted", "Practice and fitted"),
        *("Practice and left out", "Apart"),
    ]
    assert sum(int(passed) for _, passed, _ in counts) == len(checks)
    assert all(int(count) > 0 for _, _, count in counts)
    assert re.search(rf"^All +{len(checks)} of {len(checks)} hold", printed.out, re.M)


def test_ends_with_what_the_model_cannot_say(monkeypatch, capsys):
    _, printed = run(monkeypatch, capsys, "evidence")
    _, end = printed.out.split("What the model cannot say\n")
    assert end.startswith("  The chroma of lightened hair, which nobody has measured.")
    chroma = [int(n) for n in re.findall(r"C\* (\d+) with", end)]
    assert len(chroma) == len(fields(Pigment))
    assert max(chroma) > 1.3 * min(chroma)


def test_json_and_exit_code_with_a_bad_curve_set(monkeypatch, capsys, tmp_path):
    path = tmp_path / "warm.toml"
    default_curves().replace(lightening_rate=0.5).save(path)
    code, printed = run(monkeypatch, capsys, "evidence", "--json", "--curves", str(path))
    assert code == 1
    rows = json.loads(printed.out)
    keys = {"name", "kind", "source", "expected", "got", "passed", "fitted", "code"}
    assert set(rows[0]) == keys | {"standing", "standing_code"}
    assert {row["standing_code"] for row in rows} == set(STANDINGS)
    assert not all(row["passed"] for row in rows)


def test_what_does_not_hold_is_said_and_counted(monkeypatch, capsys, tmp_path):
    path = tmp_path / "light.toml"
    default_curves().replace(surface_reflectance=0.05).save(path)
    code, printed = run(monkeypatch, capsys, "evidence", "--curves", str(path))
    assert code == 1
    assert "  FAILS  another black tress" in printed.out
    assert re.search(r"^Measured and not fitted: 0 of \d hold|: 1 of \d hold", printed.out, re.M)
