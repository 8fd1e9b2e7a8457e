"""``python -m lift.make.charts``: write lift/data/chart_patches.csv from colour-science."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from lift.files import DATA
from lift.optics import adapter
from lift.optics.weights import WAVELENGTHS_NM
from lift.photo.editions import EDITIONS, PATCHES
from lift.tables import write_table

KEYS = {"ohta": "cc_ohta", "average": "babel_average"}
"""Names of the editions in colour-science."""

HEAD = """\
title = "Spectral reflectance of the 24 patches of the classic colour chart, by edition"
source = "measured charts, as carried by colour-science {version}"
read = "computed: made by python -m lift.make.charts"
conditions = "380 to 780 nm at 5 nm; between and past what was measured, linear and constant"
sha256 = "{{sha256}}"

[columns]
wavelength_nm = {{ meaning = "wavelength", unit = "nm" }}
"""


def main(folder: Path = DATA) -> None:
    """Write the table and its descriptor into `folder`."""
    colour = adapter.colour_science()
    columns = {"wavelength_nm": WAVELENGTHS_NM}
    text = HEAD.format(version=colour.__version__)
    for edition in EDITIONS:
        spectra = colour.SDS_COLOURCHECKERS[KEYS[edition]].values()
        for number, (name, spectrum) in enumerate(zip(PATCHES, spectra, strict=True), 1):
            column = f"{edition}_{number}"
            found = np.interp(WAVELENGTHS_NM, spectrum.wavelengths, spectrum.values)
            columns[column] = found.round(5)
            text += f'{column} = {{ meaning = "reflectance of patch {name}", unit = "-" }}\n'
    cells = zip(*(column.tolist() for column in columns.values()), strict=True)
    write_table(folder, "chart_patches", [list(columns), *map(list, cells)], text)


if __name__ == "__main__":
    main()
