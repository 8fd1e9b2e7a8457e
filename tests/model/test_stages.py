"""Stages and the ladder of underpigment."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.model.stages import STAGE_OF_LEVEL, nearest_stage, stage_names, underpigment_ladder
from lift.model.strand import lightened, natural_pigment, strand_lab
from lift.optics.colorimetry import delta_e_2000

CURVES = default_curves()
LADDER = underpigment_ladder(CURVES)


def test_names_from_dark_to_light_each_once():
    names = stage_names()
    assert names[0] == "red"
    assert names[-1] == "palest yellow"
    assert len(names) == len(set(names)) == 7
    assert set(names) == set(STAGE_OF_LEVEL)


def test_rungs_have_the_lightness_of_their_level():
    natural = natural_path(CURVES).lab_of_level(LADDER.levels)
    np.testing.assert_allclose(LADDER.lab[:, 0], natural[:, 0], atol=5e-3)
    assert np.all(np.diff(LADDER.exposure) > 0.0)
    assert LADDER.levels.tolist() == list(range(1, 11))


def test_rungs_are_one_lightening():
    natural = natural_pigment(0.0, 0.05, CURVES.values)
    along = strand_lab(lightened(natural, LADDER.exposure, CURVES.values), CURVES.values)
    np.testing.assert_allclose(LADDER.lab, along, atol=1e-9)


def test_rungs_can_be_told_apart():
    """Neighbouring stages differ by more than 1 dE00, or naming the nearest means nothing."""
    assert delta_e_2000(LADDER.lab[1:], LADDER.lab[:-1]).min() > 1.0


def test_each_rung_is_its_own_stage():
    assert tuple(nearest_stage(LADDER.lab, CURVES)) == LADDER.stages
    jitter = np.random.default_rng(1).uniform(-0.3, 0.3, (200, 10, 3))
    assert np.all(nearest_stage(LADDER.lab + jitter, CURVES) == np.array(LADDER.stages))


def test_far_colours_still_have_a_nearest_stage():
    assert nearest_stage([5.0, 0.0, 0.0], CURVES) == "red"
    assert nearest_stage([95.0, 0.0, 20.0], CURVES) == "palest yellow"


def test_broadcasting():
    assert isinstance(nearest_stage([40.0, 18.0, 30.0], CURVES), str)
    assert nearest_stage(np.full((2, 4, 3), 40.0), CURVES).shape == (2, 4)
    assert nearest_stage(np.empty((0, 3)), CURVES).shape == (0,)


def test_colour_that_is_none_is_refused():
    with pytest.raises(LiftError, match="infinite"):
        nearest_stage([np.inf, 0.0, 0.0], CURVES)
    with pytest.raises(LiftError, match="nan has no stage"):
        nearest_stage([[40.0, 18.0, 30.0], [np.nan, 0.0, 0.0]], CURVES)


def test_ladder_follows_its_curve_set_and_is_read_only():
    other = underpigment_ladder(CURVES.replace(half_oxidised_yield=0.2))
    assert not np.allclose(other.lab, LADDER.lab, atol=0.1)
    with pytest.raises(ValueError, match="read-only"):
        LADDER.lab[0] = 0.0
