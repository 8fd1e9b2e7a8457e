"""`lift tone`."""

import json
import re
import subprocess
import sys

import pytest

from lift.optics.colorimetry import delta_e_2000
from lift.practice.cautions import ALWAYS
from lift.practice.goal import parse_goal
from lift.practice.tone import tone_direction

BASE_BREAK = (
    *("--natural", "7", "--volume", "10", "--minutes", "8"),
    *("--mixture", "base-break", "--fibre", "fine", "--damp"),
)

POWDER = ("--natural", "6", "--volume", "20", "--minutes", "25", "--mixture", "powder")
FIRST = ("Mix", "Rinse", "Then tone", "Or less", "Risk")


def test_shows_everything(answered):
    out = answered("tone", "--lab", "56,10,30")
    for name in (
        *("Hair", "Goal", "Level", "Warmth", "Tone", "State", "Dose", "One dye", "Result"),
        *("Forgiving", "Half dose", "Double", "Verdict", "Other light", "Washing"),
    ):
        assert any(line.startswith(name) for line in out.splitlines()), name
    assert "The wheel says violet, but blue-violet" in out
    assert "REACHED" in out
    assert "past neutral" in out
    assert "still warm" in out
    assert "L* 56.0  a* 10.0  b* 30.0" in out


@pytest.mark.parametrize("how", [("--lab", "56,10,30"), ("--level", "6"), BASE_BREAK])
def test_cautions_are_always_shown(answered, how):
    out = answered("tone", *how)
    for line in map(str, ALWAYS):
        assert line in out
    assert "calibrated to common practice, not measured" in out
    out = answered("tone", *how, "--json")
    assert set(map(str, ALWAYS)) <= set(json.loads(out)["cautions"])


def test_json(answered):
    out = answered("tone", "--level", "10", "--goal", "8.5", "--json")
    found = json.loads(out)
    assert found["tone"]["wheel"] == "violet"
    assert {"hue_deg", "munsell", "wheel", "amount"} <= set(found["tone"])
    assert found["neutralise"]["verdict"] == "reached"
    assert found["neutralise"]["doses"]
    assert [light["light"] for light in found["other_light"]["lights"]][:3] == ["D65", "D50", "A"]


@pytest.mark.parametrize(
    ("how", "labels"),
    [
        (("--lab", "56,10,30"), ["Mix", "Rinse", "Or less", "Risk"]),
        (("--lab", "45,7,18"), ["Risk"]),
        (("--level", "7", "--goal", "8"), ["Risk"]),
        (POWDER, ["Mix", "Rinse", "Then tone", "Or less", "Risk"]),
        (BASE_BREAK, ["Mix", "Rinse", "Then tone", "Risk"]),
    ],
)
def test_what_is_done_comes_first_and_brief_ends_there(answered, how, labels):
    whole, brief = (answered("tone", *how, *more).split("\n\n") for more in ((), ("--brief",)))
    assert whole[0].splitlines() == brief[0].splitlines()
    found = [line[:9].strip() for line in brief[0].splitlines() if not line.startswith(" ")]
    assert [next(one for one in FIRST if label.startswith(one)) for label in found] == labels
    assert whole[1].startswith("Hair")
    # The rest of a brief answer is cautions: every line has its mark, or goes on with one.
    assert all(
        line.startswith(("  ! ", "    ")) for part in brief[1:] for line in part.split("\n") if line
    )
    text = " ".join("\n".join(brief).split())
    assert all(str(line) in text for line in ALWAYS)
    assert ("Persulfate" in text) == (how == POWDER)


def test_risk_of_a_tone_names_the_goal_and_both_sides(answered):
    natural = answered("tone", *POWDER, "--brief")
    assert "REACHED for natural hair of level 8.0; half as much: still warm" in natural
    assert "twice as much: past neutral" in natural
    asked = answered("tone", "--lab", "56,10,26", "--goal", "7", "--brief")
    assert "REACHED for the goal asked, as light as level 7.0; half as much:" in asked
    assert "nothing, if the mixture carries" in answered("tone", *BASE_BREAK, "--brief")
    far = answered(
        "tone", "--natural", "7", "--volume", "40", "--minutes", "10", "--goal", "60,0,90"
    )
    assert "Then tone  nothing that meets the goal" in far
    grown = answered("tone", "--natural", "7", "--volume", "0", "--minutes", "10", "--brief")
    assert "Then tone  none needed" in grown


def test_mixture_on_the_hair(answered):
    out = answered("tone", *BASE_BREAK)
    assert "then lift outruns it" in out
    assert "it carries violet 1.0" in out
    out = answered("tone", *BASE_BREAK, "--carry", "blue-violet=3", "--json")
    found = json.loads(out)
    assert found["inputs"]["carries"] == {"blue-violet": 3.0}
    assert found["neutralise"]["to_carry"]
    assert found["carried"]["too_warm_at_without_tone"] == pytest.approx(5.1, abs=0.5)


@pytest.mark.parametrize("how", [("--lab", "56,10,26"), ("--level", "6"), BASE_BREAK])
def test_grey_is_asked_and_told(answered, how):
    words = ("tone", *how, "--grey", "30", "--resistant", "40")
    out = answered(*words)
    lines = [line.split()[0] for line in out.splitlines() if line.strip()]
    hair = lines.index("Hair")
    assert lines[hair : hair + 3] == ["Hair", "pigmented", "white"]
    after = lines.index("Result")
    assert lines[after + 1 : after + 3] == ["pigmented", "white"]
    assert "30 % of all (40 % of them take no colour)" in out
    assert "violet by the tone, dE00" in out
    found = json.loads(answered(*words, "--json"))
    assert (found["inputs"]["grey_percent"], found["inputs"]["resistant_percent"]) == (30.0, 40.0)
    before, toned = found["at"]["fibres"], found["neutralise"]["fibres"]
    assert before["pigmented"] == found["at"]["pigmented"]
    assert before["blend"] == found["at"]["lab"]
    assert toned["blend"] == found["neutralise"]["lab"]["expected"]
    assert toned["white_tinted_by"] > before["white_tinted_by"]
    plain = json.loads(answered("tone", "--level", "6", "--json"))
    assert plain["at"]["fibres"] is plain["neutralise"]["fibres"] is None


def test_a_toner_is_a_step_of_its_own(answered):
    lines = answered("tone", "--level", "6", "--kind", "direct")
    lines = lines.splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith("Toner"))
    names = [line.split()[0] for line in lines[first : first + 8]]
    assert names == ["Toner", "kind", "ratio", "strength", "developer", "grams", "minutes", "rinse"]
    assert lines[first].split()[1:] == ["blue-violet"]
    assert "1 part to 3 of clear" in lines[first + 2]
    assert "used as it is" in lines[first + 4]
    oxidative = answered("tone", "--level", "8")
    assert "usually 5 to 10 vol" in oxidative


LAB = re.compile(r"L\* (\S+)  a\* (\S+)  b\* ([-\d.]+)")


@pytest.mark.parametrize("goal", [(), ("--goal", "6.6")])
@pytest.mark.parametrize("hair", [("--lab", "56,10,30"), ("--level", "9"), BASE_BREAK])
def test_distances_are_those_of_the_colours_printed_beside_them(answered, hair, goal):
    lines = {line.split()[0]: line for line in answered("tone", *hair, *goal).splitlines() if line}
    colours = {
        name: tuple(map(float, LAB.search(lines[name]).groups())) for name in ("Goal", "Result")
    }
    left, untoned = map(float, re.findall(r"(?:dE00|untoned) ([\d.]+)", lines["Result"]))
    assert delta_e_2000(colours["Result"], colours["Goal"]) == pytest.approx(left, abs=0.15)
    found = json.loads(answered("tone", *hair, *goal, "--json"))["neutralise"]
    assert found["wanted"] == pytest.approx(colours["Goal"], abs=0.051)
    assert found["dE00_untoned"] == pytest.approx(untoned, abs=0.051)
    if "--lab" in hair:
        assert delta_e_2000((56.0, 10.0, 30.0), colours["Goal"]) == pytest.approx(untoned, abs=0.3)
    if "REACHED" in lines["Verdict"]:
        said = re.findall(r"(?:dE00|untoned) ([\d.]+)", lines["Verdict"])
        assert said == [f"{left:.1f}", f"{untoned:.1f}"]


def test_without_a_goal_or_a_tone_the_goal_is_as_light_as_the_hair(answered):
    lines = answered("tone", "--lab", "60,-3,-8").splitlines()
    assert any(line.startswith("Goal     L* 60.0") for line in lines)
    assert any("within dE00" in line for line in answered("tone", "--lab", "45,7,18").splitlines())


def test_more_grey_than_a_reading_can_hold(refused):
    assert "at most 14 %" in refused("tone", "--lab", "40,8,24", "--grey", "60")


NATURAL_RED = ("--lab", "54,7.1,20.8", "--red")  # level 7, pheomelanin 42 %


@pytest.mark.parametrize(
    "how", [NATURAL_RED, ("--level", "8", "--red", "0.35"), (*BASE_BREAK, "--red")]
)
def test_warmth_of_red_hair_counts_from_natural_red_hair(answered, how):
    out = answered("tone", *how)
    share = 35 if "0.35" in how else 42
    assert f"dC*, counted from natural red hair as light (pheomelanin {share}%)" in out
    red = json.loads(answered("tone", *how, "--json"))
    brown = json.loads(answered("tone", *how[: how.index("--red")], "--json"))
    assert red["inputs"]["pheomelanin_share"] == pytest.approx(share / 100.0)
    assert "pheomelanin_share" not in brown["inputs"]
    assert red["at"]["warmth"] != brown["at"]["warmth"]
    if how is NATURAL_RED:
        # Nobody has touched it: as it grows it is not too warm, however warm it looks.
        assert red["neutralise"]["verdict"] == "none needed"
        assert brown["neutralise"]["verdict"] != "none needed"
        daylight = red["other_light"]["lights"][0]
        assert daylight["warmth"] == pytest.approx(0.0, abs=1.0)


def test_options_reach_the_answer(answered):
    out = answered("tone", "--level", "9", "--dyes", "violet, blue", "--json")
    assert set(json.loads(out)["neutralise"]["doses"]) == {"violet", "blue"}
    out = answered("tone", "--level", "9", "--kind", "direct")
    assert "Washing      direct: above" in out
    out = answered("tone", "--level", "9", "--washes-per-week", "2", "--json")
    assert json.loads(out)["fade"]["permanent"]["week"] > 30
    out = answered("tone", "--level", "7", "--goal", "8")
    assert "GOAL LIGHTER" in out
    assert "Nearest" in out
    out = answered("tone", "--lab", "60,-3,-8")
    assert "NOT LIGHTENED HAIR" in out
    out = answered("tone", "--lab", "45,7,18")
    assert "NONE NEEDED" in out


@pytest.mark.parametrize("colour", ["60,5,100", "60,-80,20"])
def test_any_colour_of_hair_may_be_a_goal(lift, colour):
    """One range for what is measured and what is wanted, here and in a preview."""
    for words in (("--lab", colour), ("--level", "8", "--goal", colour)):
        assert lift("tone", *words)[0] == 0
    assert str(parse_goal(colour).lab) == str(tuple(map(float, colour.split(","))))


def test_every_sentence_has_its_code(answered):
    found = json.loads(answered("tone", *BASE_BREAK, "--kind", "direct", "--json"))
    answer, fade = found["neutralise"], found["fade"]["direct"]
    assert answer["verdict_code"] == {"code": f"toning.{answer['verdict'].replace(' ', '_')}"}
    assert answer["text_code"]["code"].startswith(answer["verdict_code"]["code"])
    cast = tone_direction(answer["half"]["lab"]).excess_wheel
    assert answer["half"]["text_code"] == {"code": "look.warm", "cast": cast}
    assert found["carried"]["text_code"]["end"] == pytest.approx(
        found["carried"]["too_warm_at"], abs=1e-3
    )
    assert fade["text_code"]["week"] == fade["week"]
    assert found["other_light"]["text_code"]["most"]["code"] == "light.label"
    assert [c["code"] for c in found["cautions_codes"]] == [c.code for c in ALWAYS]


def test_picture(answered, tmp_path):
    path = tmp_path / "tone.png"
    assert f"Picture: {path}" in answered("tone", "--level", "9", "--plot", path)
    assert path.stat().st_size > 10_000
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_circles_for_teaching(answered, tmp_path):
    path = tmp_path / "circles.svg"
    out = answered("tone", "--level", "6", "--circles", str(path))
    assert f"Picture: {path}" in out
    # Letters are drawn as shapes; matplotlib keeps each title as a comment beside them.
    assert "<!-- The wheel says blue against orange -->" in path.read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ((), "give one of --lab L,a,b or --photo PHOTO or --level N or --natural N"),
        (("--lab", "50,10,20", "--level", "7"), "give one of"),
        (("--lab", "50,10"), "colour '50,10' is not L*,a*,b*"),
        (("--lab", "50,ten,20"), "a* 'ten' is not a number"),
        (("--lab", "150,10,20"), "L* 150 is outside 0 to 100"),
        (("--lab", "nan,10,20"), "L* nan"),
        (("--level", "12"), "level 12 is outside 1 to 10"),
        (("--level", "8", "--goal", "warmth=3"), "toning needs a level"),
        (("--level", "8", "--goal", "blond"), "goal 'blond'"),
        (("--level", "8", "--dyes", "violett"), "did you mean violet"),
        (("--level", "8", "--dyes", ","), "no dye to choose from"),
        (("--level", "8", "--kind", "permanant"), "did you mean permanent"),
        (("--level", "8", "--washes-per-week", "0"), "washes per week 0 is outside"),
        (("--level", "8", "--plot", "tone.gif"), "does not end in"),
        (("--level", "8", "--plot", "nowhere/tone.png"), "folder 'nowhere'"),
        (("--level", "8", "--circles", "tone.gif"), "does not end in"),
        (("--level", "8", "--volume", "10"), "need --natural"),
        (("--natural", "7", "--volume", "10"), "--natural needs --volume VOL and --minutes MIN"),
        ((*BASE_BREAK[:5], "200"), "processing time 200 min"),
        ((*BASE_BREAK[:5], "0"), "processing time 0 min"),
        (("--natural", "7", "--volume", "90", "--minutes", "5"), "12 %"),
        (("--level", "8", "--red", "1.4"), "pheomelanin share 1.4 is outside 0 to 1"),
        ((*BASE_BREAK, "--carry", "violet"), "is not DYE=DOSE"),
    ],
)
def test_bad_input_is_one_line_and_exit_2(refused, words, message):
    assert message in refused("tone", *words)


def test_cold_start_is_light():
    """Neither colour nor scipy nor matplotlib is loaded for an answer."""
    code = (
        "import sys, runpy\n"
        "sys.argv = ['lift', 'tone', '--lab', '56,10,30', '--json']\n"
        "try:\n    runpy.run_module('lift', run_name='__main__')\n"
        "except SystemExit:\n    pass\n"
        "print(sorted({'colour', 'scipy', 'matplotlib'} & set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stderr.strip() == "[]", done.stderr
