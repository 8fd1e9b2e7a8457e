"""Plans and scenarios over the interface: the command line's numbers, and only one's own files."""

import json
import tomllib
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from lift.cli import app as command_line
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.clock import Clock, start_clock
from lift.practice.service.plan import plan
from lift.show.lock.shades import shade_texts
from lift.words.english import SENTENCES

SHARED = Path(__file__).parents[3] / "shared"
FILES = sorted(SHARED.glob("*.toml"))
FIRST = ("mix", "rinse", "tone", "risk")
SMALL = SHARED / "darker_base.toml"


def planned(browser, path, url="/api/plan"):
    return browser.post(url, {"visit": visit_of_file(path)})


def visit_of_file(path):
    return {**tomllib.loads(path.read_text("utf-8")), "visit": {"name": "k7f-m3q"}}


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_a_plan_equals_the_command_line(browser, path):
    done = CliRunner().invoke(command_line, ["plan", str(path), "--json"], catch_exceptions=False)
    assert planned(browser, path).json == json.loads(done.output)
    assert planned(browser, path, "/api/plan?shown=true").json["answer"] == json.loads(done.output)


def test_a_plan_does_not_depend_on_what_was_done(browser):
    visit = visit_of_file(SMALL)
    seen = [{"zone": "base", "minutes": 3.0, "seen": "6"}]
    done = {"clock": {"started": "2026-11-27T10:03:22Z"}, "looks": seen, "came_out": seen}
    visit["visit"]["step"] = "clock"
    assert browser.post("/api/plan", {"visit": visit | done}).json == planned(browser, SMALL).json


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_what_is_said_of_a_plan_has_its_code_beside_it(browser, path):
    reply = planned(browser, path, "/api/plan?shown=true").json
    answer, shown = reply["answer"], reply["shown"]
    assert shown["verdict_code"]["code"] == ("plan.order" if answer["exists"] else "plan.no_order")
    if answer["exists"]:
        assert shown["verdict_code"]["order"] == answer["order"]
        assert shown["verdict_code"]["p"] == pytest.approx(answer["p_inside"], abs=1e-4)
    else:
        assert shown["verdict_code"]["reasons"] == answer["reason_codes"]
    p_inside = {zone["zone"]: zone["p_inside"] for zone in answer["zones"]}
    assert len(shown["changes"]) == len(answer["changes"])
    for told, change in zip(shown["changes_codes"], answer["changes"], strict=True):
        assert told["code"] == "plan.gain"
        assert told["p"] == pytest.approx(change["p_inside"], abs=1e-4)
        assert told["work"]["minutes"] == abs(round(change["cost"]))
    for name, zone in shown["zones"].items():
        assert zone["on"].startswith(f"{name}, laid from ")
        codes = [zone["first"][f"{line}_code"]["code"] for line in FIRST]
        assert [code.removesuffix("_late") for code in codes[:2]] == [
            *("plan.first.mix", "plan.first.rinse"),
        ]
        assert codes[2] in ("plan.first.toner", "plan.first.no_toner")
        assert zone["first"]["risk_code"]["p"] == pytest.approx(p_inside[name], abs=1e-4)
        assert zone["tone_code"]["code"] in SENTENCES
        # Of grey hair both kinds of fibres: at the rinse, and where a toner is used after it.
        grey = path.stem == "grey_blending"
        codes = [told["code"] for told in zone["fibres_codes"]]
        assert codes == ["plan.fibres", "plan.fibres_after"][: len(codes)]
        assert bool(codes) is grey
        assert ("white fibres" in [lock["words"] for lock in zone["locks"]]) is grey


def test_sections_lie_beside_the_natural_levels_between_which_they_all_are(browser):
    got = planned(browser, SMALL, "/api/plan?shown=true").json
    path = natural_path(default_curves())
    for zone in got["answer"]["zones"]:
        levels, shown = got["shown"]["zones"][zone["zone"]]["levels"], got["shown"]["zones"]
        labs = np.array([section["lab"] for section in zone["sections"]])
        assert shown[zone["zone"]]["sections"] == shade_texts(labs)
        low, high = (float(lock["words"].removeprefix("natural ")) for lock in levels)
        ends = path.levels_beside(labs)[0]
        assert (low, high) == (ends.min(), ends.max())
        wanted = shade_texts(path.lab_of_level([low, high]))
        assert [lock["shades"] for lock in levels] == wanted


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_a_toner_is_told_as_a_step_with_its_time(browser, path):
    reply = planned(browser, path, "/api/plan?shown=true").json
    answer, shown = reply["answer"], reply["shown"]
    toned = [zone["zone"] for zone in answer["zones"] if zone["toner_step"] is not None]
    assert sorted(toned) == sorted(each["zone"] for each in answer["toning"])
    assert shown["total_code"]["code"] == ("plan.total_toned" if toned else "plan.total")
    assert answer["total_minutes"] >= answer["all_rinsed"]
    for zone in answer["zones"]:
        lines = [told["code"] for told in shown["zones"][zone["zone"]]["toner_codes"]]
        assert lines == (["plan.toner", "plan.toner.after"] if zone["toner_step"] else [])
        assert bool(zone["toner"]) == (zone["toner_step"] is not None)
    steps = [(step["kind"], step["zone"]) for step in answer["steps"]]
    assert [z for kind, z in steps if kind == "tone"] == [t["zone"] for t in answer["toning"]]
    tables = planned(browser, path, "/api/clock").json["clock"]
    clock = {z["name"]: z["toner"] for z in tables["zones"]}
    assert [name for name, bowl in clock.items() if bowl] == toned
    assert all("no developer" in bowl or "low-volume" in bowl for bowl in clock.values() if bowl)


def test_the_clock_holds_the_librarys_tables(browser):
    shown = planned(browser, SMALL, "/api/clock").json["clock"]
    clock = start_clock(plan(load_scenario(SMALL)))
    assert isinstance(clock, Clock)
    for data, zone in zip(shown["zones"], clock.zones, strict=True):
        assert data["name"] == zone.name
        assert data["planned_starts"] == zone.laying.starts.tolist()
        assert data["share"] == zone.share
        reached = [t if t is not None else float("inf") for t in data["reached"]]
        assert reached == zone.response.reached[0].tolist()
        assert len(data["colours"]) == zone.response.log_strength.size
        assert len(data["colours"][0]) == zone.response.minutes.size
        assert data["colours"][0] == shade_texts(zone.response.lab[0])


@pytest.mark.parametrize(
    ("zone", "field", "words"),
    [
        ({"placement": {"bowls": 99}}, "zones[0].placement.bowls", "1 to 10"),
        ({"natural_level": 17}, "zones[0].natural_level", "1 to 10"),
        ({"mixture": "base_brake"}, "zones[0].mixture", "did you mean"),
        ({"mixture": None}, "zones", "number of zones with a mixture 0"),
        ({"goal": "match 95,0,5"}, "zones[0].goal", "end of the scale"),
    ],
)
def test_what_is_wrong_is_told_under_its_key(browser, zone, field, words):
    visit = visit_of_file(SMALL)
    visit["zones"][0] |= zone
    reply = browser.post("/api/plan", {"visit": visit})
    assert reply.status == 422, reply.body
    assert words in reply.errors[field]


def test_the_card_opens_and_runs_nothing(browser):
    reply = browser.get("/card/darker-base?paper=Letter")
    assert reply.status == 200
    assert "script" not in reply.body.decode()
    policy = reply.headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; style-src 'unsafe-inline'")
    assert "script-src" not in policy
    assert browser.get("/card/none-such").status == 404
    assert browser.get("/card/darker-base?paper=A3").status == 422
