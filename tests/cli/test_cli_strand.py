"""`lift strand`, and `lift preview --strand`."""

import json
import re

import pytest

pytestmark = pytest.mark.slow

HAIR = ("--level", "7", "--fibre", "fine", "--damp")
BASE_BREAK = ("strand", *HAIR, "--volume", "10", "--mixture", "base-break")


def test_prints_what_was_seen_and_what_moved(answered):
    out = answered(*BASE_BREAK, "--seen", "14:7.7", "--seen", "3:7.1")
    for words in (
        "level 7.7 at 14 min: useful time",
        "level 7.1 at 3 min: USELESS time",
        "% narrower",
        "inside before anything was seen",
        "Window before",
        "Window now",
        "Look again",
        "effective draws",
        "Allergy test 48 h before",
        "Follow the maker's directions",
        "Rinse at once on pain",
    ):
        assert words in out
    assert "\x1b" not in out


def test_what_is_done_comes_first_and_brief_ends_there(answered):
    for more, look in (((), "Look       at"), (("--seen", "4:7.2"), "Look       again at")):
        whole, brief = (
            answered(*BASE_BREAK, *more, *last).split("\n\n") for last in ((), ("--brief",))
        )
        lines = whole[0].splitlines()
        assert lines == brief[0].splitlines()
        labels = ("Mix", "Look", "Rinse", "Then tone", "Risk")
        assert [line[:11].strip() for line in lines[1:]] == list(labels)
        assert lines[2].startswith(look)
        assert ("before anything was seen" in lines[-1]) == bool(more)
        # The planned rinse is told as finely as hands can meet it.
        assert re.search(r"Risk +at \d+(\.\d)? min [A-Z]", lines[-1])
        assert all(line.startswith("  ! ") for line in "\n".join(brief[1:]).split("\n") if line)
    assert "Curve set" in whole[-1]


def test_a_useless_time_is_named_with_the_best(answered):
    out = answered(*BASE_BREAK, "--seen", "0.2:7", "--minutes", "5")
    line = next(line for line in out.splitlines() if "0.2 min" in line)
    assert "USELESS time" in line
    assert "tells most" in line


@pytest.mark.parametrize("flags", [[], ["--when"], ["--when", "--by", "instrument"]])
def test_when_to_look(answered, flags):
    out = answered(*BASE_BREAK, *flags)
    assert "expected to settle" in out
    assert ("with the instrument" if "instrument" in flags else "by eye") in out
    assert "Window now" not in out
    assert "strand test first" in out


def test_when_leaves_out_what_moved(answered):
    out = answered(*BASE_BREAK, "--seen", "14:8.3", "--when")
    assert "Look again" in out
    assert "Window now" not in out


def test_unusual_observations_are_said_to_be_so(answered):
    powder = (
        "--level",
        "5",
        "--volume",
        "20",
        "--mixture",
        "powder",
        "--seen",
        "10:8.6",
        "--goal",
        "8",
    )
    out = answered("strand", *powder)
    assert "Unusual: fewer than 1 in 100 strands" in out


def test_file_json_and_picture(lift, answered, refused, tmp_path):
    kept, picture = tmp_path / "strand.json", tmp_path / "strand.png"
    words = [*BASE_BREAK, "--seen", "14:9", "--save", str(kept), "--plot", str(picture)]
    out = answered(*words)
    assert f"Picture: {picture}" in out
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["strand.json", "strand.png"]
    payload = json.loads(answered(*BASE_BREAK, "--seen", "14:9", "--json"))
    asked = ["preview", *BASE_BREAK[1:], "--minutes", "5", "--json"]
    plain = json.loads(answered(*asked))
    tested = json.loads(answered(*asked, "--strand", str(kept)))
    assert plain["window"]["closes"] == pytest.approx(payload["before"]["window"]["closes"])
    after = payload["after"]["window"]["closes"]
    assert tested["window"]["closes"] == pytest.approx(after, abs=0.01)
    assert after < plain["window"]["closes"]
    other = [w if w != "7" else "6" for w in asked]
    assert "other hair: level 7 there, 6 here" in refused(*other, "--strand", str(kept))


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (["--seen", "10:5"], "darker"),
        (["--seen", "10:8.5", "--seen", "15:6.5"], "darker than level 8.5 at 10 min"),
        (["--seen", "200:9"], "time of the look 200 min is outside 0 to 120 min"),
        (["--seen", "20:9"], "processing time 20 min is outside 0 to 15 min"),
        (["--seen", "5:11"], "10 stands for 10 or lighter"),
        (["--seen", "5"], "MINUTES:LEVEL"),
        (["--seen", "5:48,8"], "MINUTES:L*,a*,b*"),
        (["--minutes", "nan"], "rinse time"),
        (["--save", "x.json"], "give --seen"),
        (["--seen", "14:8.3", "--save", "no/such/x.json"], "cannot write strand file"),
        (["--plot", "x.gif"], "does not end in"),
        (["--goal", "blonde"], "goal 'blonde'"),
    ],
    ids=str,
)
def test_bad_input_is_one_line_and_exit_2(refused, words, reason):
    assert reason in refused(*BASE_BREAK, *words)
