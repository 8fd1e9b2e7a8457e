"""Scenario files: the demos, and one clear error for each thing that can be wrong."""

import re
import tomllib
from pathlib import Path

import pytest

from lift.errors import LiftError, LimitError
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.parameter import STATUSES
from lift.practice.assumptions import SERVICE, service_values
from lift.practice.goal import Blend, Lighten
from lift.practice.scenario.place import key_lines, line_of
from lift.practice.scenario.scenario import (
    Placement,
    Salon,
    Toner,
    Zone,
    ZoneGoal,
)
from lift.practice.scenario.scenario_file import load_scenario, parse_scenario, scenario_of
from lift.practice.service.plan import plan
from lift.quantities import quantities_of

SHARED = Path(__file__).parents[3] / "shared"
DEMOS = sorted(SHARED.glob("*.toml"))

GOOD = """\
title = "Test"
about = "Invented for a test."

[hair]
natural_level = 7
fibre = "fine"

[salon]
room_c = 25
rinse = "together"

[mixtures.light]
kind = "powder"
volume = 10

[[zones]]
name = "foils"
part = "top"
regrowth_mm = 18
share = 0.4
beside = ["ends"]
mixture = "light"

[zones.goal]
match = "lightest blonde of ends"
warmth = 20

[zones.placement]
sections = 6
seconds_per_section = 40
section_thickness_mm = 2

[[zones]]
name = "base"
part = "top"
share = 0.6
mixture = "light"
goal = { level = 7.5, warmth = 20 }

[[zones]]
name = "ends"
length_mm = 100
lightened_to = 9
lightest_blonde = [56, 6, 21]
"""


def changed(old, new, count=1):
    assert GOOD.count(old) >= 1, old
    return GOOD.replace(old, new, count)


def line_with(text, part):
    return next(n for n, line in enumerate(text.splitlines(), 1) if part in line)


# what is put in place of what; a piece of the line the error must name (None: no line);
# pieces the error must hold
BAD = {
    "no title": ('title = "Test"\n', "", None, ["title is missing"]),
    "no zones": (GOOD[GOOD.index("[[zones]]") :], "", None, ["zones is missing"]),
    "no mixtures": ('[mixtures.light]\nkind = "powder"\nvolume = 10\n', "", None, ["mixtures"]),
    "no name": ('name = "base"\n', "", "[[zones]]", ["name is missing"]),
    "no level": ("natural_level = 7\n", "", "[[zones]]", ["natural_level is missing"]),
    "no kind": ('kind = "powder"\n', "", "[mixtures.light]", ["kind is missing"]),
    "no word for a toner": (
        'mixture = "light"\n',
        'mixture = "light"\ntoner = "nothing"\n',
        "toner",
        ["'nothing'", "none"],
    ),
    "misspelt": (
        "sections = 6",
        "setcions = 6",
        "setcions",
        ["unknown key setcions", "did you mean sections?"],
    ),
    "other unit": (
        "regrowth_mm = 18",
        "regrowth_cm = 1.8",
        "regrowth_cm",
        ["unit of this key is fixed", "regrowth_mm"],
    ),
    "unit misspelt": (
        "regrowth_mm = 18",
        "regrowth_mm = 18\nlength_m = 200",
        "length_m",
        ["unknown key length_m; the unit of this key is fixed: use length_mm"],
    ),
    "no unit": (
        "lightened_to = 9",
        "lightened_too = 9",
        "lightened_too",
        ["unknown key lightened_too; did you mean lightened_to?"],
    ),
    "misspelt for all": (
        "natural_level = 7",
        "natural_levl = 7",
        "natural_levl",
        ["hair.natural_levl: unknown key natural_levl; did you mean natural_level?"],
    ),
    "needed and misspelt": (
        'name = "base"',
        'nmae = "base"',
        "nmae",
        ["zones[2].nmae: unknown key nmae; did you mean name?"],
    ),
    "level misspelt": (
        GOOD[GOOD.index("natural_level") : GOOD.index("part")],
        GOOD[GOOD.index("fibre") : GOOD.index("part")] + "natural_levels = 7\n",
        "natural_levels",
        ["zones[1].natural_levels: unknown key natural_levels; did you mean natural_level?"],
    ),
    "unit in the value": (
        "seconds_per_section = 40",
        'seconds_per_section = "40 s"',
        '"40 s"',
        ["seconds_per_section", "plain number in s"],
    ),
    "minutes for seconds": (
        "seconds_per_section = 40",
        "seconds_per_section = 0.7",
        "= 0.7",
        ["outside 2 to 900 s"],
    ),
    "fahrenheit": ("room_c = 25", "room_c = 75", "room_c", ["outside 10 to 40 C"]),
    "nan": ("share = 0.4", "share = nan", "share = nan", ["share nan", "0.01 to 1"]),
    "inf": ("volume = 10", "volume = inf", "volume", ["volume inf", "0 to 100"]),
    "huge float": ("volume = 10", "volume = 1e300", "volume", ["outside 0 to 100"]),
    "huge whole": ("volume = 10", f"volume = 1{'0' * 400}", "volume = 1000", ["far too large"]),
    "absurd whole": ("volume = 10", f"volume = 1{'0' * 5000}", None, ["cannot be read as TOML"]),
    "10,000 sections": (
        "sections = 6",
        "sections = 10_000",
        "sections = 10_000",
        ["sections 10000 is outside 1 to 200", "nearest: 200"],
    ),
    "half a section": ("sections = 6", "sections = 6.5", "= 6.5", ["not a whole number"]),
    "no section": ("sections = 6", "sections = 0", "sections = 0", ["outside 1 to 200"]),
    "truth for a number": ("sections = 6", "sections = true", "= true", ["is not one number"]),
    "list for a number": ("sections = 6", "sections = [6]", "= [6]", ["is not one number"]),
    "date for a number": ("sections = 6", "sections = 2020-01-01", "2020", ["is not one number"]),
    "number for a text": ('name = "base"', "name = 3", "name = 3", ["not a text in quotes"]),
    "number for truth": ("[salon]", "damp = 1\n\n[salon]", "damp", ["not true or false"]),
    "text for truth": ("[salon]", 'red = "yes"\n\n[salon]', "yes", ["not true or false"]),
    "too red": ("[salon]", "red = 1.2\n\n[salon]", "1.2", ["outside 0 to 1", "nearest: 1"]),
    "text for a list": ('["ends"]', '"ends"', "beside", ["not a list of texts"]),
    "value for a table": ("[hair]", "hair = 3\n[x]", "hair = 3", ["3 is not a table"]),
    "table for tables": ("[[zones]]\nname", "[zones]\nname", None, []),
    "bad fibre": ('fibre = "fine"', 'fibre = "finne"', "finne", ["did you mean fine?"]),
    "thin fibre": ('fibre = "fine"', "fibre = 5", "fibre = 5", ["outside 30 to 130 um"]),
    "bad kind": ('kind = "powder"', 'kind = "powdr"', "powdr", ["did you mean powder?"]),
    "bad rinse": ('"together"', '"all"', "rinse", ["together, zone by zone"]),
    "unknown mixture": ('mixture = "light"', 'mixture = "ligth"', "ligth", ["mean light?"]),
    "unknown part": ('["ends"]', '["end"]', "beside", ["did you mean ends?"]),
    "bad match": ("lightest blonde of ends", "blondest of ends", "match", ["darkest blonde of"]),
    "unknown match": ("blonde of ends", "blonde of endz", "match", ["did you mean ends?"]),
    "matches itself": ("blonde of ends", "blonde of foils", "match", ["foils"]),
    "same name": ('name = "base"', 'name = "foils"', None, ["appears twice"]),
    "too much share": ("share = 0.6", "share = 0.7", "share = 0.7", ["sum of shares in part top"]),
    "two goals": ("level = 7.5,", "level = 7.5, lab = [50, 5, 20],", "lab", ["not both"]),
    "short colour": ("[56, 6, 21]", "[56, 6]", "lightest", ["three numbers"]),
    "odd colour": ("[56, 6, 21]", "[56, 6, 210]", "lightest", ["b* 210 is outside -100 to 120"]),
    "darker goal": ("level = 7.5,", "level = 4,", "level = 4", ["lightening cannot darken"]),
    "lightest goal": ("level = 7.5,", "level = 13,", "level = 13", ["outside 1 to 10"]),
    "blue goal": (
        "goal = { level = 7.5,",
        "goal = { lab = [50, -10, -40],",
        "lab = [50",
        ["hue 256 degrees", "lightening exposes"],
    ),
    "regrowth lightened": (
        "regrowth_mm = 18",
        "regrowth_mm = 18\nlightened_to = 8",
        "lightened_to = 8",
        ["has grown since"],
    ),
    "darkened before": ("lightened_to = 9", "lightened_to = 5", "= 5", ["darker than the natural"]),
    "mixture and colour": (
        "share = 0.6",
        "share = 0.6\ncolour = 7",
        "colour = 7",
        ["give one of them only"],
    ),
    "toner alone": ("length_mm = 100", "toner = {}", "toner", ["no mixture"]),
    "bad dye": (
        "length_mm = 100",
        "toner = { doses = { pruple = 1 } }",
        "pruple",
        ["unknown key pruple"],
    ),
    "too many bowls": ("sections = 6", "sections = 6\nbowls = 7", "bowls", ["than the 6 sections"]),
    "bad order": ("[mixtures", "[salon2]\n[mixtures", "salon2", ["unknown key salon2"]),
    "order short": ('rinse = "together"', 'order = ["foils"]', "order", ["each treated zone once"]),
    "bad assumption": (
        "[mixtures",
        "[assumptions]\nbowl_fade = 3\n\n[mixtures",
        "bowl_fade",
        ["did you mean bowl_fade_minutes?"],
    ),
    "assumption out of range": (
        "[mixtures",
        "[assumptions]\nbowl_fade_minutes = 3\n\n[mixtures",
        "bowl_fade_minutes",
        ["outside 20 to 1000 min"],
    ),
    "not TOML": ("[salon]", "[salon", "[salon", ["not valid TOML", "line 8, column 7"]),
    "key twice": ("room_c = 25", "room_c = 25\nroom_c = 20", None, ["not valid TOML"]),
}


@pytest.mark.parametrize("name", BAD)
def test_one_clear_error(name):
    old, new, at, pieces = BAD[name]
    text = changed(old, new)
    with pytest.raises(LiftError) as caught:
        parse_scenario(text, "file.toml")
    message = str(caught.value)
    assert "\n" not in message
    assert len(message) < 400
    assert message.startswith("file.toml")
    for piece in pieces:
        assert piece in message
    if at is not None:
        named = re.match(r"file\.toml, line (\d+), ", message)
        assert named, message
        assert at in text.splitlines()[int(named.group(1)) - 1], message


def test_too_strong_is_refused_as_a_limit():
    text = changed("volume = 10", "volume = 80\ndeveloper_parts = 5")
    with pytest.raises(LimitError, match=r"line 12, mixtures\.light: .* 12 % H2O2"):
        parse_scenario(text, "f")


def test_matching_in_a_ring():
    text = changed(
        "goal = { level = 7.5, warmth = 20 }", 'goal = { match = "darkest blonde of foils" }'
    ).replace("blonde of ends", "blonde of base")
    with pytest.raises(
        LiftError, match=r"line \d+, zones\[1\]\.goal\.match: goals match in a ring"
    ):
        parse_scenario(text, "f")


def test_too_many_zones():
    more = "".join(f'\n[[zones]]\nname = "z{i}"\n' for i in range(10_000))
    with pytest.raises(LiftError, match="number of zones 10003 is outside 0 to 16"):
        parse_scenario(GOOD + more, "f")


def test_nothing_to_do():
    text = GOOD.replace('mixture = "light"\n', "")
    nothing = parse_scenario(text, "f")
    with pytest.raises(LiftError, match=r"f, line \d+, zones: number of zones with a mixture 0"):
        plan(nothing)


def test_unreachable_colours_are_refused_when_planned():
    pale = changed("goal = { level = 7.5,", "goal = { lab = [95, 0, 5],")
    with pytest.raises(LiftError, match=r"line \d+, zones\[2\]\.goal: .* end of the scale"):
        plan(parse_scenario(pale, "f"), members=4)
    dark = changed("[56, 6, 21]", "[25, 4, 5]")
    with pytest.raises(LiftError, match=r"zones\[1\]\.goal: .* cannot darken"):
        plan(parse_scenario(dark, "f"), members=4)


def test_files_that_cannot_be_read(tmp_path):
    with pytest.raises(LiftError, match=r"cannot read scenario .*nothing\.toml: No such file"):
        load_scenario(tmp_path / "nothing.toml")
    big = tmp_path / "big.toml"
    big.write_text("# " + "x" * 300_000, "utf-8")
    with pytest.raises(LiftError, match="larger than 200 kB"):
        load_scenario(big)
    latin = tmp_path / "latin.toml"
    latin.write_bytes(b'title = "caf\xe9"')
    with pytest.raises(LiftError, match="not UTF-8"):
        load_scenario(latin)
    with pytest.raises(LiftError, match="cannot read scenario"):
        load_scenario(tmp_path)


def test_a_version_is_read_and_another_refused():
    assert parse_scenario(f"version = 1\n{GOOD}").title == "Test"
    with pytest.raises(LiftError, match="newer than 1"):
        parse_scenario(f"version = 2\n{GOOD}", "f")
    with pytest.raises(LiftError, match="version"):
        parse_scenario(f'version = "1"\n{GOOD}', "f")


def test_what_is_read():
    scenario = parse_scenario(GOOD)
    foils, base, ends = scenario.zones
    assert scenario.parts == ("top", "ends")
    assert [z.name for z in scenario.treated] == ["foils", "base"]
    assert foils.hair.level == 7.0
    assert foils.hair.fibre_um == 50.0
    assert foils.goal.match == ("lightest", "ends")
    assert foils.goal.goal == Blend()
    assert foils.placement.sections == 6
    assert base.placement.sections == 1
    assert base.goal.goal.level == 7.5
    assert ends.lightest == (56.0, 6.0, 21.0)
    assert ends.hair.lightened_to == 9.0
    # In a room of 25 C the mixture has the curve set's 30 C.
    assert scenario.mixture_on(foils).temperature_c == 30.0


def test_own_hair_goes_before_the_client_s():
    text = changed(
        "lightened_to = 9", "lightened_to = 9\nfibre = 90\nnatural_level = 6\ndamp = true"
    )
    ends = parse_scenario(text).zone("ends").hair
    assert (ends.level, ends.fibre_um, ends.damp) == (6.0, 90.0, True)


def test_false_goes_before_the_client_s_true():
    text = changed("[hair]", "[hair]\ndamp = true").replace(
        "share = 0.6", "share = 0.6\ndamp = false"
    )
    scenario = parse_scenario(text)
    assert scenario.zone("foils").hair.damp
    assert not scenario.zone("base").hair.damp


@pytest.mark.parametrize(("red", "share"), [("true", 0.42), ("0.35", 0.35), ("false", None)])
def test_red_hair_may_be_given_by_its_share(red, share):
    scenario = parse_scenario(changed("[hair]", f"[hair]\nred = {red}"))
    assert {zone.hair.pheomelanin_share for zone in scenario.zones} == {share}


def test_room_and_heat_warm_the_mixture():
    text = changed("room_c = 25", "room_c = 21\nheat_c = 4").replace(
        "share = 0.6", "share = 0.6\nheat_c = 0"
    )
    scenario = parse_scenario(text)
    assert scenario.mixture_on(scenario.zone("foils")).temperature_c == pytest.approx(32.0)
    assert scenario.mixture_on(scenario.zone("base")).temperature_c == pytest.approx(28.0)


def test_a_table_without_a_file_names_its_keys():
    table = tomllib.loads(changed("share = 0.4", "share = 4"))
    with pytest.raises(LiftError, match=r"^zones\[1\]\.share: share 4 is outside"):
        scenario_of(table)


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_demos_are_valid_and_say_that_they_are_invented(path):
    scenario = load_scenario(path)
    assert scenario.about.startswith("Invented")


def test_there_are_the_demos_that_the_format_lists():
    readme = (SHARED / "README.md").read_text("utf-8")
    assert len(DEMOS) == 4
    for path in DEMOS:
        assert f"`{path.name}`" in readme


def readme_rows():
    """Meaning and default of each key, by the heading it stands under and its name."""
    rows, heading = {}, ""
    for line in (SHARED / "README.md").read_text("utf-8").splitlines():
        if line.startswith("### "):
            heading = line.removeprefix("### ")
        if line.startswith("| `") and heading:
            keys, meaning, default, *_ = (cell.strip() for cell in line.strip("|").split("|"))
            for key in re.findall(r"`(\w+)`", keys):
                rows[heading.split("`")[1] if "`" in heading else heading, key] = meaning, default
    return rows


DECLARED = [
    (under, q.file or name, q)
    for under, owner in (
        ("[hair]", Hair),
        ("[salon]", Salon),
        ("[mixtures.NAME]", Mixture),
        ("[[zones]]", Zone),
        ("goal", Lighten),
        ("goal", ZoneGoal),
        ("toner", Toner),
        ("[zones.placement]", Placement),
    )
    for name, q in quantities_of(owner).items()
    if name != "lightened_to" and (owner, name) != (Mixture, "temperature_c")
] + [("[[zones]]", "lightened_to", quantities_of(Hair)["lightened_to"])]


@pytest.mark.parametrize(("under", "key", "q"), DECLARED, ids=lambda v: v if str(v) == v else "")
def test_every_key_is_documented_as_declared(under, key, q):
    meaning, default = readme_rows()[under, key]
    if q.low is not None:
        assert f"{q.low:g} to {q.high:g}{f' {q.unit}' if q.unit else ''}" in meaning
    if q.choices is not None:
        assert all(f'"{choice}"' in meaning for choice in q.choices())
    # A mixture is always told, and heat on a zone is the salon's.
    told = q.default in (None, (), "") or under == "[mixtures.NAME]" or key == "heat_c"
    if not told and q.default_typed:
        assert default.strip('`"') == q.default_typed


def test_every_other_key_is_documented_and_no_more():
    known = {(under, key) for under, key, _ in DECLARED} | {
        *(("Top level", key) for key in ("title", "about", "version")),
        *(("[assumptions]", name) for name in SERVICE),
        *(("[[zones]]", key) for key in ("name", "goal", "toner")),
        *(("goal", "lab"), ("toner", "doses"), ("[mixtures.NAME]", "tone"), ("[salon]", "heat_c")),
    }
    assert set(readme_rows()) == known


@pytest.mark.parametrize("name", SERVICE)
def test_every_assumption_is_documented_with_its_value(name):
    p = SERVICE[name]
    assert p.status in STATUSES
    assert len(p.source) > 5
    readme = (SHARED / "README.md").read_text("utf-8")
    assert f"| `{name}` | {p.value:g} | {p.unit} | {p.low:g} to {p.high:g} | {p.status} |" in readme


def test_assumptions_can_be_set():
    text = changed("[mixtures", "[assumptions]\nscalp_c = 33\n\n[mixtures")
    scenario = parse_scenario(text)
    assert scenario.values["scalp_c"] == 33.0
    assert scenario.mixture_on(scenario.zone("foils")).temperature_c == 29.0
    with pytest.raises(LiftError, match="did you mean scalp_c"):
        service_values({"scalp": 33.0})


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_any_number_that_is_none_is_named_with_its_line(path):
    """Each number of each demo in turn becomes nan; the error names exactly its line."""
    text = path.read_text("utf-8")
    lines = text.splitlines()
    tried = 0
    for number, line in enumerate(lines):
        found = re.match(r"^(\w+) = (-?[\d.]+)$", line)
        if not found:
            continue
        bad = [*lines[:number], f"{found.group(1)} = nan", *lines[number + 1 :]]
        with pytest.raises(LiftError) as caught:
            parse_scenario("\n".join(bad), "f")
        assert str(caught.value).startswith(f"f, line {number + 1}, "), str(caught.value)
        assert found.group(1) in str(caught.value)
        tried += 1
    assert tried > 8


def test_lines_of_keys():
    text = '''\
top = 1
# [not] a = 3
[a.b]
c.d = 2
"e f" = """
x = 1
[y]
"""
[[list]]
k = { in = 1, out = { deep = 2 } }
[list.sub]
m = [
  1,
]
[[list]]
k = 5
[[list.inner]]
z = 1
[[list.inner]]
z = 2
'''
    lines = key_lines(text)
    assert lines[("top",)] == 1
    assert lines[("a", "b")] == 3
    assert lines[("a", "b", "c", "d")] == 4
    assert lines[("a", "b", "e f")] == 5
    assert ("a", "b", "x") not in lines
    assert ("y",) not in lines
    assert lines[("list", 0, "k", "in")] == 10
    assert lines[("list", 0, "sub", "m")] == 12
    assert lines[("list", 1, "k")] == 16
    assert lines[("list", 1, "inner", 1, "z")] == 20
    assert line_of(("list", 1, "nothing"), lines) == 15
    assert line_of(("nothing",), lines) is None
