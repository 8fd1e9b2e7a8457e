"""Dye bands: what is published near them, and what hangs on where they lie."""

from dataclasses import replace

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.strand import strand_lab
from lift.optics.dyes import dye_band
from lift.practice.stage_table import stage_table
from lift.practice.toning.tone_report import underpigment_state
from lift.reference import load
from lift.research.evidence.bands import LEVELS, band_rows, band_sensitivity, near_bands

CURVES = default_curves()


@pytest.fixture(scope="module")
def found():
    return band_sensitivity(CURVES)


def case(found, band="", by=0.0, wider=0.0):
    (it,) = (c for c in found.cases if (c.band, c.by_nm, c.wider_nm) == (band, by, wider))
    return it


def test_as_shipped_it_is_the_table_of_stages(found):
    table = stage_table(CURVES)
    rows = np.searchsorted(table.levels, LEVELS)
    shipped = case(found).answer
    np.testing.assert_allclose(shipped.alone.residual, table.wheel_and_dye.alone.residual[rows])
    np.testing.assert_allclose(shipped.best.doses, table.wheel_and_dye.best.doses[rows])


def test_a_band_may_be_given_itself_and_moves_the_colour():
    hair, band = underpigment_state(8.0, CURVES), dye_band("violet")
    by_name = strand_lab(hair, CURVES.values, tone={"violet": 5.0})
    np.testing.assert_array_equal(strand_lab(hair, CURVES.values, tone={band: 5.0}), by_name)
    redder = replace(band, centres_nm=(569.0,))
    assert strand_lab(hair, CURVES.values, tone={redder: 5.0})[1] < by_name[1] - 0.5


def test_a_band_that_no_answer_uses_moves_nothing_else(found):
    for by in (-15.0, 15.0):
        moved = case(found, "blue-green", by).answer
        assert all(moved[i].told == case(found).answer[i].told for i in range(len(LEVELS)))


def test_the_wheel_s_violet_would_do_on_palest_yellow_if_its_band_lay_redder(found):
    """The one verdict that hangs on 15 nm: nearer to 570 nm violet no longer leaves it red."""
    palest = LEVELS.index(10.0)
    assert found.verdicts[0][palest] == "differ"
    assert case(found, "violet", 15.0).answer[palest].verdict == "agree"
    assert case(found, "violet", -15.0).answer.alone.residual[palest, 0] > 3.5
    assert case(found, "", 15.0).answer[palest].verdict == "agree"
    others = [v[palest] for v, c in zip(found.verdicts, found.cases, strict=True)
              if not (c.by_nm > 0.0 and c.band in ("", "violet"))]  # fmt: skip
    assert set(others) == {"differ"}


def test_what_it_comes_to_is_counted(found):
    assert "have the same verdict on the wheel" in str(found.words)
    heads, rows = band_rows(found)
    assert [str(head) for head in heads] == [
        *("Bands", "level 4, green", "level 6, blue", "level 8, violet", "level 10, violet"),
    ]
    assert str(rows[0][0]) == "as shipped"
    assert {str(row[0]) for row in rows} >= {"all 15 nm redder", "violet 15 nm bluer",
                                             "all 10 nm wider"}  # fmt: skip


def test_nearest_maxima_are_those_of_the_tables():
    near = {(each.band.name, each.centre_nm): each for each in near_bands()}
    indo = load("indo_dyes_corbett1973")
    assert near["violet", 554.0].nearest_nm in indo.numbers("centre_nm")
    blue = near["blue", 607.0]
    assert blue.remembered.startswith("1,4-bis")
    assert "from memory" in str(blue.words)
    assert near["green", 430.0].nearest_nm == 442.0
    assert not near["green", 430.0].remembered


def test_too_far_is_refused():
    with pytest.raises(LiftError, match=r"off 60.*1 to 40 nm"):
        band_sensitivity(CURVES, 60.0)
