"""Zones that are toned and nothing else: their toner is a step after the last rinse."""

import io
from dataclasses import replace
from pathlib import Path

import pytest
from rich.console import Console

from lift.answers import to_dict
from lift.model.curves import default_curves
from lift.optics.colorimetry import delta_e_2000
from lift.practice.goal import Tone
from lift.practice.scenario.scenario import Toner, ZoneGoal
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import plan
from lift.practice.service.toned_zone import toned_zones
from lift.show.card.html import card_html
from lift.show.terminal.plan import print_plan

SHARED = Path(__file__).parents[3] / "shared"
CURVES = default_curves()
REFRESH = load_scenario(SHARED / "blonde_refresh.toml")
TONED = REFRESH.replace_zone("ends", goal=ZoneGoal(Tone()))


@pytest.fixture(scope="module")
def result():
    return plan(TONED, members=10)


def test_its_toner_goes_on_after_the_last_rinse_with_the_others(result):
    assert [zone.zone.name for zone in result.zones] == ["foils", "base"]
    times = {each.zone: each for each in result.toning}
    assert {"ends"} <= set(times) <= {"foils", "base", "ends"}
    assert times["ends"].starts >= result.service.all_rinsed
    assert result.total_minutes == max(each.ends for each in result.toning)
    kinds = [step.kind for step in result.steps if step.zone == "ends"]
    assert kinds == ["tone", "rinse_tone"]
    without = plan(REFRESH, members=10)
    assert without.toned == ()
    assert result.total_minutes > without.total_minutes


def test_its_colour_after_is_what_the_parts_are_judged_by(result):
    (zone,) = result.toned
    before = plan(REFRESH, members=10).blend.zones["ends"]
    assert zone.before == pytest.approx(before, abs=1e-6)
    assert result.blend.zones["ends"] == pytest.approx(zone.after)
    assert delta_e_2000(zone.before, zone.after) > 3.0
    assert zone.after[2] < zone.before[2] - 3.0
    assert list(zone.toner_step.parts) == list(zone.toner) == ["blue-violet"]


def test_what_was_given_is_laid_on_and_what_needs_nothing_is_no_step():
    given = Toner("permanent", {"violet": 4.0})
    (zone,) = toned_zones(TONED.replace_zone("ends", toner=given), CURVES)
    assert (zone.toner_step.kind, dict(zone.toner)) == ("permanent", {"violet": 4.0})
    assert toned_zones(TONED.replace_zone("ends", toner=None), CURVES) == ()
    assert toned_zones(TONED.replace_zone("ends", goal=ZoneGoal(leave=True)), CURVES) == ()
    natural = replace(TONED.zone("ends").hair, lightened_to=None)
    assert toned_zones(TONED.replace_zone("ends", hair=natural), CURVES) == ()


def test_terminal_card_and_json_tell_it(result):
    to = Console(file=io.StringIO(), width=200, highlight=False)
    print_plan(result, to)
    for text in (to.file.getvalue(), card_html(result)):
        assert "ends: toned only, at " in text
        assert "blue-violet" in text
    (told,) = to_dict(result)["toned"]
    assert told["zone"] == "ends"
    assert told["toner_step"]["parts"] == {"blue-violet": 1}
    assert told["after"] == pytest.approx(result.blend.zones["ends"], abs=1e-4)
