"""``lift plan`` as it is called."""

import json
import re
from pathlib import Path

import pytest

from lift.practice.cautions import ALWAYS

SHARED = Path(__file__).parents[2] / "shared"
DEMOS = sorted(SHARED.glob("*.toml"))


def test_a_caret_shows_what_is_no_toml(lift, tmp_path):
    path = tmp_path / "wrong.toml"
    path.write_text('title = "x"\nabout = = 5\n')
    first, *shown = lift("plan", path)[2].splitlines()
    assert first.startswith(f"lift: {path}, line 2, column 9 is not valid TOML: ")
    assert shown == ["  about = = 5", "          ^"]


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_every_demo_is_told_in_words(answered, path):
    text = answered("plan", path)
    assert "Invented for demonstration" in text
    for words in ("Zones", "Blend", "Next visit", "One bowl serves", "sections"):
        assert words in text
    assert re.search(r"^Blend: \S", text, re.MULTILINE)
    for caution in map(str, ALWAYS):
        assert caution in text
    assert "Curve set" in text


def test_grey_is_told_as_two_kinds_of_hair(answered):
    text = answered("plan", SHARED / "grey_blending.toml")
    assert text.count("At the rinse. Pigmented fibres, which decide: L*") == 2
    assert text.count("After toning. Pigmented fibres, which decide: L*") == 1
    assert "35 % of all, tinted blue-violet by the tone" in " ".join(text.split())
    assert "Pigmented fibres" not in answered("plan", SHARED / "blonde_refresh.toml")


def test_a_plan_that_exists_and_one_that_does_not(answered):
    assert "rinse all at" in answered("plan", SHARED / "blonde_refresh.toml")
    text = answered("plan", SHARED / "darker_base.toml")
    assert "NO ORDER KEEPS ALL INSIDE" in text
    assert "Cheapest change that works" in text
    assert "Try (" in text


def test_brief_is_what_is_done_and_the_cautions(answered):
    whole, brief = (
        answered("plan", SHARED / "blonde_refresh.toml", *more) for more in ((), ("--brief",))
    )
    for text in (whole, brief):
        assert re.findall(r"^  (Mix|Rinse|Then tone|Risk) ", text, re.MULTILINE) == [
            *("Mix", "Rinse", "Then tone", "Risk"),
            *("Mix", "Rinse", "Then tone", "Risk"),
        ]
        assert "Persulfate" in text
    assert "Zones" in whole
    assert "Zones" not in brief


def test_json_is_the_plan(answered, tmp_path):
    read = json.loads(answered("plan", SHARED / "blonde_refresh.toml", "--json"))
    assert read["order"] == ["foils", "base"]
    assert len(read["zones"][0]["sections"]) == 12
    assert {"water", "water_codes"} <= set(read)
    for zone in read["zones"]:
        assert len(zone["past_safe"]) == (zone["rinsed"] > zone["latest_safe"])
    assert set(map(str, ALWAYS)) <= set(read["cautions"])


def test_picture(answered, tmp_path):
    target = tmp_path / "plan.png"
    text = answered("plan", SHARED / "grey_blending.toml", "--plot", target)
    assert text.endswith(f"Picture: {target}\n")
    assert target.read_bytes().startswith(b"\x89PNG")


def test_a_strand_test_moves_the_plan(answered, tmp_path):
    kept = tmp_path / "strand.json"
    seen = ["strand", "--level", "7", "--fibre", "fine", "--damp", "--volume", "10"]
    seen += ["--mixture", "base-break", "--seen", "8:7.7", "--save", str(kept)]
    answered(*seen)
    # What is mixed is given: else the plan chooses anew for a head that is quicker.
    text = (SHARED / "blonde_refresh.toml").read_text("utf-8")
    for kind in ("powder", "base-break"):
        text = text.replace(f'kind = "{kind}"\n', f'kind = "{kind}"\nvolume = 10\ntone = {{}}\n')
    visit = tmp_path / "visit.toml"
    visit.write_text(
        text.replace("[zones.placement]", 'toner = "none"\n[zones.placement]'), "utf-8"
    )
    plain, moved = (
        json.loads(answered("plan", visit, "--json", *more)) for more in ((), ("--strand", kept))
    )
    # More lift was seen than expected, so everything is ready sooner.
    first = [p["zones"][0]["sections"][0]["opens"] for p in (plain, moved)]
    assert first[1] < first[0]


def test_a_strand_of_other_hair(answered, refused, tmp_path):
    kept = tmp_path / "strand.json"
    seen = ["strand", "--level", "4", "--volume", "20", "--goal", "5"]
    seen += ["--seen", "20:5", "--save", str(kept)]
    answered(*seen)
    err = refused("plan", SHARED / "blonde_refresh.toml", "--strand", kept)
    assert "no treated zone has the hair of this strand" in err


def test_errors_are_one_line(refused, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text((SHARED / "darker_base.toml").read_text("utf-8").replace("= 20", "= nan", 1))
    err = refused("plan", bad)
    assert err.startswith(f"lift: {bad}, line ")
    assert "volume nan" in err
    assert "No such file" in refused("plan", tmp_path / "none.toml")
    good = SHARED / "darker_base.toml"
    assert "does not end in" in refused("plan", good, "--plot", tmp_path / "x.gif")
    assert "Missing argument" in refused("plan")


def test_over_twelve_percent_is_refused(refused, tmp_path):
    strong = tmp_path / "strong.toml"
    text = (SHARED / "darker_base.toml").read_text("utf-8")
    strong.write_text(text.replace("volume = 20", "volume = 100\ndeveloper_parts = 9"), "utf-8")
    err = refused("plan", strong)
    assert "12 % H2O2" in err
    assert "mixtures.base_break" in err
