"""A plan in the terminal: what is done first, and no sentence that cannot be read."""

import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from rich.console import Console

from lift.practice.cautions import ALWAYS
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import plan
from lift.show.said_plan import bowl_note, closed_notes, first_notes, no_window_notes, verdict_note
from lift.show.terminal.plan import print_plan
from lift.words import note, say

SHARED = Path(__file__).parents[3] / "shared"
KEPT = SHARED.parent / "tests" / "kept" / "0.1.0"
DEMOS = ("blonde_refresh", "darker_base", "fine_and_coarse", "grey_blending")
LABELS = ["Mix", "Rinse", "Then tone", "Risk"]


@pytest.fixture(scope="module", params=DEMOS)
def visit(request):
    return plan(load_scenario(SHARED / f"{request.param}.toml"), members=10)


@pytest.fixture(scope="module")
def woven():
    return plan(load_scenario(KEPT / "grey_blending.toml"), members=10)


def printed(result, width=80, **how):
    to = Console(file=io.StringIO(), width=width, highlight=False)
    print_plan(result, to, **how)
    return [line.rstrip() for line in to.file.getvalue().splitlines()]


def with_zone(result, **changes):
    zone = replace(result.zones[0], **changes)
    return replace(result, zones=(zone, *result.zones[1:]))


def test_what_is_done_comes_first_zone_by_zone(visit):
    lines = printed(visit, 200)
    found = [
        m[1]
        for line in lines[: lines.index("Zones (minutes and seconds on the clock)")]
        if (m := re.match(r"  (Mix|Rinse|Then tone|Risk) ", line))
    ]
    assert found == LABELS * len(visit.zones)
    text = "\n".join(lines)
    for zone in visit.zones:
        for said in first_notes(zone, visit).values():
            assert say(said) in text
        grams = f"{zone.bowl.product_grams:.0f} g product + {zone.bowl.developer_grams:.0f} g"
        assert grams in text
    # One line for all of them, after the last zone.
    assert text.index(say(verdict_note(visit))) > text.rindex("  Risk ")


def test_risk_is_three_chances_that_make_up_the_whole(visit):
    for zone in visit.zones:
        risk = first_notes(zone, visit)["risk"]
        assert risk["p"] + risk["p_past"] + risk["p_soon"] == pytest.approx(1.0)
        assert f"{say('chance', p=zone.p_inside)} inside for {zone.goal}" in say(risk)


def test_a_rinse_past_what_is_safe_says_so_and_why(visit):
    for zone in visit.zones:
        told = say(first_notes(zone, visit)["rinse"])
        assert told.startswith(f"at {say('clock', t=zone.rinsed)}")
        late = zone.rinsed > zone.latest_safe
        assert ("PAST safe" in told or "NEVER SAFE" in told) == late
        assert ("safe until" in told) == (not late)
        if late:
            assert str(visit.past_safe[zone.zone.name][0]) in told


def test_never_safe_where_what_is_safe_ends_before_it_begins(woven):
    why = {woven.zones[0].zone.name: woven.past_safe["weaves"]}
    late = replace(with_zone(woven, latest_safe=-2.0), past_safe=woven.past_safe | why)
    told = say(first_notes(late.zones[0], late)["rinse"])
    assert "NEVER SAFE: " in told
    assert f"Look from {say('clock', t=late.zones[0].laid)} on" in told


def test_brief_is_the_first_lines_and_the_cautions(visit):
    whole, brief = printed(visit), printed(visit, brief=True)
    assert [line for line in brief if line.startswith("  ! ")] == [
        line for line in whole if line.startswith("  ! ")
    ]
    first = next(i for i, (a, b) in enumerate(zip(brief, whole, strict=False)) if a != b)
    assert brief[first] == "" or brief[first].startswith("  ! ")
    assert len(brief) < 45
    for late in ("Zones", "Next visit", "Curve set", "Blend:"):
        assert not any(line.startswith(late) for line in brief)
    text = " ".join(" ".join(brief).split())
    for caution in map(str, ALWAYS):
        assert caution in text


def test_eighty_columns_hold_it(visit):
    assert max(map(len, printed(visit))) <= 80


def test_a_window_that_opens_after_it_closes_is_none(woven):
    section = replace(woven.zones[0].sections[0], opens=69.5, closes=50.0, closes_by="time_limit")
    other = replace(section, opens=71.2)
    sections = (section, other, *woven.zones[0].sections[2:])
    late = with_zone(woven, sections=sections, earliest=69.5, latest=50.0, closes_by="time_limit")
    lines = printed(late, 200)
    assert not any("69.5 to 50.0" in line for line in lines)
    (told,) = (line for line in lines if line.startswith("  No window in 2 of 10 sections"))
    assert told == (
        "  No window in 2 of 10 sections: reached at 69.5 to 71.2, limit at 50.0 min "
        "(over the time limit)."
    )
    (zone,) = no_window_notes(late)
    assert str(zone) == (
        "weaves: no window: its last section reaches the goal at 69:30, its first is at its limit "
        "(over the time limit) at 50:00."
    )
    assert sum(re.match(r" *[12] .* none ", line) is not None for line in lines) == 2
    for at in re.findall(r"(\d+\.\d) to (\d+\.\d)  ", "\n".join(lines)):
        assert float(at[0]) < float(at[1])


def test_a_goal_that_is_never_reached_is_told_so(woven):
    sections = tuple(replace(s, opens=None) for s in woven.zones[0].sections)
    never = with_zone(woven, sections=sections, earliest=None)
    assert str(no_window_notes(never)[0]) == (
        "weaves: no window: level 7.5, no warmer than +20 dC* is not reached within the time limit."
    )
    (told,) = closed_notes(never.zones[0])
    goal = "level 7.5, no warmer than +20 dC*"
    assert str(told) == f"No window in 10 of 10 sections: {goal} is not reached within 50 min."
    assert closed_notes(woven.zones[0]) == []


@pytest.mark.parametrize(
    ("serves", "said"),
    [
        (0, "Even the first section from it has no window"),
        (1, "One bowl serves 1 section, then the first closes before the next opens."),
        (18, "One bowl serves 18 sections, then the first closes before the next opens."),
    ],
)
def test_how_far_a_bowl_goes(woven, serves, said):
    text = str(bowl_note(replace(woven.zones[0].bowl, serves=serves, ends_by="window")))
    assert said in text
    assert "0 sections" not in text


def test_nothing_says_the_same_thing_twice_in_other_words(visit):
    text = " ".join(printed(visit, 200))
    assert "the expected strands of every section are inside, and" not in text


def test_water_is_told_after_the_verdict(woven):
    wet = replace(woven, water=(note("text", text="water [/] here"),))
    lines = printed(wet, 400, brief=True)
    assert lines.index("water [/] here") == lines.index(say(verdict_note(wet))) + 1
