"""From where zones are on the head: what is woven into what, how much of it, what lies beside."""

import pytest

from lift.errors import LiftError
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.scenario.laid_out import laid_out
from lift.practice.scenario.scenario import HEAD, Scenario, Zone
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.outcome import neighbours
from lift.practice.service.plan import plan


def zone(name, along, head=HEAD, **more):
    return Zone(name, Hair(7), along=along, head=tuple(head), **more)


def of(*zones):
    return laid_out(Scenario("", zones, {"light": Mixture("powder", 20)}))


def test_a_refresh_by_its_places_is_the_one_written_out():
    written = load_scenario("shared/blonde_refresh.toml")
    by_places = of(
        zone("foils", "foils"), zone("base", "regrowth"), zone("mid", "mid-lengths"),
        zone("ends", "ends"),
    )  # fmt: skip
    assert [z.share for z in by_places.zones] == pytest.approx([z.share for z in written.zones])
    woven = [[z.part for z in s.zones] for s in (written, by_places)]
    assert woven == [["regrowth"] * 2 + ["mid-lengths", "ends"], ["base", "base", "mid", "ends"]]
    assert len(neighbours(by_places)) == len(neighbours(written))


def test_foils_over_some_of_the_regrowth_have_less_of_it():
    foils, base = of(zone("foils", "foils", ["top"]), zone("base", "regrowth")).zones
    assert (foils.share, base.share) == pytest.approx((0.1, 0.9))


def test_foils_go_into_the_regrowth_they_lie_in():
    found = of(
        zone("front", "regrowth", ["front"]),
        zone("rest", "regrowth", ["top", "back"]),
        zone("foils", "foils", ["front", "top", "back"]),
        zone("below", "foils", ["sides"]),
    ).zones
    assert [z.part for z in found] == ["front", "rest", "rest", "below"]


@pytest.mark.parametrize("count", [1, 2, 3, 5])
def test_many_foils_leave_some_regrowth_between(count):
    *foils, base = of(*(zone(f"f{i}", "foils") for i in range(count)), zone("b", "regrowth")).zones
    assert sum(z.share for z in (*foils, base)) == pytest.approx(1.0)
    assert base.share >= 0.1 - 1e-9


def test_what_is_given_stays():
    given = zone("foils", "foils", share=0.25, part="crown", beside=("ends",))
    found = of(given, zone("base", "regrowth"), zone("ends", "ends"))
    assert found.zones[0] == given
    assert found.zones[1].share == 1.0


def test_shares_that_leave_nothing_are_refused():
    foils = [zone(f"f{i}", "foils", share=0.5) for i in range(2)]
    with pytest.raises(LiftError, match="sum of shares in part base"):
        of(*foils, zone("base", "regrowth"))


def test_regrowth_lies_beside_ends_where_no_lengths_are_told_in_the_same_places():
    top, back, mid, ends = of(
        zone("top", "regrowth", ["top"]), zone("back", "regrowth", ["back"]),
        zone("mid", "mid-lengths", ["top"]), zone("ends", "ends", ["top", "back"]),
    ).zones  # fmt: skip
    assert (top.beside, back.beside, mid.beside, ends.beside) == (
        ("mid",),
        ("ends",),
        ("ends",),
        (),
    )


def test_a_plan_knows_where_zones_are():
    zones = (
        zone("foils", "foils", mixture="light", regrowth_mm=18),
        zone("base", "regrowth", regrowth_mm=18),
    )
    found = plan(Scenario("", zones, {"light": Mixture("powder", 20)}), members=4)
    assert found.scenario.parts == ("base",)
