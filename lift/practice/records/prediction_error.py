"""Prediction error of records: seen minus predicted, on the level scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.practice.records.forecast import Forecast
from lift.practice.records.record import Record
from lift.practice.trial.observation import level_of

COVERED = 1.645
"""Standard deviations to each side that hold nine of ten (normal)."""


@dataclass(frozen=True, eq=False)
class Errors:
    """Seen minus predicted for each record, with the predicted sd.

    Parameters
    ----------
    error, sd : numpy.ndarray
        Both in levels, shape (records,).
    """

    error: Floats
    sd: Floats

    @property
    def rms(self) -> float:
        """Root of the mean squared error [levels]."""
        return float(np.sqrt(np.mean(self.error**2)))

    @property
    def bias(self) -> float:
        """Mean error [levels]."""
        return float(np.mean(self.error))

    @property
    def width(self) -> float:
        """Mean width of the bands that should hold nine of ten [levels]."""
        return float(np.mean(2.0 * COVERED * self.sd))

    @property
    def held(self) -> int:
        """How many records lie inside their band."""
        return int(np.sum(np.abs(self.error) <= COVERED * self.sd))


def prediction_errors(
    records: Sequence[Record], made: Sequence[tuple[Forecast, Floats]], curves: CurveSet
) -> Errors:
    """Errors of forecasts whose draws carry weights.

    Parameters
    ----------
    made : sequence of (Forecast, numpy.ndarray)
        One for each record, with the weight of each draw, summing to 1.
    curves : CurveSet
        Puts CIELAB readings on the level scale.
    """
    errors, spreads = [], []
    for record, (forecast, weight) in zip(records, made, strict=True):
        mean = weight @ forecast.mean
        variance = weight @ (forecast.covariance[:, 0, 0] + (forecast.mean[:, 0] - mean[0]) ** 2)
        seen, sd = record.result.numbers, np.sqrt(variance)
        errors.append(level_of(seen, curves) - level_of(mean, curves))
        if seen.size > 1:
            step = np.array([sd, 0.0, 0.0])
            sd = 0.5 * (level_of(mean + step, curves) - level_of(mean - step, curves))
        spreads.append(float(sd))
    return Errors(np.array(errors), np.array(spreads))
