"""After-care: advice follows from what was done, and each piece says where it comes from."""

from dataclasses import replace

import pytest

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.scenario.scenario import Scenario, Zone
from lift.practice.visit.after_care import Done, after_care, what_was_done
from lift.words import say


def told(done):
    return [each.said.code.removeprefix("care.") for each in after_care(done)]


def test_natural_hair_that_nobody_touched_is_told_of_pain_only():
    scenario = Scenario("", (Zone("all", Hair(6), mixture="m"),), {"m": Mixture("base-break", 5)})
    untouched = replace(what_was_done(scenario), lightened=False)
    assert told(untouched) == ["pain"]


@pytest.mark.parametrize(
    ("zone", "mixture", "toned", "more", "less"),
    [
        ({}, Mixture("cream", 20), (), {"acid", "heat", "pool", "sun"}, {"direct", "comb"}),
        ({}, Mixture("cream", 20), ("direct",), {"direct", "first_wash"}, {"permanent"}),
        ({}, Mixture("cream", 20, tone={"blue": 2}), (), {"permanent"}, {"direct", "comb"}),
        ({"lightened_to": 7}, Mixture("cream", 20), (), {"comb"}, {"first_wash"}),
    ],
)
def test_advice_follows_from_what_was_done(zone, mixture, toned, more, less):
    scenario = Scenario("", (Zone("all", Hair(5, **zone), mixture="m"),), {"m": mixture})
    found = set(told(what_was_done(scenario, toned)))
    assert more <= found
    assert not less & found


def test_what_feels_porous_is_combed_with_care():
    scenario = Scenario("", (Zone("all", Hair(5), mixture="m"),), {"m": Mixture("cream", 20)})
    assert "comb" not in told(what_was_done(scenario))
    assert "comb" in told(what_was_done(scenario, porous=True))


def test_every_piece_of_advice_has_a_source():
    everything = after_care(Done(True, frozenset({"direct", "permanent"}), True))
    assert len(everything) == 9
    for each in everything:
        source = say(each.source)
        assert any(mark in source for mark in ("common practice (no source)", "read)", "washes ("))
