"""Regenerate ``lift/data/default_curves.toml``: ``python -m lift.make.curves``.

First what published figures fix (melanin shapes, surface, pigment load), then the free rates,
fitted by bounded least squares to the rows of ``reference/trade_practice.csv`` with a weak pull
towards the centre of each parameter's range of belief. One parameter set answers all rows.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from scipy.optimize import brentq, fsolve, least_squares, minimize_scalar

from lift.errors import Floats
from lift.files import DATA
from lift.model.curves import CurveSet, Parameter
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.model.strand import natural_pigment, strand_lab
from lift.model.trajectory import simulate
from lift.optics.colorimetry import delta_e_76, hue_deg
from lift.optics.hue_names import munsell_hue_degrees
from lift.optics.pigments import fit_exponential
from lift.practice.wheel import depth_share
from lift.reference import load

# name: value, unit, low, high, status, source
DECLARED: dict[str, tuple[float, str, float, float, str, str]] = {
    "eumelanin_strength": (
        0.697, "1/radius", 0.3, 1.5, "published",
        "PBRT hair model: absorption per fibre radius, green; scale of one unit of eumelanin",
    ),
    "pheomelanin_strength": (
        0.400, "1/radius", 0.15, 1.0, "published",
        "PBRT hair model: absorption per fibre radius, green; scale of one unit of pheomelanin",
    ),
    "eumelanin_slope": (
        0.0058, "1/nm", 0.004, 0.008, "published",
        "exponential fitted to OMLC extinction (Jacques, after Sarna & Swartz 1988), 380-790 nm",
    ),
    "pheomelanin_slope": (
        0.0091, "1/nm", 0.006, 0.013, "published",
        "exponential fitted to OMLC extinction (Jacques, after Sarna & Swartz 1988), 380-790 nm",
    ),
    "half_oxidised_slope": (
        0.0145, "1/nm", 0.009, 0.022, "calibrated",
        "no published spectrum; steeper than pheomelanin by assumption; fitted to trade practice",
    ),
    "keratin_strength": (
        0.017, "1/radius", 0.0, 0.05, "assumed",
        "unpigmented hair near L* 75 and b* 16 (from memory)",
    ),
    "keratin_slope": (
        0.008, "1/nm", 0.002, 0.02, "assumed",
        "unpigmented hair near L* 75 and b* 16 (from memory)",
    ),
    "azimuthal_roughness": (
        0.3, "-", 0.0, 1.0, "assumed",
        "default roughness of the Chiang et al. 2016 hair model, giving D = 5.8884",
    ),
    "surface_reflectance": (
        0.0248, "-", 0.0, 0.08, "calibrated",
        "L* of the black tress at level 1 (J. Cosmet. Sci. 51 (2000) p. 293, Table IV)",
    ),
    "surface_slope": (
        0.001, "1/nm", 0.0, 0.005, "calibrated",
        "b* of the black tress at level 1 (J. Cosmet. Sci. 51 (2000) p. 293, Table IV)",
    ),
    "melanin_at_level_3": (
        0.85, "-", 0.2, 3.0, "calibrated",
        "least dE*ab to the dark-brown tress at level 3 (J. Cosmet. Sci. 51 (2000), Table III)",
    ),
    "level_ratio": (
        0.41, "1/level", 0.2, 0.7, "common practice",
        "twice the strength gives about twice the levels: common practice (no source)",
    ),
    "pheomelanin_share": (
        0.05, "-", 0.0, 1.0, "published",
        "brown and blond hair 95/5 (Borges et al. 2001); another study finds 0.11-0.17",
    ),
    "peroxide_pka": (
        11.75, "-", 11.0, 12.5, "published", "pKa of H2O2 at 20 C (Ka 1.78e-12)",
    ),
    "reference_ph": (10.0, "-", 8.0, 12.0, "assumed", "pH at which the rate is stated"),
    "lightening_rate": (
        0.118, "L/(mol min)", 0.01, 1.0, "calibrated",
        "no published rate constant for melanin in hair; fitted to trade practice",
    ),
    "half_oxidised_yield": (
        0.4, "-", 0.0, 0.65, "calibrated",
        "share of either melanin; no published value; fitted to trade practice; up to 0.65 L* "
        "cannot fall while lightening",
    ),
    "half_oxidised_rate_ratio": (
        0.45, "-", 0.1, 1.2, "calibrated", "no published value; fitted to trade practice",
    ),
    "pheomelanin_rate_ratio": (
        0.5, "-", 0.3, 1.0, "assumed", "sources conflict over 0.3 to 1; the study's value",
    ),
    "activation_energy": (
        50.0, "kJ/mol", 10.0, 120.0, "assumed",
        "no published value for melanin in hair; a factor of 2 in 11 C at 30 C",
    ),
    "reference_temperature": (
        30.0, "C", 15.0, 45.0, "assumed", "mixture on hair between room and scalp",
    ),
    "uptake_rate": (
        1.0 / 60.0, "1/min", 0.002, 0.2, "assumed",
        "D/r^2 of peroxide in a fibre of the reference diameter: about an hour",
    ),
    "reference_fibre": (
        70.0, "um", 50.0, 90.0, "published", "middle of 60-80 um (Wolfram 2003)",
    ),
    "fade_minutes": (
        40.0, "min", 5.0, 1000.0, "assumed",
        "a thin film dries and is spent sooner than the 1961 bath (about 700 min)",
    ),
    "porosity_gain": (
        1.0, "-", 0.0, 4.0, "published",
        "1 h of 6 % H2O2 doubles dye diffusion (J. Soc. Cosmet. Chem. 44 (1993) p. 357)",
    ),
    "porosity_exposure": (
        0.5, "-", 0.05, 5.0, "assumed",
        "most of the doubling is there after 1 h of 6 % and 4 h adds little (same source)",
    ),
    "damp_dilution": (
        0.85, "-", 0.4, 1.0, "assumed",
        "water held by towel-dried hair, about 0.3 g/g (from memory), in 2 g of mixture per g",
    ),
    "cream_ph": (9.8, "-", 8.0, 11.5, "assumed", "alkaline oxidative cream"),
    "base_break_ph": (10.4, "-", 8.0, 11.5, "assumed", "more alkaline than a cream"),
    "powder_ph": (
        10.0, "-", 8.0, 11.5, "published",
        "persulfate bleach near pH 10 (textbook of modern hair science, hair-colouring chapter)",
    ),
    "powder_boost": (
        2.0, "-", 1.0, 20.0, "calibrated",
        "factor of persulfate on the rate; no published value; fitted to trade practice",
    ),
    "base_break_violet_dose": (
        1.0, "0.01/radius", 0.0, 20.0, "assumed",
        "tone carried by a base-break cream: a mild violet",
    ),
    "tone_minutes": (8.0, "min", 0.5, 60.0, "assumed", "time constant of tone forming in hair"),
    "level_sd": (
        0.3, "levels", 0.0, 1.0, "common practice",
        "a level judged by eye is good to about half a level, nine times in ten (no source)",
    ),
    "rate_log_sd": (0.20, "-", 0.0, 1.0, "assumed", "strand-to-strand spread of the rate"),
    "fibre_log_sd": (0.10, "-", 0.0, 0.5, "assumed", "spread of diameter within one head"),
    "fade_log_sd": (0.25, "-", 0.0, 1.0, "assumed", "spread of how fast the mixture weakens"),
    "warmth_allowance": (
        3.0, "dC*", 0.0, 60.0, "assumed",
        "chroma above natural hair of the same L* that still passes for natural",
    ),
    "visible_lift": (
        0.25, "levels", 0.0, 3.0, "assumed",
        "least lift counted as a result where no goal is given",
    ),
    "painter_yellow_hue": (
        63.0, "degrees", 45.0, 100.0, "calibrated",
        "CIELAB hue of excess warmth that painters call yellow in light hair; fitted to the wheel",
    ),
}  # fmt: skip

# Free parameters: centre of belief and its width, as a weak prior.
FREE = {
    "lightening_rate": (0.118, 0.06),
    "powder_boost": (2.5, 1.0),
    "half_oxidised_yield": (0.35, 0.15),
    "half_oxidised_rate_ratio": (0.5, 0.15),
    "half_oxidised_slope": (0.014, 0.002),
}


def declared_set() -> CurveSet:
    """Build the curve set as declared above, before any fit."""
    return CurveSet("default", tuple(Parameter(name, *row) for name, row in DECLARED.items()))


def fix_published(curves: CurveSet) -> tuple[CurveSet, dict[str, str]]:
    """Fit melanin shapes, surface and pigment load to published measurements."""
    table = load("melanin_extinction").columns
    notes: dict[str, str] = {}
    slopes: dict[str, float] = {}
    for pigment in ("eumelanin", "pheomelanin"):
        wavelength = np.asarray(table["wavelength_nm"])
        extinction = np.asarray(table["extinction_cm-1_per_mg_per_ml"])
        rows = (np.asarray(table["pigment"]) == pigment) & (wavelength >= 380) & (wavelength <= 790)
        _, slope, rms = fit_exponential(wavelength[rows], extinction[rows])
        slopes[f"{pigment}_slope"] = round(slope, 6)
        notes[f"{pigment}_shape"] = f"rms {rms:.3f} of the natural logarithm, OMLC, 380-790 nm"
    values = {**curves.values, **slopes}
    hair = load("hair_colour_measured").columns
    lab = np.stack([np.asarray(hair[k], dtype=float) for k in ("L", "a", "b")], axis=-1)
    names = [str(n) for n in hair["sample"]]
    black, brown = lab[names.index("black hair")], lab[[n.startswith("dark") for n in names]]

    def tress(level: float) -> Floats:
        return strand_lab(natural_pigment(level, values["pheomelanin_share"], values), values)

    def misfit_black(x: Any) -> list[float]:
        values.update(surface_reflectance=float(x[0]), surface_slope=float(x[1]) / 1000)
        return list((tress(1.0) - black)[[0, 2]])

    def misfit_brown(load_3: float) -> float:
        values["melanin_at_level_3"] = load_3
        fsolve(misfit_black, [0.025, 1.0])
        return float(np.mean(delta_e_76(tress(3.0), brown)))

    best = minimize_scalar(misfit_brown, bounds=(0.4, 1.6), method="bounded")
    misfit_brown(best.x)
    keys = ("melanin_at_level_3", "surface_reflectance", "surface_slope", *slopes)
    residual = tress(1.0) - black
    notes["black_tress"] = f"level 1: L* and b* met, a* off by {residual[1]:+.2f}"
    notes["brown_tress"] = f"level 3: mean dE*ab {best.fun:.2f} to the two readings"
    kept = {k: float(f"{values[k]:.6g}") for k in keys}
    return _with_values(curves, kept), notes


def _with_values(curves: CurveSet, values: dict[str, float]) -> CurveSet:
    """Return the set with new values; status and source stay as declared."""
    rows = (replace(p, value=values.get(p.name, p.value)) for p in curves.parameters)
    return CurveSet(curves.name, tuple(rows), curves.provenance)


def closing_minutes(curves: CurveSet) -> float:
    """Minute at which the base break of the trade table becomes too warm (180 when never)."""
    hair = Hair(level=7.0, fibre_um="fine", damp=True)
    mixture = Mixture("base-break", 10.0)

    def excess(t: float) -> float:
        trajectory = simulate(hair, mixture, t, curves)
        return float(trajectory.warmth - curves.values["warmth_allowance"])

    root = brentq(excess, 0.5, 60.0) if excess(60.0) > 0 else 180.0
    return float(root)


def excess_hues(curves: CurveSet) -> Floats:
    """CIELAB hue [degrees] of each rung's departure from natural hair of the same L*."""
    ladder = underpigment_ladder(curves)
    natural = natural_path(curves).lab_of_lightness(ladder.lab[:, 0])
    return hue_deg(ladder.lab - natural)


def rows_misfit(curves: CurveSet) -> list[tuple[str, float, float, float]]:
    """Model against each trade row: what, got, wanted (centre of the row), scale."""
    rows = []
    for volume, wanted in ((10.0, 1.0), (20.0, 1.5), (30.0, 2.5), (40.0, 3.5)):
        for level in (3.0, 5.0, 7.0):
            lift = simulate(Hair(level=level), Mixture("cream", volume), 35.0, curves).lift
            rows.append((f"volumes {volume:g} vol, level {level:g}", float(lift), wanted, 0.5))
    lift = simulate(Hair(level=4.0), Mixture("powder", 20.0), 45.0, curves).lift
    rows.append(("powder 20 vol, level 4", float(lift), 5.5, 1.0))
    rows.append(("base break closes [min]", closing_minutes(curves), 6.0, 1.0))
    return rows


def fit_free(
    curves: CurveSet, say: Callable[[str], None]
) -> tuple[CurveSet, list[tuple[str, float, float, float]]]:
    """Fit the free rates to the trade rows."""
    centre = np.array([c for c, _ in FREE.values()])
    width = np.array([w for _, w in FREE.values()])
    low = [DECLARED[n][2] for n in FREE]
    high = [DECLARED[n][3] for n in FREE]

    def at(x: Floats) -> CurveSet:
        return _with_values(curves, dict(zip(FREE, map(float, x), strict=True)))

    def residuals(x: Floats) -> Floats:
        rows = rows_misfit(at(x))
        data = [(got - wanted) / scale for _, got, wanted, scale in rows]
        return np.array([*data, *((x - centre) / width)])

    fit = least_squares(residuals, centre, bounds=(low, high), x_scale=width, diff_step=1e-3)
    say(f"rates: {fit.message} cost {fit.cost:.3f}")
    fitted = at(np.array([float(f"{v:.4g}") for v in fit.x]))
    return fitted, rows_misfit(fitted)


def fit_wheel(curves: CurveSet) -> CurveSet:
    """Place the painter's yellow among the hues of excess warmth; red is Munsell's 5R."""
    wanted = np.array([30.0, 60.0, 90.0, 120.0])
    red = munsell_hue_degrees("5R")
    share = depth_share(underpigment_ladder(curves).lab[4:8, 0], curves)
    turned = share * (excess_hues(curves)[4:8] - red)
    per_degree = float(turned @ wanted / (turned @ turned))
    return _with_values(curves, {"painter_yellow_hue": round(red + 120.0 / per_degree, 2)})


def build(say: Callable[[str], None] = print) -> CurveSet:
    """Calibrate and return the default curve set with its provenance."""
    curves, notes = fix_published(declared_set())
    curves, rows = fit_free(curves, say)
    curves = fit_wheel(curves)
    for name, got, wanted, _ in rows:
        say(f"{name:32s} got {got:6.2f}  centre of row {wanted:5.2f}")
    rms = float(np.sqrt(np.mean([((g - w) / s) ** 2 for _, g, w, s in rows])))
    provenance = {
        "made_by": "python -m lift.make.curves",
        "fitted": ", ".join(FREE),
        "fitted_to": "reference/trade_practice.csv: volumes, powder, base break; common practice "
        "(no source), not measurements",
        "misfit": f"rms {rms:.2f} of each row's scale over {len(rows)} values: "
        + "; ".join(f"{n} {g:.2f} for {w:g}" for n, g, w, _ in rows),
        "wheel": "painter_yellow_hue fitted to the stage names at levels 5-8",
        **notes,
    }
    return CurveSet("default", curves.parameters, tuple(provenance.items()))


def main() -> None:
    """Write the default curve set."""
    curves = build()
    path = DATA / "default_curves.toml"
    curves.save(path)
    print(f"wrote {path.name}: {len(curves.parameters)} parameters", file=sys.stderr)


if __name__ == "__main__":
    main()
