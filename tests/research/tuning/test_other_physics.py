"""Bands for strands that nobody measured, tuned to swatches of another and of the right physics.

Laboratories and strands are invented; see `other_physics`.
"""

import numpy as np
import other_physics
import pytest

from lift import LiftError
from lift.research.tuning.band_check import check_bands
from lift.research.tuning.findings import beyond_scatter, findings

pytestmark = [pytest.mark.slow, pytest.mark.no_cover]

SEED = 7


def of_another_physics(random):
    table = other_physics.laboratory(12, random)

    def strand(judged, kind, volume, minutes, random):
        level = judged + other_physics.LEVEL_SD * random.standard_normal()
        rate = np.exp(other_physics.RATE_SD * random.standard_normal())
        return other_physics.colour(level, kind, volume, minutes, rate)

    return table, strand


def test_bands_hold_strands_of_another_physics():
    """Asked are 85 to 95 %; a few laboratories may by chance lie some of their errors outside."""
    tunings = []
    found = check_bands(of_another_physics, 5, seed=SEED, told=tunings.append)
    assert found.converged.all()
    off = np.maximum(0.85 - found.coverage, found.coverage - 0.95)
    assert np.all(off < 3.0 * found.standard_error), found.coverage
    assert all(map(beyond_scatter, tunings))
    assert any("The model misses" in str(said) for said in findings(tunings[0]))


def test_bands_of_the_right_physics_are_not_too_wide():
    tunings = []
    found = check_bands(laboratories=5, seed=SEED, told=tunings.append)
    assert np.all(found.coverage < 0.97), found.coverage
    assert np.all(found.coverage + 3.0 * found.standard_error > 0.9), found.coverage
    assert not any(map(beyond_scatter, tunings))


def test_laboratories_are_independent_and_the_same_seed_gives_the_same():
    measured = []

    def invent(random):
        table, _ = of_another_physics(random)
        measured.append(table.lab)
        raise LiftError("swatches.no_rows")

    for _ in range(2):
        with pytest.raises(LiftError):
            check_bands(invent, 2, seed=3)
    np.testing.assert_array_equal(*measured)
    with pytest.raises(LiftError, match="outside"):
        check_bands(invent, 1)
