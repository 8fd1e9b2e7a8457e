"""``lift plan`` as it is called."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from lift.cli import app, main
from lift.practice.cautions import ALWAYS

SHARED = Path(__file__).parents[1] / "shared"
DEMOS = sorted(SHARED.glob("*.toml"))


def run(*args):
    done = CliRunner().invoke(app, ["plan", *map(str, args)], catch_exceptions=False)
    assert done.exit_code == 0
    return done.output


def fail(capsys, monkeypatch, *args):
    monkeypatch.setattr("sys.argv", ["lift", "plan", *map(str, args)])
    with pytest.raises(SystemExit) as caught:
        main()
    out, err = capsys.readouterr()
    assert caught.value.code == 2
    assert out == ""
    assert err.count("\n") == 1
    return err


def test_a_caret_shows_what_is_no_toml(tmp_path, monkeypatch, capsys):
    path = tmp_path / "wrong.toml"
    path.write_text('title = "x"\nabout = = 5\n')
    monkeypatch.setattr("sys.argv", ["lift", "plan", str(path)])
    with pytest.raises(SystemExit):
        main()
    first, *shown = capsys.readouterr().err.splitlines()
    assert first.startswith(f"lift: {path}, line 2, column 9 is not valid TOML: ")
    assert shown == ["  about = = 5", "          ^"]


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_every_demo_is_told_in_words(path):
    text = run(path)
    assert "Invented for demonstration" in text
    for words in ("Zones", "Blend", "Next visit", "One bowl serves", "sections"):
        assert words in text
    for caution in map(str, ALWAYS):
        assert caution in text
    assert "Curve set" in text


def test_a_plan_that_exists_and_one_that_does_not():
    assert "rinse all at" in run(SHARED / "blonde_refresh.toml")
    text = run(SHARED / "darker_base.toml")
    assert "NO ORDER KEEPS ALL INSIDE" in text
    assert "Cheapest change that works" in text
    assert "Try (" in text


def test_json_is_the_plan(tmp_path):
    read = json.loads(run(SHARED / "blonde_refresh.toml", "--json"))
    assert read["order"] == ["foils", "base"]
    assert len(read["zones"][0]["sections"]) == 12
    assert set(map(str, ALWAYS)) <= set(read["cautions"])


def test_picture(tmp_path):
    target = tmp_path / "plan.png"
    text = run(SHARED / "grey_blending.toml", "--plot", target)
    assert text.endswith(f"Picture: {target}\n")
    assert target.read_bytes().startswith(b"\x89PNG")


def test_a_strand_test_moves_the_plan(tmp_path):
    kept = tmp_path / "strand.json"
    seen = ["strand", "--level", "7", "--fibre", "fine", "--damp", "--volume", "10"]
    seen += ["--mixture", "base-break", "--seen", "8:7.7", "--save", str(kept)]
    assert CliRunner().invoke(app, seen, catch_exceptions=False).exit_code == 0
    plain, moved = (
        json.loads(run(SHARED / "blonde_refresh.toml", "--json", *more))
        for more in ((), ("--strand", kept))
    )
    # More lift was seen than expected, so everything is ready sooner.
    first = [p["zones"][0]["sections"][0]["opens"] for p in (plain, moved)]
    assert first[1] < first[0]


def test_a_strand_of_other_hair(capsys, monkeypatch, tmp_path):
    kept = tmp_path / "strand.json"
    seen = ["strand", "--level", "4", "--volume", "20", "--seen", "20:5", "--save", str(kept)]
    assert CliRunner().invoke(app, seen, catch_exceptions=False).exit_code == 0
    err = fail(capsys, monkeypatch, SHARED / "blonde_refresh.toml", "--strand", kept)
    assert "no treated zone has the hair of this strand" in err


def test_errors_are_one_line(capsys, monkeypatch, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text((SHARED / "darker_base.toml").read_text("utf-8").replace("= 20", "= nan", 1))
    err = fail(capsys, monkeypatch, bad)
    assert err.startswith(f"lift: {bad}, line ")
    assert "volume nan" in err
    assert "No such file" in fail(capsys, monkeypatch, tmp_path / "none.toml")
    good = SHARED / "darker_base.toml"
    assert "does not end in" in fail(capsys, monkeypatch, good, "--plot", tmp_path / "x.gif")
    assert "Missing argument" in fail(capsys, monkeypatch)


def test_over_twelve_percent_is_refused(capsys, monkeypatch, tmp_path):
    strong = tmp_path / "strong.toml"
    text = (SHARED / "darker_base.toml").read_text("utf-8")
    strong.write_text(text.replace("volume = 20", "volume = 100\ndeveloper_parts = 9"), "utf-8")
    err = fail(capsys, monkeypatch, strong)
    assert "12 % H2O2" in err
    assert "mixtures.base_break" in err
