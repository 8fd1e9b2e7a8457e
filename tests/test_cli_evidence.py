"""`lift evidence`."""

import json

import pytest

from lift.cli import main


def run(monkeypatch, capsys, *words):
    monkeypatch.setattr("sys.argv", ["lift", *words])
    with pytest.raises(SystemExit) as stop:
        main()
    return stop.value.code, capsys.readouterr()


def test_prints_source_expected_and_got(monkeypatch, capsys):
    code, printed = run(monkeypatch, capsys, "evidence")
    assert code == 0
    lines = printed.out.splitlines()
    checks = [line for line in lines if line.startswith("  pass")]
    for word in ("source", "expected", "got"):
        assert sum(line.strip().startswith(word) for line in lines) == len(checks)
    assert lines[-1] == f"{len(checks)} of {len(checks)} checks pass."
    assert any("the model was fitted to this" in line for line in checks)


def test_json_and_exit_code_with_a_bad_curve_set(monkeypatch, capsys, tmp_path):
    from lift.model.curves import default_curves

    path = tmp_path / "warm.toml"
    default_curves().replace(lightening_rate=0.5).save(path)
    code, printed = run(monkeypatch, capsys, "evidence", "--json", "--curves", str(path))
    assert code == 1
    rows = json.loads(printed.out)
    assert {"name", "kind", "source", "expected", "got", "passed", "fitted", "code"} == set(rows[0])
    assert not all(row["passed"] for row in rows)
