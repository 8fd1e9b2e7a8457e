"""Checks against figures that somebody measured."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from scipy.optimize import minimize_scalar

from lift.chemistry.depletion import fit_fade, fit_loss, strength_left
from lift.chemistry.strength import volume_to_molar, volume_to_percent
from lift.errors import Floats
from lift.model.course import Conditions, Structure, exposure
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
    yield from _bath(curves)
    yield _loss(curves)
    yield _uptake(curves)
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


def _bath(curves: CurveSet) -> Iterator[Check]:
    """Whether strength falls as the model has it, an exponential being the other candidate."""
    for edta in ("no", "yes"):
        time, seen = _one_bath(edta)
        loss, start, _ = fit_loss(time, seen)
        fade, first, other = fit_fade(time, seen)
        found: dict[str, Any] = {"edta": edta == "yes", "exponential": other}
        off = strength_of_bath(time, start, loss, curves) - seen
        found |= {"rms": float(np.sqrt(np.mean(off**2))), "most": _largest(off)}
        found["exponential_most"] = _largest(first * strength_left(time, fade) - seen)
        # With EDTA too little is lost in three hours to tell one law from the other.
        told_apart = edta == "yes" or other >= 2.0 * found["rms"]
        passed = found["rms"] <= TITRATION and told_apart
        yield check("bath", "measured", passed, fitted=True, limit=TITRATION, loss=loss, **found)
    time, seen = _one_bath("no")
    start, late = seen[0], time > FIRST_HOURS
    at = time == FIRST_HOURS
    loss = float((1.0 / seen[at][0] - 1.0 / start) / FIRST_HOURS)
    fade = float(FIRST_HOURS / np.log(start / seen[at][0]))
    second = _largest(strength_of_bath(time[late], start, loss, curves) - seen[late])
    exponential = _largest(start * strength_left(time[late], fade) - seen[late])
    told: dict[str, Any] = {"hours": FIRST_HOURS / 60.0, "most": second}
    told["exponential_most"] = exponential
    passed = second <= AS_MIXED <= exponential
    yield check("bath_later", "measured", passed, limit=AS_MIXED, **told)


def strength_of_bath(minutes: Floats, start: float, loss: float, curves: CurveSet) -> Floats:
    """Strength left in a bath that does not dry by the model's own law [% H2O2].

    Parameters
    ----------
    minutes : numpy.ndarray
        Times [min], shape (n,).
    start : float
        Strength at the start [% H2O2].
    loss : float
        Constant of the loss [1/(% min)].
    curves : CurveSet
        Curve set, its own constant and drying apart.
    """
    volume = start / float(volume_to_percent(1.0))
    per_molar = start / float(volume_to_molar(volume))
    values = {**curves.values, "peroxide_loss": loss * per_molar}
    moments = np.concatenate([[0.0], minutes])[:, None] + np.array([0.0, 1e-3])
    bath = Conditions(
        minutes=moments,
        on_head_volume=volume,
        ph=curves.values["cream_ph"],
        boost=1.0,
        temperature_c=curves.values["reference_temperature"],
        fibre_um=curves.values["reference_fibre"],
        film_ratio=1e9,
        structure=Structure(uptake=False),
    )
    # What reacts in a moment is in proportion to what is there.
    reacted = np.diff(exposure(bath, values), axis=-1)[:, 0]
    return np.asarray(start * reacted[1:] / reacted[0])


def _loss(curves: CurveSet) -> Check:
    """The constant of a mixture lies between those of a bath with EDTA and one without."""
    ends = []
    for edta in ("yes", "no"):
        constant, start, _ = fit_loss(*_one_bath(edta))
        volume = start / float(volume_to_percent(1.0))
        ends.append(constant * start / float(volume_to_molar(volume)))
    got = float(curves.values["peroxide_loss"])
    found = {"low": ends[0], "high": ends[1], "got_loss": got}
    return check("loss", "measured", ends[0] <= got <= ends[1], fitted=True, **found)


def _uptake(curves: CurveSet) -> Check:
    """Peroxide is read off the line of (D in hair / D in water)^1/2 through two dyes."""
    table = load("diffusion_in_hair")
    columns = ("radius_angstrom", "d_hair_cm2_per_s", "d_water_cm2_per_s")
    radius, hair, water = table.numbers(*columns).T
    read = _rows(table, "status", "read")
    line = np.polyfit(radius[read], np.sqrt(hair / water)[read], 1)
    derived = float((np.polyval(line, radius[~read]) ** 2 * water[~read])[0])
    fibre = float(curves.values["reference_fibre"])
    expected = (fibre * 0.5e-4) ** 2 / derived / 60.0
    got = 1.0 / float(curves.values["uptake_rate"])
    found = {"fibre": fibre, "minutes": expected, "got_minutes": got}
    found["swollen"] = got / float(curves.values["swelling_gain"])
    return check("uptake", "measured", abs(got / expected - 1.0) <= 0.1, fitted=True, **found)


def _one_bath(edta: str) -> tuple[Floats, Floats]:
    table = load("peroxide_bath_loss")
    minutes, percent = table.numbers("minutes", "h2o2_percent")[_rows(table, "edta", edta)].T
    return minutes, percent


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
