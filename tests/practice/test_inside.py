"""Inside a goal whose colour is wanted: toned or not, and on which side of it."""

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.strand import natural_pigment, strand_lab
from lift.model.trajectory import simulate
from lift.optics.colorimetry import delta_e_2000
from lift.optics.dyes import palette
from lift.practice import inside
from lift.practice.assumptions import SERVICE
from lift.practice.dose_search import best_doses, residual_to
from lift.practice.goal import Blend, Lighten, Match, Tone
from lift.practice.inside import crossings
from lift.practice.target import resolve_goal
from lift.practice.toned import toned
from lift.practice.window import find_window, time_grid

CURVES = default_curves()
PATH = natural_path(CURVES)
NEAR = SERVICE["goal_tolerance"].value
HAIR, POWDER = Hair(6.0), Mixture("powder", 20.0)
MINUTES = time_grid()


def course(mixture=POWDER, hair=HAIR):
    return simulate(hair, mixture, MINUTES[MINUTES <= 60.0], CURVES)


@pytest.mark.parametrize("level", [7.0, 8.0, 9.0])
def test_a_lightening_is_inside_between_orange_and_past_it(level):
    """Found again by searching every dye and dose at every minute."""
    target = resolve_goal(Lighten(level=level), HAIR, CURVES)
    minutes = np.arange(0.0, 60.5, 0.5)
    strand = simulate(HAIR, POWDER, minutes, CURVES)
    doses = np.linspace(0.0, 5.0, 101) ** 2
    pigment = strand.pigment.map(lambda p: np.broadcast_to(p, strand.lift.shape)[:, None])
    inside = np.zeros(minutes.size, dtype=bool)
    for dye in palette():
        lab = strand_lab(pigment, CURVES.values, tone={dye: doses})
        near = delta_e_2000(lab, np.array(target.wanted)) <= target.tolerance
        inside |= np.any(near & (lab[..., 0] >= target.least_lightness), axis=1)
    found = crossings(strand, minutes, target)
    passed = min(float(found.passed), 60.0)
    expected = minutes[inside & (strand.level <= target.past_level)]
    assert float(found.reached) == pytest.approx(expected[0], abs=0.75)
    assert passed == pytest.approx(expected[-1], abs=0.75)


def test_the_nearest_dye_is_that_of_the_slow_search():
    strand = course()
    some = slice(5, None, 8)
    pigment = strand.pigment.map(lambda p: np.broadcast_to(p, strand.lift.shape)[some])
    wanted = tuple(PATH.lab_of_level(8.0))
    quick = toned(pigment, CURVES.values, wanted)
    slow = best_doses(
        pigment, tuple(palette()), 1, residual_to(wanted, CURVES), CURVES.values, lightness_cost=0.0
    )
    left = delta_e_2000(quick.lab, np.array(wanted))
    # Far past the goal a heavy dose darkens: that is no toning, and is not searched.
    near = slow.residual < 2.0 * NEAR
    np.testing.assert_allclose(left[near], slow.residual[near], atol=0.15)


def test_toned_colour_is_that_of_its_dose():
    strand = course()
    pigment = strand.pigment.map(lambda p: np.broadcast_to(p, strand.lift.shape)[20:25])
    found = toned(pigment, CURVES.values, PATH)
    for i in range(5):
        one = pigment.map(lambda p, i=i: p[i])
        lab = strand_lab(one, CURVES.values, tone={found.dyes[found.dye[i]]: found.dose[i]})
        np.testing.assert_allclose(found.lab[i], lab, atol=0.02)


def test_toning_never_ends_darker_than_it_may():
    pigment = natural_pigment(np.array([8.0, 8.5, 9.0]), 0.05, CURVES.values)
    least = float(PATH.lab_of_level(7.9)[0])
    found = toned(pigment, CURVES.values, (40.0, 2.0, 5.0), least_lightness=least)
    assert np.all(found.lab[:, 0] >= least - 0.05)


@pytest.mark.parametrize("start", [5.0, 6.0])
@pytest.mark.parametrize("level", [7.0, 8.0])
def test_few_times_are_enough(start, level, monkeypatch):
    """Against toning computed at every time of the grid."""
    target = resolve_goal(Lighten(level=level), Hair(start), CURVES)
    strand = course(hair=Hair(start))
    few = crossings(strand, MINUTES, target)
    monkeypatch.setattr(inside, "TONED_TIMES", 500)
    every = crossings(strand, MINUTES, target)
    assert float(few.reached) == pytest.approx(float(every.reached), abs=0.8)
    assert float(few.too_light) == pytest.approx(float(every.too_light), abs=0.3)


def test_sides_have_names():
    """By hand: hair that only gets lighter, and warm hair that comes nearest and goes on."""
    target = resolve_goal(Match((50.0, 6.0, 18.0)), Hair(6.0), CURVES, toned=False)
    minutes = np.arange(5.0)

    def found(lab, level=9.0):
        shown = SimpleNamespace(pigmented=np.array(lab), level=np.full(5, level))
        return crossings(shown, minutes, target)

    lighter = found([[40.0, 6, 18], [46.0, 6, 18], [50.0, 6, 18], [54.0, 6, 18], [60.0, 6, 18]])
    assert 1.0 < lighter.reached < 2.0 < lighter.too_light < 3.5
    assert lighter.too_warm == np.inf
    warmer = found([[50.0, 6, b] for b in (18, 18, 20, 30, 40)])
    assert (warmer.reached, warmer.too_light) == (0.0, np.inf)
    assert 2.0 < warmer.too_warm < 3.0
    # Never near: it is too warm from where it came nearest.
    far = found([[50.0, 21, b] for b in (40, 40, 38, 45, 55)])
    assert (far.reached, far.passed) == (np.inf, far.too_warm)
    assert 2.0 <= far.too_warm < 3.0
    # Nor is what lies below the goal's level past it: it is not there yet.
    dark = found([[50.0, 21, b] for b in (40, 40, 38, 45, 55)], level=5.0)
    assert dark.passed == np.inf


def test_hair_that_nothing_lightens_is_not_past_its_goal():
    window = find_window(Hair(1.0), Mixture("cream", 0.0), Lighten(level=8.0))
    assert (window.reached_at, window.too_light_at, window.p_best) == (None, None, 0.0)
    assert np.all(window.each.passed == np.inf)


@given(st.floats(1.0, 12.0), st.floats(1.0, 12.0), st.floats(6.5, 9.0))
def test_a_wider_tolerance_never_opens_later_nor_closes_earlier(one, other, level):
    narrow, wide = sorted((one, other))
    strand = course()
    found = [
        crossings(strand, MINUTES, resolve_goal(Lighten(level, tolerance=t), HAIR, CURVES))
        for t in (narrow, wide)
    ]
    assert found[1].reached <= found[0].reached + 1e-9
    if np.isfinite(found[0].reached):
        assert found[1].passed >= found[0].passed - 1e-9


def test_a_base_break_is_inside_a_blend_with_hair_that_it_becomes():
    hair, mixture = Hair(7.0, "fine", damp=True), Mixture("base-break", 10.0)
    window = find_window(hair, mixture, Blend(level=8.0))
    at = simulate(hair, mixture, window.opens, CURVES).pigmented
    wanted = np.array(window.target.wanted)
    assert delta_e_2000(at, wanted) == pytest.approx(window.target.tolerance, abs=0.05)
    assert delta_e_2000(simulate(hair, mixture, 0.0, CURVES).lab, wanted) > window.target.tolerance


def test_toning_only_is_over_when_a_lift_shows():
    window = find_window(HAIR, POWDER, Tone())
    lift = simulate(HAIR, POWDER, window.closes, CURVES).lift
    assert (window.opens, window.closes_by) == (0.0, "lightness")
    assert float(lift) == pytest.approx(CURVES["visible_lift"].value, abs=0.01)


def test_members_broadcast():
    shape = (3, MINUTES.size)
    strand = simulate(Hair(np.array([5.5, 6.0, 6.5])[:, None]), POWDER, MINUTES, CURVES)
    found = crossings(strand, MINUTES, resolve_goal(Lighten(level=8.0), HAIR, CURVES))
    assert strand.lift.shape == shape
    assert found.reached.shape == found.too_warm.shape == found.too_light.shape == (3,)
    assert np.all(np.diff(found.reached) < 0.0)
