"""Adaptation to other lights: shapes, what stays, what is refused. Values: tests/published."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.make import adaptation as make_adaptation
from lift.optics.adaptation import adaptation_matrix, colour_temperature, lab_under
from lift.optics.colorimetry import reflectance_to_lab, white
from lift.optics.weights import PREPARED, WAVELENGTHS_NM

RAMP = np.linspace(0.05, 0.6, WAVELENGTHS_NM.size)


def test_daylight_is_left_alone():
    np.testing.assert_array_equal(adaptation_matrix("D65"), np.eye(3))
    np.testing.assert_allclose(lab_under(RAMP, "D65"), reflectance_to_lab(RAMP), atol=1e-12)


@pytest.mark.parametrize("light", PREPARED)
def test_white_stays_white_and_grey_stays_grey(light):
    np.testing.assert_allclose(adaptation_matrix(light) @ white(light), white("D65"), rtol=1e-9)
    np.testing.assert_allclose(lab_under(np.ones(81), light), [100.0, 0.0, 0.0], atol=1e-6)
    grey = lab_under(np.full(81, 0.2), light)
    np.testing.assert_allclose(grey[1:], 0.0, atol=1e-6)
    assert grey[0] == pytest.approx(reflectance_to_lab(np.full(81, 0.2))[0], abs=1e-6)


def test_broadcasting():
    many = np.stack([RAMP, RAMP[::-1], np.full(81, 0.3)]).reshape(3, 1, 81) * np.ones((2, 1))
    found = lab_under(many, "A")
    assert found.shape == (3, 2, 3)
    np.testing.assert_allclose(found[1, 1], lab_under(RAMP[::-1], "A"))


def test_units_fraction_not_percent():
    """Twice the reflectance is less than twice the lightness, and never the same colour."""
    assert lab_under(2.0 * RAMP, "A")[0] > lab_under(RAMP, "A")[0]


def test_nan_gives_nan_and_infinity_is_refused():
    assert np.isnan(lab_under(np.full(81, np.nan), "A")).all()
    with pytest.raises(LiftError, match="infinite"):
        lab_under(np.full(81, np.inf), "A")


@pytest.mark.parametrize(
    "ask", [adaptation_matrix, colour_temperature, lambda n: lab_under(RAMP, n)]
)
def test_unknown_light_suggests_the_nearest(ask):
    with pytest.raises(LiftError, match="did you mean LED-B"):
        ask("LED-BH2")


def test_made_anew_equals_shipped(tmp_path):
    make_adaptation.main(tmp_path)
    for ending in ("csv", "toml"):
        made = (tmp_path / f"adaptation.{ending}").read_text("utf-8").splitlines()
        shipped = (make_adaptation.DATA / f"adaptation.{ending}").read_text("utf-8").splitlines()
        # The source line names the version of colour-science in use.
        made, shipped = ([x for x in t if not x.startswith("source")] for t in (made, shipped))
        assert made == shipped
