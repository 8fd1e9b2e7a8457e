"""``python -m lift.make.adaptation``: write lift/data/adaptation.csv from colour-science."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from lift.files import DATA
from lift.optics import adapter
from lift.optics.colorimetry import white
from lift.optics.weights import PREPARED
from lift.tables import write_table

CELLS = tuple(f"{row}_from_{column}" for row in "xyz" for column in "xyz")
HEAD = """\
title = "Complete CAT16 adaptation from each prepared illuminant to D65, 10 degree observer"
source = "Li et al. 2017, Color Res. Appl. 42:703; CCT by Ohno 2013; colour-science {version}"
read = "computed: made by python -m lift.make.adaptation"
conditions = "degree of adaptation 1; XYZ of the 10 degree observer; CCT of the 2 degree one"
sha256 = "{{sha256}}"

[columns]
illuminant = {{ meaning = "CIE illuminant", unit = "text" }}
cct_k = {{ meaning = "correlated colour temperature", unit = "K" }}
"""


def main(folder: Path = DATA) -> None:
    """Write the table and its descriptor into `folder`."""
    text = HEAD.format(version=adapter.colour_science().__version__)
    for cell in CELLS:
        to, _, of = cell.partition("_from_")
        meaning = f"share of {of.upper()} in adapted {to.upper()}"
        text += f'{cell} = {{ meaning = "{meaning}", unit = "-" }}\n'
    rows: list[list[Any]] = [["illuminant", "cct_k", *CELLS]]
    for name in PREPARED:
        # Rounded so that D65 to D65 is the identity itself.
        matrix = adapter.cat16_matrix(white(name), white("D65")).round(12) + 0.0
        kelvin = round(adapter.colour_temperature(white(name, 2)), 1)
        rows.append([name, kelvin, *matrix.ravel().tolist()])
    write_table(folder, "adaptation", rows, text)


if __name__ == "__main__":
    main()
