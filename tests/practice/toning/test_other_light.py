"""Other light: what shifts, and when a warning is due. Adaptation itself: tests/published."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.model.strand import natural_pigment, strand_lab
from lift.optics.weights import PREPARED
from lift.practice.toning.neutralise import neutralise
from lift.practice.toning.other_light import other_light
from lift.practice.toning.tone_report import underpigment_state

CURVES = default_curves()
VALUES = CURVES.values


def toned(level, dyes=None):
    state = underpigment_state(level, CURVES)
    return state, neutralise(state, None, dyes).tone


def test_daylight_shifts_nothing():
    state, tone = toned(8)
    found = other_light(state, tone, lights=("D65",))
    assert found.shift[0] == pytest.approx(0.0, abs=1e-9)
    assert found.warmth[0] == pytest.approx(found.daylight_warmth, abs=1e-9)
    np.testing.assert_allclose(found.lab[0], strand_lab(state, VALUES, tone=tone), atol=1e-5)
    assert found.turns_warm == ()


def test_warmth_by_daylight_is_that_of_the_natural_path():
    state = underpigment_state(7, CURVES)
    lab = strand_lab(state, VALUES)
    assert other_light(state).daylight_warmth == pytest.approx(
        float(natural_path(CURVES).warmth(lab)), abs=1e-4
    )


def test_natural_hair_is_neutral_in_every_light():
    """Natural hair is what warmth is counted from, in each light anew."""
    for level in (3.0, 6.0, 9.0):
        found = other_light(natural_pigment(level, VALUES["pheomelanin_share"], VALUES))
        np.testing.assert_allclose(found.warmth, 0.0, atol=0.02)
        np.testing.assert_allclose(found.shift, found.natural_shift, atol=0.02)
        assert found.neutral_by_daylight
        assert f"passes for natural under all {len(PREPARED)} lights" in str(found.words)


def test_hair_natural_by_daylight_warms_under_lamps():
    """Dyes leave red light that lamps are full of: yellow-orange toned natural warms under A.

    Toned all the way it still passes for natural there; toned to what just passes it does not.
    """
    state, tone = toned(7)
    whole = other_light(state, tone)
    assert whole.neutral_by_daylight
    assert whole.warmth[whole.lights.index("A")] > whole.daylight_warmth + 1.0
    assert whole.turns_warm == ()
    assert "passes for natural under all" in str(whole.words)
    found = other_light(state, {dye: 0.75 * dose for dye, dose in tone.items()})
    assert found.neutral_by_daylight
    assert "LED-RGB1" in found.turns_warm
    assert "D50" not in found.turns_warm
    assert "WARNING: natural by daylight, warmer than the 3.0 dC* that pass for it" in str(
        found.words
    )
    for name, warmth in zip(found.lights, found.warmth, strict=True):
        shows = warmth > found.allowance and warmth - found.daylight_warmth >= 1.0
        assert (name in found.turns_warm) == shows


def test_a_mild_tone_turns_less():
    strong, mild = (other_light(*toned(level)) for level in (8, 3))
    assert mild.warmth.max() < strong.warmth.max()


def test_hair_warm_by_daylight_gets_no_warning():
    found = other_light(underpigment_state(8, CURVES))
    assert not found.neutral_by_daylight
    assert found.turns_warm == ()
    assert "warm by daylight already" in str(found.words)


def test_lights_and_shapes():
    state, tone = toned(9)
    found = other_light(state, tone)
    assert found.lights == PREPARED
    for array in (found.cct_k, found.shift, found.natural_shift, found.warmth):
        assert array.shape == (len(PREPARED),)
    assert found.lab.shape == (len(PREPARED), 3)
    some = other_light(state, tone, lights=("LED-B1", "A", "LED-B1"))
    assert some.lights == ("LED-B1", "A")
    np.testing.assert_array_equal(some.lab[1], found.lab[PREPARED.index("A")])
    assert str(some.label(1)) == "A (2856 K)"
    assert found.shift[PREPARED.index("A")] > found.shift[PREPARED.index("D50")] > 0.5


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"lights": ("LED-B9",)}, "did you mean LED-B"),
        ({"tone": {"violett": 1.0}}, "did you mean violet"),
        ({"tone": {"violet": -1.0}}, "dose of violet -1"),
        ({"tone": {"violet": np.nan}}, "dose of violet nan"),
        ({"tone": {"violet": np.inf}}, "dose of violet inf"),
        ({"pigment": natural_pigment(np.array([3.0, 4.0]), 0.05, VALUES)}, "not one number"),
    ],
)
def test_bad_input_is_refused(change, message):
    with pytest.raises(LiftError, match=message):
        other_light(**{"pigment": underpigment_state(8, CURVES), **change})
