"""Information of readings about a prediction, to first order, from draws of the parameters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError
from lift.model import misfit
from lift.model.curves import CurveSet
from lift.research.planning.choice import Choice, as_swatches
from lift.research.posterior.strands import SCATTER_FREEDOM, SPREAD
from lift.research.swatches.forward import exposure, predict
from lift.research.swatches.table import Swatches

Z90 = 1.6448536269514722
"""Standard deviations from the middle of a normal distribution to the end of its 90 % interval."""

_STEP = 1e-3


@dataclass(eq=False)
class Together:
    """Draws of the prediction and of every choice's readings, brought down as choices are taken.

    Parameters
    ----------
    predicted : numpy.ndarray
        Deviations of the prediction, shape (draws, 1).
    readings : numpy.ndarray
        Deviations of the readings, shape (draws, choices, 6).
    noise : numpy.ndarray
        Root of the covariance of what differs from swatch to swatch and of the scatter, shape
        (choices, 6, 6).
    """

    predicted: Floats
    readings: Floats
    noise: Floats

    @classmethod
    def of(
        cls,
        predicted: Floats,
        curves: CurveSet,
        weighed: Sequence[Choice],
        repeats: float,
        scatter: tuple[float, float, float],
    ) -> Together:
        """Put together the draws of a prediction and of what each choice would read.

        Parameters
        ----------
        predicted : numpy.ndarray
            The prediction for each draw of the curve set's posterior, shape (draws,).
        curves : CurveSet
            With a posterior.
        weighed : sequence of Choice
            Choices.
        repeats : float
            Readings averaged in each row [-].
        scatter : tuple of float
            Standard deviation of one reading in L*, a*, b*.
        """
        drawn, spread = parameters_of(curves)
        table = as_swatches(weighed, repeats=repeats, scatter=scatter, classes=curves.mixtures)
        labs = _readings(table, {**curves.values, **drawn}, table.level, 0.0)
        predicted = predicted[:, None]
        slopes = _slopes(table, curves, spread)
        # What a t distribution of that many readings tells, against a normal one.
        readings = labs.shape[-1]
        told = (SCATTER_FREEDOM + readings) / (SCATTER_FREEDOM + readings + 2.0)
        variance = (table.sd**2).reshape(len(weighed), readings) / told
        covariance = np.einsum("kci,kcj->cij", slopes, slopes)
        covariance += variance[:, :, None] * np.eye(readings)
        count = np.sqrt(len(predicted) - 1.0)
        return cls(
            (predicted - predicted.mean(axis=0)) / count,
            (labs - labs.mean(axis=0)) / count,
            np.linalg.cholesky(covariance),
        )

    @property
    def width(self) -> float:
        """Width of the prediction's 90 % interval."""
        return float(2.0 * Z90 * np.linalg.norm(self.predicted))

    def weigh(self) -> tuple[Floats, Floats]:
        """Width after each choice, and information about everything drawn [bits]."""
        scaled = np.linalg.solve(self.noise, np.moveaxis(self.readings, 0, -1))
        with_prediction = scaled @ self.predicted
        covariance = scaled @ np.swapaxes(scaled, 1, 2) + np.eye(scaled.shape[1])
        told = np.linalg.solve(covariance, with_prediction)
        shrink = np.sum(with_prediction * told, axis=(1, 2))
        left = np.maximum(np.sum(self.predicted**2) - shrink, 0.0)
        _, log_determinant = np.linalg.slogdet(covariance)
        return 2.0 * Z90 * np.sqrt(left), 0.5 * log_determinant / np.log(2.0)

    def take(self, index: int) -> None:
        """Condition everything on one choice: a transform of the draws that has the right cover."""
        scaled = np.linalg.solve(self.noise[index], self.readings[:, index].T).T
        directions, strength, _ = np.linalg.svd(scaled, full_matrices=False)
        cut = directions * (1.0 - 1.0 / np.sqrt(1.0 + strength**2))
        self.predicted = self.predicted - cut @ (directions.T @ self.predicted)
        along = np.tensordot(directions.T, self.readings, axes=1)
        self.readings = self.readings - np.tensordot(cut, along, axes=1)


def parameters_of(curves: CurveSet) -> tuple[dict[str, Floats], float]:
    """Draws of each parameter, and the spread of the rate from strand to strand.

    Raises
    ------
    LiftError
        When the curve set has no posterior.
    """
    if curves.posterior is None:
        raise LiftError("next.no_posterior", name=curves.name)
    names = [n for n in curves.posterior.names if n not in misfit.NAMES]
    drawn = {n: curves.posterior.column(n) for n in names}
    spread = drawn.pop(SPREAD, np.array([float(curves.values[SPREAD])]))
    return drawn, float(np.sqrt(np.mean(spread**2)))


def _readings(table: Swatches, values: Any, level: Floats, log_rate: float) -> Floats:
    """Colours of each swatch's two readings, shape (sets, swatches, 6)."""
    columns = {k: v[:, None] if np.ndim(v) else v for k, v in values.items()}
    exposed = exposure(table, columns) * np.exp(log_rate)
    lab = predict(table, values, level, exposed=exposed)
    return np.asarray(lab.reshape(*lab.shape[:-2], len(table.names), 6))


def _slopes(table: Swatches, curves: CurveSet, spread: float) -> Floats:
    """Readings' move by one standard deviation of level and of rate, shape (2, swatches, 6)."""
    values = curves.values

    def slope(level: float, rate: float) -> Floats:
        up, down = (
            _readings(table, values, table.level + s * _STEP * level, s * _STEP * rate)
            for s in (1.0, -1.0)
        )
        return np.asarray((up - down) / (2.0 * _STEP))

    return np.stack([slope(float(values["level_sd"]), 0.0), slope(0.0, spread)])
