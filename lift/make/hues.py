"""``python -m lift.make.hues``: write lift/data/munsell_hues.csv from the Munsell renotation."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from lift.files import DATA
from lift.optics import adapter
from lift.optics.colorimetry import hue_deg, xyz_to_lab
from lift.tables import write_table

FAMILIES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
# Warm hues are taken as lightened hair shows them, dark when red and light when yellow; the
# hues that answer them as muted dark dyes.
WARM = {"R": (5, 6), "YR": (6, 6), "Y": (8, 6), "GY": (6, 4)}
COOL = (4, 4)
HEAD = """\
title = "CIELAB hue angle of the forty Munsell hues"
source = "Munsell renotation (Newhall, Nickerson & Judd 1943), in colour-science {version}"
read = "computed: made by python -m lift.make.hues"
conditions = "illuminant C, 2 degree observer; value and chroma as the columns say"
sha256 = "{{sha256}}"

[columns]
munsell_hue = {{ meaning = "Munsell hue", unit = "text" }}
value = {{ meaning = "Munsell value the angle was taken at", unit = "-" }}
chroma = {{ meaning = "Munsell chroma the angle was taken at", unit = "-" }}
hue_deg = {{ meaning = "CIELAB hue angle h_ab", unit = "degree" }}
"""


def main(folder: Path = DATA) -> None:
    """Write the table and its descriptor into `folder`."""
    colour = adapter.colour_science()
    illuminant_c = colour.CCS_ILLUMINANTS[adapter.OBSERVERS[2]]["C"]
    white = colour.xy_to_XYZ(illuminant_c)
    rows: list[list[Any]] = [["munsell_hue", "value", "chroma", "hue_deg"]]
    for family in FAMILIES:
        value, chroma = WARM.get(family, COOL)
        for number in ("2.5", "5", "7.5", "10"):
            xyy = colour.munsell_colour_to_xyY(f"{number}{family} {value}/{chroma}")
            angle = hue_deg(xyz_to_lab(colour.xyY_to_XYZ(xyy), white))
            # The renotation prints four decimals of x and y: a hundredth of a degree is ample.
            rows.append([f"{number}{family}", value, chroma, float(np.round(angle, 2))])
    write_table(folder, "munsell_hues", rows, HEAD.format(version=colour.__version__))


if __name__ == "__main__":
    main()
