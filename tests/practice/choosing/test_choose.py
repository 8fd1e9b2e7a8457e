"""Choosing: brute force finds nothing better, and what is forbidden is never chosen."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lift.answers import to_dict
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.allowed import CARRIED_DYES, Allowed
from lift.practice.choosing.choose import choose
from lift.practice.choosing.options import NEAR, REACHED, best_options
from lift.practice.goal import Blend, Lighten, Match, Tone
from lift.practice.window import find_window

CURVES = default_curves()
BASE = Hair(7.0, "fine", damp=True)
CASES = {
    "blend": (BASE, Blend()),
    "blend 7.6": (BASE, Blend(level=7.6)),
    "lighten 8": (Hair(6.0), Lighten(8.0)),
    "match": (Hair(5.0), Match((54.0, 9.0, 27.0))),
    "as lightened": (Hair(5.0), Lighten(7.5, warmth=14.0)),
}


@pytest.fixture(scope="module")
def found():
    return {name: choose(hair, goal) for name, (hair, goal) in CASES.items()}


def met(window, late=1.0):
    """Best chance of a rinse from the second minute on that may come a minute late."""
    p, minutes = window.p_inside, window.minutes
    both = np.minimum(p, np.interp(minutes + late, minutes, p))
    return float(np.max(both[minutes >= 2.0], initial=0.0))


@pytest.mark.parametrize("case", CASES)
def test_options_tell_what_windows_tell(found, case):
    """Each is as likely inside as the window of the same mixture says, toned or not."""
    hair, goal = CASES[case]
    for option in found[case].options:
        if option.follows != found[case].target.toned:
            continue
        window = find_window(hair, option.mixture, goal)
        at = float(np.interp(option.best, window.minutes, window.p_inside))
        assert option.p_inside == pytest.approx(at, abs=0.06)
        assert option.rinse_from <= option.best <= option.rinse_until
        assert option.slack == option.rinse_until - option.best
        assert 0.0 <= option.p_risk <= 1.0 - option.p_inside + 1e-9


@pytest.mark.slow
@pytest.mark.parametrize("case", ["lighten 8", "as lightened"])
def test_brute_force_over_strengths_finds_nothing_better(found, case):
    """Every developer, and every two half and half, of every class, minute by minute."""
    hair, goal = CASES[case]
    best = max(option.p_met for option in found[case].options)
    for kind in ("cream", "powder"):
        for volume in (10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0):
            window = find_window(hair, Mixture(kind, volume), goal, limit_minutes=50.0)
            assert met(window) <= best + 0.02, (kind, volume)


@pytest.mark.slow
def test_brute_force_over_carried_tones_finds_nothing_better(found):
    hair, goal = CASES["blend"]
    best = max(option.p_met for option in found["blend"].options)
    for volume in (5.0, 7.5, 10.0, 15.0, 20.0):
        for dye in CARRIED_DYES:
            for dose in np.arange(0.0, 8.5, 1.0):
                mixture = Mixture("base-break", volume, tone={dye: dose})
                window = find_window(hair, mixture, goal, limit_minutes=10.0)
                assert met(window) <= best + 0.02, (volume, dye, dose)


# Laws.


@settings(max_examples=6, deadline=None)
@given(st.floats(1.0, 8.0), st.floats(1.0, 8.0), st.floats(6.5, 9.0))
def test_a_wider_tolerance_never_lowers_the_best_chance(one, other, level):
    narrow, wide = sorted((one, other))
    chances = []
    for tolerance in (narrow, wide):
        goal = Lighten(level, tolerance=tolerance)
        options = best_options(Hair(6.0), goal, members=40, allowed=Allowed(("powder",))).options
        chances.append(max((option.p_met for option in options), default=0.0))
    assert chances[1] >= chances[0] - 1e-9


@settings(max_examples=8, deadline=None)
@given(
    st.sampled_from([Blend(), Lighten(8.0), Match((58.0, 7.0, 22.0))]),
    st.floats(1.0, 40.0),
    st.booleans(),
)
def test_what_is_forbidden_is_never_chosen(goal, most, powder):
    try:
        made = choose(Hair(6.0), goal, max_volume=most, powder=powder, members=20)
    except LiftError:
        assert most < min(CURVES.mixtures.developers)
        return
    told = [*made.options, *(each.option for each in made.sittings)]
    for option in told:
        assert option.developer.volume <= most + 1e-9
        assert float(np.max(option.mixture.on_head_volume)) <= 40.0
        assert powder or option.mixture.chemistry.oxidant != "persulfate"


def test_named_classes_are_all_that_is_chosen_from():
    made = choose(Hair(6.0), Lighten(7.5), mixtures=["cream"], members=40)
    assert {option.mixture.kind for option in made.options} == {"cream"}
    with pytest.raises(LiftError, match="did you mean powder"):
        choose(Hair(6.0), Lighten(7.5), mixtures=["powdr"])
    with pytest.raises(LiftError, match="nothing is left to choose from"):
        choose(Hair(6.0), Lighten(7.5), mixtures=["powder"], powder=False)


def test_the_scalp_is_kept_from_powder_unless_it_is_asked_for():
    usual = choose(BASE, Blend(), members=40)
    assert all(o.mixture.chemistry.oxidant == "peroxide" for o in usual.options)
    asked = choose(BASE, Blend(), powder=True, members=40)
    assert any(o.mixture.kind == "powder" for o in asked.options)
    named = choose(BASE, Blend(), mixtures=["powder"], members=40)
    assert {o.mixture.kind for o in named.options} == {"powder"}


def test_over_twelve_percent_is_refused():
    for bad in (40.5, 0.5, np.nan, np.inf):
        with pytest.raises(LiftError, match="strongest developer"):
            choose(BASE, Blend(), max_volume=bad)


@pytest.mark.parametrize("case", CASES)
def test_options_differ_in_kind_and_are_ranked(found, case):
    options = found[case].options
    assert 1 <= len(options) <= 5
    kinds = [(o.mixture.kind, bool(o.tone), bool(o.toner)) for o in options]
    assert len(set(kinds)) == len(kinds)
    # None further down is clearly likelier than one above.
    for above, below in pairwise(options):
        assert below.p_met <= above.p_met + NEAR + 1e-9


def test_grey_stays_out_of_the_goal():
    """White fibres decide nothing: the same is chosen with a third of them."""
    grey = choose(BASE.replace(grey_percent=35.0), Blend())
    plain = choose(BASE, Blend())
    assert [o.mixture.kind for o in grey.options] == [o.mixture.kind for o in plain.options]
    assert [o.best for o in grey.options] == [o.best for o in plain.options]
    assert [o.p_inside for o in grey.options] == [o.p_inside for o in plain.options]


def test_what_one_sitting_does_not_reach_is_told_in_several():
    far = choose(Hair(2.0), Lighten(9.0), members=40)
    assert not far.reached
    assert far.options[0].p_met < REACHED
    assert 2 <= len(far.sittings) <= 4
    levels = [each.target.level for each in far.sittings]
    assert levels == sorted(levels)
    assert levels[-1] == 9.0
    for before, after in pairwise(far.sittings):
        assert after.hair.lightened_to == pytest.approx(before.target.level)
        assert after.hair.level == 2.0
    assert all(each.option.p_met >= REACHED for each in far.sittings)


def test_toning_alone_mixes_nothing():
    found = choose(Hair(7.0, lightened_to=9.0), Tone(level=8.0))
    (only,) = found.options
    assert only.mixture is None
    assert only.toner
    assert only.level_after < only.level
    # Hair of level 7 that was never lightened cannot be toned to level 9.
    far = choose(Hair(7.0), Tone(level=9.0)).options[0]
    assert far.p_inside < 0.1 < 0.5 < only.p_inside
    assert found.p_now < only.p_inside


def test_an_open_goal_is_refused():
    with pytest.raises(LiftError, match="a level or a stage is needed"):
        choose(Hair(6.0), Lighten())


def test_a_strand_test_moves_the_choice():
    slow = np.tile([0.0, -1.5, 0.0, 0.0, 0.0], (8, 1))
    usual, late = (choose(Hair(6.0), Lighten(8.0), latent=x, members=40) for x in (None, slow))
    same = next(o for o in late.options if o.mixture.kind == "powder")
    then = next(o for o in usual.options if o.mixture.kind == "powder")
    assert (same.developer.volume, same.best) != (then.developer.volume, then.best)


def test_json_has_the_keys(found):
    shown = to_dict(found["lighten 8"])
    assert set(shown) >= {"inputs", "goal", "options", "sittings", "cautions", "curve_set"}
    option = shown["options"][0]
    assert set(option) >= {
        *("mixture", "volume", "parts", "tone", "minutes", "p_inside", "slack", "before", "after"),
        *("toner", "risk", "look_at"),
    }
    assert set(option["minutes"]) == {"from", "best", "until"}
    assert shown["goal"]["intent"] == "lighten"
    assert shown["sittings"] == []


def test_cautions_stand_beside_every_choice(found):
    from lift.practice.cautions import ALWAYS

    for made in found.values():
        assert set(ALWAYS) <= set(made.cautions)
    powder = choose(Hair(6.0), Lighten(9.0), mixtures=["powder"], members=40)
    assert "caution.persulfate" in {said.code for said in powder.cautions}
