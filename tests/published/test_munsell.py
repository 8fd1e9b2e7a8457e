"""Names of hue angles against the Munsell renotation."""

import colour
import numpy as np
import pytest
from colour.notation import MUNSELL_COLOURS

from lift.optics.colorimetry import chroma, hue_deg, xyz_to_lab
from lift.optics.hue_names import munsell_hue, munsell_hue_degrees
from lift.reference import load
from lift.tables import read_table

TABLE = load("munsell_hue_angles")
FAMILIES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
NAMES = [f"{number}{family}" for family in FAMILIES for number in ("2.5", "5", "7.5", "10")]


def test_angles():
    found = [munsell_hue_degrees(name) for name in TABLE.words("munsell_hue")]
    np.testing.assert_allclose(found, TABLE.numbers("hue_deg"), atol=1.5)


def renotation():
    """Real colours of the renotation data: hue, value, chroma, CIELAB."""
    rows = [(h, v, c, xyy) for (h, v, c), xyy in MUNSELL_COLOURS["Munsell Colours Real"] if c]
    hues, values, chromas, xyy = zip(*rows, strict=True)
    xyy = np.array(xyy, dtype=float) / [1.0, 1.0, 100.0]
    white = colour.xy_to_XYZ(colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["C"])
    lab = xyz_to_lab(colour.xyY_to_XYZ(xyy), white)
    return np.array(hues), np.array(values), np.array(chromas), lab


def test_real_colours_get_their_name_or_a_neighbour():
    hues, values, chromas, lab = renotation()
    kept = (values >= 3) & (values <= 8) & (chromas >= 4) & (chromas <= 10)
    assert kept.sum() > 900
    named = munsell_hue(hue_deg(lab))
    at = {name: step for step, name in enumerate(NAMES)}
    off = np.array([at[n] - at[h] for n, h in zip(named, hues, strict=True)])
    off = np.abs((off + 20) % 40 - 20)
    assert off[kept].max() <= 1
    assert (off[kept & (values >= 4) & (values <= 7)] == 0).mean() >= 0.9


def test_value_and_chroma_of_the_shipped_table_are_real_colours():
    from lift.make.hues import DATA

    table = read_table(DATA, "munsell_hues")
    hues, values, chromas, lab = renotation()
    for name, value, munsell_chroma, angle in zip(
        table.words("munsell_hue"), *table.numbers("value", "chroma", "hue_deg").T, strict=True
    ):
        row = (hues == name) & (values == value) & (chromas == munsell_chroma)
        assert row.sum() == 1
        assert chroma(lab[row])[0] > 10.0
        # The renotation prints x and y to four decimals, half a unit of which is 0.1 degree here.
        assert hue_deg(lab[row])[0] == pytest.approx(angle, abs=0.1)
