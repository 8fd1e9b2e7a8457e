"""``lift choose``."""

import json

import pytest

BASE = ("choose", "--level", "7", "--fibre", "fine", "--damp")


def test_first_lines_then_ways_then_cautions(answered):
    out = answered("choose", "--level", "6", "--goal", "lighten 8")
    heads = [line.split("  ")[0] for line in out.splitlines()]
    places = [heads.index(head) for head in ("Mix", "Look", "Rinse", "Then tone", "Risk")]
    assert places == sorted(places)
    assert "goes wrong first" in out
    assert "Allergy test" in out


def test_brief_is_what_to_do_and_the_cautions(answered):
    out = answered("choose", "--level", "6", "--goal", "lighten 8", "--brief")
    assert "Rinse" in out
    assert "goes wrong first" not in out
    assert "Allergy test" in out


def test_json(answered):
    found = json.loads(answered(*BASE, "--goal", "blend", "--json"))
    assert found["goal"]["goal"] == "a natural blend"
    assert found["options"][0]["mixture"] == "base-break"
    assert found["reached"] is True


def test_sittings(answered):
    out = answered("choose", "--level", "2", "--goal", "lighten pale yellow", "--brief")
    assert "Not in one sitting" in out
    assert "Sitting 2" in out


def test_restricted(answered):
    found = json.loads(
        answered("choose", "--level", "6", "--goal", "lighten 8", "--no-powder", "--json")
    )
    assert {option["mixture"] for option in found["options"]} == {"cream"}
    weak = json.loads(
        answered("choose", "--level", "6", "--goal", "8", "--max-volume", "20", "--json")
    )
    assert all(option["volume"] <= 20.0 for option in weak["options"])


@pytest.mark.parametrize("ending", ["png", "svg"])
def test_picture(answered, tmp_path, ending):
    path = tmp_path / f"ways.{ending}"
    out = answered(*BASE, "--goal", "blend 7.6", "--plot", path)
    assert out.rstrip().endswith(f"Picture: {path}")
    assert path.stat().st_size > 1000


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ((), "--goal"),
        (("--goal", "lighten"), "a level or a stage is needed"),
        (("--goal", "blond"), "did you mean blend"),
        (("--goal", "blend 5"), "darker than the hair"),
        (("--goal", "blend", "--max-volume", "50"), "outside 1 to 40 vol; nearest: 40"),
        (("--goal", "blend", "--mixture", "powdr"), "did you mean powder"),
        (("--goal", "blend", "--limit", "0"), "time limit 0 min is outside 1 to 120"),
        (("--goal", "blend", "--plot", "made.gif"), "does not end in"),
    ],
)
def test_bad_input_is_one_line(refused, words, message):
    err = refused(*BASE, *words)
    assert message in err
    assert err.count("\n") <= 1
