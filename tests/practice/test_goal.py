"""Goals by intent: as given, as typed, and made definite."""

from dataclasses import FrozenInstanceError

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.model.curves import RED_SHARE, default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path, path_of
from lift.model.trajectory import simulate
from lift.optics.colorimetry import chroma, hue_deg
from lift.practice.assumptions import SERVICE
from lift.practice.goal import Blend, Lighten, Match, Tone, goal_of, parse_goal, usual_goal
from lift.practice.target import TOO_LIGHT_LEVEL, lightened_lab, resolve_goal

CURVES = default_curves()
PATH = natural_path(CURVES)
EDGE, NEAR = (SERVICE[name].value for name in ("blend_limit", "goal_tolerance"))


def test_what_is_checked_is_what_is_kept():
    assert Lighten(level="8").level == 8.0
    assert Blend(warmth="6").warmth == 6.0
    assert Match(np.array([60, 5, 20])).lab == (60.0, 5.0, 20.0)
    assert Match([60, 5, 20]) == Match((60.0, 5.0, 20.0))
    with pytest.raises(FrozenInstanceError):
        Blend().level = 8.0


@pytest.mark.parametrize(
    ("kind", "fields", "message"),
    [
        (Lighten, {"level": 0.9}, "goal level 0.9 is outside 1 to 10; nearest: 1"),
        (Blend, {"level": np.nan}, "goal level nan"),
        (Lighten, {"level": np.inf}, "goal level inf"),
        (Tone, {"level": [8.0, 9.0]}, "goal level .* is not one number"),
        (Lighten, {"stage": "gold"}, "stage to reach 'gold' is not .*"),
        (Lighten, {"stage": "natural"}, "stage to reach 'natural'"),
        (Blend, {"warmth": -0.1}, "warmth allowance -0.1 dC\\* is outside 0 to 60"),
        (Blend, {"warmth": np.nan}, "warmth allowance nan"),
        (Blend, {"tolerance": 0.1}, "tolerance 0.1 dE00 is outside 0.5 to 30 dE00; nearest: 0.5"),
        (Match, {"lab": (101.0, 0.0, 0.0)}, "goal L\\* 101"),
        (Match, {"lab": (50.0, 101.0, 0.0)}, "goal a\\* 101"),
        (Blend, {"lab": (50.0, 0.0, np.nan)}, "goal b\\* nan"),
        (Tone, {"lab": (50.0, 0.0, np.inf)}, "goal b\\* inf"),
        (Match, {"lab": (50.0, 0.0)}, "is not three numbers"),
        (Blend, {"lab": 50.0}, "is not three numbers"),
        (Blend, {"level": 8.0, "lab": (50.0, 5.0, 9.0)}, "a level or a CIELAB, not both"),
        (Tone, {"level": 8.0, "lab": (50.0, 5.0, 9.0)}, "a level or a CIELAB, not both"),
        (Blend, {"warmth": 2.0, "lab": (50.0, 5.0, 9.0)}, "a warmth of its own"),
        (Lighten, {"level": 8.0, "stage": "yellow"}, "a level or a stage, not both"),
        (Lighten, {"level": 8.0, "warmth": 3.0, "tolerance": 2.0}, "not both"),
        (Match, {"lab": (50, 5, 9), "warmth": 3.0, "tolerance": 2.0}, "not both"),
        (Lighten, {"warmth": 3.0}, "needs a level or a stage"),
    ],
)
def test_bad_goals(kind, fields, message):
    with pytest.raises(LiftError, match=message):
        kind(**fields)


@pytest.mark.parametrize(
    ("text", "goal"),
    [
        ("blend", Blend()),
        ("blend natural", Blend()),
        ("blend 7.6", Blend(level=7.6)),
        ("blend 7.6 warmth=3", Blend(level=7.6, warmth=3.0)),
        ("blend warmth=4", Blend(warmth=4.0)),
        ("blend 54,9,27 tolerance=4", Blend(lab=(54.0, 9.0, 27.0), tolerance=4.0)),
        ("lighten", Lighten()),
        ("lighten 9", Lighten(level=9.0)),
        ("lighten pale yellow", Lighten(stage="pale yellow")),
        ("lighten red-orange tolerance=5", Lighten(stage="red-orange", tolerance=5.0)),
        ("lighten 8 warmth=6", Lighten(level=8.0, warmth=6.0)),
        ("match 54,9,27", Match((54.0, 9.0, 27.0))),
        ("match 54, 9 ,27  tolerance = 2", Match((54.0, 9.0, 27.0), tolerance=2.0)),
        ("tone", Tone()),
        ("tone 8", Tone(level=8.0)),
        # Without an intent.
        ("8", Lighten(level=8.0)),
        (" 8.5 ", Lighten(level=8.5)),
        ("60,5,20", Match((60.0, 5.0, 20.0))),
        ("60.5, -5 , .5", Match((60.5, -5.0, 0.5))),
        ("warmth=6", Blend(warmth=6.0)),
        ("warmth = 6", Blend(warmth=6.0)),
        ("8 warmth=6", Lighten(level=8.0, warmth=6.0)),
        ("60,5,20 warmth=4", Match((60.0, 5.0, 20.0), warmth=4.0)),
    ],
)
def test_typed_goals(text, goal):
    assert parse_goal(text) == goal


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "60,5", "60,5,20,1", "60,5,nan", "8 9", "8warmth=6", "1e400"),
        *("blend 60,5", "match 8 9", "8\nwarmth=6\n;", "warmth=6 warmth=7", "tone pale yellow"),
    ],
)
def test_other_text_is_refused_in_one_line(text):
    with pytest.raises(LiftError, match=r"is not 'blend 7.6', 'lighten 9'") as caught:
        parse_goal(text)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("blond", "intent of a goal 'blond' is not .*mean blend"),
        ("lightn 8", "mean lighten"),
        ("lighten pale", "stage to reach 'pale'.*mean pale yellow"),
        ("match", "a match needs a CIELAB"),
        ("match 8", "match takes no level"),
        ("tone warmth=3", "tone takes no warmth"),
    ],
)
def test_a_slip_is_told_with_the_nearest(text, message):
    with pytest.raises(LiftError, match=message):
        parse_goal(text)


@pytest.mark.parametrize("text", ["13", "0", "60,5,121", "warmth=61", "lighten 0", "8 warmth=99"])
def test_typed_goals_out_of_range(text):
    with pytest.raises(LiftError, match="is outside"):
        parse_goal(text)


@given(st.sampled_from(["", "lighten "]), st.floats(1.0, 10.0), st.floats(0.0, 60.0))
def test_what_is_typed_is_read_back(intent, level, allowance):
    level, allowance = round(level, 3), round(allowance, 3)
    typed = parse_goal(f"{intent}{level:.3f} warmth={allowance:.3f}")
    assert typed == Lighten(level=level, warmth=allowance)


def test_parts_without_an_intent():
    assert goal_of() == Blend()
    assert goal_of(stage="yellow") == Lighten(stage="yellow")
    with pytest.raises(LiftError, match="not both"):
        goal_of(level=8, lab=(60, 5, 20))


@pytest.mark.parametrize("kind", ["cream", "base-break", "powder"])
def test_what_a_mixture_usually_means(kind):
    """A base break is to stay natural; others lighten, to no level in particular."""
    usual = usual_goal(Mixture(kind, 10.0))
    assert usual == (Blend() if kind == "base-break" else Lighten())


# Made definite.


def test_no_goal_stays_natural():
    target = resolve_goal(None, Hair(6.0), CURVES)
    assert target.lift == CURVES["visible_lift"].value == 0.25
    assert target.level == 6.25
    assert target.warmth_limit == CURVES["warmth_allowance"].value == 3.0
    assert (target.wanted, target.toned) == (None, False)
    assert str(target.name) == "a natural blend"
    assert resolve_goal(Blend(), Hair(6.0), CURVES) == target
    assert resolve_goal(Blend(warmth=5.0), Hair(6.0), CURVES).warmth_limit == 5.0


def test_a_visible_lift_counts_from_where_the_hair_is_today():
    target = resolve_goal(None, Hair(5.0, lightened_to=7.0), CURVES)
    assert target.level == 7.25
    assert target.lift == pytest.approx(2.25)


def test_a_level_is_toned_to_natural_hair_of_it():
    target = resolve_goal(Lighten(level=8.0), Hair(6.0), CURVES)
    assert (target.level, target.toned, target.tolerance) == (8.0, True, NEAR)
    assert target.wanted == pytest.approx(tuple(PATH.lab_of_level(8.0)))
    assert target.least_lightness == pytest.approx(PATH.lab_of_level(7.5)[0])
    assert str(target.name) == "level 8, toned"
    bare = resolve_goal(Lighten(level=8.0), Hair(6.0), CURVES, toned=False)
    assert (bare.toned, str(bare.name)) == (False, "level 8")


def test_a_level_with_a_warmth_stays_as_lightened():
    target = resolve_goal(Lighten(level=8.0, warmth=6.0), Hair(6.0), CURVES)
    assert (target.level, target.lift, target.warmth_limit) == (8.0, None, 6.0)
    assert (target.wanted, target.toned) == (None, False)
    assert str(target.name) == "level 8, no warmer than +6 dC*"


def test_a_stage_is_its_level():
    target = resolve_goal(Lighten(stage="pale yellow"), Hair(6.0), CURVES)
    assert target.wanted == resolve_goal(Lighten(level=9.0), Hair(6.0), CURVES).wanted
    assert str(target.name) == "pale yellow (level 9), toned"


def test_an_open_goal_has_nothing_to_meet():
    with pytest.raises(LiftError, match="a level or a stage is needed"):
        resolve_goal(Lighten(), Hair(6.0), CURVES)


def test_a_colour_is_matched_within_a_tolerance_or_as_lightened():
    golden = (60.0, 8.0, 26.0)
    target = resolve_goal(Match(golden), Hair(6.0), CURVES)
    assert (target.wanted, target.tolerance, target.toned) == (golden, NEAR, True)
    warmer = resolve_goal(Match(golden, warmth=1.0), Hair(6.0), CURVES)
    assert warmer.level == pytest.approx(float(PATH.level_of_lightness(60.0)))
    assert warmer.warmth_limit == pytest.approx(float(PATH.warmth(np.array(golden))) + 1.0)
    assert not warmer.toned


def test_a_colour_for_red_hair_is_as_warm_as_beside_red_hair():
    """Warmth is counted from natural hair of the same kind; so is what a colour goal allows."""
    red = Hair(6.0, pheomelanin_share=RED_SHARE)
    own = path_of(red, CURVES)
    goal = Match(tuple(own.lab_of_level(8.0)), warmth=3.0)
    target = resolve_goal(goal, red, CURVES)
    assert target.level == pytest.approx(8.0)
    assert target.warmth_limit == pytest.approx(3.0, abs=1e-3)
    assert resolve_goal(goal, Hair(6.0), CURVES).warmth_limit > target.warmth_limit + 1.0


def test_a_blend_names_hair_in_three_ways():
    hair = Hair(7.0)
    lifted = resolve_goal(Blend(level=8.0), hair, CURVES)
    assert lifted.wanted == pytest.approx(tuple(lightened_lab(hair, 8.0, CURVES)))
    assert (lifted.tolerance, lifted.toned) == (EDGE, False)
    warm = resolve_goal(Blend(level=8.0, warmth=4.0), hair, CURVES)
    natural = PATH.lab_of_level(8.0)
    assert chroma(warm.wanted) == pytest.approx(chroma(natural) + 4.0)
    assert hue_deg(warm.wanted) == pytest.approx(hue_deg(natural))
    assert resolve_goal(Blend(lab=(58, 6, 20)), hair, CURVES).wanted == (58.0, 6.0, 20.0)
    wide = resolve_goal(Blend(level=8.0), hair, CURVES, toned=True, edge=7.0)
    assert (wide.tolerance, wide.toned) == (7.0, True)


def test_a_lightened_level_is_the_colour_that_lightening_passes():
    minutes = np.linspace(0.0, 40.0, 401)
    strand = simulate(Hair(6.0), Mixture("powder", 20.0), minutes, CURVES)
    there = [np.interp(8.0, strand.level, strand.lab[:, axis]) for axis in range(3)]
    np.testing.assert_allclose(lightened_lab(Hair(6.0), 8.0, CURVES), there, atol=0.05)


def test_toning_lifts_nothing():
    target = resolve_goal(Tone(), Hair(6.0), CURVES)
    assert (target.level, target.lift) == (6.0, 0.0)
    assert target.past_level == 6.25


def test_lightening_cannot_darken():
    dark = tuple(PATH.lab_of_level(5.4))
    for goal in (Lighten(level=5.4), Match(dark), Blend(lab=dark), Blend(level=5.4)):
        with pytest.raises(LiftError, match=r"is darker than the hair \(level 6\).*nearest"):
            resolve_goal(goal, Hair(6.0), CURVES)
    with pytest.raises(LiftError, match=r"darker than the hair \(level 8\)"):
        resolve_goal(Lighten(level=7.0), Hair(6.0, lightened_to=8.0), CURVES)
    # Half a level is what the eye is good for.
    assert resolve_goal(Lighten(level=5.5), Hair(6.0), CURVES).level == 5.5


def test_no_goal_is_past_the_scale():
    with pytest.raises(LiftError, match=r"past the end of the scale .*; nearest: level 10"):
        resolve_goal(Match((85.0, 0.0, 10.0)), Hair(8.0), CURVES)
    assert resolve_goal(Lighten(level=10.0), Hair(8.0), CURVES).past_level == TOO_LIGHT_LEVEL


def test_limits_follow_the_curve_set():
    loose = CURVES.replace(warmth_allowance=9.0, visible_lift=1.0)
    target = resolve_goal(None, Hair(6.0), loose)
    assert (target.level, target.warmth_limit) == (7.0, 9.0)
