"""Checks against figures that somebody measured."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from scipy.optimize import minimize_scalar

from lift.chemistry.depletion import fit_fade, fit_loss, second_order_left, strength_left
from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.model.strand import natural_pigment, strand_lab
from lift.optics.colorimetry import delta_e_76, delta_e_2000
from lift.optics.pigments import exponential_shape
from lift.reference import load
from lift.research.evidence.checks import Check, check
from lift.tables import Table

TRESS_LIMIT = 1.6
"""dE*ab by which natural hair may miss a tress with its load of pigment free; assumed."""

BLACK_LEVELS = (1.0, 2.0)
"""Natural levels that are called black: common practice (no source)."""

TITRATION = 0.06
"""What a titration of 6 % H2O2 is good to [% H2O2], a hundredth; assumed."""

AS_MIXED = 0.1
"""What the baths were mixed to, 6.0 +- 0.1 [% H2O2]: the same pages."""

FIRST_HOURS = 120.0
"""Part of a bath's course [min] from which the rest is predicted."""


def measured_checks(curves: CurveSet) -> Iterator[Check]:
    """Every comparison with a measured figure, those of toning apart."""
    yield from _tresses_left_out(curves)
    yield from _bath()
    yield from _extinction(curves)
    yield from _tresses_fitted(curves)


def _extinction(curves: CurveSet) -> Iterator[Check]:
    table = load("melanin_extinction")
    wavelength = table.numbers("wavelength_nm")
    for pigment, stated in (("eumelanin", 0.041), ("pheomelanin", 0.114)):
        rows = _rows(table, "pigment", pigment) & (wavelength >= 380.0) & (wavelength <= 790.0)
        measured = np.log(table.numbers("extinction_cm-1_per_mg_per_ml")[rows])
        shape = np.log(exponential_shape(wavelength[rows], curves.values[f"{pigment}_slope"]))
        rms = float(np.std(measured - shape))
        found: dict[str, Any] = {"pigment": pigment, "stated": stated, "rms": rms}
        found["nodes"] = int(rows.sum())
        yield check("extinction", "measured", rms <= stated, fitted=True, **found)


def _tresses_fitted(curves: CurveSet) -> Iterator[Check]:
    names, lab = _tresses()
    black = float(natural_path(curves).lab_of_level(1.0)[0])
    expected = float(lab[names.index("black hair"), 0])
    near = abs(black - expected) <= 0.3
    yield check("black_hair", "measured", near, fitted=True, measured=expected, value=black)
    for row in (i for i, n in enumerate(names) if n.startswith("dark brown")):
        distance = _nearest(lab[row], curves)
        found: dict[str, Any] = {"sample": names[row], "distance": distance, "limit": TRESS_LIMIT}
        yield check("tress", "measured", distance <= TRESS_LIMIT, fitted=True, **found)


def _tresses_left_out(curves: CurveSet) -> Iterator[Check]:
    names, lab = _tresses()
    apertures = load("hair_colour_apertures")
    read = apertures.numbers("L", "a", "b")
    moved = _rows(apertures, "moved", "yes")
    # Twice what moving a tress makes of its colour: the largest standard deviation printed.
    scatter = apertures.numbers("sd_L", "sd_a", "sd_b")[moved]
    limit = 2.0 * float(np.max(delta_e_2000(read[moved], read[moved] + scatter)))
    black = lab[next(i for i, n in enumerate(names) if n.startswith("black hair B3"))]
    levels = np.linspace(*BLACK_LEVELS, 101)
    off = delta_e_2000(natural_path(curves).lab_of_level(levels), black)
    ends: dict[str, Any] = {"low": BLACK_LEVELS[0], "high": BLACK_LEVELS[1]}
    ends |= dict(zip("Lab", black.tolist(), strict=True)) | {"limit": limit}
    ends |= {"least": off.min(), "level": levels[np.argmin(off)]}
    ends["by_lightness"] = float(natural_path(curves).level_of_lightness(black[0]))
    yield check("black_tress", "measured", off.min() <= limit, **ends)
    largest = max(_nearest(colour, curves) for colour in read)
    told: dict[str, Any] = {"count": len(read), "largest": largest, "limit": TRESS_LIMIT}
    yield check("apertures", "measured", largest <= TRESS_LIMIT, **told)


def _bath() -> Iterator[Check]:
    table = load("peroxide_bath_loss")
    minutes, percent = table.numbers("minutes", "h2o2_percent").T
    for edta in ("no", "yes"):
        rows = _rows(table, "edta", edta)
        time, seen = minutes[rows], percent[rows]
        loss, start, rms = fit_loss(time, seen)
        fade, first, other = fit_fade(time, seen)
        found: dict[str, Any] = {"edta": edta == "yes", "rms": rms, "exponential": other}
        found["most"] = _largest(start * second_order_left(time, start, loss) - seen)
        found["exponential_most"] = _largest(first * strength_left(time, fade) - seen)
        # With EDTA too little is lost in three hours to tell one law from the other.
        passed = rms <= TITRATION and (edta == "yes" or other >= 2.0 * rms)
        yield check("bath", "measured", passed, fitted=True, limit=TITRATION, loss=loss, **found)
    rows = _rows(table, "edta", "no")
    time, seen = minutes[rows], percent[rows]
    start, late = seen[0], time > FIRST_HOURS
    at = time == FIRST_HOURS
    loss = float((1.0 / seen[at][0] - 1.0 / start) / FIRST_HOURS)
    fade = float(FIRST_HOURS / np.log(start / seen[at][0]))
    second = _largest(start * second_order_left(time[late], start, loss) - seen[late])
    exponential = _largest(start * strength_left(time[late], fade) - seen[late])
    told: dict[str, Any] = {"hours": FIRST_HOURS / 60.0, "most": second}
    told["exponential_most"] = exponential
    passed = second <= AS_MIXED <= exponential
    yield check("bath_later", "measured", passed, limit=AS_MIXED, **told)


def _largest(off: Floats) -> float:
    return float(np.max(np.abs(off)))


def _rows(table: Table, column: str, word: str) -> Any:
    return np.array([each == word for each in table.words(column)])


def _tresses() -> tuple[list[str], Floats]:
    hair = load("hair_colour_measured")
    return list(hair.words("sample")), hair.numbers("L", "a", "b")


def _nearest(lab: Floats, curves: CurveSet) -> float:
    """Least dE*ab of natural hair to a measured tress, with the pigment load free."""
    values = curves.values

    def distance(level: float) -> float:
        pigment = natural_pigment(level, values["pheomelanin_share"], values)
        return float(delta_e_76(strand_lab(pigment, values), lab))

    return float(minimize_scalar(distance, bounds=(0.0, 8.0), method="bounded").fun)
