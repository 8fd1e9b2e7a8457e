"""Goals: as given, as typed, and made definite."""

from dataclasses import FrozenInstanceError

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.model.curves import RED_SHARE, default_curves
from lift.model.hair import Hair
from lift.model.natural import natural_path, path_of
from lift.practice.goal import Goal, parse_goal, resolve_goal

CURVES = default_curves()
PATH = natural_path(CURVES)


def test_what_is_checked_is_what_is_kept():
    assert Goal(level="8").level == 8.0
    assert Goal(warmth_allowance="6").warmth_allowance == 6.0
    assert Goal(lab=np.array([60, 5, 20])).lab == (60.0, 5.0, 20.0)
    assert Goal(lab=[60, 5, 20]) == Goal(lab=(60.0, 5.0, 20.0))
    with pytest.raises(FrozenInstanceError):
        Goal().level = 8.0


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"level": 0.9}, "goal level 0.9 is outside 1 to 10; nearest: 1"),
        ({"level": np.nan}, "goal level nan"),
        ({"level": np.inf}, "goal level inf"),
        ({"level": [8.0, 9.0]}, "goal level .* is not one number"),
        ({"warmth_allowance": -0.1}, "warmth allowance -0.1 dC\\* is outside 0 to 60"),
        ({"warmth_allowance": np.nan}, "warmth allowance nan"),
        ({"lab": (101.0, 0.0, 0.0)}, "goal L\\* 101"),
        ({"lab": (50.0, 101.0, 0.0)}, "goal a\\* 101"),
        ({"lab": (50.0, 0.0, np.nan)}, "goal b\\* nan"),
        ({"lab": (50.0, 0.0, np.inf)}, "goal b\\* inf"),
        ({"lab": (50.0, 0.0)}, "is not three numbers"),
        ({"lab": 50.0}, "is not three numbers"),
        ({"level": 8.0, "lab": (50.0, 5.0, 9.0)}, "a level or a CIELAB, not both"),
    ],
)
def test_bad_goals(fields, message):
    with pytest.raises(LiftError, match=message):
        Goal(**fields)


@pytest.mark.parametrize(
    ("text", "goal"),
    [
        ("8", Goal(level=8.0)),
        (" 8.5 ", Goal(level=8.5)),
        ("60,5,20", Goal(lab=(60.0, 5.0, 20.0))),
        ("60.5, -5 , .5", Goal(lab=(60.5, -5.0, 0.5))),
        ("warmth=6", Goal(warmth_allowance=6.0)),
        ("warmth = 6", Goal(warmth_allowance=6.0)),
        ("8 warmth=6", Goal(level=8.0, warmth_allowance=6.0)),
        ("60,5,20 warmth=4", Goal(lab=(60.0, 5.0, 20.0), warmth_allowance=4.0)),
    ],
)
def test_typed_goals(text, goal):
    assert parse_goal(text) == goal


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "blond", "nan", "inf", "60,5", "60,5,20,1", "60,5,nan", "8 9", "8warmth=6"),
        *("warmth=", "warmth=nan", "warmth=much", "warmth=6 8", "1e400", "8\nwarmth=6\n;"),
    ],
)
def test_other_text_is_refused_in_one_line(text):
    with pytest.raises(LiftError, match=r"is not a level \(8\), a CIELAB \(60,5,20\)") as caught:
        parse_goal(text)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("text", ["13", "0", "60,5,121", "warmth=61", "warmth=-1", "8 warmth=99"])
def test_typed_goals_out_of_range(text):
    with pytest.raises(LiftError, match="is outside"):
        parse_goal(text)


@given(st.floats(1.0, 10.0), st.floats(0.0, 60.0))
def test_what_is_typed_is_read_back(level, allowance):
    level, allowance = round(level, 3), round(allowance, 3)
    typed = parse_goal(f"{level:.3f} warmth={allowance:.3f}")
    assert typed == Goal(level=level, warmth_allowance=allowance)


def test_no_goal_is_a_visible_lift():
    target = resolve_goal(None, Hair(6.0), CURVES)
    assert target.lift == CURVES["visible_lift"].value == 0.25
    assert target.level == 6.25
    assert target.warmth_limit == CURVES["warmth_allowance"].value == 3.0
    assert str(target.name) == "a visible lift (0.25 level)"
    assert resolve_goal(Goal(), Hair(6.0), CURVES) == target
    assert resolve_goal(Goal(warmth_allowance=5.0), Hair(6.0), CURVES).warmth_limit == 5.0


def test_a_visible_lift_counts_from_where_the_hair_is_today():
    target = resolve_goal(None, Hair(5.0, lightened_to=7.0), CURVES)
    assert target.level == 7.25
    assert target.lift == pytest.approx(2.25)


def test_a_level():
    target = resolve_goal(Goal(level=8.0), Hair(6.0), CURVES)
    assert (target.level, target.lift, target.warmth_limit) == (8.0, None, 3.0)
    assert str(target.name) == "level 8"


def test_a_colour_has_a_level_and_a_warmth_of_its_own():
    natural = tuple(PATH.lab_of_level(8.0))
    target = resolve_goal(Goal(lab=natural), Hair(6.0), CURVES)
    assert target.level == pytest.approx(8.0)
    assert target.warmth_limit == pytest.approx(3.0, abs=1e-3)
    golden = (natural[0], natural[1], natural[2] + 6.0)
    warmer = resolve_goal(Goal(lab=golden, warmth_allowance=1.0), Hair(6.0), CURVES)
    assert warmer.level == pytest.approx(8.0)
    assert warmer.warmth_limit == pytest.approx(float(PATH.warmth(np.array(golden))) + 1.0)
    assert warmer.warmth_limit > 6.0
    assert str(warmer.name).startswith(f"L* {natural[0]:.6g}, ")


def test_a_colour_for_red_hair_is_as_warm_as_beside_red_hair():
    """Warmth is counted from natural hair of the same kind; so is what a colour goal allows."""
    red = Hair(6.0, pheomelanin_share=RED_SHARE)
    own = path_of(red, CURVES)
    target = resolve_goal(Goal(lab=tuple(own.lab_of_level(8.0))), red, CURVES)
    assert target.level == pytest.approx(8.0)
    assert target.warmth_limit == pytest.approx(CURVES.values["warmth_allowance"], abs=1e-3)
    brown = resolve_goal(Goal(lab=tuple(own.lab_of_level(8.0))), Hair(6.0), CURVES)
    assert brown.warmth_limit > target.warmth_limit + 1.0


def test_lightening_cannot_darken():
    for goal in (Goal(level=5.4), Goal(lab=tuple(PATH.lab_of_level(5.4)))):
        with pytest.raises(LiftError, match=r"is darker than the hair \(level 6\).*nearest"):
            resolve_goal(goal, Hair(6.0), CURVES)
    with pytest.raises(LiftError, match=r"darker than the hair \(level 8\)"):
        resolve_goal(Goal(level=7.0), Hair(6.0, lightened_to=8.0), CURVES)
    # Half a level is what the eye is good for.
    assert resolve_goal(Goal(level=5.5), Hair(6.0), CURVES).level == 5.5


def test_limits_follow_the_curve_set():
    loose = CURVES.replace(warmth_allowance=9.0, visible_lift=1.0)
    target = resolve_goal(None, Hair(6.0), loose)
    assert (target.level, target.warmth_limit) == (7.0, 9.0)
