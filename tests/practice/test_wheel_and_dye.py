"""The wheel held against every dye: what the optics bear out of it, and what they do not."""

import numpy as np
import pytest

from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.model.strand import strand_lab
from lift.optics.colorimetry import delta_e_2000
from lift.practice.dose_search import best_doses, residual_to
from lift.practice.stage_table import stage_table
from lift.practice.wheel_and_dye import VERDICTS, wheel_and_dye

CURVES = default_curves()
TABLE = stage_table(CURVES).wheel_and_dye
LEVELS = range(1, 11)


@pytest.mark.parametrize("level", LEVELS)
def test_what_each_dye_leaves_is_what_the_hair_shows(level):
    """Every figure is counted again from a strand toned with that dose alone."""
    found = TABLE[level - 1]
    pigment = underpigment_ladder(CURVES).pigment.map(lambda p: p[level - 1])
    bare, path = strand_lab(pigment, CURVES.values), natural_path(CURVES)
    for place, dye in enumerate(found.dyes):
        toned = strand_lab(pigment, CURVES.values, tone={dye: found.alone.doses[place]})
        left = delta_e_2000(toned, path.lab_of_lightness(toned[0]))
        assert found.alone.residual[place] == pytest.approx(left, abs=1e-6)
        assert found.darker[place] == pytest.approx(bare[0] - toned[0], abs=1e-6)


def test_an_array_of_strands_is_what_each_is_alone():
    pigment = underpigment_ladder(CURVES).pigment.map(lambda p: p[5])
    alone, among = wheel_and_dye(pigment, CURVES), TABLE[5]
    assert alone.told == among.told
    assert alone.verdict == among.verdict
    np.testing.assert_allclose(alone.alone.residual, among.alone.residual, atol=1e-6)


def test_the_wheel_is_right_in_deep_hair_and_in_between_and_wrong_where_it_is_most_quoted():
    """Green answers red; blue does not answer orange, nor a 554 nm violet yellow."""
    verdicts = [TABLE[level - 1].verdict for level in LEVELS]
    assert set(verdicts) <= set(VERDICTS)
    assert verdicts == [
        *("none", "as_well", "as_well", "differ", "differ", "differ", "agree"),
        *("differ", "differ", "differ"),
    ]


@pytest.mark.parametrize("level", LEVELS)
def test_a_reason_says_to_which_side_the_wheels_dye_leaves_the_hair(level):
    found = TABLE[level - 1]
    if found.verdict != "differ":
        assert found.reason == ""
        assert found.why is None
        return
    assert found.reason == ("greens" if level < 8 else "reddens")
    # Taken until no warmth is left, it is far from natural on that side of it.
    pigment = underpigment_ladder(CURVES).pigment.map(lambda p: p[level - 1])
    doses = np.linspace(0.0, 60.0, 241)
    lab = strand_lab(pigment, CURVES.values, tone={str(found.direction.wheel): doses})
    path = natural_path(CURVES)
    gone = int(np.argmin(np.abs(path.warmth(lab))))
    beside = lab[gone] - path.lab_of_lightness(lab[gone, 0])
    assert (beside[1] < -1.0) if found.reason == "greens" else (beside[1] > 1.0)


def test_what_was_laid_on_is_told_as_what_does_it():
    pigment = underpigment_ladder(CURVES).pigment.map(lambda p: p[5])
    found = wheel_and_dye(pigment, CURVES, laid={"blue": 5.0})
    assert found.told == ("blue",)
    assert found.verdict == "agree"
    assert float(found.best.residual) > 4.0


def test_a_family_that_is_not_offered_is_said():
    pigment = underpigment_ladder(CURVES).pigment.map(lambda p: p[5])
    found = wheel_and_dye(pigment, CURVES, dyes=("violet", "blue-violet"))
    assert (found.verdict, found.reason, found.place) == ("unsaid", "", None)


def test_one_dye_of_the_search_is_the_best_alone():
    pigment = underpigment_ladder(CURVES).pigment
    one = best_doses(pigment, TABLE.dyes, 1, residual_to(None, CURVES), CURVES.values)
    np.testing.assert_allclose(one.residual, TABLE.alone.best.residual, atol=1e-9)
