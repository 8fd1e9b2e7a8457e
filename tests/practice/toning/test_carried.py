"""Tone inside the mixture: carried, then outrun; and how much each depth needs."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.toning.carried import BASE_BREAK_HAIR, carried_and_outrun, tone_over_level
from lift.practice.toning.neutralise import neutralise
from lift.practice.window import find_window

CURVES = default_curves()
BASE_BREAK = Mixture("base-break", 10.0)


def test_carried_then_outrun():
    found = carried_and_outrun(BASE_BREAK_HAIR, BASE_BREAK)
    assert found.bare_too_warm_at < found.too_warm_at
    assert np.all(found.held_back[1:] > 0.0)
    at = [float(np.interp(t, found.minutes, found.warmth)) for t in (5.0, 15.0)]
    assert at[0] < found.allowance < at[1]
    assert "then lift outruns it" in str(found.words)


def test_the_window_accounts_for_it():
    """find_window closes when the warmth that is seen passes the limit, tone included."""
    ends = []
    for tone in ({}, {"violet": 0.5}, {"violet": 1.0}):
        mixture = BASE_BREAK.replace(tone=tone)
        window = find_window(BASE_BREAK_HAIR, mixture, None, CURVES)
        found = carried_and_outrun(BASE_BREAK_HAIR, mixture)
        assert window.too_warm_at == pytest.approx(found.too_warm_at, abs=1e-9)
        ends.append(window.too_warm_at)
    assert ends[0] < ends[1] < ends[2]


def test_no_tone_holds_nothing_back():
    found = carried_and_outrun(BASE_BREAK_HAIR, Mixture("cream", 10.0))
    np.testing.assert_array_equal(found.held_back, 0.0)
    assert found.too_warm_at == found.bare_too_warm_at
    assert "carries no tone" in str(found.words)


def test_enough_tone_carries_to_the_end():
    found = carried_and_outrun(BASE_BREAK_HAIR, BASE_BREAK.replace(tone={"violet": 3, "blue": 3}))
    assert found.too_warm_at is None
    assert "to the end" in str(found.words)


def test_never_too_warm():
    found = carried_and_outrun(BASE_BREAK_HAIR, BASE_BREAK, allowance=60.0)
    assert found.bare_too_warm_at is found.too_warm_at is None
    assert str(found.words).startswith("Never too warm")


@settings(max_examples=20)
@given(st.floats(3.0, 9.0), st.floats(0.1, 8.0))
def test_blue_violet_tone_never_adds_warmth(level, dose):
    """The dye that answers all warm hair holds warmth back at every time."""
    found = carried_and_outrun(
        Hair(level), Mixture("cream", 20.0, tone={"blue-violet": dose}), limit_minutes=40.0
    )
    assert np.all(found.held_back >= -1e-6)


def test_depth_is_what_neutralise_finds():
    """Nothing put in by hand: the same search on the simulated strand, level by level."""
    depth = tone_over_level([5.5, 7.5])
    for index, level in enumerate((5.5, 7.5)):
        strand = simulate(
            BASE_BREAK_HAIR.replace(level=level), BASE_BREAK.replace(tone={}), 8.0, CURVES
        )
        found = neutralise(strand.pigment, None, ("violet", "blue"))
        doses = [found.tone[dye] for dye in ("violet", "blue")]
        np.testing.assert_allclose(depth.doses[index], doses, rtol=1e-6)
        assert depth.residual[index] == pytest.approx(found.residual, abs=1e-9)


def test_deeper_hair_needs_more_and_bluer():
    depth = tone_over_level(np.arange(4.0, 9.1, 0.5))
    assert np.all(np.diff(depth.amount) < 0.0)
    assert np.all(np.diff(depth.centre_nm) < 0.0)
    assert np.all(depth.residual < 0.1)


def test_longer_needs_more():
    short, long = (tone_over_level([7.0], minutes=t) for t in (4.0, 12.0))
    assert long.amount[0] > short.amount[0]


def test_what_must_be_carried_has_formed_by_then():
    """Carrying the dose found leaves the strand neutral at that time."""
    depth = tone_over_level([6.0])
    tone = dict(zip(depth.dyes, depth.carried[0], strict=True))
    strand = simulate(
        BASE_BREAK_HAIR.replace(level=6.0), BASE_BREAK.replace(tone=tone), 8.0, CURVES
    )
    assert abs(float(strand.warmth)) < 0.1
    formed = {dye: float(dose) for dye, dose in strand.tone.items()}
    assert list(formed.values()) == pytest.approx(depth.doses[0].tolist(), rel=1e-9)


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: tone_over_level([0.5]), "natural level 0.5"),
        (lambda: tone_over_level([np.nan]), "natural level nan"),
        (lambda: tone_over_level([6.0], minutes=0.0), "processing time 0"),
        (lambda: tone_over_level([6.0], palette=("vilet",)), "did you mean violet"),
        (
            lambda: carried_and_outrun(BASE_BREAK_HAIR, BASE_BREAK, allowance=np.inf),
            "allowance inf",
        ),
        (lambda: carried_and_outrun(BASE_BREAK_HAIR, BASE_BREAK, limit_minutes=0.0), "time limit"),
    ],
)
def test_bad_input_is_refused(ask, message):
    with pytest.raises(LiftError, match=message):
        ask()
