"""Forecast of a record: strands integrated out, for each draw of what a stylist's records share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.ensemble import LATENT, OF_HEAD, apply_latent
from lift.model.trajectory import simulate
from lift.practice.records.record import Record
from lift.practice.trial.observation import Observation, chart_level

SHIFTS = ("level", "rate", "fade", "spread")
"""Shared by all records: levels by which the eye reads too dark, log of the rate's factor, log of
the fade time's factor, log of the factor on the spread between strands."""

SHARED_SHARE = 0.5
"""Share of a curve set's variance that one stylist's strands have in common: assumed. The sum of
both floors is the curve set's own spread, so that without records nothing changes."""

SPREAD_SD = 0.35
"""Prior sd of the log spread between strands: assumed, a factor of 1.4 either way."""

TAIL_FREEDOM = 4.0
"""Degrees of freedom of the shifts' Student t prior: a mixture far from the default is rare, not
impossible (assumed)."""

MISTAKEN = 0.02
MISTAKE_SD = 2.0
"""Share of records written down wrongly, and by how many levels (assumed): one slip of the pen
must not move a calibration."""

_SHIFTED_SD = ("level_sd", "rate_log_sd", "fade_log_sd")
_LIGHTNESS_PER_LEVEL = 7.0
"""About 7 L* to the level (the natural path between levels 4 and 9), to size a slip in CIELAB."""


@dataclass(frozen=True, eq=False)
class Forecast:
    """What each shared draw predicts for one record, with strands integrated out.

    Parameters
    ----------
    mean : numpy.ndarray
        Expected reading, shape (draws, numbers), as `Observation.numbers`.
    covariance : numpy.ndarray
        Of strands and reading error, shape (draws, numbers, numbers).
    """

    mean: Floats
    covariance: Floats

    def log_density(self, seen: Floats) -> Floats:
        """Log density of what was seen, slips of the pen allowed for, shape (draws,)."""
        sound = _log_normal(seen - self.mean, self.covariance)
        return np.asarray(
            np.logaddexp(np.log1p(-MISTAKEN) + sound, np.log(MISTAKEN) + self.log_slip(seen))
        )

    def log_slip(self, seen: Floats) -> Floats:
        """Log density of what was seen, had it been written down wrongly, shape (draws,)."""
        size = MISTAKE_SD * (1.0 if seen.size == 1 else _LIGHTNESS_PER_LEVEL)
        return _log_normal(seen - self.mean, self.covariance + size**2 * np.eye(seen.size))


def shifts_of(deviates: Floats, curves: CurveSet) -> Floats:
    """Shared shifts from standard normal deviates.

    Parameters
    ----------
    deviates : numpy.ndarray
        Shape (draws, 4).
    curves : CurveSet
        Its ``*_sd`` parameters size the shifts.

    Returns
    -------
    numpy.ndarray
        Shape (draws, 4), columns as in `SHIFTS`.
    """
    from scipy.special import ndtr, stdtrit

    values = curves.values
    scale = np.sqrt(SHARED_SHARE) * np.array([values[name] for name in _SHIFTED_SD])
    # A Student t of unit variance, by way of its quantiles.
    heavy = stdtrit(TAIL_FREEDOM, ndtr(np.clip(deviates[:, :3], -7.0, 7.0)))
    heavy *= np.sqrt((TAIL_FREEDOM - 2.0) / TAIL_FREEDOM)
    # Centred so that the mean squared factor is 1, as the sum of both floors asks.
    return np.column_stack([heavy * scale, SPREAD_SD * (deviates[:, 3] - SPREAD_SD)])


def forecast(record: Record, shifts: Floats, curves: CurveSet) -> Forecast:
    """Predict a record for each draw of the shared shifts.

    The four deviates of this head are integrated with the spherical-radial cubature rule of
    third degree: 2 n points at distance sqrt(n) on the axes, equal weights (Arasaratnam and
    Haykin, IEEE Trans. Automat. Contr. 54 (2009) 1254; from memory). It is exact for the mean of
    polynomials up to the third degree.

    Parameters
    ----------
    record : Record
        What was done.
    shifts : numpy.ndarray
        Shape (draws, 4), columns as in `SHIFTS`.
    curves : CurveSet
        Curve set that the shifts are counted from.

    Returns
    -------
    Forecast
    """
    points = _cubature()
    spread = np.sqrt(1.0 - SHARED_SHARE) * np.exp(shifts[:, 3])
    latent = np.repeat(points[None], shifts.shape[0], axis=0)
    moved = {LATENT.index(name): i for i, name in enumerate(SHIFTS[:3])}
    for column, i in moved.items():
        own = max(curves[_SHIFTED_SD[i]].value, 1e-9)
        latent[:, :, column] *= spread[:, None]
        latent[:, :, column] += shifts[:, i, None] / own
    shown = _shown(record, np.clip(latent.reshape(-1, len(LATENT)), -10, 10), shifts[:, 0], curves)
    shown = shown.reshape(shifts.shape[0], points.shape[0], -1)
    return _moments(shown, record.result)


def forecast_without_records(record: Record, curves: CurveSet) -> Forecast:
    """Predict a record with a curve set as it stands, one draw."""
    return _moments(_shown(record, _cubature(), np.zeros(1), curves)[None], record.result)


def _cubature() -> Floats:
    """Deviates that stand for all strands of a head, shape (2 n, 5).

    What nobody measured stays where the curve set has it: records are to move it.
    """
    count = len(OF_HEAD)
    points = np.sqrt(count) * np.concatenate([np.eye(count), -np.eye(count)])
    return np.pad(points, ((0, 0), (0, len(LATENT) - count)))


def _shown(record: Record, latent: Floats, bias: Floats, curves: CurveSet) -> Floats:
    """Reading that each member gives, shape (members, numbers)."""
    by_eye = record.result.lab is None
    strands, values = apply_latent(record.hair, curves, latent)
    shown = simulate(strands, record.mixture, record.result.minutes, curves, values=values)
    if not by_eye:
        return np.asarray(shown.lab[:, 0])
    # The eye that judged the start judges the result: it is as wrong there.
    return chart_level(shown, np.repeat(bias, latent.shape[0] // bias.size)[:, None])


def _moments(shown: Floats, result: Observation) -> Forecast:
    mean = shown.mean(axis=1)
    off = shown - mean[:, None]
    covariance = np.einsum("kpi,kpj->kij", off, off) / shown.shape[1]
    return Forecast(mean, covariance + np.diag(result.sd**2))


def _log_normal(off: Floats, covariance: Floats) -> Floats:
    scaled = np.linalg.solve(covariance, off[..., None])[..., 0]
    constant = off.shape[-1] * np.log(2.0 * np.pi) + np.linalg.slogdet(covariance)[1]
    return np.asarray(-0.5 * (np.sum(off * scaled, axis=-1) + constant))
