"""What shows has one home: every place that judges by a threshold takes it from there."""

import pytest

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.optics.colorimetry import NOTICEABLE
from lift.practice.assumptions import SERVICE
from lift.practice.goal import Blend
from lift.practice.shows import EDGE, NOTICED, WARM, thresholds
from lift.practice.target import resolve_goal
from lift.practice.toning.tone_report import tone_report, underpigment_state

CURVES = default_curves()


def test_warmth_shows_from_the_same_at_the_rinse_after_washes_and_under_lamps():
    report = tone_report(underpigment_state(6.0, CURVES))
    shows = thresholds(CURVES)[WARM].value
    assert resolve_goal(Blend(), Hair(7), CURVES).warmth_limit == shows
    assert {fade.allowance for fade in report.fades.values()} == {shows}
    assert report.light.allowance == report.partial.allowance == shows


def test_every_threshold_has_a_standing():
    found = thresholds(CURVES)
    assert found[NOTICED].value == NOTICEABLE
    assert found[EDGE] is SERVICE["blend_limit"]
    for each in found.values():
        assert each.status in {"common practice", "assumed"}
        assert each.source


@pytest.mark.parametrize("allowance", [0.5, 1.0])
def test_a_stricter_allowance_lets_lamps_turn_hair_warm(allowance):
    strict = CURVES.replace(warmth_allowance=allowance)
    light = tone_report(underpigment_state(6.0, strict), curves=strict).light
    assert "A" in light.turns_warm
