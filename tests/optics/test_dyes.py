"""Dye bands."""

from dataclasses import FrozenInstanceError, replace

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.parameter import STATUSES
from lift.optics.dyes import DOSE_UNIT, DyeBand, dye_band, palette

BAND = DyeBand("violet", (554.0,), (45.0,), (1.0,), "assumed", "nobody")


def test_one_unit_of_dose_adds_0_01_at_the_peak():
    assert DOSE_UNIT == 0.01
    assert BAND.absorption([554.0]) == pytest.approx(0.01)
    # One standard deviation away, e^-1/2 of it; two away, e^-2.
    expected = 0.01 * np.exp([-0.5, -2.0])
    np.testing.assert_allclose(BAND.absorption([599.0, 644.0]), expected)
    np.testing.assert_allclose(BAND.absorption([509.0, 464.0]), expected)


def test_bands_add_up():
    two = DyeBand("green", (672.0, 430.0), (45.0, 40.0), (1.0, 0.6), "assumed", "nobody")
    nm = np.linspace(380.0, 780.0, 41)
    first = replace(BAND, centres_nm=(672.0,)).absorption(nm)
    second = replace(BAND, centres_nm=(430.0,), widths_nm=(40.0,), heights=(0.6,)).absorption(nm)
    np.testing.assert_allclose(two.absorption(nm), first + second)
    assert two.absorption(nm).shape == (41,)
    assert np.isnan(two.absorption([np.nan, 500.0])).tolist() == [True, False]
    assert two.absorption([np.inf]) == 0.0


@pytest.mark.parametrize("name", palette())
def test_shipped_dyes(name):
    dye = dye_band(name)
    assert dye.name == name
    assert dye.status in STATUSES
    assert len(dye.source) > 10
    assert max(dye.heights) == 1.0
    nm = np.linspace(380.0, 780.0, 401)
    strongest = dye.centres_nm[int(np.argmax(dye.heights))]
    assert nm[np.argmax(dye.absorption(nm))] == pytest.approx(strongest, abs=1.0)


def test_centres_that_were_read_are_as_published():
    """Corbett 1973, Table V: an indoaniline at 554 nm, an indamine at 672 nm."""
    assert dye_band("violet").centres_nm == (554.0,)
    assert dye_band("blue-green").centres_nm == (672.0,)
    assert {n for n in palette() if dye_band(n).status == "published"} == {"violet", "blue-green"}


def test_dyes_absorb_where_a_dye_of_that_colour_does():
    """A paint absorbs its complement: violet most in the yellow-green, blue in the orange."""
    nm = np.linspace(380.0, 780.0, 401)
    peak = {name: nm[np.argmax(dye_band(name).absorption(nm))] for name in palette()}
    assert 540 < peak["violet"] < peak["blue-violet"] < peak["blue"] < peak["blue-green"] < 700


def test_palette_is_read_only_and_suggests():
    with pytest.raises(TypeError):
        palette()["violet"] = BAND
    with pytest.raises(FrozenInstanceError):
        dye_band("violet").name = "blue"
    with pytest.raises(LiftError, match=r"dye 'violett' is not one of .*did you mean violet"):
        dye_band("violett")


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("centres_nm", (379.0,), "dye violet centre 379 nm is outside 380 to 780 nm"),
        ("centres_nm", (np.nan,), "dye violet centre nan"),
        ("widths_nm", (4.0,), "dye violet width 4 nm is outside 5 to 150 nm"),
        ("widths_nm", (np.inf,), "dye violet width inf"),
        ("heights", (1.1,), "dye violet height 1.1 is outside 0 to 1"),
        ("heights", (1.0, 0.5), "differ in number"),
    ],
)
def test_bad_bands(field, value, message):
    with pytest.raises(LiftError, match=message):
        replace(BAND, **{field: value})
    with pytest.raises(LiftError, match="differ in number"):
        DyeBand("none", (), (), (), "assumed", "nobody")
