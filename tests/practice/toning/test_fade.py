"""Fading: the published figures, the way back of the warmth, and the week it passes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.chemistry.tone_kinds import TONE_KINDS
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.model.strand import natural_pigment, strand_lab
from lift.optics.dyes import palette
from lift.practice.toning.fade import left_after, wash_fade
from lift.practice.toning.neutralise import neutralise
from lift.practice.toning.tone_report import underpigment_state

CURVES = default_curves()
STATE = underpigment_state(8, CURVES)
TONE = neutralise(STATE).tone


def warmth_at(share):
    lab = strand_lab(STATE, CURVES.values, tone={d: x * share for d, x in TONE.items()})
    return float(natural_path(CURVES).warmth(lab))


def test_values():
    assert left_after(0.0, 0.3) == 1.0
    assert left_after(30.0, TONE_KINDS["permanent"].rate) == pytest.approx(0.9)
    assert left_after(7.0, TONE_KINDS["direct"].rate) == pytest.approx(0.1)


def test_broadcasting():
    left = left_after(np.arange(5.0), np.array([[0.1], [0.2]]))
    assert left.shape == (2, 5)
    assert left[1, 3] == left_after(3.0, 0.2)


def test_units_only_washes_times_rate_count():
    np.testing.assert_allclose(left_after([2.0, 4.0], 0.3), left_after([20.0, 40.0], 0.03))


@pytest.mark.parametrize("bad", [np.nan, np.inf, -1.0, "often"])
def test_bad_numbers_are_refused(bad):
    with pytest.raises(LiftError, match="washes"):
        left_after(bad, 0.1)
    with pytest.raises(LiftError, match="rate"):
        left_after(1.0, bad)


@pytest.mark.parametrize("kind", TONE_KINDS)
def test_warmth_starts_toned_and_ends_untoned(kind):
    fade = wash_fade(STATE, TONE, kind=kind)
    assert fade.washes[0] == 0.0
    assert fade.warmth[0] == pytest.approx(warmth_at(1.0))
    assert np.all(np.diff(fade.warmth) >= -1e-9)
    assert fade.warmth[-1] <= warmth_at(0.0) + 1e-9
    for index in (5, 40):
        assert fade.warmth[index] == pytest.approx(warmth_at(fade.left[index]))
        assert fade.warmth_slowest[index] <= fade.warmth[index] <= fade.warmth_fastest[index] + 1e-9
    for name in ("left", "warmth", "warmth_slowest", "warmth_fastest"):
        assert getattr(fade, name).shape == fade.washes.shape
    assert fade.lab.shape == (*fade.washes.shape, 3)


def test_demi_permanent_lies_between_and_fades_within_weeks():
    fades = [wash_fade(STATE, TONE, kind=kind) for kind in TONE_KINDS]
    assert list(TONE_KINDS) == ["permanent", "demi-permanent", "direct"]
    assert np.all(np.diff([fade.left for fade in fades], axis=0)[:, 1:] < 0.0)
    demi = TONE_KINDS["demi-permanent"]
    assert left_after(24.0, demi.slowest) == pytest.approx(0.1)
    assert left_after(12.0, demi.fastest) == pytest.approx(0.1)
    assert demi.status == "common practice"
    assert "common practice" in str(demi.source)


@pytest.mark.parametrize("gain", [1.0, 2.0, 4.0])
def test_each_kind_has_its_own_course(gain):
    """Alkali swells hair and lets things in sooner; where it gains nothing all are alike."""
    values = {**CURVES.values, "swelling_gain": gain}
    minutes = [kind.minutes(values) for kind in TONE_KINDS.values()]
    assert minutes[0] == pytest.approx(values["tone_minutes"])
    assert minutes[-1] == pytest.approx(gain * values["tone_minutes"])
    assert minutes == sorted(minutes)
    assert (len(set(minutes)) == 1) == (gain == 1.0)


def test_direct_dye_is_back_to_warm_far_sooner():
    permanent, direct = (wash_fade(STATE, TONE, kind=kind) for kind in ("permanent", "direct"))
    assert direct.passes < 0.1 * permanent.passes
    assert direct.warmth[-1] == pytest.approx(warmth_at(0.0), abs=0.01)


@pytest.mark.parametrize("kind", TONE_KINDS)
@pytest.mark.parametrize("often", [0.5, 3.0, 7.0])
def test_it_passes_when_it_is_said_to(kind, often):
    fade = wash_fade(STATE, TONE, kind=kind, washes_per_week=often)
    if fade.passes is None:
        assert fade.warmth[-1] <= fade.allowance
        assert fade.week is None
        return
    share = left_after(fade.passes, TONE_KINDS[kind].rate)
    assert warmth_at(share) == pytest.approx(fade.allowance, abs=0.05)
    assert (fade.week - 1) * often <= fade.passes < fade.week * often
    early, late = fade.passes_range
    assert early <= fade.passes
    assert late is None or late >= fade.passes
    assert fade.washes[-1] == pytest.approx(52.0 * often)


def test_washing_less_often_lasts_longer():
    seldom, often = (wash_fade(STATE, TONE, kind="direct", washes_per_week=w) for w in (0.25, 7.0))
    assert seldom.passes == pytest.approx(often.passes, abs=0.05)
    assert seldom.week > often.week


def test_words():
    assert "not above" in str(wash_fade(STATE, TONE).words)
    assert "in week" in str(wash_fade(STATE, TONE, kind="direct").words)
    assert "from the start" in str(wash_fade(STATE, {}).words)
    natural = natural_pigment(6.0, CURVES.values["pheomelanin_share"], CURVES.values)
    kept = wash_fade(natural, {"violet": 1.0}, kind="direct", allowance=5.0)
    assert kept.passes is kept.week is None
    assert kept.passes_range == (None, None)
    assert "for a year" in str(kept.words)


@given(
    st.floats(2.0, 10.0),
    st.dictionaries(st.sampled_from(tuple(palette())), st.floats(0.0, 30.0)),
    st.sampled_from(tuple(TONE_KINDS)),
)
def test_hair_never_darkens_while_tone_washes_out(level, tone, kind):
    fade = wash_fade(underpigment_state(level, CURVES), tone, kind=kind)
    assert np.all(np.diff(fade.lab[:, 0]) >= -1e-6)
    assert np.all(np.diff(fade.left) < 0.0)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"kind": "permanant"}, "did you mean permanent"),
        ({"washes_per_week": 0.0}, "washes per week 0"),
        ({"washes_per_week": np.nan}, "washes per week nan"),
        ({"allowance": -1.0}, "warmth allowance -1"),
        ({"tone": {"violet": np.inf}}, "dose of violet inf"),
    ],
)
def test_bad_input_is_refused(change, message):
    with pytest.raises(LiftError, match=message):
        wash_fade(**{"pigment": STATE, "tone": TONE, **change})
