"""A plan against what its parts give one by one."""

import json
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from lift.answers import to_dict
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.ensemble import LATENT, draw_latent
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import ALWAYS
from lift.practice.goal import Blend, Lighten, Match
from lift.practice.scenario.scenario import (
    Placement,
    Salon,
    Scenario,
    Toner,
    Zone,
    ZoneGoal,
)
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.schedule.response import Responses
from lift.practice.schedule.solve import solve
from lift.practice.service.plan import plan
from lift.words import says

CURVES = default_curves()
FINE = Hair(7, "fine", damp=True)
DECK = np.concatenate([np.zeros((1, len(LATENT))), draw_latent(40)])


def base(**changes):
    usual = {
        "mixture": "break",
        "regrowth_mm": 15.0,
        "placement": Placement(4, 20, 2, rinse_seconds_per_section=20),
    }
    return Zone("base", FINE, **{**usual, **changes})


def foils(**changes):
    usual = {
        "mixture": "light",
        "goal": ZoneGoal(Lighten(level=8, warmth=20), lighter_by=1.5),
        "placement": Placement(8, 50, 2),
    }
    return Zone("foils", Hair(7, "fine"), **{**usual, **changes})


def scenario(*zones, salon=None, **mixtures):
    usual = {"break": Mixture("base-break", 10), "light": Mixture("powder", 10)}
    return Scenario("test", zones, {**usual, **mixtures}, salon or Salon(), "Invented for a test.")


@pytest.fixture(scope="module")
def both():
    return plan(scenario(foils(), base()), members=80)


# Sections and zones


def test_sections_of_a_plan(both):
    zone = both.zone("foils")
    each = 50 / 60
    for section in zone.sections:
        assert section.starts == pytest.approx(zone.starts + (section.number - 1) * each)
        assert section.minutes == pytest.approx(zone.rinsed - section.starts)
        assert section.inside == (section.opens <= section.minutes < section.closes)
    assert zone.laid == pytest.approx(zone.starts + 8 * each)
    assert zone.earliest == pytest.approx(max(s.starts + s.opens for s in zone.sections))
    assert zone.latest == pytest.approx(min(s.starts + s.closes for s in zone.sections))
    assert zone.minutes == zone.sections[0].minutes


def test_every_section_inside_is_rarer_than_each(both):
    for zone in both.zones:
        assert zone.p_inside <= min(s.p_inside for s in zone.sections) + 1e-12
        assert both.p_inside <= zone.p_inside + 1e-12
        assert zone.p_inside + zone.p_too_far <= 1.0 + 1e-12


def test_probabilities_against_strand_by_strand_simulation(both):
    """The first section's chance, counted by simulating its outer and inner strands directly."""
    work = both.service.works["base"]
    section = both.zone("base").sections[0]
    each = work.laying.ends[0] - work.laying.starts[0]
    outer = work.simulate(work.responses.latent, work.outer[:, :1], np.array([section.minutes]))
    inner = work.simulate(
        work.responses.latent, work.inner[:, :1], np.array([section.minutes - each])
    )
    fine = (inner.lift[:, 0] >= work.target.lift) & (outer.warmth[:, 0] < work.target.warmth_limit)
    assert section.p_inside == pytest.approx(fine[1:].mean(), abs=0.03)


def test_latest_safe_rinse_is_safe_nine_times_in_ten(both):
    for zone in both.zones:
        task = both.service.works[zone.zone.name].task()
        at = zone.latest_safe - zone.starts
        assert np.mean(task.latest[1:] < at - 1e-9) <= 0.1 + 1e-9
        # Up to the next strand's end it would not be.
        later = task.latest[1:]
        assert np.mean(later <= later[later > at + 1e-9].min()) > 0.1
    assert both.latest_safe == min(z.latest_safe for z in both.zones)


def test_together_means_one_moment(both):
    assert both.zones[0].rinsed == pytest.approx(both.zones[1].rinsed)
    assert both.zones[0].laid <= both.zones[1].starts
    assert all(z.laid <= z.rinsed + 1e-9 for z in both.zones)


def test_the_order_can_be_fixed():
    free = plan(scenario(foils(), base()), members=40)
    assert [z.zone.name for z in free.zones] == ["foils", "base"]
    fixed = plan(scenario(foils(), base(), salon=Salon(order=("base", "foils"))), members=40)
    assert [z.zone.name for z in fixed.zones] == ["base", "foils"]
    assert not fixed.exists
    assert "cannot be rinsed together" in why(fixed)


def test_zone_by_zone_rinses_each_at_its_time():
    result = plan(scenario(foils(), base(), salon=Salon(rinse="zone by zone")), members=40)
    assert result.exists
    rinses = [s for s in result.steps if s.kind == "rinse"]
    assert {s.zone for s in rinses} == {"foils", "base"}
    busy = sorted((s.at, s.until) for s in result.steps if s.kind != "mix")
    for (_, end), (start, _) in pairwise(busy):
        assert start >= end - 1e-6
    assert result.latest_safe is None


def test_steps_tell_the_whole_service(both):
    laid = [(s.zone, n) for s in both.steps if s.kind == "lay" for n in s.sections]
    wanted = {(z.zone.name, s.number) for z in both.zones for s in z.sections}
    assert len(laid) == len(set(laid)) == len(wanted)
    assert set(laid) == wanted
    assert [s.at for s in both.steps] == sorted(s.at for s in both.steps)
    assert both.steps[0].kind == "mix"
    assert both.steps[-1].kind == "rinse"


# Bowl


def test_bowl_against_planning_more_and_more_sections():
    """A bowl serves the most sections for which a plan of that zone alone exists."""
    placement = Placement(1, 45, 2)
    hair, goal = Hair(6, "medium"), ZoneGoal(Lighten(level=7, warmth=20), lighter_by=0.6)
    zone = Zone("z", hair, mixture="strong", goal=goal, placement=placement)

    def exists(count):
        trial = replace(zone, placement=replace(placement, sections=count))
        service = solve(scenario(trial, strong=Mixture("powder", 20)), Responses(CURVES, DECK[:1]))
        task = service.works["z"].task()
        return max(task.earliest[0], task.laying) < task.latest[0]

    serves = plan(scenario(zone, strong=Mixture("powder", 20)), members=4).zones[0].bowl.serves
    assert 2 <= serves < 60
    assert exists(serves)
    assert not exists(serves + 1)


def test_a_bowl_that_fades_fast_serves_fewer():
    slow = plan(scenario(foils()), members=4).zones[0].bowl
    quick = scenario(foils()).replace(assumptions={"bowl_fade_minutes": 20})
    fast = plan(quick, members=4).zones[0].bowl
    assert fast.serves < slow.serves
    assert fast.lasts < slow.lasts


def test_amounts(both):
    bowl = both.zone("foils").bowl
    assert bowl.grams == pytest.approx(48.0)
    assert bowl.product_grams == pytest.approx(16.0)
    assert bowl.developer_grams == pytest.approx(32.0)


# Reasons and changes


def why(result):
    return " ".join(says(result.reasons))


def kinds(changes):
    return {kind for change in changes for kind in change.kinds}


def slow_base():
    return base(placement=Placement(8, 40, 2))


def test_the_reason_and_what_would_help():
    result = plan(scenario(slow_base()), members=40)
    assert not result.exists
    assert why(result).startswith("base: section 1 closes (warmth)")
    assert result.best_change is not None
    works = [c for c in result.changes if c.works]
    assert result.changes[: len(works)] == tuple(works)
    assert [c.cost for c in works] == sorted(c.cost for c in works)
    assert {"weaker", "bowls", "split", "assistant"} <= kinds(result.changes)


CHANGED = {
    "weaker": lambda s, volume: s.replace(
        mixtures={**s.mixtures, "break": Mixture("base-break", volume)}
    ),
    "assistant": lambda s, _: s.replace(salon=replace(s.salon, assistants=1)),
    "bowls": lambda s, _: s.replace_zone(
        "base", placement=replace(s.zone("base").placement, bowls=2)
    ),
    "in_order": lambda s, _: s.replace_zone(
        "base", placement=replace(s.zone("base").placement, rinse_seconds_per_section=40)
    ),
}


@pytest.mark.parametrize("kind", CHANGED)
def test_a_change_gives_what_it_says(kind):
    """Planning the changed scenario gives the figures told with the change."""
    planned = scenario(slow_base())
    told = next(c for c in plan(planned, members=40).changes if c.kinds == (kind,))
    part = told.parts[0]
    made = plan(CHANGED[kind](planned, dict(part.values).get("volume")), members=40)
    assert made.exists == told.works
    assert made.p_inside == pytest.approx(told.p_inside)
    assert made.total_minutes == pytest.approx(told.total_minutes)


def test_a_change_raises_a_low_chance():
    result = plan(scenario(base(placement=Placement(4, 20, 2))), members=80)
    assert result.exists
    assert result.p_inside < 0.5
    assert result.changes
    assert all(c.works and c.p_inside >= result.p_inside + 0.1 - 1e-9 for c in result.changes)


def test_two_zones_that_clash():
    """Two base breaks that each take longer to lay than the other may wait."""
    one, two = slow_base(), replace(slow_base(), name="nape", part="nape")
    one = replace(one, placement=Placement(3, 60, 2, rinse_seconds_per_section=60))
    two = replace(two, placement=Placement(3, 60, 2, rinse_seconds_per_section=60))
    result = plan(scenario(one, two), members=40)
    assert not result.exists
    assert "base and nape cannot be rinsed together" in why(result)
    assert "by_zone" in kinds(c for c in result.changes if c.works)


def test_a_goal_out_of_reach_is_told():
    far = foils(goal=ZoneGoal(Lighten(level=10, warmth=30)))
    result = plan(scenario(replace(far, hair=Hair(4, "fine"))), members=20)
    assert not result.exists
    assert "not reached within 50 min" in why(result)
    assert result.zones[0].earliest is None
    json.dumps(to_dict(result), allow_nan=False)
    assert any("vol" in str(line) for line in result.advice)


def test_a_section_without_a_window_of_its_own_is_told():
    """So thick that its middle is late, while its outside is too warm already."""
    thick = base(placement=Placement(1, 20, 30))
    result = plan(scenario(thick, **{"break": Mixture("base-break", 20)}), members=20)
    assert "passes its limit (warmth)" in why(result)
    assert "before all of it has reached a natural blend" in why(result)


def test_laying_that_takes_longer_than_the_window_is_told():
    endless = foils(placement=Placement(60, 60, 2))
    result = plan(scenario(endless), members=20)
    assert "before the last section is on at 60.0 min" in why(result)
    assert result.zones[0].p_inside == 0.0


@pytest.mark.slow
def test_three_zones_that_fit_in_pairs_but_not_all_at_once():
    """Each pair finds a common rinse three minutes apart; the third would close before it."""
    place = Placement(2, 75, 2, rinse_seconds_per_section=75)
    zones = [replace(base(placement=place, mixture=f"m{i}"), name=f"z{i}", part=f"z{i}")
             for i in range(3)]  # fmt: skip
    mixtures = {f"m{i}": Mixture("base-break", v) for i, v in enumerate((15.0, 7.5, 7.5))}
    for pair in ((0, 1), (1, 2)):
        assert plan(scenario(*(zones[i] for i in pair), **mixtures), members=10).exists
    result = plan(scenario(*zones, **mixtures), members=10)
    assert not result.exists
    assert why(result).startswith("Each zone, and each pair of zones, can be inside")
    assert any(c.works for c in result.changes)


def test_two_changes_where_one_is_not_enough():
    """Eighteen slow sections of a strong mixture: the first pair of changes that works is told."""
    hard = base(placement=Placement(18, 40, 3))
    strong = {"break": Mixture("base-break", 20)}
    result = plan(scenario(hard, **strong), members=20)
    singles = [c for c in result.changes if len(c.kinds) == 1]
    assert len(singles) == 5
    assert not any(c.works for c in singles)
    best = result.best_change
    assert best is not None
    assert best.kinds == ("weaker", "in_order")
    assert str(best.kind) == "weaker developer and rinse in the order laid"
    volume = best.parts[0]["volume"]
    assert str(best.text) == (
        f"{volume:g} vol instead of 20 vol on base; rinse base section by section in the order "
        "laid, one every 40 s."
    )
    in_order = base(placement=replace(hard.placement, rinse_seconds_per_section=40))
    made = plan(scenario(in_order, **{"break": Mixture("base-break", volume)}), members=20)
    assert made.exists
    assert made.p_inside == pytest.approx(best.p_inside)


# The whole


def test_json_is_complete_and_finite(both):
    text = json.dumps(to_dict(both), allow_nan=False)
    read = json.loads(text)
    assert {"zones", "steps", "blend", "next_visit", "cautions", "changes"} <= set(read)
    assert read["zones"][0]["sections"][0]["minutes"] > 0
    assert read["curve_set"]["status"].startswith("calibrated")


def test_the_same_again(both):
    again = plan(scenario(foils(), base()), members=80)
    assert to_dict(again) == to_dict(both)


def test_cautions_are_always_there(both):
    assert set(ALWAYS) <= set(both.cautions)
    assert any("Persulfate" in str(text) for text in both.cautions)


def test_a_narrower_posterior_raises_the_chance(both):
    """Of this head, and of what nobody measured, which is more of it."""
    head = draw_latent(80) * np.where(np.array(LATENT) == "unmeasured", 1.0, 0.3)
    all_known = head * np.where(np.array(LATENT) == "unmeasured", 0.0, 1.0)
    of_head, of_all = (
        plan(scenario(foils(), base()), latent=z).p_inside for z in (head, all_known)
    )
    assert of_head > both.p_inside + 0.05
    assert of_all > of_head + 0.2


def test_a_toner_without_doses_is_computed():
    goal = ZoneGoal(Match((52.0, 7.0, 22.0), warmth=15.0))
    plain = plan(scenario(foils(goal=goal)), members=10)
    toned = plan(scenario(foils(goal=goal, toner=Toner())), members=10)
    assert plain.zones[0].toner == {}
    assert sum(toned.zones[0].toner.values()) > 0.1
    assert toned.blend.to_match["foils"] < plain.blend.to_match["foils"]


def test_matching_a_treated_zone():
    """The darkest blonde of a treated zone is its least lifted section, the lightest its most."""
    front = replace(foils(), name="front", part="front", goal=ZoneGoal(Lighten(level=8, warmth=20)))
    front = replace(front, placement=Placement(6, 120, 2))

    def target(which):
        back = foils(goal=ZoneGoal(Blend(warmth=20), match=(which, "front")))
        service = solve(scenario(back, front), Responses(CURVES, DECK))
        return service.matches["foils"][0]

    assert target("lightest") > target("darkest") + 1.0


def test_a_strand_of_other_hair_is_refused(tmp_path):
    from lift.practice.trial.strand_of import strand_of

    with pytest.raises(LiftError, match="cannot read strand file"):
        strand_of(scenario(foils()), tmp_path / "none.json", CURVES)


@pytest.mark.parametrize("sections", [1, 60, 200])
def test_many_sections(sections):
    many = foils(placement=Placement(sections, 10, 2))
    planned = plan(scenario(many, base()))
    assert len(planned.zone(many.name).sections) == sections


# Grey hair


TONED = Toner("permanent", None)
GREY = {"grey_percent": 40.0, "resistant_percent": 25.0}


@pytest.fixture(scope="module")
def greyed():
    """The same foils to be toned, without grey and with it."""
    zone = foils(toner=TONED)
    return [
        plan(scenario(z), members=20) for z in (zone, replace(zone, hair=zone.hair.replace(**GREY)))
    ]


def test_grey_changes_neither_schedule_nor_toner(greyed):
    """Window, risk, stage, tone direction and dose are those of the pigmented fibres."""
    none, grey = greyed
    assert grey.p_inside == none.p_inside
    assert grey.total_minutes == pytest.approx(none.total_minutes, abs=0.05)
    for name in ("earliest", "latest", "level", "lift", "warmth"):
        found, usual = (getattr(p.zone("foils"), name) for p in (grey, none))
        assert found == pytest.approx(usual, abs=0.05), name
    assert grey.zone("foils").stage == none.zone("foils").stage
    assert grey.zone("foils").tone.wheel == none.zone("foils").tone.wheel
    assert grey.zone("foils").toner == pytest.approx(none.zone("foils").toner, rel=0.01)


def test_a_grey_zone_is_told_as_two_kinds(greyed):
    none, grey = (p.zone("foils") for p in greyed)
    assert none.grey is none.grey_after is None
    assert tuple(grey.grey.blend) == pytest.approx(grey.lab, abs=1e-6)
    assert tuple(grey.grey_after.blend) == pytest.approx(grey.after, abs=1e-6)
    assert tuple(grey.grey.pigmented) == pytest.approx(none.lab, abs=0.1)
    assert tuple(grey.grey_after.pigmented) == pytest.approx(none.after, abs=0.1)
    assert grey.lab[0] > none.lab[0] + 2.0
    assert grey.grey_after.tinted_by > grey.grey.tinted_by
    shown = to_dict(greyed[1])["zones"][0]
    assert shown["fibres"]["blend"] == shown["lab"]
    assert shown["fibres_after"]["resistant_percent"] == 25.0
    assert to_dict(greyed[0])["zones"][0]["fibres"] is None


def test_warmth_that_comes_back_is_that_of_pigmented_fibres(greyed):
    none, grey = (p.next_visit.tone_warmth["foils"] for p in greyed)
    np.testing.assert_allclose(grey, none, atol=0.1)


def test_a_match_is_by_pigmented_fibres():
    """As far from the colour as without grey; what the eye makes of it is told of the edges."""
    goal = ZoneGoal(Match((60.0, 6.0, 24.0), warmth=20), lighter_by=3.0)
    zone = foils(goal=goal, toner=TONED)
    grey = replace(zone, hair=zone.hair.replace(**GREY))
    found = [plan(scenario(z), members=4).blend for z in (zone, grey)]
    assert found[1].to_match["foils"] == pytest.approx(found[0].to_match["foils"], abs=0.1)
    assert found[1].zones["foils"][0] > found[0].zones["foils"][0] + 1.0


def test_grey_foils_are_matched_by_their_pigmented_fibres():
    """A base is not to be as light as white fibres make the foils look."""
    salon = Salon(rinse="zone by zone")
    goal = ZoneGoal(Blend(warmth=20), match=("darkest", "foils"))
    base_zone = base(goal=goal, mixture="light", placement=Placement(4, 20, 2))
    levels = []
    for hair in (Hair(7, "fine"), Hair(7, "fine", **GREY)):
        found = plan(scenario(foils_of(hair), base_zone, salon=salon), members=4)
        levels.append(found.service.works["base"].target.level)
    assert levels[1] == pytest.approx(levels[0], abs=0.02)


def foils_of(hair):
    return replace(foils(), hair=hair)


SHARED = Path(__file__).parents[3] / "shared"


@pytest.mark.parametrize("path", sorted(SHARED.glob("*.toml")), ids=lambda path: path.stem)
def test_a_demo_meets_its_goals_or_is_called_a_conflict(path):
    done = plan(load_scenario(path))
    if "conflict" in done.scenario.title:
        assert not done.exists
        return
    assert done.exists
    assert done.p_inside >= 0.7
    assert done.blend.breaks is None
    for zone in done.zones:
        assert zone.rinsed <= zone.latest_safe
        assert not done.past_safe[zone.zone.name]


def test_the_refresh_ends_in_a_blend():
    done = plan(load_scenario(SHARED / "blonde_refresh.toml"))
    assert str(done.blend.finding).startswith("The parts blend")
    edge = done.blend.edges[0]
    assert edge.before > done.blend.limit > edge.after


def test_tone_washes_out_against_the_goal_of_its_zone():
    """What a zone is held to as tone washes out is what it was held to at its rinse."""
    colour = ZoneGoal(Match((58.0, 6.0, 20.0), tolerance=4.0))
    warm = ZoneGoal(Lighten(level=7.6, warmth=12.0))
    for goal, most, wanted in ((colour, 4.0, (58.0, 6.0, 20.0)), (warm, 12.0, None)):
        zone = foils(goal=goal, toner=Toner("direct", {"violet": 1.0}))
        limit = plan(scenario(zone), members=8).next_visit.tone_limits["foils"]
        assert (limit.most, limit.wanted) == (most, wanted)
