"""Options of a visit: every zone gets a mixture, the best way is first, what is refused is out."""

from dataclasses import replace

import pytest

from lift.errors import LiftError, LimitError
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Blend, Lighten, Tone
from lift.practice.scenario.scenario import Scenario, Zone, ZoneGoal
from lift.practice.schedule.search import NEAR
from lift.practice.service.plan import plan
from lift.practice.visit.consultation import Consultation
from lift.practice.visit.options import visit_options
from lift.practice.visit.visit import Visit

LIGHTER = ZoneGoal(Lighten(level=8))
BASE = Zone("base", Hair(7, "fine", damp=True), along="regrowth", goal=ZoneGoal(Blend(level=7.6)))
LENGTHS = Zone("lengths", Hair(6), along="mid-lengths", goal=LIGHTER)
ENDS = Zone("ends", Hair(6, lightened_to=8), along="ends")
MEMBERS = 24


def found(*zones, **more):
    return visit_options(Scenario("", zones, {}), members=MEMBERS, **more)


@pytest.fixture(scope="module")
def two():
    return found(BASE, LENGTHS, ENDS)


def test_every_open_zone_gets_a_mixture_that_suits_its_wish(two):
    assert two.open_zones == ("base", "lengths")
    assert two.untold == ("ends",)
    for option in two.options:
        assert option.kinds["base"] in ("base-break", "cream")
        assert option.kinds["lengths"] in ("cream", "powder")
        assert {z.zone.name for z in option.plan.zones} == {"base", "lengths"}
        assert not option.plan.scenario.to_choose
    assert len({tuple(o.kinds.items()) for o in two.options}) == len(two.options) > 1


def test_the_first_is_likeliest_or_nearly_and_then_the_mildest(two):
    chances = [option.plan.p_inside for option in two.options]
    first = two.options[0]
    assert first.plan.p_inside >= max(chances) - NEAR
    near = [o for o in two.options if o.plan.p_inside >= max(chances) - NEAR]
    assert first.burden == min(o.burden for o in near)


def test_a_plan_of_what_an_option_says_says_the_same(two):
    option = two.options[0]
    again = plan(option.plan.scenario, members=MEMBERS)
    assert again.p_inside == option.plan.p_inside
    assert [z.rinsed for z in again.zones] == [z.rinsed for z in option.plan.zones]


def test_what_the_client_answers_refuse_is_no_option():
    asked = Visit(Scenario("", (LENGTHS,), {}), "k7f-m3q", consultation=Consultation(asthma="yes"))
    refused = found(LENGTHS, consulted=asked.consulted)
    assert {option.kinds["lengths"] for option in refused.options} == {"cream"}
    sore = asked.replace(consultation=Consultation(stretch="breaks"))
    with pytest.raises(LimitError, match="lengths"):
        found(LENGTHS, consulted=sore.consulted)


def test_foils_may_have_persulfate_for_a_blend_and_the_scalp_may_not():
    wish = ZoneGoal(Blend(level=8))
    foils = replace(BASE, name="foils", along="foils", goal=wish)
    assert "powder" in {o.kinds["foils"] for o in found(foils).options}
    assert "powder" not in {o.kinds["base"] for o in found(replace(BASE, goal=wish)).options}


@pytest.mark.parametrize("zones", [(), (ENDS,), (replace(ENDS, goal=ZoneGoal(Tone(level=8))),)])
def test_a_visit_without_a_wish_has_none(zones):
    with pytest.raises(LiftError, match="no zone has a wish"):
        found(*zones)


def test_a_zone_that_has_its_mixture_keeps_it():
    zones = (replace(BASE, mixture="mine"), LENGTHS)
    scenario = Scenario("", zones, {"mine": Mixture("cream", 10)})
    for option in visit_options(scenario, members=MEMBERS).options:
        assert "base" not in option.kinds
        kept = option.plan.scenario.mixtures["mine"]
        assert (kept.kind, float(kept.volume)) == ("cream", 10.0)
