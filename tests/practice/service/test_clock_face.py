"""The face: nothing is too late before hands could do it, and no press is taken far too early."""

import pytest

from lift.practice.assumptions import service_values
from lift.practice.service.clock import Action
from lift.practice.service.clock_face import READY_MINUTES, early_by, face

HANDS = service_values()["hands_minutes"]


def states(action, *times):
    return [face(action, now, HANDS).state for now in times]


def test_a_rinse_is_asked_for_until_its_latest():
    rinse = Action("rinse", "", (), 40.0, until=44.0)
    assert states(rinse, 38.9, 39.1, 40.0, 43.9, 44.1) == ["wait", "soon", "now", "now", "late"]
    assert face(rinse, 41.0, HANDS).minutes == pytest.approx(3.0)
    assert face(rinse, 44.5, HANDS).minutes == pytest.approx(0.5)


def test_a_strand_whose_best_minute_is_its_last_is_rinsed_now_before_it_is_too_late():
    rinse = Action("rinse", "", (), 40.0, until=40.0)
    assert states(rinse, 39.5, 40.01, 40.0 + HANDS, 40.01 + HANDS) == ["soon", "now", "now", "late"]


def test_nothing_is_behind_by_a_second():
    lay = Action("lay", "foils", (1,), 10.0, lasts=1.0)
    assert states(lay, 10.5, 11.0 + 1 / 60, 11.0 + HANDS, 11.1 + HANDS) == 3 * ["now"] + ["late"]
    assert [face(lay, now, HANDS).counts for now in (10.5, 11.1, 12.0)] == ["left", "since", "over"]
    mix = Action("mix", "base", (), 20.0)
    assert states(mix, 20.1, 20.1 + HANDS) == ["now", "late"]


def test_a_toner_s_rinse_is_the_maker_s_and_a_look_serves_while_it_serves():
    assert states(Action("rinse_tone", "base", (), 20.0), 60.0) == ["now"]
    look = Action("look", "base", (), 10.0, until=14.0)
    assert face(look, 11.0, HANDS).minutes == pytest.approx(3.0)


def test_a_press_far_too_early_is_asked_about():
    rinse = Action("rinse", "", (), 41.0, until=45.0)
    assert early_by(rinse, 4 / 60) == pytest.approx(41.0 - 4 / 60)
    assert early_by(rinse, 41.0 - READY_MINUTES) == 0.0
    slow = Action("lay", "foils", (1,), 10.0, lasts=4.0)
    assert early_by(slow, 10.0 + 4 / 60) == pytest.approx(4.0 - 4 / 60)
    assert early_by(slow, 12.0) == 0.0
    assert early_by(Action("lay", "foils", (1,), 10.0, lasts=0.5), 10.0) == 0.0
