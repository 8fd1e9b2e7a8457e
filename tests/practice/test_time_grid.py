"""The grid on which windows are sought is fine enough."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.domain import longest_minutes
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.goal import Lighten
from lift.practice.inside import first_crossing, goal_margin
from lift.practice.target import resolve_goal
from lift.practice.window import time_grid

CURVES = default_curves()


@pytest.mark.parametrize("limit", [1.0, 7.3, 12.0, 60.0, 61.0, 120.0])
def test_from_zero_to_the_limit_in_growing_steps(limit):
    grid = time_grid(limit)
    steps = np.diff(grid)
    assert (grid[0], grid[-1]) == (0.0, limit)
    assert np.all(steps > 0)
    assert np.all(np.diff(steps[:-1]) >= 0)


def test_crossings_are_those_of_a_grid_of_1_5_seconds():
    random = np.random.default_rng(1)
    for _ in range(40):
        level = random.uniform(2, 9)
        hair = Hair(level, random.choice(["fine", "medium", "coarse"]))
        mixture = Mixture(random.choice(["cream", "base-break", "powder"]), random.uniform(5, 20))
        end = longest_minutes(mixture, CURVES)
        fine, grid = np.linspace(0, end, round(40 * end) + 1), time_grid(end)
        goal = Lighten(min(level + random.uniform(0.2, 2), 10), warmth=random.uniform(2, 20))
        target = resolve_goal(goal, hair, CURVES)
        found = []
        for minutes in (fine, grid):
            strand = simulate(hair, mixture, minutes, CURVES)
            found.append(first_crossing(minutes, goal_margin(strand, target)))
            found.append(first_crossing(minutes, strand.warmth - target.warmth_limit))
        np.testing.assert_allclose(found[2:], found[:2], atol=0.05)


def test_a_limit_out_of_range_is_refused():
    with pytest.raises(LiftError, match="time limit"):
        time_grid(0.5)
