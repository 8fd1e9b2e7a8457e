"""Words of a plan that terminal, page and card share."""

from pathlib import Path

import pytest

from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.changes import Change
from lift.practice.service.plan import plan
from lift.show.said_plan import gain_note, verdict_note

SHARED = Path(__file__).parents[2] / "shared"


@pytest.mark.parametrize(
    ("cost", "work"),
    [(-0.8, "1 min of work less"), (12.6, "13 min of work more"), (0.3, "no more work")],
)
def test_a_change_says_what_it_gives_and_costs(cost, work):
    scenario = load_scenario(SHARED / "blonde_refresh.toml")
    change = Change(("weaker",), (), scenario, True, 0.52, 23.6, cost)
    assert str(gain_note(change)) == f"Then 52 in 100 inside, 24 min in all, {work}."


def test_a_verdict_holds_the_order_or_every_reason():
    found = plan(load_scenario(SHARED / "blonde_refresh.toml"))
    told = verdict_note(found)
    assert (told.code, told["order"]) == ("plan.order", ("foils", "base"))
    assert str(told).startswith("foils, then base; rinse all at ")
    failed = plan(load_scenario(SHARED / "darker_base.toml"))
    told = verdict_note(failed)
    assert told.code == "plan.no_order"
    assert told.to_dict()["reasons"] == [reason.to_dict() for reason in failed.reasons]
    assert all(str(reason) in str(told) for reason in failed.reasons)
