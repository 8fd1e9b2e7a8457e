"""Advice delivers what it says: each change is made and counted anew."""

import numpy as np
import pytest

from lift.model.curves import default_curves
from lift.model.developer import Developer
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.advice import CLEARLY, NARROW_MINUTES, Advice, advise
from lift.practice.goal import Blend, Lighten, Match
from lift.practice.window import find_window
from lift.words import note

CURVES = default_curves()
HAIR = Hair(7.0, "fine", damp=True)
SOLD = set(CURVES.mixtures.developers)

CASES = {
    "dry, 20 vol": (Hair(7.0, "fine"), Mixture("base-break", 20.0), Blend()),
    "no tone": (HAIR, Mixture("base-break", 20.0, tone={}), Blend()),
    "strong cream": (Hair(6.0), Mixture("cream", 40.0), Blend()),
    "powder to stay natural": (Hair(6.0), Mixture("powder", 20.0), Blend()),
    "too weak": (Hair(5.0), Mixture("cream", 5.0), Lighten(7.5)),
    "a colour": (Hair(6.0), Mixture("base-break", 20.0), Blend(lab=(52.0, 2.0, 12.0))),
    "too far": (Hair(2.0), Mixture("cream", 10.0), Lighten(9.0)),
    "never": (Hair(7.0), Mixture("cream", 0.0), Match((56.0, 8.0, 24.0), warmth=0.0)),
}


def advice_of(case):
    hair, mixture, goal = CASES[case]
    window = find_window(hair, mixture, goal)
    return hair, mixture, goal, window, advise(hair, mixture, window, CURVES)


@pytest.mark.parametrize("case", CASES)
def test_every_advice_delivers(case):
    """Under the changed mixture the whole ensemble is as likely inside as was said."""
    hair, _, goal, window, found = advice_of(case)
    assert found
    for one in found:
        if one.chance is None:
            assert one.change == "none"
            continue
        assert one.note["p"] >= one.note["now"] + CLEARLY
        if one.change == "toner":
            continue
        again = find_window(hair, one.chance.mixture, goal)
        at = float(np.interp(one.note["best"], again.minutes, again.p_inside))
        assert at == pytest.approx(one.note["p"], abs=0.12)
        before = float(window.p_inside[window.minutes >= 2.0].max(initial=0.0))
        assert at > before


@pytest.mark.parametrize("case", CASES)
def test_only_what_can_be_bought_or_mixed_half_and_half(case):
    _, mixture, _, _, found = advice_of(case)
    for one in (each for each in found if each.chance is not None):
        given = one.chance.mixture.volume
        if one.change in ("developer", "mixture"):
            parts = given if isinstance(given, tuple) else ((given, 1),)
            assert {volume for volume, _ in parts} <= SOLD
            assert {share for _, share in parts} == {1}
            assert str(Developer(parts).note) in str(one.note)
        else:
            assert float(one.chance.mixture.developer_volume) == float(mixture.developer_volume)
        changed = {
            "developer": one.chance.mixture.kind == mixture.kind,
            "mixture": one.chance.mixture.kind != mixture.kind,
        }
        assert changed.get(one.change, True)


def test_each_kind_of_advice_is_met():
    kinds = {one.change for case in CASES for one in advice_of(case)[-1]}
    assert {"developer", "tone", "mixture", "none"} <= kinds


def test_a_wide_window_needs_none():
    mixture = Mixture("base-break", 10.0)
    window = find_window(HAIR, mixture, Blend(warmth=6.0))
    assert window.width >= NARROW_MINUTES
    assert advise(HAIR, mixture, window, CURVES) == ()


def test_the_likeliest_comes_first():
    for case in CASES:
        told = [one.note["p"] for one in advice_of(case)[-1] if one.chance is not None]
        assert told == sorted(told, reverse=True)


def test_a_strand_that_was_seen_is_advised_by_itself():
    hair, mixture, goal = CASES["dry, 20 vol"]
    slow = np.tile([0.0, -2.0, 0.0, 0.0, 0.0], (8, 1))
    window = find_window(hair, mixture, goal, latent=slow)
    own, usual = (advise(hair, mixture, window, CURVES, latent) for latent in (slow, None))
    assert own[0].note.to_dict() != usual[0].note.to_dict()


def test_advice_is_plain_and_frozen():
    one = Advice("none", note("advice.none", goal="a goal"))
    assert one.chance is None
    with pytest.raises(AttributeError):
        one.note = note("text", text="other")
