"""Colorimetry against colour-science on random colours."""

import colour
import numpy as np
import pytest
from colour.colorimetry import sd_to_XYZ_ASTME308
from colour.colorimetry.tristimulus_values import msds_to_XYZ_integration

from lift.optics import colorimetry as cm
from lift.optics.adapter import OBSERVERS
from lift.optics.weights import WAVELENGTHS_NM

SHAPE = colour.SpectralShape(380, 780, 5)
LIGHTS = [("D65", 10), ("D65", 2), ("D50", 2), ("A", 10), ("LED-B3", 10), ("FL11", 2)]


def oracle(illuminant, observer):
    functions = colour.MSDS_CMFS[OBSERVERS[observer]].copy().align(SHAPE)
    return functions, colour.SDS_ILLUMINANTS[illuminant].copy().align(SHAPE)


def smooth_reflectances(count, wavelengths_nm):
    """Random sigmoid edges with a random bump, 0 to 1: as smooth as dyes and pigments are."""
    rng = np.random.default_rng(20)
    low, high, height = rng.uniform(0.02, 0.95, (3, count, 1))
    edge, centre = rng.uniform(400.0, 750.0, (2, count, 1))
    width, spread = rng.uniform(15.0, 80.0, (2, count, 1))
    base = low + (high - low) / (1.0 + np.exp(-(wavelengths_nm - edge) / width))
    bump = np.exp(-(((wavelengths_nm - centre) / spread) ** 2))
    return base + (height - base) * bump


@pytest.mark.parametrize(("illuminant", "observer"), LIGHTS)
def test_xyz_of_random_spectra_by_the_same_summation(illuminant, observer):
    spectra = np.random.default_rng(10).uniform(size=(200, 81))
    expected = msds_to_XYZ_integration(spectra, *oracle(illuminant, observer), shape=SHAPE)
    found = cm.reflectance_to_xyz(spectra, illuminant, observer)
    assert np.abs(found - expected).max() <= 1e-9


# ASTM E308 takes 5 nm data by 5 nm summation, as here; 1 nm data show what 5 nm leaves out, which
# grows with the lines of a lamp.
@pytest.mark.parametrize(
    ("illuminant", "observer", "step_nm", "allowed"),
    [
        *((*light, 5.0, 0.01) for light in LIGHTS),
        *(("D65", 10, 1.0, 0.01), ("D65", 2, 1.0, 0.02), ("D50", 2, 1.0, 0.02)),
        *(("A", 10, 1.0, 0.01), ("LED-B3", 10, 1.0, 0.05), ("FL11", 2, 1.0, 0.1)),
    ],
)
@pytest.mark.filterwarnings("ignore:Aligning:colour.utilities.ColourRuntimeWarning")
def test_colour_of_smooth_reflectances_by_astm_e308(illuminant, observer, step_nm, allowed):
    functions, light = colour.MSDS_CMFS[OBSERVERS[observer]], colour.SDS_ILLUMINANTS[illuminant]
    grid = np.arange(380.0, 780.5, step_nm)

    def e308(values):
        return sd_to_XYZ_ASTME308(colour.SpectralDistribution(values, grid), functions, light)

    xyz = np.array([e308(values) for values in smooth_reflectances(25, grid)])
    expected = cm.xyz_to_lab(xyz, e308(np.ones(grid.size)))
    found = cm.reflectance_to_lab(smooth_reflectances(25, WAVELENGTHS_NM), illuminant, observer)
    assert cm.delta_e_2000(found, expected).max() <= allowed


def test_lab_both_ways():
    xyz = np.random.default_rng(11).uniform(0.0, 95.0, (500, 3))
    white = cm.white("D65", 10)
    x, y, total = white[0], white[1], white.sum()
    expected = colour.XYZ_to_Lab(xyz / 100.0, np.array([x, y]) / total)
    found = cm.xyz_to_lab(xyz, white)
    np.testing.assert_allclose(found, expected, atol=1e-9)
    back = colour.Lab_to_XYZ(found, np.array([x, y]) / total)
    np.testing.assert_allclose(cm.lab_to_xyz(found, white), 100.0 * back, atol=1e-9)


def test_srgb():
    xyz = np.random.default_rng(12).uniform(0.0, 95.0, (2000, 3))
    space = colour.RGB_COLOURSPACES["sRGB"]
    expected = colour.XYZ_to_sRGB(xyz / 100.0, space.whitepoint)
    found, in_gamut = cm.xyz_to_srgb(xyz)
    np.testing.assert_allclose(found, np.clip(expected, 0.0, 1.0), atol=1e-9)
    inside = ((expected >= 0.0) & (expected <= 1.0)).all(axis=-1)
    assert inside.sum() > 100
    assert in_gamut[inside].all()
    outside = ((expected < -0.003) | (expected > 1.003)).any(axis=-1)
    assert not in_gamut[outside].any()


def test_ciede2000():
    rng = np.random.default_rng(13)
    low, high = [0.0, -100.0, -100.0], [100.0, 100.0, 100.0]
    first, second = rng.uniform(low, high, (2, 5000, 3))
    near = first + rng.normal(0.0, 2.0, first.shape)
    for other in (second, near):
        expected = colour.delta_E(first, other, method="CIE 2000")
        np.testing.assert_allclose(cm.delta_e_2000(first, other), expected, atol=1e-9)


def test_hue_and_chroma():
    lab = np.random.default_rng(14).uniform(-80.0, 80.0, (500, 3))
    expected = colour.models.Lab_to_LCHab(lab)
    np.testing.assert_allclose(cm.chroma(lab), expected[:, 1], rtol=1e-12)
    np.testing.assert_allclose(cm.hue_deg(lab), expected[:, 2], rtol=1e-12)
