"""How much narrower readings would leave what is believed of the colour of lightened hair."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from lift.errors import Floats
from lift.model.curves import RED_SHARE, CurveSet, Values
from lift.model.strand import lightened, natural_pigment, strand_lab
from lift.optics.colorimetry import chroma
from lift.practice.trial.observation import MODEL_SD
from lift.research.planning.information import Z90, parameters_of
from lift.research.posterior.priors import Prior
from lift.research.posterior.problem import FIXED
from lift.research.posterior.strands import SCATTER_FREEDOM
from lift.research.swatches.forward import exposure, predict
from lift.research.swatches.table import Swatches

LIGHTNESS = 50.0
"""L* at which chroma is compared: half of the way from black hair to blond."""

BROWN_LEVEL, RED_LEVEL = 3.0, 5.0
"""Natural levels of dark brown hair, as the published tress has it, and of red hair; assumed."""

_FARTHEST = 20.0
_STEP = 1e-2


@dataclass(frozen=True)
class Narrowed:
    """What is believed of one number, before and after readings, to first order.

    Parameters
    ----------
    name, unit : str
        Of a parameter; or ``chroma_brown`` and ``chroma_red``, C*ab at `LIGHTNESS`.
    low, high : float
        90 % interval before any swatch is measured.
    low_after, high_after : float
        90 % interval to be expected after.
    """

    name: str
    unit: str
    low: float
    high: float
    low_after: float
    high_after: float

    @property
    def shrinks(self) -> float:
        """Share of the interval that goes [-]."""
        return 1.0 - (self.high_after - self.low_after) / (self.high - self.low)


@dataclass(frozen=True, eq=False)
class Believed:
    """Numbers that are not known, as coordinates about their middle.

    Parameters
    ----------
    names : tuple of str
        Of the parameters.
    covariance : numpy.ndarray
        Of the coordinates, which have a variance of 1, shape (names, names).
    place : callable
        From coordinates, shape (sets, names), to numbers of the same shape.
    curves : CurveSet
        Everything else.
    """

    names: tuple[str, ...]
    covariance: Floats
    place: Callable[[Floats], Floats]
    curves: CurveSet

    def values(self, coordinates: Floats) -> Values:
        """Parameter values of coordinates, shape (sets, names)."""
        columns = self.place(coordinates).T
        return {**self.curves.values, **dict(zip(self.names, columns, strict=True))}

    @property
    def middle(self) -> Values:
        """Parameter values in the middle."""
        columns = self.place(np.zeros((1, len(self.names))))[0]
        return {**self.curves.values, **dict(zip(self.names, columns.tolist(), strict=True))}

    def slope(self, of: Callable[[Values], Floats]) -> tuple[Floats, Floats]:
        """Something of the values in the middle, and its first derivatives, (names, ...)."""
        axes = _STEP * np.eye(len(self.names))
        found = of(self.values(np.concatenate([np.zeros((1, len(axes))), axes, -axes])))
        up, down = found[1 : len(axes) + 1], found[len(axes) + 1 :]
        return found[0], (up - down) / (2.0 * _STEP)


def believed(curves: CurveSet) -> Believed:
    """What is believed now: the draws that a set carries, or else what a tuning begins with.

    In the latter every number is open of which no published value was read.
    """
    if curves.posterior is not None:
        drawn, _ = parameters_of(curves)
        table = np.stack([*drawn.values()], axis=-1)
        middle = np.median(table, axis=0)
        spread = np.maximum(np.std(table, axis=0, ddof=1), 1e-300)
        scaled = (table - table.mean(axis=0)) / spread
        covariance = scaled.T @ scaled / (len(table) - 1.0)
        low, high = np.array([(curves[name].low, curves[name].high) for name in drawn]).T

        def inside(z: Floats) -> Floats:
            return np.asarray(np.clip(middle + spread * z, low, high))

        return Believed(tuple(drawn), covariance, inside, curves)
    names = [n for n in curves if curves[n].status != "published" and n not in FIXED]
    priors = [Prior(curves[name]) for name in names]

    def place(z: Floats) -> Floats:
        return np.stack([p.from_standard(z[:, i]) for i, p in enumerate(priors)], axis=-1)

    return Believed(tuple(names), np.eye(len(names)), place, curves)


def narrowing(table: Swatches, curves: CurveSet) -> tuple[Narrowed, ...]:
    """What readings would tell of oxidised melanin, and of the chroma that it decides.

    The level and the rate of each swatch are open, too, and the optics may miss each reading.

    Parameters
    ----------
    table : Swatches
        Conditions of the readings; their colours are not used.
    curves : CurveSet
        What is believed now; see `believed`.
    """
    now = believed(curves)
    covariances = np.stack([now.covariance, covariance_after(now, table)])
    found = []
    for i, name in enumerate(now.names):
        if "oxidised" in name or name == "pheomelanin_rate_ratio":
            away = np.zeros((4, len(now.names)))
            sd = Z90 * np.sqrt(covariances[:, i, i])
            away[:, i] = [-sd[0], sd[0], -sd[1], sd[1]]
            ends = now.place(away)[:, i]
            found.append(Narrowed(name, curves[name].unit, *ends.tolist()))
    hair = {"chroma_brown": (BROWN_LEVEL, None), "chroma_red": (RED_LEVEL, RED_SHARE)}
    for name, (level, share) in hair.items():
        value, slope = now.slope(partial(chroma_at, level, share))
        wide = Z90 * np.sqrt(np.einsum("i,cij,j->c", slope, covariances, slope))
        low, high = np.maximum(value - wide, 0.0).tolist(), (value + wide).tolist()
        found.append(Narrowed(name, "dC*", low[0], high[0], low[1], high[1]))
    return tuple(found)


def covariance_after(now: Believed, table: Swatches) -> Floats:
    """Covariance of what is believed once the readings are made, to first order."""
    _, slopes = now.slope(lambda values: predict(table, values, table.level))
    told = now.covariance @ slopes.reshape(len(slopes), -1)
    seen = slopes.reshape(len(slopes), -1).T @ told + noise(now, table)
    return np.asarray(now.covariance - told @ np.linalg.solve(seen, told.T))


def noise(now: Believed, table: Swatches) -> Floats:
    """Covariance of what no parameter tells of the readings, shape (3 rows, 3 rows).

    Scatter, what the optics may miss, and of each swatch its own level and rate, to first order.
    """
    values = now.middle
    exposed = exposure(table, values)

    def lab(level: float, rate: float) -> Floats:
        seen = predict(table, values, table.level + level, exposed=exposed * np.exp(rate))
        return np.asarray(seen.ravel())

    own = np.zeros((3 * len(table), 3 * len(table)))
    for level, rate in ((values["level_sd"], 0.0), (0.0, values["rate_log_sd"])):
        step = np.array([level, rate]) * _STEP
        slope = (lab(*step) - lab(*-step)) / (2.0 * _STEP)
        own += np.outer(slope, slope)
    swatch = np.repeat(table.swatch, 3)
    own *= swatch[:, None] == swatch
    count = 3.0 * np.bincount(table.swatch)[table.swatch][:, None]
    # What a t distribution of that many readings tells, against a normal one.
    told = (SCATTER_FREEDOM + count) / (SCATTER_FREEDOM + count + 2.0)
    return np.asarray(own + np.diag((table.sd**2 / told + np.square(MODEL_SD)).ravel()))


def chroma_at(
    level: float, pheomelanin_share: float | None, values: Values, lightness: float = LIGHTNESS
) -> Floats:
    """C*ab of hair lightened until it has an L*.

    Parameters
    ----------
    level : float
        Natural level [-].
    pheomelanin_share : float or None
        Pheomelanin in all melanin [-]; None: that of brown and blond hair.
    values : mapping
        Parameter values by name, each a number or of shape (sets,).
    lightness : float
        L* to reach.

    Returns
    -------
    numpy.ndarray
        C*ab, shape () or (sets,).
    """
    by_set = {k: np.asarray(v)[..., None] if np.ndim(v) else v for k, v in values.items()}
    share = by_set["pheomelanin_share"] if pheomelanin_share is None else pheomelanin_share
    natural = natural_pigment(level, share, by_set)
    lab = strand_lab(lightened(natural, np.linspace(0.0, _FARTHEST, 401), by_set), by_set)
    sets = lab.reshape(-1, *lab.shape[-2:])
    found = [np.interp(lightness, each[:, 0], chroma(each)) for each in sets]
    return np.asarray(np.reshape(found, lab.shape[:-2]))
