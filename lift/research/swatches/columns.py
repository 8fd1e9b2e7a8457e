"""Columns of a swatch file, and the reading of single cells."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError
from lift.model.hair import FIBRE_RANGE, FIBRES_UM, LEVEL_RANGE
from lift.model.mixtures import mixture_classes
from lift.model.trajectory import MINUTES_RANGE
from lift.optics.weights import OBSERVERS, WAVELENGTHS_NM

INSTRUMENTS = ("instrument", "photograph")


@dataclass(frozen=True)
class Column:
    """One column: what it holds, in which unit and range, and what an empty cell stands for.

    Parameters
    ----------
    name, meaning, unit : str
        A unit of ``text`` means words, ``-`` no unit.
    low, high : float
        Allowed closed range of a number.
    empty : str or None
        What stands for an empty cell or an absent column; None: the cell is required.
    """

    name: str
    meaning: str
    unit: str
    low: float = 0.0
    high: float = 0.0
    empty: str | None = None


CONDITIONS = (
    Column("swatch", "name of the swatch: hair of one origin, with one starting pigment", "text"),
    Column("mixture", f"what lay on it: {', '.join(mixture_classes())}", "text"),
    Column("volume", "developer strength", "vol", 0.0, 100.0),
    Column("minutes", "processing time; 0 is the hair before", "min", *MINUTES_RANGE),
    Column("measured_with", "instrument, or photograph", "text"),
    Column("level", "natural level as judged by eye", "-", *LEVEL_RANGE, empty="not judged"),
    Column(
        "start_L", "L* before lightening, as a row of its own at 0 min", "CIELAB", 0.0, 100.0, ""
    ),
    Column("start_a", "a* before lightening", "CIELAB", -100.0, 100.0, ""),
    Column("start_b", "b* before lightening", "CIELAB", -100.0, 120.0, ""),
    Column("developer_parts", "parts of developer to one of product", "-", 0.1, 10.0, "usual"),
    Column("fibre", f"{', '.join(FIBRES_UM)}, or diameter", "um", *FIBRE_RANGE, empty="medium"),
    Column("temperature_c", "temperature of the mixture on the hair", "C", 10.0, 50.0, "30"),
    Column("ph", "pH of the mixture", "-", 2.0, 13.0, "that of the curve set"),
    Column("repeats", "readings averaged in the row", "-", 1.0, 1000.0, "1"),
    Column("illuminant", "of the colours, one for the file", "text", empty="D65"),
    Column("observer", "2 or 10, one for the file", "degree", 2.0, 10.0, empty="10"),
    Column("note", "free words, not used", "text", empty=""),
)
COLOURS = (
    Column("L", "L*", "CIELAB", 0.0, 100.0),
    Column("a", "a*", "CIELAB", -100.0, 100.0),
    Column("b", "b*", "CIELAB", -100.0, 120.0),
)
REFLECTANCE = Column(
    "R400", "reflectance at 400 nm; so on at an even step to 700 or more", "fraction"
)
REFLECTANCE_RANGE = (0.0, 1.2)
WIDEST_STEP_NM = 20.0

BY_NAME = {c.name: c for c in (*CONDITIONS, *COLOURS)}
REQUIRED = tuple(c.name for c in CONDITIONS if c.empty is None)


def number(text: str, low: float, high: float, unit: str = "-") -> float:
    """Read one cell.

    Raises
    ------
    LiftError
        When the text is not a number in the closed range; its text is the reason.
    """
    unit = "" if unit in ("-", "text") else f" {unit}"
    try:
        value = float(text)
    except ValueError:
        comma = "; write decimals with a point" if re.fullmatch(r"-?\d+,\d+", text) else ""
        raise LiftError(f"not a number{comma}") from None
    if not low <= value <= high:
        raise LiftError(f"outside {low:g} to {high:g}{unit}")
    return value


def fibre(text: str) -> float:
    """Read a fibre word or diameter [um]."""
    if text in FIBRES_UM:
        return FIBRES_UM[text]
    try:
        return number(text, *FIBRE_RANGE, "um")
    except LiftError as error:
        raise LiftError(f"neither {', '.join(FIBRES_UM)} nor a diameter: {error}") from None


def observer(text: str) -> int:
    """Read the observer [degree]."""
    value = number(text, 2.0, 10.0, "degrees")
    if value not in OBSERVERS:
        raise LiftError("not 2 or 10 degrees")
    return int(value)


def reflectance_columns(header: Sequence[str]) -> dict[str, float]:
    """Wavelength [nm] of each reflectance column, in rising order."""
    found = {n: float(n[1:]) for n in header if re.fullmatch(r"R\d{3}(\.\d+)?", n)}
    return dict(sorted(found.items(), key=lambda item: item[1]))


def check_wavelengths(wavelength_nm: ArrayLike) -> Floats:
    """Return rising wavelengths when colours can be computed from them.

    Raises
    ------
    LiftError
        When the step is uneven or above 20 nm, or 400 to 700 nm is not covered.
    """
    grid = np.asarray(wavelength_nm, dtype=np.float64)
    if grid.size < 2 or grid[0] > 400.0 or grid[-1] < 700.0:
        raise LiftError("reflectance must cover 400 to 700 nm")
    step = np.diff(grid)
    if np.ptp(step) > 1e-6 or step[0] > WIDEST_STEP_NM:
        raise LiftError(f"reflectance needs an even step of at most {WIDEST_STEP_NM:g} nm")
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
