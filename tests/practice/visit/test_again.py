"""The next visit of the same client: the hair as it came out, grown since then."""

import datetime
import json
from pathlib import Path

import pytest

from lift.model.curves import default_curves
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import plan
from lift.practice.visit.again import again, copied, level_of
from lift.practice.visit.visit import Seen, Visit
from lift.practice.visit.visit_table import visit_of, visit_table

CURVES = default_curves()
TODAY = datetime.date(2026, 3, 1)
DEMOS = sorted((Path(__file__).parents[3] / "shared").glob("*.toml"))
BASE = {"name": "base", "along": "regrowth", "natural_level": 6, "regrowth_mm": 20, "minutes": 9}
ENDS = {"name": "ends", "along": "ends", "natural_level": 6, "mixture": "x", "goal": "lighten 8"}


def after(*zones, seen=None, **head):
    came_out = [{"zone": zone, "minutes": 20, "seen": what} for zone, what in (seen or {}).items()]
    table = {
        "visit": {"name": "first", "client": "qf4-mk7", "date": "2026-01-18", **head},
        "mixtures": {"x": {"kind": "cream", "volume": 20}},
        "zones": [{"mixture": "x", **zone} for zone in zones],
        "came_out": came_out,
    }
    return again(visit_of(table), CURVES, today=TODAY)


def test_regrowth_is_natural_hair_that_has_grown_since():
    (base, *_) = after(BASE | {"toner": {"doses": {"violet": 1}}}).scenario.zones
    assert base.regrowth_mm == pytest.approx(42 * 0.35)
    assert (base.hair.lightened_to, base.mixture, base.minutes) == (None, "x", None)
    assert base.toner == "choose"


def test_the_day_is_the_one_agreed_unless_that_is_past():
    assert after(BASE).date == "2026-03-01"
    assert after(BASE, next="2026-04-12").date == "2026-04-12"
    assert after(BASE, next="2026-02-01").date == "2026-03-01"
    grown = after(BASE, next="2026-04-12").scenario.zones[0].regrowth_mm
    assert grown == pytest.approx(84 * 0.35)


def test_lengths_are_what_came_out_and_what_is_wanted_is_asked_anew():
    (ends,) = after(ENDS, seen={"ends": "8.3"}).scenario.zones
    assert (ends.hair.lightened_to, ends.mixture, ends.goal.said) == (8.3, None, False)
    (ends,) = after(ENDS, seen={"ends": "5.5"}).scenario.zones
    assert ends.hair.lightened_to is None


def test_a_colour_that_was_measured_has_the_level_of_natural_hair_as_light():
    level = level_of(Seen("ends", 20.0, "60,8,25"), CURVES)
    assert level == pytest.approx(8.6, abs=0.5)
    (ends,) = after(ENDS, seen={"ends": "60,8,25"}).scenario.zones
    assert ends.hair.lightened_to == level


def test_what_was_regrowth_lies_behind_unless_lengths_are_told():
    behind = after(BASE, seen={"base": "7.5"}).scenario.zones[-1]
    assert (behind.along, behind.length_mm, behind.hair.lightened_to) == ("mid-lengths", 20, 7.5)
    assert len(after(BASE, ENDS, seen={"base": "7.5"}).scenario.zones) == 2
    assert len(after(BASE).scenario.zones) == 1


def test_a_copy_is_of_nobody_and_of_nothing_done():
    visit = visit_of({"visit": {"name": "a", "client": "qf4-mk7", "invented": True}})
    made = copied(visit, today=TODAY)
    assert (made.client, made.date, made.invented) == (None, "2026-03-01", True)
    assert made.name != "a"


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_the_next_visit_of_a_demo_can_be_kept_and_planned(path):
    scenario = load_scenario(path)
    done = Visit(scenario, "first", client="qf4-mk7", date="2026-01-18").replace(
        came_out=tuple(Seen(zone.name, 13.0, "8") for zone in scenario.treated)
    )
    found = again(done, CURVES, today=TODAY)
    assert visit_table(visit_of(json.loads(json.dumps(visit_table(found))))) == visit_table(found)
    assert plan(found.scenario, members=4).zones
