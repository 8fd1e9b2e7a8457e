"""Tables for the chair: the numbers of the objects they show."""

from dataclasses import replace
from pathlib import Path

import pytest

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Blend
from lift.practice.preview import preview
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import LIKELY, plan
from lift.practice.trial.observation import Observation
from lift.practice.trial.strand_test import strand_test
from lift.show.lesson import tables
from lift.words import say

SHARED = Path(__file__).parents[3] / "shared"
HAIR, MIXTURE = Hair(level=7.0, fibre_um="fine", damp=True), Mixture("base-break", 10.0)


@pytest.fixture(scope="module")
def scenario():
    return load_scenario(SHARED / "blonde_refresh.toml")


@pytest.fixture(scope="module")
def visit(scenario):
    return plan(scenario)


def rows(shown):
    return [line.split("; ") for line in shown.text.splitlines()[2:]]


def test_preview_table_holds_risk_and_window():
    result = preview(HAIR, MIXTURE, 5.0)
    text = tables.preview_table(result).text
    assert say("chance", p=result.p_too_warm) in text
    assert f"{result.window.opens:.1f} to {result.window.closes:.1f} min" in text
    assert "50 um, damp" in text.splitlines()[0]


def test_preview_table_tells_both_kinds_of_fibres():
    result = preview(HAIR.replace(grey_percent=30.0), MIXTURE, 15.0, members=4)
    shown = dict(row[:2] for row in rows(tables.preview_table(result)))
    assert shown["pigmented fibres"].startswith("L* ")
    assert "30 % of all" in tables.preview_table(result).text
    assert "hide warm ones" in shown["as seen"]
    assert "fibres" not in tables.preview_table(preview(HAIR, MIXTURE, 15.0, members=4)).text


def test_preview_table_without_window_or_tone():
    text = tables.preview_table(preview(HAIR, Mixture("cream", 0.0), 5.0, Blend())).text
    assert "window; none" in text
    assert "tone; none needed" in text


def test_every_zone_of_the_scenario_with_what_lies_on_it(scenario):
    shown = rows(tables.scenario_table(scenario))
    assert [r[0] for r in shown] == [z.name for z in scenario.zones]
    assert [r[2] == "left alone" for r in shown] == [
        z not in scenario.treated for z in scenario.zones
    ]
    assert "lightened before to 8.2" in shown[2][1]


def test_plan_table_has_the_clock_of_each_treated_zone(visit):
    shown = rows(tables.plan_table(visit))
    assert [r[0] for r in shown] == [z.zone.name for z in visit.zones]
    assert [float(r[1]) for r in shown] == [round(z.starts, 1) for z in visit.zones]
    assert [r[-2] for r in shown] == [say("chance", p=z.p_inside) for z in visit.zones]


def test_changes_say_what_helps_and_what_does_not():
    darker = plan(load_scenario(SHARED / "darker_base.toml"))
    lines = tables.change_lines(darker)
    assert lines[0].startswith("No order keeps all inside: ")
    assert sum("does not help" in line for line in lines) == sum(
        not c.works for c in darker.changes
    )
    fine = load_scenario(SHARED / "fine_and_coarse.toml")
    easy = plan(fine.replace(salon=replace(fine.salon, assistants=1)))
    assert easy.p_inside >= LIKELY
    assert not easy.changes
    assert tables.change_lines(easy) == ["Nothing needs changing."]
    unsure = replace(easy, p_inside=0.9 * LIKELY)
    assert tables.change_lines(unsure) == ["No change that was tried makes it much likelier."]


def test_moved_table_compares_before_and_after():
    test = strand_test(HAIR, MIXTURE, [Observation(12.0, level=7.9)], rinse_minutes=6.0)
    before, after = rows(tables.moved_table(test))
    assert before[1] == say("chance", p=test.before.p_too_warm)
    assert after[1] == say("chance", p=test.after.p_too_warm)
    assert before[1:] != after[1:]
