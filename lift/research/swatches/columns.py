"""Columns of a swatch file, and the reading of single cells.

Conditions take name, unit and range from the quantities of hair and mixture.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.mixtures import mixture_classes
from lift.optics.weights import OBSERVERS, WAVELENGTHS_NM
from lift.practice.trial.observation import SURE, UNSURE
from lift.quantities import LAB as LAB_RANGES
from lift.quantities import MINUTES, Quantity, quantities_of
from lift.words import Note, note

HAIR, MIXTURE = quantities_of(Hair), quantities_of(Mixture)
REPEATS = Quantity("repeats", 1.0, 1000.0, default=1.0, several=True)
INSTRUMENTS = ("instrument", "photograph", "chart")
"""What a colour was measured with; a chart is a photograph with a colour chart in it."""

TEXT = "text"


@dataclass(frozen=True)
class Column:
    """One column: what it holds, in which unit and range, and what an empty cell stands for.

    Parameters
    ----------
    name : str
        Heading; what it holds is ``column.NAME`` in the catalogue.
    unit : str
        A unit of ``text`` means words, ``-`` no unit.
    low, high : float or None
        Allowed closed range of a number.
    empty : Note or None
        What stands for an empty cell or an absent column; None: the cell is required.
    """

    name: str
    unit: str = TEXT
    low: float | None = None
    high: float | None = None
    empty: Note | None = None

    def meaning(self, classes: Iterable[str] | None = None) -> Note:
        """What it holds; `classes` are those of mixture that are known, default the shipped."""
        known: dict[str, Iterable[str]] = {
            "mixture": mixture_classes() if classes is None else classes,
            "fibre": HAIR["fibre_um"].words or (),
            **CHOICES,
        }
        return note(f"column.{self.name}", words=[*known.get(self.name, ())])


def _said(empty: str) -> Note:
    return note("text", text=empty)


def _of(name: str, q: Quantity, empty: str | None = None, unit: str = "") -> Column:
    """Column of a quantity; an empty cell stands for `empty`, a code or a number."""
    if empty is None:
        missing = None
    else:
        missing = note(f"column.{name}.empty") if empty == "said" else _said(empty)
    return Column(name, unit or q.unit or "-", q.low, q.high, missing)


def _word(name: str, empty: str | None = None) -> Column:
    return Column(name, empty=None if empty is None else _said(empty))


def _colour(names: Sequence[str], empty: Note | None = None) -> tuple[Column, ...]:
    ranges = zip(names, LAB_RANGES, strict=True)
    return tuple(Column(n, "CIELAB", low, high, empty) for n, (_, low, high) in ranges)


SD = ("sd_L", "sd_a", "sd_b")
PHOTO = ("photo", "chart", "hair")
"""A photograph that a row's colour is measured in, where its chart lies, and where its hair."""

CHOICES = {
    "geometry": ("d/8 SCI", "d/8 SCE", "45/0"),
    "uv": ("included", "excluded"),
}
"""What may stand in columns of words: geometries of CIE 15:2018, the specular component included
or excluded, and whether the light has its ultraviolet."""

SETTING = ("laboratory", "instrument", "operator", *CHOICES, "backing")
"""Who measured, and how."""

CARRIED = (*SETTING, "tress", "lot", "note")
"""Columns of words that are carried along with their rows."""

OBJECT = "object"
"""Names the object of a CxF file that a row of conditions belongs to."""

START = ("start_L", "start_a", "start_b")
CONDITIONS = (
    _word("swatch"),
    _word("mixture"),
    _of("volume", MIXTURE["volume"]),
    _of("minutes", MINUTES),
    _word("measured_with"),
    _of("level", HAIR["level"], "said"),
    _of("pheomelanin_share", HAIR["pheomelanin_share"], "said"),
    *_colour(START, _said("")),
    _of("developer_parts", MIXTURE["developer_parts"], "said", unit="-"),
    _of("fibre", HAIR["fibre_um"], HAIR["fibre_um"].default_typed),
    _of("temperature_c", MIXTURE["temperature_c"], MIXTURE["temperature_c"].default_typed),
    _of("ph", MIXTURE["ph"], "said"),
    _of("repeats", REPEATS, REPEATS.default_typed),
    _word("illuminant", "D65"),
    Column("observer", "degree", float(min(OBSERVERS)), float(max(OBSERVERS)), _said("10")),
    *(Column(f"sd_{axis}", "CIELAB", SURE, UNSURE, _said("")) for axis in "Lab"),
    *(_word(name, "") for name in PHOTO),
    *(_word(name, "") for name in CARRIED),
)
COLOURS = _colour("Lab")
REFLECTANCE = Column("R400", "fraction")
COLUMNS = (*CONDITIONS, *COLOURS, REFLECTANCE)
REFLECTANCE_RANGE = (0.0, 1.2)
WIDEST_STEP_NM = 20.0

BY_NAME = {c.name: c for c in (*CONDITIONS, *COLOURS)}
OF_THE_SWATCH = ("level", "pheomelanin_share")
"""Columns that say one thing of a swatch, whatever the row."""

REQUIRED = tuple(c.name for c in CONDITIONS if c.empty is None)


GROUPED = re.compile(r"[+-]?[1-9]\d{0,2}(?:,\d{3})+")
"""Numbers in which a comma may part thousands."""


def is_own(name: str, spectrum: Iterable[str]) -> bool:
    """Whether a column is none that lift knows, but the laboratory's own."""
    return name not in (*BY_NAME, OBJECT, *spectrum)


def number(text: str, low: float, high: float, unit: str = "-") -> float:
    """Read one cell.

    Raises
    ------
    LiftError
        When the text is not a number in the closed range; its text is the reason.
    """
    try:
        value = float(text)
    except ValueError:
        if GROUPED.fullmatch(text):
            whole, tenths = text.replace(",", ""), text.replace(",", ".")
            raise LiftError("cell.thousands", whole=whole, decimal=tenths) from None
        comma = re.fullmatch(r"-?\d+,\d+", text)
        raise LiftError("cell.comma" if comma else "cell.no_number") from None
    if not low <= value <= high:
        shown = "" if unit in ("-", TEXT) else note("range.unit", unit=unit)
        raise LiftError("cell.outside", low=low, high=high, unit=shown)
    return value


def in_column(name: str, text: str) -> float:
    """Read one cell of a column that holds numbers."""
    column = BY_NAME[name]
    assert column.low is not None, name
    assert column.high is not None, name
    return number(text, column.low, column.high, column.unit)


def fibre(text: str) -> float:
    """Read a fibre word or diameter [um]."""
    words = HAIR["fibre_um"].words or {}
    if text.casefold() in words:
        return words[text.casefold()]
    try:
        return in_column("fibre", text)
    except LiftError as error:
        raise LiftError("cell.fibre", known=[*words], reason=error.note) from None


def observer(text: str) -> int:
    """Read the observer [degree]."""
    value = in_column("observer", text)
    if value not in OBSERVERS:
        raise LiftError("cell.observer")
    return int(value)


def reflectance_columns(header: Sequence[str]) -> dict[str, float]:
    """Wavelength [nm] of each reflectance column, in rising order."""
    found = {n: float(n[1:]) for n in header if re.fullmatch(r"R\d{3}(\.\d+)?", n)}
    return dict(sorted(found.items(), key=lambda item: item[1]))


def check_wavelengths(wavelength_nm: ArrayLike) -> Floats:
    """Return rising wavelengths [nm], when they reach from 400 to 700 in even, small steps."""
    grid = np.asarray(wavelength_nm, dtype=np.float64)
    if grid.size < 2 or grid[0] > 400.0 or grid[-1] < 700.0:
        raise LiftError("cell.spectrum_span")
    step = np.diff(grid)
    if np.ptp(step) > 1e-6 or step[0] > WIDEST_STEP_NM:
        raise LiftError("cell.spectrum_step", widest=WIDEST_STEP_NM)
    return grid


def resample(wavelength_nm: ArrayLike, reflectance: ArrayLike) -> Floats:
    """Reflectance on the grid of 380 to 780 nm at 5 nm, shape (..., 81).

    Between wavelengths by a cubic spline; beyond them the nearest value, as CIE 15:2018 (7.2.2.1)
    and ASTM E308 say (both from memory).

    Parameters
    ----------
    wavelength_nm : array_like
        Rising [nm], shape (n,); see `check_wavelengths`.
    reflectance : array_like
        Fraction, shape (..., n).
    """
    from scipy.interpolate import CubicSpline

    grid = check_wavelengths(wavelength_nm)
    inside = np.clip(WAVELENGTHS_NM, grid[0], grid[-1])
    return np.asarray(CubicSpline(grid, np.asarray(reflectance, dtype=float), axis=-1)(inside))
