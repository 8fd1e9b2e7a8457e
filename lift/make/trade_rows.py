"""What the default curve set is fitted to: measured tresses, rows of the trade, the ladder's end.

Everything here takes many sets of values at once, arrays of shape (sets, 1) by name, so that a
derivative or a posterior costs one call.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.make.curve_parameters import declared_set
from lift.model.curves import RED_SHARE, Values
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import NaturalPath, interpolate_rows, natural_paths
from lift.model.stages import LADDER_START
from lift.model.strand import hair_share, lightened, natural_pigment, strand_lab
from lift.model.trajectory import Trajectory, trajectory_of
from lift.optics.colorimetry import hue_deg
from lift.practice.inside import first_crossing
from lift.reference import load

SURFACE = ("surface_reflectance", "surface_slope", "melanin_at_level_3")
"""What the measured tresses give, once the rest is said."""

TRESS_ROUNDS = 6
EXPOSURES = np.linspace(0.0, 40.0, 801)
CLOSING_GRID = np.linspace(0.0, 30.0, 61)
RED_LIGHTNESS, WARM_LIGHTNESS = 30.0, 50.0
"""L* from which red and brown hair start, and at which their chroma is compared."""

LEVEL_OF_YELLOW_ORANGE = 7


@dataclass(frozen=True, eq=False)
class Row:
    """One row: what each set gives, and between which ends it is wanted, give or take.

    Parameters
    ----------
    what : str
        Name of the row.
    got : numpy.ndarray
        What each set gives, shape (sets,).
    low, high : float
        Ends of what is wanted, in the unit of `got`; alike where one value is.
    scale : float
        How far outside counts as one, in the same unit.
    """

    what: str
    got: Floats
    low: float
    high: float
    scale: float

    @property
    def misfit(self) -> Floats:
        """How far outside of what is wanted [scales], shape (sets,)."""
        off = np.minimum(self.got - self.low, 0.0) + np.maximum(self.got - self.high, 0.0)
        return np.asarray(off / self.scale)

    @property
    def wanted(self) -> str:
        """What is wanted, in words."""
        if self.low == self.high:
            return f"{self.low:g}"
        if np.isinf(self.high):
            return f"at least {self.low:g}"
        if np.isinf(self.low):
            return f"at most {self.high:g}"
        return f"{self.low:g} to {self.high:g}"


@cache
def _tresses() -> tuple[Floats, Floats]:
    table = load("hair_colour_measured").columns
    lab = np.stack([np.asarray(table[k], dtype=float) for k in ("L", "a", "b")], axis=-1)
    names = [str(n) for n in table["sample"]]
    dark = [n.startswith("dark") for n in names]
    return lab[names.index("black hair")], lab[dark].mean(axis=0)


def tress(level: float, values: Values) -> Floats:
    """CIELAB of natural brown hair of that level, shape (sets, 3)."""
    pigment = natural_pigment(level, values["pheomelanin_share"], values)
    return strand_lab(pigment, values)[..., 0, :]


def on_tresses(values: Values) -> Values:
    """Values with surface and pigment load such that natural hair has its measured colours.

    L* and b* of the black tress at level 1 are met, and the dark-brown one at level 3 as nearly
    as that leaves, by least squares: damped steps of Gauss and Newton.
    """
    black, brown = _tresses()
    # Steps in the logarithm keep every one of them positive.
    at = np.log(np.concatenate([values[name] * np.ones_like(_one(values)) for name in SURFACE], 1))

    def put(x: Floats) -> Values:
        columns = np.exp(x)
        return {**values, **{n: columns[:, i, None] for i, n in enumerate(SURFACE)}}

    def off(x: Floats) -> Floats:
        own = put(x)
        met = 30.0 * (tress(1.0, own) - black)[:, [0, 2]]
        return np.concatenate([met, tress(3.0, own) - brown], axis=1)

    step = 1e-5
    for _ in range(TRESS_ROUNDS):
        now = off(at)
        slopes = [(off(at + step * np.eye(3)[i]) - now) / step for i in range(3)]
        jacobian = np.stack(slopes, axis=-1)
        bend = np.swapaxes(jacobian, 1, 2) @ jacobian + 1e-9 * np.eye(3)
        slope = np.swapaxes(jacobian, 1, 2) @ now[..., None]
        at = at - np.clip(np.linalg.solve(bend, slope)[..., 0], -1.0, 1.0)
    return put(at)


def _one(values: Values) -> Floats:
    shape = np.broadcast_shapes(*(np.shape(v) for v in values.values()), (1, 1))
    return np.ones((shape[0], 1))


def _path(values: Values, share: Any = None) -> NaturalPath:
    """Natural path of each set."""
    table = natural_paths(values, hair_share(share, values))
    sets = len(_one(values))
    lab = np.broadcast_to(table.lab, (sets, *table.lab.shape[-2:]))
    return NaturalPath(table.levels, lab, np.arange(sets)[:, None])


def _course(
    hair: Hair, mixture: Mixture, minutes: Any, values: Values, path: NaturalPath
) -> Trajectory:
    return trajectory_of(hair, mixture, np.atleast_1d(minutes), declared_set(), values, path=path)


def lift_rows(values: Values, use: str = "fitted", path: NaturalPath | None = None) -> list[Row]:
    """Lifts of ``reference/trade_lifts.csv``, of one use; `path` is brown hair's, where known."""
    path = path or _path(values)
    table = load("trade_lifts")
    columns = ("volume", "level", "fibre_um", "damp", "minutes", "low", "high")
    rows = []
    for name, kind, used, numbers in zip(
        *(table.words(key) for key in ("row", "mixture", "use")),
        table.numbers(*columns),
        strict=True,
    ):
        if used != use:
            continue
        volume, level, fibre, damp, minutes, low, high = map(float, numbers)
        hair = Hair(level=level, fibre_um=fibre, damp=bool(damp))
        lift = _course(hair, Mixture(kind, volume), minutes, values, path).lift[:, 0]
        what = f"{name} {volume:g} vol, level {level:g}"
        middle = 0.5 * (low + high)
        rows.append(Row(what, lift, middle, middle, max(0.25, 0.5 * (high - low))))
    return rows


def closing(values: Values, path: NaturalPath) -> Row:
    """Minute at which the base break of the trade's table becomes too warm."""
    hair, mixture = Hair(level=7.0, fibre_um="fine", damp=True), Mixture("base-break", 10.0)
    warmth = _course(hair, mixture, CLOSING_GRID, values, path).warmth
    minute = first_crossing(CLOSING_GRID, warmth - values["warmth_allowance"])
    return Row("base break closes [min]", np.minimum(minute, CLOSING_GRID[-1]), 6.0, 6.0, 0.7)


def order(values: Values, path: NaturalPath) -> Row:
    """At equal strength and time powder out-lifts a base break: 20 vol on level 7, 15 min."""
    powder, base_break = (
        _course(Hair(level=7.0), Mixture(kind, 20.0), 15.0, values, path).lift[:, 0]
        for kind in ("powder", "base-break")
    )
    return Row("powder over base break, 15 min", powder - base_break, 0.2, np.inf, 0.1)


def black(values: Values, path: NaturalPath) -> list[Row]:
    """Black hair in one sitting: powder with 40 vol, 50 min, is to stay below level 10."""
    rows = []
    for start, most in ((1.0, 9.2), (2.0, 9.8)):
        strand = _course(Hair(level=start), Mixture("powder", 40.0), 50.0, values, path)
        what = f"level {start:g} in one sitting, level"
        rows.append(Row(what, strand.level[:, 0], -np.inf, most, 0.15))
    return rows


def _rungs(values: Values, path: NaturalPath, levels: Sequence[int]) -> Floats:
    """Rungs of the ladder of underpigment, shape (sets, levels, 3)."""
    deep = natural_pigment(LADDER_START, values["pheomelanin_share"], values)
    course = strand_lab(lightened(deep, EXPOSURES, values), values)
    wanted = path.lab_of_level(np.asarray(levels, dtype=float))[..., 0]
    row = np.arange(len(wanted))[:, None]
    known = np.broadcast_to(course[..., 0], (len(wanted), EXPOSURES.size))
    reached = interpolate_rows(wanted, known, EXPOSURES, row)
    return strand_lab(lightened(deep, reached, values), values)


def light_end(lab: Floats) -> list[Row]:
    """The last rung against unpigmented hair: L* 67 or more, C*ab 28 or less, hue 74 to 85.

    Its CIELAB has shape (sets, 3).
    """
    chroma, hue = np.hypot(lab[:, 1], lab[:, 2]), hue_deg(lab)
    return [
        Row("palest yellow, L*", lab[:, 0], 67.3, np.inf, 0.3),
        Row("palest yellow, C*ab", chroma, -np.inf, 27.5, 0.3),
        Row("palest yellow, hue", hue, 75.0, 84.0, 0.5),
    ]


def red(values: Values, path: NaturalPath, beyond: Floats) -> list[Row]:
    """Red hair against brown of the same L*: dose to leave orange, then chroma.

    Orange is left at the L* of the rung of yellow-orange, shape (sets, 1).
    """
    dose, chroma = [], []
    for share, natural in ((RED_SHARE, _path(values, RED_SHARE)), (None, path)):
        own = hair_share(share, values)
        level = natural.level_of_lightness(np.full_like(beyond, RED_LIGHTNESS))
        lab = strand_lab(lightened(natural_pigment(level, own, values), EXPOSURES, values), values)
        row = np.arange(len(lab))[:, None]
        dose.append(interpolate_rows(beyond, lab[..., 0], EXPOSURES, row)[:, 0])
        warm = np.hypot(lab[..., 1], lab[..., 2])
        at = np.full_like(beyond, WARM_LIGHTNESS)
        chroma.append(interpolate_rows(at, lab[..., 0], warm, row)[:, 0])
    # Where brown hair of that L* is past the rung already, there is nothing to compare.
    ratio = dose[0] / np.maximum(dose[1], EXPOSURES[1])
    return [
        Row("red hair, dose over brown's", ratio, 1.55, np.inf, 0.03),
        Row("red hair, chroma over brown's", chroma[0] - chroma[1], 1.5, np.inf, 0.5),
    ]


def all_rows(values: Values) -> list[Row]:
    """All that the set is fitted to."""
    path = _path(values)
    rungs = _rungs(values, path, (LEVEL_OF_YELLOW_ORANGE, 10))
    return [
        *lift_rows(values, path=path),
        closing(values, path),
        order(values, path),
        *black(values, path),
        *light_end(rungs[:, 1]),
        *red(values, path, rungs[:, :1, 0]),
    ]


def warmth_of(values: Values) -> Floats:
    """How warm a set is: mean chroma of the rungs from red-orange to yellow, shape (sets,)."""
    lab = _rungs(values, _path(values), (5, 6, 7, 8))
    return np.asarray(np.hypot(lab[..., 1], lab[..., 2]).mean(axis=1))
