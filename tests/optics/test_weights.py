"""Tristimulus weights: scale, what is shipped, what comes through the adapter, what is refused."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.make import charts as make_charts
from lift.make import hues as make_hues
from lift.make import weights as make_weights
from lift.optics import adapter
from lift.optics.weights import OBSERVERS, PREPARED, WAVELENGTHS_NM, weights

GRID = (380.0, 780.0, 5.0)


def test_wavelengths():
    assert WAVELENGTHS_NM.shape == (81,)
    assert WAVELENGTHS_NM[[0, 1, -1]].tolist() == [380.0, 385.0, 780.0]
    assert not WAVELENGTHS_NM.flags.writeable


@pytest.mark.parametrize("observer", OBSERVERS)
@pytest.mark.parametrize("illuminant", [*PREPARED, "FL2", "C"])
def test_scale_and_shape(illuminant, observer):
    found = weights(illuminant, observer)
    assert found.shape == (81, 3)
    assert found.dtype == np.float64
    assert found[:, 1].sum() == pytest.approx(100.0, abs=1e-12)
    assert (found >= 0.0).all()
    assert not found.flags.writeable


@pytest.mark.parametrize("observer", OBSERVERS)
@pytest.mark.parametrize("illuminant", PREPARED)
def test_shipped_equals_colour_science(illuminant, observer):
    product = adapter.illuminant(illuminant, *GRID)[:, np.newaxis]
    product = product * adapter.matching_functions(observer, *GRID)
    expected = product * (100.0 / product[:, 1].sum())
    np.testing.assert_array_equal(weights(illuminant, observer), expected)


@pytest.mark.parametrize(
    ("script", "name"),
    [
        (make_weights, "colour_weights"),
        (make_hues, "munsell_hues"),
        (make_charts, "chart_patches"),
    ],
)
def test_made_anew_equals_shipped(script, name, tmp_path):
    script.main(tmp_path)
    for ending in ("csv", "toml"):
        made = (tmp_path / f"{name}.{ending}").read_text("utf-8").splitlines()
        shipped = (script.DATA / f"{name}.{ending}").read_text("utf-8").splitlines()
        # The source line names the version of colour-science in use; the numbers must not differ.
        made, shipped = (
            [x for x in text if not x.startswith("source")] for text in (made, shipped)
        )
        assert made == shipped
    assert not list(tmp_path.glob("*.part"))


def test_default_is_d65_with_the_10_degree_observer():
    np.testing.assert_array_equal(weights(), weights("D65", 10))


def test_unknown_illuminant_suggests_the_nearest():
    with pytest.raises(LiftError, match="illuminant 'D66' is not known; did you mean D65"):
        weights("D66")


def test_illuminant_that_does_not_cover_the_range():
    with pytest.raises(LiftError, match=r"from 350 to 690 nm every 10 nm; needed: 380 to 780 nm"):
        weights("ISO 7589 Photoflood")


@pytest.mark.parametrize("observer", [0, 5, "10"])
def test_unknown_observer(observer):
    with pytest.raises(LiftError, match=r"observer .* is not one of 2, 10 degrees"):
        weights("D65", observer)
