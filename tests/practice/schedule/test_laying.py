"""How sections go on, one after another."""

import numpy as np
import pytest

from lift.practice.assumptions import service_values
from lift.practice.scenario.scenario import Placement, Salon
from lift.practice.schedule.work import lay


def test_one_pair_of_hands_lays_one_section_after_another():
    laid = lay(Placement(3, 60), Salon(), service_values())
    assert laid.starts == pytest.approx([0, 1, 2])
    assert laid.ends == pytest.approx([1, 2, 3])
    assert laid.strength == pytest.approx(np.exp(-np.array([0, 1, 2]) / 160))
    assert laid.minutes == 3.0
    assert laid.rinse_minutes == 0.0


def test_speed_and_assistants():
    laid = lay(Placement(5, 60), Salon(working_speed=2, assistants=1), service_values())
    assert laid.starts == pytest.approx([0, 0, 0.5, 0.5, 1])
    assert laid.ends == pytest.approx([0.5, 0.5, 1, 1, 1.5])


def test_a_fresh_bowl_takes_time_and_is_strong():
    laid = lay(Placement(5, 60, bowls=2), Salon(), service_values({"changeover_minutes": 2}))
    assert list(laid.bowl) == [1, 1, 1, 2, 2]
    assert laid.starts == pytest.approx([0, 1, 2, 5, 6])
    assert laid.strength[[0, 3]] == pytest.approx([1, 1])
    assert laid.strength[1] == laid.strength[4]


def test_rinse_in_the_order_laid():
    laid = lay(Placement(3, 60, rinse_seconds_per_section=30), Salon(), service_values())
    assert laid.rinse_after == pytest.approx([0, 0.5, 1])
