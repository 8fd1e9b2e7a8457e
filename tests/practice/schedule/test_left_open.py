"""What a plan chooses: what is given stays, what is left open is chosen well, and it is said."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lift.answers import to_dict
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.developer import developer_choices
from lift.model.ensemble import LATENT, draw_latent
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.allowed import HALVES
from lift.practice.goal import Blend, Lighten, Match
from lift.practice.scenario.scenario import Placement, Salon, Scenario, Toner, Zone, ZoneGoal
from lift.practice.scenario.scenario_file import load_scenario, parse_scenario
from lift.practice.schedule.choose import settle
from lift.practice.schedule.response import Responses
from lift.practice.schedule.search import NEAR
from lift.practice.schedule.solve import solve
from lift.practice.service.plan import plan

CURVES = default_curves()
DECK = np.concatenate([np.zeros((1, len(LATENT))), draw_latent(64)])
SHARED = Path(__file__).parents[3] / "shared"
DEMOS = sorted(SHARED.glob("*.toml"))
PLACED = Placement(6, 30, 2, rinse_seconds_per_section=20)
GOALS = [Lighten(level=8), Lighten(level=7.5, warmth=15), Blend(level=8), Match((57.0, 7.0, 22.0))]
BOUGHT = [d.volume for d in developer_choices(CURVES.mixtures.developers, HALVES)]


def foils(goal, **changes):
    zone = Zone("foils", Hair(6.5, "fine"), mixture="light", goal=ZoneGoal(goal), placement=PLACED)
    return replace(zone, **changes)


def visit(*zones, to_choose, volume=20.0):
    mixtures = {"light": Mixture("powder", volume), "break": Mixture("base-break", 10)}
    return Scenario("test", zones, mixtures, Salon(), "Invented for a test.", {}, to_choose)


def base(**changes):
    hair = Hair(7, "fine", damp=True)
    zone = Zone("base", hair, mixture="break", placement=Placement(4, 20, 2))
    return replace(zone, **changes)


def best(scenario):
    """Probability of a scenario's plan."""
    responses = Responses(CURVES, DECK)
    settled, _ = settle(scenario, responses)
    return solve(settled, responses).schedule.p_inside


@pytest.mark.parametrize("goal", GOALS)
@settings(max_examples=4, deadline=None)
@given(volume=st.sampled_from([v for v in BOUGHT if 10 <= v <= 30]))
def test_leaving_a_volume_out_lowers_no_chance(goal, volume):
    fixed = best(visit(foils(goal), to_choose={}, volume=volume))
    assert best(visit(foils(goal), to_choose={"light": ("volume",)})) >= fixed - NEAR - 1e-9


@pytest.mark.parametrize("goal", [Blend(level=8), Match((57.0, 7.0, 22.0))])
def test_leaving_a_toner_out_lowers_no_chance(goal):
    fixed = [best(visit(foils(goal, toner=t), to_choose={})) for t in (None, Toner())]
    assert best(visit(foils(goal), to_choose={})) >= max(fixed) - NEAR - 1e-9


@pytest.mark.parametrize("tone", [{}, {"violet": 2.0}, {"blue": 4.0}])
def test_leaving_tone_out_lowers_no_chance(tone):
    given_one = visit(base(), to_choose={})
    given_one = given_one.replace(mixtures={"break": Mixture("base-break", 10, tone=tone)})
    open_one = visit(base(), to_choose={"break": ("tone",)})
    assert best(open_one) >= best(given_one) - NEAR - 1e-9


@settings(max_examples=8, deadline=None)
@given(
    volume=st.floats(5, 30),
    violet=st.floats(0, 8),
    opened=st.sampled_from([(), ("volume",), ("tone",), ("volume", "tone")]),
    laid=st.sampled_from([None, Toner(), Toner("permanent", {"violet": 1.0})]),
    minutes=st.sampled_from([None, 8.0]),
)
def test_what_is_given_is_never_changed(volume, violet, opened, laid, minutes):
    mixture = Mixture("base-break", min(volume, 20.0), tone={"violet": violet})
    zone = base(goal=ZoneGoal(Blend(level=7.5)), toner=laid, minutes=minutes)
    asked = visit(zone, to_choose={"break": opened} if opened else {})
    asked = asked.replace(mixtures={**asked.mixtures, "break": mixture})
    responses = Responses(CURVES, DECK[:17])
    settled, chosen = settle(asked, responses)
    made = settled.mixtures["break"]
    if "volume" not in opened:
        assert made.developer_volume == mixture.developer_volume
    if "tone" not in opened:
        assert made.tone == mixture.tone
    assert made.kind == mixture.kind
    assert settled.zone("base").toner is laid
    assert (chosen is None) == (not opened)
    assert not settled.to_choose
    if minutes is not None:
        service = solve(settled, responses)
        own = service.works["base"].own_minutes(service.rinse_after("base"))
        assert own.max() == pytest.approx(minutes)


def test_chosen_developers_can_be_bought_and_are_within_limits():
    for path in DEMOS:
        done = plan(load_scenario(path), members=24)
        assert not done.scenario.to_choose
        for name, made in ({} if done.chosen is None else done.chosen.developers).items():
            assert made in developer_choices(CURVES.mixtures.developers, HALVES)
            mixture = done.scenario.mixtures[name]
            assert mixture.developer_volume == pytest.approx(made.volume)
            bound = mixture.chemistry.bound("volume")
            assert bound.usual_low <= made.volume <= bound.usual_high <= 40.0


def test_the_same_is_chosen_each_time():
    first, again = (plan(load_scenario(DEMOS[0]), members=24) for _ in range(2))
    assert to_dict(first) == to_dict(again)


def test_a_ring_of_what_matches_what_is_settled_in_turn():
    """A blonde that a treated zone is to match is chosen before what matches it."""
    match = ZoneGoal(match=("darkest", "foils"))
    zones = foils(Lighten(level=8)), base(goal=match)
    asked = visit(*zones, to_choose={"light": ("volume",), "break": ("volume",)})
    done = plan(asked, members=16)
    assert set(done.chosen.developers) == {"light", "break"}


TEXT = (SHARED / "blonde_refresh.toml").read_text("utf-8")


def test_left_out_and_to_choose_are_the_same():
    word = TEXT.replace('kind = "powder"', 'kind = "powder"\nvolume = "choose"')
    word = word.replace(
        'kind = "base-break"', 'kind = "base-break"\nvolume="choose"\ntone="choose"'
    )
    word = word.replace('mixture = "lightener"', 'mixture = "lightener"\ntoner = "choose"')
    word = word.replace('mixture = "base_break"', 'mixture = "base_break"\nminutes = "choose"')
    assert word != TEXT
    one, two = (plan(parse_scenario(text), members=16) for text in (TEXT, word))
    assert to_dict(one) == to_dict(two)


def test_what_was_chosen_is_said():
    done = plan(load_scenario(SHARED / "blonde_refresh.toml"), members=24)
    chosen = to_dict(done)["chosen"]
    assert chosen["tried"] > 100
    assert chosen["near"] >= 1
    assert set(chosen["developers"]) == {"lightener", "base_break"}
    assert any("10 vol" in line for line in chosen["words"])


@pytest.mark.parametrize(
    ("minutes", "words"), [(1.0, "minutes of zone base"), (40.0, "minutes of zone base")]
)
def test_minutes_that_cannot_be(minutes, words):
    with pytest.raises(LiftError, match=words):
        plan(visit(base(minutes=minutes), to_choose={}), members=4)


def test_minutes_that_go_with_no_order():
    zones = foils(Lighten(level=8), minutes=10.0), base(minutes=10.0)
    with pytest.raises(LiftError, match="no order"):
        plan(visit(*zones, to_choose={}), members=4)
