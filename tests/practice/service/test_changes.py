"""Changes to a plan: what is remembered between trials must not change any answer."""

import gc
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from lift.model.curves import default_curves
from lift.model.developer import Developers
from lift.model.ensemble import LATENT, draw_latent
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Blend
from lift.practice.scenario.scenario import Placement, Salon, Scenario, Zone, ZoneGoal
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.schedule.response import Responses
from lift.practice.schedule.solve import solve
from lift.practice.service.changes import Trials, make_likelier, make_possible

SHARED = Path(__file__).parents[3] / "shared"
CURVES = default_curves()
DECK = np.concatenate([np.zeros((1, len(LATENT))), draw_latent(8)])


class Forgetful(dict):
    """A memory that never knows anything."""

    def __contains__(self, key):
        return False


def services():
    """Services in an order in which each leaves room in memory for the next."""
    for level in (6.0, 6.5, 7.0, 7.5):
        for volume in (20.0, 15.0, 10.0):
            for sections in (6, 14):
                zone = Zone(
                    "base",
                    Hair(level, "fine", damp=True),
                    mixture="break",
                    goal=ZoneGoal(Blend(warmth=4.0)),
                    placement=Placement(sections, 40, 2),
                )
                mixtures = {"break": Mixture("base-break", volume)}
                yield Scenario("test", (zone,), mixtures, Salon(), "Invented for a test.")


def changes(scenario, memory):
    responses = Responses(CURVES, DECK, memory)
    trials = Trials(solve(scenario, responses), responses)
    tell = make_likelier if trials.service.schedule.expected_inside else make_possible
    return tell(trials)


def darker_base(curves):
    scenario = load_scenario(SHARED / "darker_base.toml")
    responses = Responses(curves, DECK)
    return Trials(solve(scenario, responses), responses)


def weaker(trials):
    return [change.parts[0] for change in trials.of_kind("weaker", ("base",))]


def test_a_weaker_developer_is_on_the_shelf_or_mixed_of_two_that_are():
    """And then its parts are said; the strongest comes first."""
    told = weaker(darker_base(CURVES))
    assert [part["volume"] for part in told] == [15.0, 10.0, 7.5, 5.0]
    assert [str(part) for part in told[1:3]] == [
        "10 vol instead of 20 vol on base",
        "7.5 vol (1 part 5 vol + 1 part 10 vol) instead of 20 vol on base",
    ]


def test_the_shelf_is_the_curve_sets():
    own = replace(CURVES.mixtures, developers=Developers((6, 12, 30), "assumed", "for a test"))
    told = weaker(darker_base(CURVES.with_mixtures(own)))
    # Half of 12 and half of 30 make 21 vol, which is stronger than what it would replace.
    assert [part["volume"] for part in told] == [12.0, 9.0, 6.0]
    strong = replace(own, developers=Developers((20, 30), "assumed", "for a test"))
    assert weaker(darker_base(CURVES.with_mixtures(strong))) == []


@pytest.mark.slow
def test_changes_with_a_memory_equal_those_without():
    told = 0
    for scenario in services():
        with_memory = changes(scenario, {})
        gc.collect()
        assert with_memory == changes(scenario, Forgetful())
        told += len(with_memory)
    assert told > 40


def test_memory_keeps_what_it_is_keyed_by():
    # A key that outlives its mixture answers for whatever is made at the same address next.
    memory = {}
    scenario = next(services())
    changes(scenario, memory)
    gc.collect()
    volumes = {float(asked.mixture.developer_volume) for asked in memory}
    assert {asked.hair for asked in memory} == {scenario.zones[0].hair}
    assert len(volumes) > 3
    assert len({asked.mixture for asked in memory}) == len(volumes)
