"""Partial neutralising: what less than the whole answer buys."""

import numpy as np
import pytest

from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.model.strand import strand_lab
from lift.optics.colorimetry import delta_e_2000
from lift.practice.toning.neutralise import neutralise
from lift.practice.toning.partial import KNEE, partial
from lift.practice.toning.tone_report import underpigment_state

CURVES = default_curves()
FOUND = {n: partial(neutralise(underpigment_state(float(n), CURVES))) for n in (4, 6, 8, 10)}


@pytest.mark.parametrize("level", FOUND)
def test_more_darkening_never_leaves_more(level):
    found = FOUND[level]
    assert np.all(np.diff(found.left) <= 1e-9)
    assert found.darker[0] == pytest.approx(0.0, abs=1e-9)
    whole = neutralise(underpigment_state(float(level), CURVES))
    assert found.darker[-1] <= whole.lightness_lost + 1e-6
    assert found.left[-1] <= whole.residual + 0.1


@pytest.mark.parametrize("level", FOUND)
def test_every_point_is_what_its_doses_do(level):
    found, path = FOUND[level], natural_path(CURVES)
    pigment = underpigment_state(float(level), CURVES)
    for place in (5, 20, 40):
        lab = strand_lab(pigment, CURVES.values, tone=found.doses[place])
        assert delta_e_2000(lab, path.lab_of_lightness(lab[0])) == pytest.approx(
            found.left[place], abs=1e-6
        )
        assert float(path.warmth(lab)) == pytest.approx(found.warmth[place], abs=1e-6)


def test_there_is_a_knee_in_deep_hair_and_none_in_light_hair():
    """In deep hair the wheel's green takes most of it for little; in light hair none does."""
    assert {n: found.knee is not None for n, found in FOUND.items()} == {
        4: True, 6: False, 8: False, 10: False,
    }  # fmt: skip
    deep = FOUND[4]
    assert deep.gone[deep.knee] - deep.darker[deep.knee] / deep.darker[-1] >= KNEE
    assert set(deep.doses[deep.knee]) <= {"green", "blue-green"}
    assert "takes 70 % of what is too much for 2.0 of 7.0 L*" in str(deep.short)


@pytest.mark.parametrize("level", FOUND)
def test_enough_is_the_first_that_passes_for_natural(level):
    found = FOUND[level]
    assert found.warmth[found.enough] <= found.allowance < found.warmth[found.enough - 1]


def test_no_part_of_what_is_not_toned_or_of_a_colour():
    assert partial(neutralise(underpigment_state(1.0, CURVES))) is None
    assert partial(neutralise(underpigment_state(8.0, CURVES), (50.0, 6.0, 18.0))) is None
