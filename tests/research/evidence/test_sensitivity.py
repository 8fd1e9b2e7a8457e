"""Sensitivity: each change is the one it says, and moves the window as the model does."""

from dataclasses import replace

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Blend
from lift.practice.window import find_window
from lift.research.evidence.sensitivity import (
    OFFSETS,
    READINGS,
    SHARE,
    reading_sensitivity,
    strand_spread,
    window_sensitivity,
)

CURVES = default_curves()
HAIR, MIXTURE = Hair(level=7.0, fibre_um="fine", damp=True), Mixture("base-break", 10.0)


@pytest.fixture(scope="module")
def found():
    return window_sensitivity(HAIR, MIXTURE)


def closes(curves):
    window = find_window(HAIR, MIXTURE, None, curves, members=2)
    return np.inf if window.too_warm_at is None else window.too_warm_at


def test_every_parameter_once_with_its_status(found):
    assert found.names == tuple(CURVES)
    assert found.statuses == tuple(CURVES[n].status for n in found.names)
    assert found.closes.shape == found.opens.shape == (len(found.names), 2)


@pytest.mark.parametrize("name", ["lightening_rate", "base_break_ph", "warmth_allowance"])
def test_each_entry_is_the_window_with_that_number_changed(found, name):
    parameter = CURVES[name]
    change = OFFSETS.get(name, SHARE * parameter.value)
    expected = [
        closes(CURVES.replace(**{name: parameter.value + sign * change})) for sign in (-1.0, 1.0)
    ]
    assert found.closes[found.names.index(name)] == pytest.approx(expected)


def test_base_is_the_window_itself(found):
    window = find_window(HAIR, MIXTURE, members=2)
    assert (found.base_opens, found.base_closes) == (window.opens, window.closes)


def test_numbers_that_do_not_enter_move_nothing(found):
    for name in ("powder_boost", "cream_ph", "porosity_gain", "painter_yellow_hue", "level_sd"):
        assert found.swing[found.names.index(name)] == 0.0


def test_damp_dilutes_what_the_rate_is_of(found):
    """Water takes from the strength as the rate does, to the power of the order."""
    rows = [found.closes[found.names.index(n)] for n in ("lightening_rate", "damp_dilution")]
    rate, damp = (np.ptp(row) for row in rows)
    assert damp == pytest.approx(CURVES.values["hydroperoxide_order"] * rate, rel=0.05)


def test_changes_stop_at_the_range():
    edge = CURVES.replace(damp_dilution=1.0)
    found = window_sensitivity(HAIR, MIXTURE, curves=edge)
    assert str(found.labels[found.names.index("damp_dilution")]) == "0.9 to 1"
    assert found.closes[found.names.index("damp_dilution")][1] == pytest.approx(found.base_closes)


def test_whole_range_reaches_never():
    found = window_sensitivity(HAIR, MIXTURE, whole_range=True)
    slow = found.names.index("lightening_rate")
    assert found.closes[slow][0] == np.inf
    assert found.swing[slow] == np.inf
    assert found.largest(1).swing[0] == np.inf


def test_largest_first(found):
    most = found.largest(5)
    assert len(most.names) == 5
    assert np.all(np.diff(most.swing) <= 0.0)
    assert most.swing[0] == found.swing.max()
    assert most.base_closes == found.base_closes


def test_never_too_warm_either_way_is_no_swing():
    goal = Blend(warmth=60.0)
    found = window_sensitivity(HAIR, MIXTURE, goal)
    assert np.all(found.swing == 0.0)
    assert found.base_closes == np.inf


def test_readings_are_the_windows_of_misread_hair():
    found = reading_sensitivity(HAIR, MIXTURE)
    assert found.names == tuple(READINGS)
    window = find_window(HAIR.replace(level=6.5), MIXTURE, members=2)
    assert found.closes[0][0] == window.too_warm_at
    window = find_window(HAIR, MIXTURE.replace(volume=11.0), members=2)
    assert found.closes[2][1] == window.too_warm_at


def test_readings_stop_at_what_can_be_read():
    found = reading_sensitivity(Hair(level=10.0), Mixture("cream", 0.0))
    assert str(found.labels[0]) == "9.5 to 10 levels"
    assert str(found.labels[2]) == "0 to 1 vol"


def test_spread_of_all_is_the_windows_own():
    spread = strand_spread(HAIR, MIXTURE)
    assert spread["all"] == find_window(HAIR, MIXTURE).closes_range
    wide = spread["all"][1] - spread["all"][0]
    assert all(high - low < wide for name, (low, high) in spread.items() if name != "all")


def test_spread_without_variation_is_none():
    known = replace(CURVES, posterior=None)
    still = known.replace(level_sd=0.0, rate_log_sd=0.0, fibre_log_sd=0.0, fade_log_sd=0.0)
    for low, high in strand_spread(HAIR, MIXTURE, curves=still).values():
        assert low == high


def test_arrays_are_refused():
    with pytest.raises((LiftError, TypeError, ValueError)):
        reading_sensitivity(Hair(level=[5.0, 6.0]), MIXTURE)
