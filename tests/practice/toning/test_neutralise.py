"""Neutralise: the dose, its prediction, its margins, and when it cannot be done."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.inverse import infer_pigment
from lift.model.natural import natural_path
from lift.model.strand import Pigment, lightened, natural_pigment, strand_lab, white_lab
from lift.optics.colorimetry import NOTICEABLE, delta_e_2000
from lift.optics.dyes import MAX_DOSE, palette
from lift.practice.dose_search import SECOND_DYE_GAIN, best_doses, residual_to
from lift.practice.goal import Blend, Lighten
from lift.practice.toning.neutralise import neutralise
from lift.practice.toning.tone_report import underpigment_state
from lift.practice.toning.verdict import VERDICTS

CURVES = default_curves()
VALUES = CURVES.values
PATH = natural_path(CURVES)
DYES = tuple(palette())
LEVELS = st.floats(1.0, 10.0)
DOSES = st.floats(0.0, MAX_DOSE)
MIXES = st.dictionaries(st.sampled_from(DYES), DOSES, min_size=1)


def lab_with(level, tone):
    return strand_lab(underpigment_state(level, CURVES), VALUES, tone=tone)


# Laws of mixing, for every strand and every mix of dyes.


@given(LEVELS, st.lists(st.sampled_from(DYES), unique=True))
def test_dose_zero_changes_nothing(level, dyes):
    np.testing.assert_allclose(
        lab_with(level, dict.fromkeys(dyes, 0.0)), lab_with(level, {}), atol=1e-8
    )


@given(LEVELS, MIXES, st.randoms())
def test_order_of_dyes_does_not_matter(level, tone, random):
    shuffled = list(tone.items())
    random.shuffle(shuffled)
    np.testing.assert_allclose(
        lab_with(level, dict(shuffled)), lab_with(level, tone), rtol=0, atol=1e-9
    )


@given(LEVELS, MIXES, st.sampled_from(DYES), DOSES)
def test_more_dye_never_lightens(level, tone, dye, extra):
    """Of any dye, on top of any mix: L* falls, or stays where nothing is left to absorb."""
    more = {**tone, dye: tone.get(dye, 0.0) + extra}
    assert lab_with(level, more)[0] <= lab_with(level, tone)[0] + 1e-6


@given(LEVELS, st.sampled_from(DYES), DOSES, DOSES)
def test_doses_of_one_dye_add(level, dye, first, second):
    """Beer's law: absorption of two doses is that of their sum, whatever lies below."""
    pigment = underpigment_state(level, CURVES)
    both = strand_lab(pigment, VALUES, tone={dye: np.array([first + second, second + first])})
    np.testing.assert_allclose(both[0], both[1], atol=1e-12)


# The dose.


@pytest.mark.parametrize("level", [3, 4, 5, 6, 7, 8, 9, 10])
def test_underpigment_is_brought_to_natural(level):
    found = neutralise(underpigment_state(level, CURVES))
    assert found.verdict.verdict == "reached"
    assert found.residual <= 0.1 < NOTICEABLE < found.before
    assert delta_e_2000(found.lab, found.wanted) == pytest.approx(found.residual, abs=1e-9)
    np.testing.assert_allclose(found.lab, lab_with(level, found.tone), atol=1e-9)
    assert found.lightness_lost == pytest.approx(found.hair[0] - found.lab[0])
    assert found.lightness_lost > 0.0
    assert 1 <= len(found.tone) <= 2
    assert set(found.tone) <= set(DYES)
    assert found.amount == pytest.approx(sum(found.tone.values()))


@pytest.mark.parametrize("grey", [0.0, 30.0])
@pytest.mark.parametrize("goal", [None, "its own"])
@pytest.mark.parametrize("level", [5, 7, 9])
def test_before_and_after_are_counted_from_one_colour(level, goal, grey):
    """Natural hair of whatever lightness is one colour before toning and another after."""
    state = underpigment_state(level, CURVES)
    if goal is not None:
        goal = neutralise(state).wanted
    found = neutralise(state, goal, grey_percent=grey)
    untoned, toned = (found.fibres_at(factor).pigmented for factor in (0.0, 1.0))
    assert found.untoned == pytest.approx(float(delta_e_2000(untoned, found.wanted)))
    said = found.verdict.text
    assert said.code == f"toning.reached.{'natural' if goal is None else 'text'}"
    assert said["before"] == pytest.approx(found.untoned)
    assert said["after"] == pytest.approx(float(delta_e_2000(toned, found.wanted)))
    assert said["level"] == pytest.approx(float(PATH.level_of_lightness(toned[0])))
    assert said["who"].code == ("toning.they" if grey else "toning.it")
    # Toning darkens, so that the two distances differ where the goal goes down with it.
    assert (found.untoned > found.before + 1.0) == (goal is None)


def test_under_and_over_lie_on_either_side_of_neutral():
    for level in (6, 7, 8, 9, 10):
        found = neutralise(underpigment_state(level, CURVES))
        assert found.under.warmth > 2.0
        assert found.over.warmth < -2.0
        assert str(found.under.words).startswith("still warm")
        assert str(found.over.words).startswith("past neutral")
        np.testing.assert_allclose(found.over.lab, found.at(2.0))
        assert found.hair[0] > found.under.lab[0] > found.lab[0] > found.over.lab[0]


def test_forgiving_range_is_one_noticeable_difference_wide():
    found = neutralise(underpigment_state(8, CURVES))
    low, high = found.forgiving
    assert 0.5 < low < 1.0 < high < 2.0
    edges = delta_e_2000(found.at(np.array([low, high])), found.lab)
    np.testing.assert_allclose(edges, NOTICEABLE, atol=0.01)


def test_less_warmth_forgives_more():
    mild, strong = (neutralise(underpigment_state(level, CURVES)) for level in (3, 8))
    assert np.ptp(mild.forgiving) > np.ptp(strong.forgiving)


def test_a_dose_that_hardly_shows_forgives_all():
    found = neutralise(
        lightened(natural_pigment(7.0, 0.05, VALUES), 0.1, VALUES), (44.0, 6.0, 16.0)
    )
    tiny = neutralise(found.pigment, tuple(found.hair - [1.0, 1.0, 1.5]), ["violet"])
    assert tiny.forgiving[0] == 0.0


@pytest.mark.parametrize("dyes", [DYES, ("blue-violet", "green"), ("blue-green", "green")])
def test_a_second_dye_is_taken_only_when_it_gains(dyes):
    kept = []
    for level in range(3, 11):
        state = underpigment_state(level, CURVES)
        found = neutralise(state, None, dyes)
        two = best_doses(state, dyes, 2, residual_to(None, CURVES), VALUES)
        gain = float(found.alone.best.score - two.score)
        assert found.tone == (two if gain > SECOND_DYE_GAIN else found.alone.best).named()
        kept.append(len(found.tone))
    assert max(kept) == (1 if dyes == ("blue-green", "green") else 2)


def test_palette_is_kept_to():
    found = neutralise(underpigment_state(9, CURVES), None, ["violet"])
    assert set(found.tone) == {"violet"}
    assert found.residual > neutralise(underpigment_state(9, CURVES)).residual + NOTICEABLE
    assert neutralise(underpigment_state(9, CURVES), None, "violet").tone == found.tone


# What it starts from.


def test_state_and_its_colour_agree():
    """From the colour alone the dose is that of the true state, within what the colour tells."""
    state = lightened(natural_pigment(5.0, 0.05, VALUES), 2.5, VALUES)
    known = neutralise(state)
    read = neutralise(strand_lab(state, VALUES))
    assert known.inferred is None
    assert known.band is known.factor_band is None
    assert read.inferred is not None
    low, high = read.band
    assert np.all((known.lab >= low - 0.5) & (known.lab <= high + 0.5))
    least, most = read.factor_band
    assert least < 1.0 < most
    assert read.amount * least <= known.amount <= read.amount * most
    same = neutralise(infer_pigment(strand_lab(state, VALUES)))
    assert dict(same.tone) == dict(read.tone)


def test_goals_as_level_and_as_colour_are_one():
    state = underpigment_state(10, CURVES)
    level, lab = (
        neutralise(state, goal) for goal in (Lighten(level=8.5), tuple(PATH.lab_of_level(8.5)))
    )
    assert dict(level.tone) == dict(lab.tone)
    assert level.verdict.verdict == "reached"
    np.testing.assert_allclose(level.wanted, PATH.lab_of_level(8.5))


# What it cannot do.


def test_natural_hair_needs_nothing():
    found = neutralise(natural_pigment(6.0, VALUES["pheomelanin_share"], VALUES))
    assert found.verdict.verdict == "none_needed"
    assert not found.tone
    assert found.forgiving is found.under is found.over is None
    np.testing.assert_array_equal(found.lab, found.hair)


@pytest.mark.parametrize(("level", "goal"), [(6.0, 8.0), (7.0, 8.0), (4.0, 6.0)])
def test_a_lighter_goal_asks_for_lift_first(level, goal):
    found = neutralise(underpigment_state(level, CURVES), Lighten(level=goal))
    assert found.verdict.verdict == "goal_lighter"
    assert "colour cannot lighten" in str(found.verdict.text)
    assert found.verdict.lift_to > goal


@pytest.mark.parametrize(("level", "goal"), [(6.0, 8.0), (8.0, 8.0), (5.0, 6.0)])
def test_lifting_as_advised_makes_the_goal_reachable(level, goal):
    """The advice is tried: deep black hair lifted to that level is toned to the goal."""
    advised = neutralise(underpigment_state(level, CURVES), Lighten(level=goal)).verdict.lift_to
    lifted = neutralise(underpigment_state(min(advised + 0.1, 10.0), CURVES), Lighten(level=goal))
    assert lifted.residual <= NOTICEABLE + 0.1
    short = neutralise(underpigment_state(advised - 0.5, CURVES), Lighten(level=goal))
    assert short.residual > NOTICEABLE


def test_as_light_but_too_warm_asks_for_lift():
    found = neutralise(underpigment_state(8.0, CURVES), Lighten(level=8.0))
    assert found.verdict.verdict == "lift_further"
    assert found.verdict.lift_to > 9.0


def test_a_warmer_goal_is_out_of_reach():
    found = neutralise(underpigment_state(9.0, CURVES), (50.0, 25.0, 45.0))
    assert found.verdict.verdict == "out_of_reach"
    assert found.verdict.lift_to is None


def test_no_dose_for_hair_that_is_not_lightened_hair():
    found = neutralise((60.0, -3.0, -8.0))
    assert found.verdict.verdict == "not_lightened"
    assert not found.tone
    assert "no dose can be told" in str(found.verdict.text)


@settings(max_examples=25)
@given(st.floats(2.0, 10.0), st.floats(1.0, 10.0) | st.none())
def test_never_worse_than_nothing_and_always_a_verdict(level, goal):
    found = neutralise(
        underpigment_state(level, CURVES), None if goal is None else Lighten(level=goal)
    )
    assert found.verdict.verdict in VERDICTS
    assert found.residual <= found.before + 1e-9
    assert found.lightness_lost >= -1e-9
    if found.forgiving is not None:
        assert found.forgiving[0] <= 1.0 <= found.forgiving[1]


# Grey hair.


@pytest.mark.parametrize("goal", [None, Lighten(level=7.0)])
def test_the_dose_is_that_of_the_pigmented_fibres(goal):
    state = underpigment_state(8.0, CURVES)
    plain = neutralise(state, goal)
    for grey in (10.0, 50.0, 100.0):
        found = neutralise(state, goal, grey_percent=grey, resistant_percent=20.0)
        assert found.tone == plain.tone
        for name in ("before", "residual", "lightness_lost", "forgiving"):
            assert getattr(found, name) == pytest.approx(getattr(plain, name)), name
        assert found.verdict.verdict == plain.verdict.verdict
        assert found.under.words == plain.under.words
        np.testing.assert_allclose(found.wanted, plain.wanted)
        # What is seen is lighter: white fibres lie between.
        assert found.lab[0] > plain.lab[0] + 1.0
        assert found.hair[0] > plain.hair[0] + 1.0


def test_white_fibres_take_the_tone_unless_they_are_resistant():
    state = underpigment_state(8.0, CURVES)
    bare = white_lab(VALUES)
    taken = []
    for resistant in (0.0, 50.0, 100.0):
        found = neutralise(state, grey_percent=30.0, resistant_percent=resistant)
        fibres = found.fibres_at(1.0)
        taken.append(float(delta_e_2000(fibres.white, bare)))
        np.testing.assert_allclose(fibres.blend, found.lab, atol=1e-9)
        np.testing.assert_allclose(found.fibres_at(0.0).white, bare, atol=1e-5)
    # What answers orange fibres lies on white ones as a colour of its own.
    assert taken[0] > 20.0
    assert taken[0] > taken[1] + 5.0 > taken[2] + 10.0
    assert taken[2] < 1e-3


def test_a_measured_blend_is_toned_by_its_pigmented_fibres():
    state = underpigment_state(7.0, CURVES)
    blend = strand_lab(state, VALUES, grey_percent=30.0)
    read = neutralise(blend, grey_percent=30.0)
    plain = neutralise(strand_lab(state, VALUES))
    assert read.inferred.plausible
    np.testing.assert_allclose(read.hair, blend, atol=0.4)
    assert read.amount == pytest.approx(plain.amount, rel=0.03)
    # The same colour without grey is hardly warm: white fibres hide what is.
    assert neutralise(blend).amount < 0.6 * read.amount


def test_multiples_of_a_dose_on_grey_hair_broadcast():
    found = neutralise(underpigment_state(8.0, CURVES), grey_percent=30.0, resistant_percent=10.0)
    fibres = found.fibres_at(np.array([[0.0, 1.0, 2.0]]))
    assert fibres.pigmented.shape == fibres.white.shape == fibres.blend.shape == (1, 3, 3)
    np.testing.assert_allclose(fibres.white[0, 2], found.fibres_at(2.0).white)
    np.testing.assert_allclose(fibres.blend[0, 1], found.lab)
    assert neutralise(found.pigment).fibres_at([1.0, 2.0]).white is None


@pytest.mark.parametrize(
    ("hair", "options", "message"),
    [
        ((50.0, 10.0), {}, r"three numbers L\*,a\*,b\*"),
        ((np.nan, 0.0, 0.0), {}, "hair colour L\\* nan"),
        ((50.0, np.inf, 0.0), {}, "hair colour a\\* inf"),
        (Pigment(*[np.ones(2)] * 4), {}, "not one number"),
        (
            Pigment(np.array(np.nan), *[np.array(0.1)] * 3),
            {},
            "amount of eumelanin nan",
        ),
        (
            Pigment(np.array(-0.1), *[np.array(0.1)] * 3),
            {},
            "amount of eumelanin -0.1",
        ),
        ((51.0, 15.0, 37.0), {"palette": ["violett"]}, "did you mean violet"),
        ((51.0, 15.0, 37.0), {"palette": []}, "no dye to choose from"),
        ((51.0, 15.0, 37.0), {"goal": Blend(warmth=5.0)}, "not a warmth allowance"),
        ((51.0, 15.0, 37.0), {"goal": [[50.0, 0.0, 0.0]]}, r"shape \(1, 3\)"),
        ((51.0, 15.0, 37.0), {"grey_percent": 120.0}, "grey 120"),
        ((51.0, 15.0, 37.0), {"grey_percent": np.nan}, "grey nan"),
        ((51.0, 15.0, 37.0), {"resistant_percent": -1.0}, "resistant grey -1 .* 0 to 100 %"),
        ((51.0, 15.0, 37.0), {"resistant_percent": np.inf}, "resistant grey inf"),
        ((51.0, 15.0, 37.0), {"lightness_cost": -1.0}, "lightness cost -1"),
    ],
)
def test_bad_input_is_refused(hair, options, message):
    with pytest.raises(LiftError, match=message):
        neutralise(hair, **options)
