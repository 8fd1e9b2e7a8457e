"""The tuning by least squares, expectation-maximisation and jackknife: an oracle of its own."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike
from oracles.least_squares import Fit, Sparsity, fit

from lift.errors import Floats
from lift.research.posterior.problem import START_RANGE, Problem, first_levels
from lift.research.swatches.forward import exposure, predict

FARTHEST = 6.0
KNEE = 2.0
LEAST_SPREAD = 0.005
ROUNDS = 20


@dataclass(frozen=True, eq=False)
class Squares:
    """A problem as residuals: free parameters, starting levels, deviates of the rates."""

    problem: Problem
    rate_spread: float = 0.0
    scatter_scale: float = 1.0

    @property
    def swatches(self):
        return self.problem.swatches

    @property
    def free(self):
        return self.problem.free

    @cached_property
    def bounds(self) -> tuple[Floats, Floats]:
        low, high = self.problem.bounds
        count = len(self.swatches.names)
        rates = count if self.rate_spread > 0.0 else 0
        return (
            np.array([*low, *[START_RANGE[0]] * count, *[-FARTHEST] * rates]),
            np.array([*high, *[START_RANGE[1]] * count, *[FARTHEST] * rates]),
        )

    @cached_property
    def start(self) -> Floats:
        low, high = self.bounds
        start = np.zeros(low.size)
        known = [*(p.value for p in self.problem.parameters), *first_levels(self.problem)]
        start[: len(known)] = known
        return np.asarray(np.clip(start, low, high))

    @cached_property
    def sparsity(self) -> Sparsity:
        """Which residuals each element moves: those of a swatch move only its own."""
        count, free = len(self.swatches.names), len(self.free)
        own = np.repeat(self.swatches.swatch[:, None] == np.arange(count), 3, axis=0)
        judged = np.eye(count, dtype=bool)[~np.isnan(self.swatches.level)]
        blocks = [[own], [judged]]
        groups = [*range(free), *[free] * count]
        if self.rate_spread > 0.0:
            one, none = np.eye(count, dtype=bool), np.zeros((count, count), dtype=bool)
            blocks = [[own, own], [judged, none[: len(judged)]], [none, one]]
            groups += [free + 1] * count
        swatches = np.block(blocks)
        touches = np.concatenate([np.ones((len(swatches), free), dtype=bool), swatches], axis=1)
        return Sparsity(np.array(groups), touches)

    def split(self, x: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Free parameters, starting levels and deviates of the rates, along the last axis."""
        x = np.asarray(x, dtype=np.float64)
        free, count = len(self.free), len(self.swatches.names)
        return x[..., :free], x[..., free : free + count], x[..., free + count :]

    def predict(self, x: ArrayLike) -> Floats:
        """Colours of every reading for vectors of shape (n,) or (sets, n)."""
        theta, starts, deviates = self.split(x)
        values = self.problem.values(theta)
        exposed = None
        if deviates.shape[-1]:
            columns = {k: np.asarray(v)[..., None] if np.ndim(v) else v for k, v in values.items()}
            own_rate = np.exp(self.rate_spread * deviates[..., self.swatches.swatch])
            exposed = exposure(self.swatches, columns, self.problem.structure) * own_rate
        return predict(self.swatches, values, starts, self.problem.structure, exposed=exposed)

    def residuals(self, x: ArrayLike) -> Floats:
        """Residuals [expected standard deviations], shape (residuals,) or (sets, residuals)."""
        _, starts, deviates = self.split(x)
        scatter = self.scatter_scale * self.swatches.sd
        colour = (self.predict(x) - self.swatches.lab) / scatter
        judged = ~np.isnan(self.swatches.level)
        off = (starts - self.swatches.level)[..., judged] / self.problem.curves.values["level_sd"]
        colours = colour.reshape(*colour.shape[:-2], -1)
        return np.concatenate([colours, off, deviates], axis=-1)


def solve(squares: Squares, start: Floats, loss: str = "soft_l1", tolerance: float = 1e-9) -> Fit:
    return fit(
        squares.residuals,
        start,
        *squares.bounds,
        loss=loss,
        knee=KNEE,
        sparsity=squares.sparsity,
        tolerance=tolerance,
    )


def least_squares(problem: Problem, loss: str = "soft_l1") -> tuple[Squares, Fit]:
    """Fit, then go on until spread and scatter agree with what is left over."""
    spread = max(float(problem.curves.values["rate_log_sd"]), LEAST_SPREAD)
    squares = Squares(problem, spread if problem.own_rates else 0.0)
    best = solve(squares, squares.start, loss)
    count = len(problem.swatches.names)
    for _ in range(ROUNDS):
        scale = squares.scatter_scale * scatter_left(squares, best)
        spread, x = squares.rate_spread, best.x.copy()
        if problem.own_rates:
            spread = spread_left(squares, best)
            # A deviate keeps its meaning when the spread that it counts in changes.
            x[-count:] *= squares.rate_spread / spread
        settled = abs(np.log(scale / squares.scatter_scale)) < 5e-3
        if problem.own_rates:
            settled = settled and abs(np.log(spread / squares.rate_spread)) < 1e-2
        squares = replace(squares, scatter_scale=scale, rate_spread=spread)
        best = solve(squares, x, loss)
        if settled:
            break
    return squares, best


def scatter_left(squares: Squares, found: Fit) -> float:
    """Scatter of the readings about the fit, over that which the fit was made with [-]."""
    count = 3 * len(squares.swatches)
    influence, slope = (part[:count] for part in found.influence())
    room = max(count - found.leverages[:count].sum(), 1.0)
    return float(np.sqrt(max(influence @ influence / room / slope.mean(), 1e-12)))


def spread_left(squares: Squares, found: Fit) -> float:
    """Spread of the rates that the deviates and their own uncertainty amount to [-].

    Of the maximum of the likelihood over it, by the EM algorithm (Dempster, Laird & Rubin 1977;
    from memory).
    """
    count = len(squares.swatches.names)
    deviates, unknown = found.x[-count:], np.diag(found.covariance)[-count:]
    return max(squares.rate_spread * float(np.sqrt(np.mean(deviates**2 + unknown))), LEAST_SPREAD)


def jackknife_errors(squares: Squares, best: Fit) -> Floats:
    """Standard errors of the free parameters from one swatch to another, shape (free,).

    Efron & Tibshirani 1993, eq. 11.5; from memory.
    """
    table, found = squares.swatches, []
    theta, starts, deviates = squares.split(best.x)
    count = len(table.names)
    for swatch in range(count):
        inside = replace(squares.problem, swatches=table.without(swatch))
        kept = np.delete(deviates, swatch) if deviates.size else deviates
        start = np.concatenate([theta, np.delete(starts, swatch), kept])
        without = solve(replace(squares, problem=inside), start, tolerance=1e-7)
        found.append(without.x[: theta.size])
    off = np.array(found) - np.mean(found, axis=0)
    return np.sqrt((count - 1) / count * np.sum(off**2, axis=0))
