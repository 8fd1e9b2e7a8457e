"""``python -m lift.make.weights``: write lift/data/colour_weights.csv from colour-science."""

from __future__ import annotations

from pathlib import Path

from lift.files import DATA
from lift.optics import adapter
from lift.optics.weights import HIGH_NM, LOW_NM, OBSERVERS, PREPARED, STEP_NM, WAVELENGTHS_NM
from lift.tables import write_table

HEAD = """\
title = "Factors of the tristimulus weights: colour matching functions and illuminants"
source = "CIE 15:2018 tables, as carried by colour-science {version}"
read = "computed: made by python -m lift.make.weights"
conditions = "380 to 780 nm at 5 nm; weight = illuminant times matching function, scaled to Y 100"
sha256 = "{{sha256}}"

[columns]
wavelength_nm = {{ meaning = "wavelength", unit = "nm" }}
"""


def main(folder: Path = DATA) -> None:
    """Write the table and its descriptor into `folder`."""
    grid = (LOW_NM, HIGH_NM, STEP_NM)
    columns = {"wavelength_nm": WAVELENGTHS_NM}
    text = HEAD.format(version=adapter.colour_science().__version__)
    for observer in OBSERVERS:
        matching = adapter.matching_functions(observer, *grid)
        for index, axis in enumerate("xyz"):
            name = f"{axis}_{observer}"
            columns[name] = matching[:, index]
            text += f'{name} = {{ meaning = "{axis}bar, {observer} degree", unit = "-" }}\n'
    for name in PREPARED:
        columns[name] = adapter.illuminant(name, *grid)
        text += f'{name} = {{ meaning = "power of CIE illuminant {name}", unit = "relative" }}\n'
    cells = zip(*(column.tolist() for column in columns.values()), strict=True)
    write_table(folder, "colour_weights", [list(columns), *map(list, cells)], text)


if __name__ == "__main__":
    main()
