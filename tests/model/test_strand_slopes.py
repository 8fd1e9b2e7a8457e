"""Slopes of colours against differences of the colours themselves."""

import numpy as np
import pytest

from lift.model.course import Structure
from lift.model.curves import default_curves
from lift.research.swatches.forward import exposure, predict, predict_slopes
from lift.research.swatches.generate import design

STEP = 1e-5


@pytest.mark.parametrize("kinds", [("cream", "powder"), ("base-break", "cream")])
@pytest.mark.parametrize("structure", [Structure(True, True), Structure(False, True)])
def test_slopes_are_those_of_the_colours(kinds, structure):
    """Without and with tone, with and without half-oxidised melanin; two sets of parameters."""
    table = design(8, levels=(1.0, 10.0), kinds=kinds)
    values = {**default_curves().values, "half_oxidised_slope": np.array([0.008, 0.014])}
    random = np.random.default_rng(1)
    starts = np.array(table.level) + random.normal(0.0, 0.5, (2, 8))
    exposed = exposure(table, default_curves().values, structure) * np.ones((2, 1))

    def lab(level=0.0, rate=0.0):
        moved = exposed * np.exp(rate)
        return predict(table, values, starts + level, structure, exposed=moved)

    found = predict_slopes(table, values, starts, structure, exposed=exposed)
    np.testing.assert_allclose(found[0], lab(), atol=2e-4)
    by_level = (lab(level=STEP) - lab(level=-STEP)) / (2.0 * STEP)
    by_rate = (lab(rate=STEP) - lab(rate=-STEP)) / (2.0 * STEP)
    np.testing.assert_allclose(found[1], by_level, atol=2e-3)
    np.testing.assert_allclose(found[2], by_rate, atol=2e-3)
    assert np.abs(by_rate).max() > 10.0
