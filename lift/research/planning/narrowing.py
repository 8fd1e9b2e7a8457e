"""How much narrower readings would leave what is believed of the colour of lightened hair."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet, Values
from lift.model.hair import RED_SHARE
from lift.model.strand import lightened, natural_pigment, strand_lab
from lift.optics.colorimetry import chroma
from lift.practice.trial.observation import MODEL_SD
from lift.research.planning.information import Z90
from lift.research.posterior.problem import FIXED, Problem
from lift.research.posterior.strands import SCATTER_FREEDOM, StrandModel
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


def narrowing(table: Swatches, curves: CurveSet) -> tuple[Narrowed, ...]:
    """What readings would tell of oxidised melanin, and of the chroma that it decides.

    Every number that nobody has published is open, as `lift.research.tuning.tune.tune` would open
    it; so are the level and the rate of each swatch. The optics may miss each reading besides.

    Parameters
    ----------
    table : Swatches
        Conditions of the readings; their colours are not used.
    curves : CurveSet
        What is believed now: values and ranges.
    """
    free = [n for n in curves if curves[n].status != "published" and n not in FIXED]
    model = StrandModel(Problem(table, curves, free))
    root = np.linalg.cholesky(expected_covariance(model))
    spread = np.linalg.norm(root, axis=1)
    found = []
    for prior, sd in zip(model.priors, spread, strict=True):
        parameter = prior.parameter
        if "oxidised" in parameter.name or parameter.name == "pheomelanin_rate_ratio":
            ends = prior.from_standard(np.array([-Z90, Z90, -Z90 * sd, Z90 * sd]))
            found.append(Narrowed(parameter.name, parameter.unit, *ends.tolist()))
    hair = {"chroma_brown": (BROWN_LEVEL, None), "chroma_red": (RED_LEVEL, RED_SHARE)}
    for name, (level, share) in hair.items():
        value, slope = _chroma(model, level, share)
        wide = Z90 * np.array([np.linalg.norm(slope), np.linalg.norm(slope @ root)])
        low, low_after = np.maximum(value - wide, 0.0).tolist()
        high, high_after = (value + wide).tolist()
        found.append(Narrowed(name, "dC*", low, high, low_after, high_after))
    return tuple(found)


def expected_covariance(model: StrandModel) -> Floats:
    """Covariance of the model's coordinates after its readings, about the middle of the prior.

    What a swatch has of its own, level and rate, is integrated out to first order; without a
    reading the covariance is 1.
    """
    table = model.problem.swatches
    count = len(table.names)
    size = model.dimensions
    steps = np.concatenate([_STEP * np.eye(size), -_STEP * np.eye(size)])
    lab = model.predict(model.strands(steps, np.zeros((2 * size, count, 2))))
    slopes = (lab[:size] - lab[size:]) / (2.0 * _STEP)
    moves = _STEP * np.concatenate([np.eye(2), -np.eye(2)])[:, None, :]
    own = np.broadcast_to(moves, (4, count, 2))
    lab = model.predict(model.strands(np.zeros((4, size)), np.asarray(own)))
    own_slopes = (lab[:2] - lab[2:]) / (2.0 * _STEP)
    information = np.eye(size)
    for swatch in range(count):
        rows = table.swatch == swatch
        told = slopes[:, rows].reshape(size, -1)
        varied = own_slopes[:, rows].reshape(2, -1)
        readings = varied.shape[1]
        # What a t distribution of that many readings tells, against a normal one.
        share = (SCATTER_FREEDOM + readings) / (SCATTER_FREEDOM + readings + 2.0)
        variance = (table.sd[rows] ** 2 / share + np.square(MODEL_SD)).ravel()
        covariance = np.diag(variance) + varied.T @ varied
        information += told @ np.linalg.solve(covariance, told.T)
    return np.asarray(np.linalg.inv(information))


def _chroma(model: StrandModel, level: float, share: float | None) -> tuple[float, Floats]:
    """Chroma in the middle of the prior and its first derivatives by the model's coordinates."""
    size = model.dimensions
    steps = np.concatenate([np.zeros((1, size)), _STEP * np.eye(size), -_STEP * np.eye(size)])
    found = chroma_at(level, share, model.problem.values(model.parameters(steps)[0]))
    return float(found[0]), (found[1 : size + 1] - found[size + 1 :]) / (2.0 * _STEP)


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
