"""Colours of measured spectra against colour-science's ASTM E308 at the same wavelengths."""

import colour
import numpy as np
import pytest

from lift.optics.colorimetry import delta_e_2000, reflectance_to_lab, white, xyz_to_lab
from lift.reference import load
from lift.research.swatches.columns import resample


def hair(wavelengths):
    """Hair by the published extinction of eumelanin, thin to thick, through a fibre mass."""
    table = load("melanin_extinction")
    own = np.array(table.words("pigment")) == "eumelanin"
    at, extinction = table.numbers("wavelength_nm", "extinction_cm-1_per_mg_per_ml")[own].T
    order = np.argsort(at)
    shape = np.interp(wavelengths, at[order], extinction[order])
    return 0.025 + 0.975 * np.exp(-np.outer([0.3, 1.0, 2.0], np.sqrt(shape / shape.mean())))


# It says that it trims its tables to the practice range of ASTM E308, 360 to 780 nm.
@pytest.mark.filterwarnings("ignore::colour.utilities.ColourRuntimeWarning")
@pytest.mark.parametrize("step", [10, 20])
def test_400_to_700(step):
    wavelengths = np.arange(400, 701, step)
    observer = colour.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"]
    light = colour.SDS_ILLUMINANTS["D65"].copy().align(observer.shape)
    reflectances = hair(wavelengths)
    lab = reflectance_to_lab(resample(wavelengths, reflectances))
    for own, reflectance in zip(lab, reflectances, strict=True):
        spectrum = colour.SpectralDistribution(reflectance, wavelengths)
        xyz = colour.sd_to_XYZ(spectrum, observer, light, method="ASTM E308")
        assert delta_e_2000(own, xyz_to_lab(xyz, white())) < 0.02
