"""What the page asks a preview about a zone is the zone's hair and goal, as the plan has them."""

from pathlib import Path

import pytest

from lift.model.curves import default_curves
from lift.practice.goal import Blend
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import plan
from lift.show.page.question import read_question
from lift.show.page.zone_asked import zone_asked

SHARED = Path(__file__).parents[3] / "shared"


@pytest.mark.parametrize("name", ["grey_blending", "blonde_refresh"])
def test_hair_and_goal_read_back_as_they_are_planned(name):
    curves = default_curves()
    result = plan(load_scenario(SHARED / f"{name}.toml"), curves)
    for zone in result.zones:
        asked = zone_asked(zone, result)
        question = read_question(
            {
                **asked,
                "mixture": result.scenario.mixture_on(zone.zone).kind,
                "volume": "10",
                "minutes": "5",
            },
            curves,
        )
        for field in ("level", "fibre_um", "damp", "grey_percent", "lightened_to"):
            assert getattr(question.hair, field) == getattr(zone.zone.hair, field), field
        assert question.mixture.temperature_c == result.scenario.temperature_on(zone.zone)
        if zone.zone.goal.match is None:
            assert question.goal == zone.zone.goal.goal
        else:
            assert isinstance(question.goal, Blend)
            assert question.goal.lab == pytest.approx(zone.target, abs=0.006)
            assert question.goal.tolerance == zone.zone.goal.goal.tolerance
