"""Dye bands: absorbers that a tone adds to the hair's own."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_choice, check_number
from lift.files import DATA
from lift.words import note

DOSE_UNIT = 0.01
"""Absorption per fibre radius that one unit of dose adds at a band's peak."""

MAX_DOSE = 60.0


@dataclass(frozen=True)
class DyeBand:
    """One dye: Gaussian bands in wavelength.

    Parameters
    ----------
    name : str
        The painter's name of the dye's own colour.
    centres_nm, widths_nm, heights : tuple of float
        Centre [nm] 380 to 780, standard deviation [nm] 5 to 150 and relative height 0 to 1 of
        each band.
    status, source : str
        Whether the centre is published or assumed, and where it comes from.
    """

    name: str
    centres_nm: tuple[float, ...]
    widths_nm: tuple[float, ...]
    heights: tuple[float, ...]
    status: str
    source: str

    def __post_init__(self) -> None:
        if not len(self.centres_nm) == len(self.widths_nm) == len(self.heights) > 0:
            raise LiftError("dye.bands", dye=self.name)
        for what, values, low, high, unit in (
            ("centre", self.centres_nm, 380.0, 780.0, "nm"),
            ("width", self.widths_nm, 5.0, 150.0, "nm"),
            ("height", self.heights, 0.0, 1.0, ""),
        ):
            for value in values:
                check_number(note(f"dye.{what}", dye=self.name), value, low, high, unit)

    def absorption(self, wavelength_nm: ArrayLike) -> Floats:
        """Absorption per fibre radius of one unit of dose, shape (n,)."""
        wavelength = np.asarray(wavelength_nm, dtype=np.float64)[:, None]
        shape = np.exp(
            -0.5 * ((wavelength - np.array(self.centres_nm)) / np.array(self.widths_nm)) ** 2
        )
        return np.asarray(DOSE_UNIT * (shape @ np.array(self.heights)))


@cache
def palette() -> Mapping[str, DyeBand]:
    """The shipped dye bands by name, read from ``lift/data/dye_bands.toml``."""
    table = tomllib.loads((DATA / "dye_bands.toml").read_text("utf-8"))
    return MappingProxyType(
        {
            name: DyeBand(
                name,
                tuple(row["centres_nm"]),
                tuple(row["widths_nm"]),
                tuple(row["heights"]),
                row["status"],
                row["source"],
            )
            for name, row in table.items()
        }
    )


def dye_band(name: str) -> DyeBand:
    """Return a shipped dye band; an unknown name is refused with the nearest one."""
    return palette()[check_choice("mixture.dye", name, palette())]


def add_doses(tone: Mapping[Any, Any], more: Mapping[Any, Any]) -> dict[Any, Any]:
    """Doses of two tones in the same hair, by dye; numbers or arrays that broadcast.

    Examples
    --------
    >>> add_doses({"violet": 1.0}, {"violet": 0.5, "blue": 2.0})
    {'violet': 1.5, 'blue': 2.0}
    """
    return {dye: tone.get(dye, 0.0) + more.get(dye, 0.0) for dye in {**tone, **more}}
