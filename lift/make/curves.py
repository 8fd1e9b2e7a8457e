"""Regenerate ``lift/data/default_curves.toml``: ``python -m lift.make.curves``.

First what published figures fix (melanin shapes, then surface and pigment load for any choice of
the rest), then the free parameters, fitted by least squares to `lift.make.trade_rows` with a weak
pull towards the centre of each one's range of belief. Then the posterior: what is assumed is drawn
from its range, jointly with what was fitted, so that every draw meets the rows as well as they
ask. The draws are kept in the set, in the order of how warm they are. They take some minutes;
``--keep-draws`` leaves them as they are.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from scipy.optimize import least_squares
from scipy.special import ndtr, ndtri

from lift.errors import Floats
from lift.files import DATA
from lift.make.curve_parameters import declared_set
from lift.make.trade_rows import SURFACE, Row, all_rows, lift_rows, on_tresses, tress, warmth_of
from lift.make.valid_for import valid_for
from lift.model.curves import CurveSet, Values, default_curves
from lift.model.draws import SIGNIFICANT, ParameterDraws
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.optics.colorimetry import hue_deg
from lift.optics.hue_names import munsell_hue_degrees
from lift.optics.pigments import fit_exponential
from lift.practice.wheel import depth_share
from lift.reference import load
from lift.research.posterior.drawn import CHAINS
from lift.research.posterior.sampling import explore

# Free parameters: centre of belief and its width, as a weak prior.
FREE = {
    "lightening_rate": (0.20, 0.10),
    "persulfate_rate": (0.20, 0.15),
    "base_break_film": (0.25, 0.15),
    "half_oxidised_yield": (0.45, 0.15),
    "half_oxidised_rate_ratio": (0.5, 0.2),
    "half_oxidised_slope": (0.0125, 0.003),
    "pheomelanin_rate_ratio": (0.35, 0.15),
    "oxidised_pheomelanin_yield": (0.5, 0.15),
    "oxidised_pheomelanin_rate_ratio": (0.3, 0.15),
    "oxidised_pheomelanin_slope": (0.014, 0.003),
}

# What is assumed, or published as a range: the width about the declared value.
ASSUMED = {
    "hydroperoxide_order": 0.15,
    "cream_ph": 0.25,
    "base_break_ph": 0.25,
    "powder_ph": 0.25,
    "uptake_rate": 0.0015,
    "swelling_gain": 0.5,
    "peroxide_loss": 0.0008,
    "fade_minutes": 8.0,
    "damp_dilution": 0.05,
    "activation_energy": 12.0,
    "azimuthal_roughness": 0.12,
    "keratin_strength": 0.004,
    "pheomelanin_share": 0.03,
    "red_share": 0.05,
}

DRAWS = 200
EFFECTIVE = 400.0
SEED = 11
AT_ONCE = 500
_STEP = 1e-4


def fix_published(curves: CurveSet) -> tuple[CurveSet, dict[str, str]]:
    """Fit the shapes of the melanins to their published extinction."""
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
    return _with_values(curves, slopes), notes


def _with_values(curves: CurveSet, values: dict[str, float]) -> CurveSet:
    """Return the set with new values; status and source stay as declared."""
    rows = (replace(p, value=values.get(p.name, p.value)) for p in curves.parameters)
    return CurveSet(curves.name, tuple(rows), curves.provenance)


class Asked:
    """Free and assumed parameters against the rows, as deviates under what is believed.

    That is a normal distribution about the centre, cut at the ends of the parameter's range.
    """

    def __init__(self, curves: CurveSet) -> None:
        self.curves = curves
        assumed = {name: (curves[name].value, width) for name, width in ASSUMED.items()}
        self.names = (*FREE, *assumed)
        self.centre, self.width = np.array([*FREE.values(), *assumed.values()]).T
        ends = np.array([[curves[n].low, curves[n].high] for n in self.names])
        self.ends = ndtr((ends - self.centre[:, None]) / self.width[:, None])

    def values(self, z: Floats) -> Values:
        """Values of points, shape (points, parameters), with natural hair as measured."""
        share = np.clip(ndtr(z), 1e-6, 1.0 - 1e-6)
        x = self.centre + self.width * ndtri(self.ends[:, 0] + np.ptp(self.ends, axis=1) * share)
        own = {name: x[:, i, None] for i, name in enumerate(self.names)}
        return on_tresses({**self.curves.values, **own})

    def deviate(self, name: str, value: float) -> float:
        """Deviate of a value."""
        i = self.names.index(name)
        share = ndtr((value - self.centre[i]) / self.width[i]) - self.ends[i, 0]
        return float(ndtri(share / np.ptp(self.ends[i])))

    def rows(self, z: Floats) -> Floats:
        """Misfit of each row in its scale, shape (points, rows)."""
        parts = [z[i : i + AT_ONCE] for i in range(0, len(z), AT_ONCE)]
        return np.concatenate([_misfit(all_rows(self.values(part))) for part in parts])

    def log_density(self, z: Floats) -> Floats:
        """Log posterior density but for a constant, shape (points,)."""
        return np.asarray(-0.5 * (np.sum(self.rows(z) ** 2, axis=1) + np.sum(z**2, axis=1)))


def _misfit(rows: list[Row]) -> Floats:
    return np.stack([row.misfit for row in rows], axis=-1)


def fit(asked: Asked, held: dict[str, float], start: Floats | None = None) -> tuple[Floats, Floats]:
    """Likeliest point, and the curvature there, shapes (parameters,) and (parameters, parameters).

    Parameters
    ----------
    asked : Asked
        What is asked.
    held : dict
        Parameters that are not to move, with their values.
    start : numpy.ndarray, optional
        Point to start from, shape (parameters,); default: the middle of what is believed.
    """
    known = {name: asked.deviate(name, value) for name, value in held.items()}
    free = [i for i, name in enumerate(asked.names) if name not in known]
    first = np.zeros(len(asked.names)) if start is None else start
    base = np.array([known.get(n, z) for n, z in zip(asked.names, first, strict=True)])

    def whole(z: Any) -> Floats:
        points = np.tile(base, (len(z), 1))
        points[:, free] = z
        return points

    def residuals(z: Any) -> Floats:
        return np.concatenate([asked.rows(whole(z[None]))[0], z])

    def slopes(z: Any) -> Floats:
        step = _STEP * np.eye(len(z))
        both = asked.rows(whole(np.concatenate([z + step, z - step])))
        rows = (both[: len(z)] - both[len(z) :]).T / (2.0 * _STEP)
        return np.concatenate([rows, np.eye(len(z))])

    found = least_squares(residuals, base[free], slopes, max_nfev=60)
    point = whole(found.x[None])[0]
    return point, np.asarray(found.jac.T @ found.jac)


def fit_wheel(curves: CurveSet) -> CurveSet:
    """Place the painter's yellow among the hues of excess warmth; red is Munsell's 5R."""
    wanted = np.array([30.0, 60.0, 90.0, 120.0])
    red = munsell_hue_degrees("5R")
    ladder = underpigment_ladder(curves).lab
    excess = hue_deg(ladder - natural_path(curves).lab_of_lightness(ladder[:, 0]))
    share = depth_share(ladder[4:8, 0], curves)
    turned = share * (excess[4:8] - red)
    per_degree = float(turned @ wanted / (turned @ turned))
    return _with_values(curves, {"painter_yellow_hue": round(red + 120.0 / per_degree, 2)})


def sample(asked: Asked, point: Floats, bend: Floats) -> tuple[ParameterDraws, str]:
    """Draws of all that is asked and of what follows from it, in the order of warmth."""
    spread = np.asarray(np.linalg.inv(bend), dtype=np.float64)
    found = explore(asked.log_density, point, spread, seed=SEED, wanted=EFFECTIVE)
    kept, effective = found.kept(DRAWS, np.random.default_rng(SEED))
    values = asked.values(kept)
    names = (*asked.names, *SURFACE)
    table = np.concatenate([values[name] * np.ones((len(kept), 1)) for name in names], axis=1)
    table = table[np.argsort(warmth_of(values))]
    rows = tuple(tuple(float(f"{v:.{SIGNIFICANT}g}") for v in row) for row in table.tolist())
    # Each way of drawing has its own measure of how far it may be trusted.
    trust = (
        f"R-hat {found.rhat:.3f}"
        if found.method == CHAINS
        else f"Pareto shape {found.pareto_k:.2f}"
    )
    told = (
        f"{found.method}, {len(found.weights)} points, effective {found.effective:.0f}, {trust}; "
        f"{len(rows)} kept, effective {effective:.0f}"
    )
    return ParameterDraws(names, rows), told


def fitted_set(asked: Asked, point: Floats) -> CurveSet:
    """Curve set of the likeliest point."""
    values = asked.values(point[None])
    own = {n: float(f"{np.ravel(values[n])[0]:.4g}") for n in asked.names}
    surface = on_tresses({**asked.curves.values, **{n: np.array([[v]]) for n, v in own.items()}})
    own |= {n: float(f"{surface[n][0, 0]:.6g}") for n in SURFACE}
    return fit_wheel(_with_values(asked.curves, own))


def build(say: Callable[[str], None] = print, kept: CurveSet | None = None) -> CurveSet:
    """Calibrate and return the default curve set with its provenance.

    Parameters
    ----------
    say : callable
        Told what is found.
    kept : CurveSet, optional
        Set whose draws to keep, where nothing that they were drawn from has changed.
    """
    curves, notes = fix_published(declared_set())
    asked = Asked(curves)
    # The likeliest set keeps what is assumed at its declared value; the draws let go of it.
    point, _ = fit(asked, {name: curves[name].value for name in ASSUMED})
    curves = fitted_set(asked, point)
    values = {name: np.array([[value]]) for name, value in curves.values.items()}
    rows = all_rows(values)
    for row in rows:
        say(f"{row.what:32s} got {row.got[0]:6.2f}  wanted {row.wanted}")
    if kept is None or kept.posterior is None:
        draws, told = sample(asked, *fit(asked, {}))
        told = ", ".join(ASSUMED) + f", with what was fitted: {told}"
    else:
        draws, told = kept.posterior, dict(kept.provenance)["drawn"]
    say(f"drawn: {told}")
    rms = float(np.sqrt(np.mean(_misfit(rows) ** 2)))
    black, brown = (tress(level, values)[0] for level in (1.0, 3.0))
    provenance = {
        "made_by": "python -m lift.make.curves",
        "fitted": ", ".join(FREE),
        "fitted_to": "reference/trade_lifts.csv, the base break's close, order of mixtures, palest "
        "yellow, red against brown; common practice (no source), not measurements",
        "predicted": "; ".join(
            f"{r.what} {r.got[0]:.2f} for {r.low - r.scale:g} to {r.high + r.scale:g}"
            for r in lift_rows(values, "left out")
        ),
        "misfit": f"rms {rms:.2f} of each row's scale over {len(rows)} values: "
        + "; ".join(f"{r.what} {r.got[0]:.2f} for {r.wanted}" for r in rows),
        "drawn": told,
        "tresses": f"level 1 {_lab(black)}, level 3 {_lab(brown)}; see hair_colour_measured.csv",
        "wheel": "painter_yellow_hue fitted to the stage names at levels 5-8",
        **notes,
    }
    made = tuple(provenance.items())
    return replace(curves, provenance=made, validity=valid_for(curves), posterior=draws)


def _lab(lab: Floats) -> str:
    return "L* {:.2f}, a* {:.2f}, b* {:.2f}".format(*lab)


def main() -> None:
    """Write the default curve set."""
    curves = build(kept=default_curves() if "--keep-draws" in sys.argv[1:] else None)
    path = DATA / "default_curves.toml"
    curves.save(path)
    print(f"wrote {path.name}: {len(curves.parameters)} parameters", file=sys.stderr)


if __name__ == "__main__":
    main()
