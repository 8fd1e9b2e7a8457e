"""Which column a heading means, however a spreadsheet writes it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from lift.errors import LiftError
from lift.research.swatches.cells import folded
from lift.research.swatches.columns import BY_NAME, OBJECT, REFLECTANCE
from lift.words import Note, note

ALIKE = {
    "time": "minutes",
    "sample": "swatch",
    "developer": "volume",
    "temperature": "temperature_c",
    "fiber": "fibre",
    "fibre_um": "fibre",
    **{f"{name}_star": name for name in "Lab"},
    **{f"cie_{name}": name for name in "Lab"},
}
"""Other words for columns, folded as headings are."""

UNITS = {
    "vol": ("vol", "volume", "volumes"),
    "min": ("min", "mins", "minute", "minutes"),
    "C": ("c", "\u00b0c", "deg c", "celsius"),
    "um": ("um", "\u00b5m", "\u03bcm", "micron", "microns", "micrometre"),
    "degree": ("degree", "degrees", "deg", "\u00b0"),
    "CIELAB": ("cielab", "-"),
    "-": ("-", "1", "parts"),
    "fraction": ("fraction", "-", "1", "0-1", "0 to 1"),
}
"""How a column's unit may be written; more than these means another unit."""

LOW_NM, HIGH_NM = 300.0, 900.0
"""Wavelengths that headings may name [nm]: chosen, beyond what instruments give."""

_UNIT = re.compile(r"^(.*?)\s*[\[(]\s*([^\])]*?)\s*[\])]$")
_WAVELENGTH = re.compile(r"^(?:r|refl|reflectance)?[\s_]*(\d{3}(?:[.,]\d+)?)[\s_]*(?:nm)?$")


def column_of(heading: str) -> str | None:
    """Column that a heading means; None where it means none that is known.

    Raises
    ------
    LiftError
        When it names another unit than the column is read in.

    Examples
    --------
    >>> [column_of(h) for h in ("L*", "Time (min)", "Measured with", "550 nm", "weather")]
    ['L', 'minutes', 'measured_with', 'R550', None]
    """
    name, unit = heading.strip(), ""
    if found := _UNIT.match(name):
        name, unit = found[1], found[2].casefold()
    known = _plain(name)
    if known in _FOLDED:
        column = _FOLDED[known]
        wanted = BY_NAME[column].unit if column in BY_NAME else ""
    else:
        found = _WAVELENGTH.match(name.casefold())
        wavelength = float(found[1].replace(",", ".")) if found else 0.0
        if not LOW_NM <= wavelength <= HIGH_NM:
            return None
        column, wanted = f"R{wavelength:g}", REFLECTANCE.unit
    if unit and wanted in UNITS and unit not in UNITS[wanted]:
        raise LiftError("fault.other_unit", unit=unit, wanted=wanted)
    return column


def meant(headings: Iterable[str], columns: Iterable[str]) -> tuple[Note, ...]:
    """What each heading was taken to mean, where it is not the column's own name."""
    pairs = {h: c for h, c in zip(headings, columns, strict=True) if c and h != c}
    waves = {h: c for h, c in pairs.items() if c not in BY_NAME and c != OBJECT}
    named = {h: c for h, c in pairs.items() if h not in waves}
    told = []
    if named:
        said = [note("swatches.meant", heading=h, column=c) for h, c in named.items()]
        told.append(note("swatches.all_meant", said=said))
    if waves:
        first, last = next(iter(waves)), list(waves)[-1]
        told.append(note("swatches.meant_waves", first=first, last=last, count=len(waves)))
    return tuple(told)


def _plain(name: str) -> str:
    return folded(name.replace("*", ""))


_FOLDED = {
    **{_plain(other): column for other, column in ALIKE.items()},
    **{_plain(column): column for column in (*BY_NAME, OBJECT)},
}
