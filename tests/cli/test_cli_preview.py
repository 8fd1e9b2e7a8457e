"""`lift preview` and the command line as such."""

import json
import os
import subprocess
import sys

import numpy as np
import pytest

from lift import __version__
from lift.answers import to_dict
from lift.cli import COMMANDS, app
from lift.model.curves import default_curves
from lift.model.hair import RED_SHARE, Hair
from lift.model.mixture import Mixture
from lift.model.stages import EXPOSED
from lift.model.trajectory import simulate
from lift.practice.cautions import ALWAYS
from lift.practice.goal import Lighten
from lift.practice.preview import preview

BASE = ("--level", "7", "--volume", "10", "--minutes", "5")
FULL = (*BASE, "--fibre", "fine", "--damp", "--mixture", "base-break")
HEADS = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF", "PNG": b"\x89PNG"}


@pytest.mark.parametrize("grey", ["0", "10", "30"])
def test_grey_is_told_and_decides_nothing(answered, grey):
    """The window and the risk are those of the pigmented fibres; what the eye blends is beside."""
    words = ("preview", *FULL, "--minutes", "15", "--grey", grey)
    out, plain = answered(*words), answered(*words[:-2])
    for told in ("Window ", "Risk ", "Then tone ", "Underpigment", "Warmth "):
        lines = [" ".join(x.split()) for x in (out + plain).splitlines() if x.startswith(told)]
        assert len(lines) == 2
        assert lines[0] == lines[1]
    assert "TOO WARM" in out
    heads = [line.split("  ")[0] for line in out.splitlines()]
    assert (grey != "0") is ("Pigmented" in heads) is ("White" in heads) is ("As seen" in heads)
    found = json.loads(answered(*words, "--json"))
    if grey == "30":
        assert "white fibres hide warm ones" in out
        assert found["at"]["fibres"]["blend_warmth"] < found["window"]["warmth_limit"]


def command(*words):
    return subprocess.run(
        [sys.executable, "-m", "lift", *words], capture_output=True, text=True, check=False
    )


def test_from_a_cold_start_in_under_a_second():
    """In processor time, since the clock also counts what else a busy machine does."""
    took = []
    for _ in range(2):
        before = os.times()
        done = command("preview", *FULL)
        after = os.times()
        took.append(
            after.children_user
            - before.children_user
            + after.children_system
            - before.children_system
        )
        assert (done.returncode, done.stderr) == (0, "")
    assert "Window" in done.stdout
    assert "\x1b[" not in done.stdout
    assert min(took) < 1.0


def test_bad_input_in_a_process_of_its_own():
    done = command("preview", *BASE, "--volume", "nan")
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr == "lift: developer volume nan vol is outside 0 to 100 vol\n"


def test_plain_words_with_no_color(answered, monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")
    out = answered("preview", *FULL)
    assert "\x1b[" not in out
    assert "\u2588" not in out
    assert out.startswith("base-break, 10 vol on natural level 7, 50 um, damp")


def test_json_is_that_of_the_model(answered):
    out = answered("preview", *FULL, "--json")
    expected = preview(Hair(7.0, "fine", damp=True), Mixture("base-break", 10.0), 5.0)
    expected = to_dict(expected)
    assert json.loads(out) == json.loads(json.dumps(expected))


@pytest.mark.parametrize("more", [(), ("--mixture", "powder"), ("--goal", "8"), ("--grey", "30")])
def test_what_is_done_comes_first_and_brief_ends_there(answered, more):
    whole, brief = (
        answered("preview", *BASE, *more, *last).split("\n\n") for last in ((), ("--brief",))
    )
    lines = whole[0].splitlines()
    assert lines == brief[0].splitlines()
    labels = ["Mix", "Rinse", "Then tone", "Risk"]
    assert [line[:11].strip() for line in lines[1:]] == labels
    assert whole[1].startswith("Colour")
    cautions = [line for part in brief[1:] for line in part.split("\n") if line]
    assert all(line.startswith("  ! ") for line in cautions)
    assert ("Persulfate" in cautions[0]) == ("powder" in more)


@pytest.mark.parametrize("more", [(), ("--json",), ("--brief",), ("--goal", "8")])
def test_cautions_are_always_shown(answered, more):
    out = answered("preview", *BASE, *more)
    text = " ".join(json.loads(out)["cautions"]) if "--json" in more else out
    for line in map(str, ALWAYS):
        assert line in text


@pytest.mark.parametrize(
    ("words", "field", "value"),
    [
        (("--fibre", "fine"), "fibre_um", 50.0),
        (("--fibre", "medium"), "fibre_um", 70.0),
        (("--fibre", "coarse"), "fibre_um", 90.0),
        (("--fibre", "62.5"), "fibre_um", 62.5),
        ((), "fibre_um", 70.0),
        (("--damp",), "damp", True),
        ((), "damp", False),
        (("--grey", "30"), "grey_percent", 30.0),
        (("--red",), "pheomelanin_share", RED_SHARE),
        (("--lightened-to", "8.5"), "lightened_to", 8.5),
        (("--mixture", "powder"), "mixture", "powder"),
        (("--mixture", "powder"), "developer_parts", 2.0),
        (("--parts", "1.5"), "developer_parts", 1.5),
        (("--parts", "1.5"), "on_head_volume", 6.0),
        (("--ph", "9.5"), "ph", 9.5),
        (("--temperature", "35"), "temperature_c", 35.0),
        (("--carry", "violet=2,blue=1"), "tone", {"violet": 2.0, "blue": 1.0}),
        (("--mixture", "base-break", "--carry", "none"), "tone", {}),
        (("--volume", "10:2,40:1"), "volume", 20.0),
        (("--goal", "8"), "goal_level", 8.0),
        (("--goal", "8 warmth=6"), "warmth_limit", 6.0),
        (("--goal", "warmth=6"), "warmth_limit", 6.0),
        (("--goal", "60,5,20"), "goal", "a match of L* 60, a* 5, b* 20"),
        (("--minutes", "0"), "minutes", 0.0),
    ],
)
def test_options_reach_the_model(answered, words, field, value):
    assert json.loads(answered("preview", *BASE, *words, "--json"))["inputs"][field] == value


def test_goal_decides_the_window(answered):
    out = json.loads(answered("preview", *FULL, "--goal", "7.4 warmth=8", "--json"))
    expected = preview(
        Hair(7.0, "fine", damp=True),
        Mixture("base-break", 10.0),
        5.0,
        Lighten(level=7.4, warmth=8.0),
    )
    assert out["window"]["opens"] == pytest.approx(expected.window.opens, abs=1e-4)
    assert out["window"]["closes"] == pytest.approx(expected.window.closes, abs=1e-4)


BAD = {
    "--level": ("natural level", ["nan", "inf", "seven", "0.9", "10.1", ""]),
    "--volume": ("developer volume", ["nan", "inf", "weak", "-1", "100.1", "10:1,nan:1"]),
    "--minutes": ("processing time", ["nan", "-inf", "soon", "-1", "120.1"]),
    "--fibre": ("fibre", ["nan", "inf", "thick", "29", "131"]),
    "--grey": ("grey", ["nan", "inf", "some", "-1", "101"]),
    "--lightened-to": ("earlier lightening", ["nan", "inf", "blond", "6", "12.1"]),
    "--parts": ("developer parts", ["nan", "inf", "two", "0", "11"]),
    "--ph": ("pH", ["nan", "inf", "soapy", "1", "14"]),
    "--temperature": ("temperature", ["nan", "inf", "warm", "9", "51"]),
    "--carry": ("", ["violet", "violet=", "violet=nan", "violet=inf", "violet=61", "purpel=1"]),
    "--goal": ("goal", ["nan", "blond", "0", "13", "6", "60,5", "60,5,nan", "8 warmth="]),
    "--mixture": ("mixture", ["powdr", "", "bleach"]),
    "--curves": ("", ["missing.toml", "."]),
    "--plot": ("", ["picture.gif", "picture", "nowhere/picture.png"]),
}


@pytest.mark.parametrize(
    ("option", "value"), [(option, value) for option in BAD for value in BAD[option][1]]
)
def test_bad_input_is_one_line(refused, option, value):
    message = refused("preview", *BASE, option, value)
    assert BAD[option][0] in message


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--level", "11"), "natural level 11 is outside 1 to 10; nearest: 10"),
        (("--fibre", "fin"), "'fin' is not fine, medium, coarse nor a number of 30 to"),
        (("--mixture", "base break"), "did you mean base-break?"),
        (("--carry", "violett=1"), "did you mean violet?"),
        (("--goal", "5"), "is darker than the hair (level 7)"),
        (("--lightened-to", "6"), "is darker than the natural level 7; nearest: 7"),
    ],
)
def test_bad_input_names_the_nearest_valid(refused, words, message):
    assert message in refused("preview", *BASE, *words)


@pytest.mark.parametrize(
    "words", [("--volume", "100", "--parts", "3"), ("--volume", "61", "--mixture", "powder")]
)
def test_over_12_percent_is_refused_naming_the_regulation(refused, words):
    message = refused("preview", *BASE, *words)
    assert "Regulation (EC) 1223/2009, Annex III" in message
    assert "at most 12 % H2O2 (40 volumes)" in message


def test_missing_and_unknown_options(refused):
    assert "Missing option '--minutes'" in refused("preview", "--level", "7", "--volume", "10")
    assert "No such option" in refused("preview", *BASE, "--colour", "red")
    assert "requires an argument" in refused("preview", *BASE, "--goal")
    assert "unexpected extra argument" in refused("preview", *BASE, "red")


def test_curve_set_from_a_file(answered, tmp_path):
    path = tmp_path / "slow.toml"
    default_curves().replace(name="slow", lightening_rate=0.05).save(path)
    slow = json.loads(answered("preview", *FULL, "--curves", str(path), "--json"))
    usual = json.loads(answered("preview", *FULL, "--json"))
    assert slow["curve_set"]["name"] == "slow"
    assert slow["at"]["lift"]["median"] < usual["at"]["lift"]["median"]
    assert "Curve set slow" in answered("preview", *FULL, "--curves", str(path))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("name = 'x'", "has no [parameters.NAME] tables"),
        ("[parameters.fade_minutes]\nvalue = 40", "needs value, unit, low, high, status, source"),
    ],
)
def test_bad_curve_set_file(refused, tmp_path, text, message):
    path = tmp_path / "bad.toml"
    path.write_text(text)
    assert message in refused("preview", *FULL, "--curves", str(path))


@pytest.mark.parametrize("ending", HEADS)
def test_picture(answered, tmp_path, ending):
    path = tmp_path / f"picture.{ending}"
    out = answered("preview", *FULL, "--plot", str(path))
    assert out.rstrip().endswith(f"Picture: {path}")
    assert path.read_bytes().startswith(HEADS[ending])
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_picture_and_json_leave_only_json_on_stdout(answered, tmp_path):
    path = tmp_path / "picture.svg"
    out = answered("preview", *FULL, "--plot", str(path), "--json")
    assert json.loads(out)["at"]["minutes"] == 5.0
    assert path.exists()


def test_nothing_is_written_when_the_input_is_bad(refused, tmp_path):
    refused("preview", *BASE, "--level", "99", "--plot", str(tmp_path / "picture.png"))
    (tmp_path / "taken.png").mkdir()
    message = refused("preview", *BASE, "--plot", str(tmp_path / "taken.png"))
    assert "cannot write picture" in message
    assert [p.name for p in tmp_path.iterdir()] == ["taken.png"]


# The command line as such.


def test_version(lift):
    assert lift("--version") == (0, f"lift, version {__version__}\n", "")


def test_help_lists_every_command(answered):
    out = answered("--help")
    for name in COMMANDS:
        assert f"\n  {name} " in out
    assert "allergy and strand test first" in out


@pytest.mark.parametrize("name", ["preview", "stages", "tone"])
def test_help_of_a_command_needs_nothing_else(answered, name):
    out = answered(name, "-h")
    assert f"lift {name} [OPTIONS]" in out


def test_arguments_are_not_listed_among_the_options(answered):
    out = answered("plan", "--help")
    usage, options = out.split("Options:")
    assert "lift plan [OPTIONS] FILE\n" in usage
    assert "\n  --strand FILE" in options
    assert "\n  FILE" not in options


def test_nothing_asked_shows_the_help(lift):
    code, out, err = lift()
    assert code == 2
    assert "Commands:" in out + err
    assert "lift: Usage" not in err


def test_unknown_command_suggests_the_nearest(refused):
    assert "did you mean preview?" in refused("prevew", *BASE)
    assert app.get_command(None, "prevew") is None


def test_stopped_by_hand(lift, monkeypatch):
    def stop(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr("lift.practice.preview.preview", stop)
    code, out, err = lift("preview", *BASE)
    assert (code, out, err.strip()) == (130, "", "lift: stopped")


@pytest.mark.parametrize("more", [(), ("--red",), ("--grey", "30")])
def test_hair_that_nothing_was_done_to_is_natural(answered, more):
    asked = ("preview", "--level", "6", "--volume", "20", "--minutes", "0", *more)
    out = answered(*asked)
    line = next(line for line in out.splitlines() if line.startswith("Underpigment"))
    assert line.split(maxsplit=1)[1].strip() == (
        "natural, nothing exposed yet, on more than 99 in 100 strands"
    )
    at = json.loads(answered(*asked, "--json"))["at"]
    assert (at["stage"], at["stage_chances"]) == ("natural", {"natural": 1.0})


def test_stages_are_named_once_warmth_is_exposed(answered):
    """About half the strands are natural yet when the expected one stops being so."""
    minutes = np.linspace(0.0, 20.0, 401)
    shown = simulate(Hair(6.0), Mixture("cream", 20.0), minutes).exposed
    turns = float(np.interp(EXPOSED, shown, minutes))
    asked = ("preview", "--level", "6", "--volume", "20", "--minutes", f"{turns:.2f}")
    at = json.loads(answered(*asked, "--json"))["at"]
    chances = at["stage_chances"]
    assert 0.2 < chances["natural"] < 0.8
    assert sum(chances.values()) == pytest.approx(1.0, abs=1e-3)
    assert len(chances) > 2


@pytest.mark.parametrize(("typed", "share"), [((), 0.42), (("0.35",), 0.35)])
def test_red_hair_alone_or_with_its_share(answered, typed, share):
    asked = ("preview", "--level", "5", "--red", *typed, "--volume", "20", "--minutes", "20")
    assert json.loads(answered(*asked, "--json"))["inputs"]["pheomelanin_share"] == share


def test_a_share_of_red_hair_out_of_range_is_refused(lift):
    words = ("preview", "--level", "5", "--red", "1.4", "--volume", "20", "--minutes", "20")
    code, out, err = lift(*words)
    assert (code, out) == (2, "")
    assert "pheomelanin share 1.4 is outside 0 to 1; nearest: 1" in err


def test_why_takes_the_bands_apart(answered):
    asked = ("preview", "--level", "5", "--volume", "30", "--minutes", "30")
    plain, more = answered(*asked), answered(*asked, "--why")
    found = json.loads(answered(*asked, "--json"))["why"]
    share = found["warmth"]["head_share"]
    assert f"{share:.0%} is this head, {1.0 - share:.0%} what nobody has measured" in plain
    assert "90 % of strands" not in plain
    assert "90 % of strands" in more
    for name in ("level", "warmth"):
        for part in ("of_head", "unmeasured", "whole"):
            low, high = found[name][part]
            assert f"{low:.1f} to {high:.1f}" in more
    assert all(f"({cause['share']:.0%})" in more for cause in found["causes"])
