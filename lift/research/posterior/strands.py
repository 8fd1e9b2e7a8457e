"""Swatches as strands: each has its own starting level, its own rate and its own scatter.

Strands of one head differ, and so do swatches. Here the logarithm of each swatch's rate scatters
about that of the rate of the curve set, by a spread (``rate_log_sd``) that the swatches tell; the
same spread then makes the ensemble of strands that a client's hair could turn out to be.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.curves import Values
from lift.research.posterior.priors import Prior
from lift.research.swatches.forward import exposure, predict
from lift.research.swatches.table import Swatches
from lift.research.tuning.problem import START_RANGE, Problem, first_levels

SPREAD = "rate_log_sd"
RATE = "lightening_rate"

SCATTER_FREEDOM = 4.0
"""Degrees of freedom of each swatch's scatter: its variance is an inverse gamma variable about the
table's. With 4, the logarithm of its standard deviation has a standard deviation of 0.40, as it
has over the published 0.3 to 1.2 in L* (drawn evenly in the logarithm: ln 4 / sqrt 12)."""

UNJUDGED_LEVEL = (5.5, 2.5)
"""Mean and standard deviation of a starting level that nobody judged [-]; assumed."""

NOT_IN_EXPOSURE = frozenset(
    (
        *("half_oxidised_yield", "half_oxidised_rate_ratio", "pheomelanin_rate_ratio"),
        *("eumelanin_slope", "pheomelanin_slope", "half_oxidised_slope", "keratin_slope"),
        *("melanin_at_level_3", "level_ratio", "pheomelanin_share", "keratin_strength"),
        *("eumelanin_strength", "pheomelanin_strength", "surface_reflectance", "surface_slope"),
    )
)
"""Parameters of colour and of what decays, which leave the dose as it is: it is then reused."""

_OWN_RATE_UNIT = 0.1  # of a coordinate: a size that keeps the sampler's scales alike
_FARTHEST_RATE = 6.0


@dataclass(frozen=True, eq=False)
class Strands:
    """Draws, or one of them; the leading axes (...) are alike.

    Parameters
    ----------
    theta : numpy.ndarray
        Free parameters, each in its unit, shape (..., free).
    spread : numpy.ndarray
        Spread of the logarithm of the rate from swatch to swatch [-], shape (...).
    starts : numpy.ndarray
        Starting level of each swatch [-], shape (..., swatches).
    rates : numpy.ndarray
        Rate of each swatch [L/(mol min)], shape (..., swatches).
    """

    theta: Floats
    spread: Floats
    starts: Floats
    rates: Floats

    @property
    def parameters(self) -> Floats:
        """Free parameters, then the spread, shape (..., free + 1)."""
        return np.concatenate([self.theta, self.spread[..., None]], axis=-1)


@dataclass(frozen=True, eq=False)
class StrandModel:
    """Posterior density of parameters, spread, starting levels and rates, given the readings.

    Parameters
    ----------
    problem : Problem
        Readings, free parameters, ties and structure.
    """

    problem: Problem

    @property
    def names(self) -> tuple[str, ...]:
        """Free parameters, then the spread."""
        return (*self.problem.free, SPREAD)

    @property
    def dimensions(self) -> int:
        """Coordinates: the parameters, then two for each swatch."""
        return len(self.names) + 2 * self._count

    @property
    def _count(self) -> int:
        return len(self.problem.swatches.names)

    @cached_property
    def priors(self) -> tuple[Prior, ...]:
        """Prior of each free parameter, then of the spread; a tie narrows the range."""
        narrowed = [
            replace(p, low=low, high=high, value=min(max(p.value, low), high))
            for p, low, high in zip(self.problem.parameters, *self.problem.bounds, strict=False)
        ]
        return tuple(Prior(p) for p in (*narrowed, self.problem.curves[SPREAD]))

    @cached_property
    def _rate_index(self) -> int | None:
        free = tuple(self.problem.free)
        return free.index(RATE) if RATE in free else None

    @cached_property
    def judged(self) -> tuple[Floats, Floats]:
        """Mean and standard deviation of each starting level before any reading."""
        level = self.problem.swatches.level
        unknown = np.isnan(level)
        sd = float(self.problem.curves.values["level_sd"])
        return (
            np.where(unknown, UNJUDGED_LEVEL[0], level),
            np.where(unknown, UNJUDGED_LEVEL[1], max(sd, 1e-3)),
        )

    def values(self, theta: ArrayLike) -> Values:
        """Parameter values; see `Problem.values`."""
        return self.problem.values(theta)

    def strands(self, z: ArrayLike) -> Strands:
        """Turn coordinates into what they stand for.

        The coordinates are standard normal deviates under the prior, but for two kinds: the rate
        of each swatch is relative to the curve set's, and the rate that they scatter about is
        relative to their mean, in its own standard error. The readings tell both so directly
        that a prior's deviates would leave the sampler with needles and funnels.

        Parameters
        ----------
        z : array_like
            Shape (..., dimensions).

        Returns
        -------
        Strands
        """
        z = np.asarray(z, dtype=np.float64)
        free, count = len(self.problem.free), self._count
        spread = self.priors[-1].from_standard(z[..., free])
        mean, sd = self.judged
        starts = np.clip(mean + sd * z[..., free + 1 : free + 1 + count], *START_RANGE)
        off = np.clip(_OWN_RATE_UNIT * z[..., -count:], -_FARTHEST_RATE, _FARTHEST_RATE)
        own = np.log(self.problem.curves.values[RATE]) + off
        theta = np.empty((*z.shape[:-1], free))
        for i, prior in enumerate(self.priors[:-1]):
            if i == self._rate_index:
                error = spread / np.sqrt(count)
                theta[..., i] = np.exp(own.mean(axis=-1) + error * np.clip(z[..., i], -50.0, 50.0))
            else:
                theta[..., i] = prior.from_standard(z[..., i])
        return Strands(theta, spread, starts, np.exp(own))

    def log_density(self, z: ArrayLike) -> Floats:
        """Log posterior density of coordinates, but for a constant.

        Parameters
        ----------
        z : array_like
            Shape (points, dimensions).

        Returns
        -------
        numpy.ndarray
            Shape (points,); minus infinity outside a parameter's range.
        """
        z = np.asarray(z, dtype=np.float64)
        free, count = len(self.problem.free), self._count
        drawn = self.strands(z)
        standard = [i for i in range(free + 1 + count) if i != self._rate_index]
        prior = -0.5 * np.sum(z[:, standard] ** 2, axis=1)
        log_rate = np.log(np.broadcast_to(self.values(drawn.theta)[RATE], len(z)))
        if self._rate_index is not None:
            rate = self.priors[self._rate_index]
            prior = prior + rate.log_density_of_log(log_rate) + np.log(drawn.spread)
        # Not the clipped rates: the density must go on falling where they stop.
        own = np.log(self.problem.curves.values[RATE]) + _OWN_RATE_UNIT * z[:, -count:]
        off = (own - log_rate[:, None]) / drawn.spread[:, None]
        prior = prior - 0.5 * np.sum(off**2, axis=1) - count * np.log(drawn.spread)
        return np.asarray(prior + self.log_likelihood(drawn).sum(axis=1))

    def log_likelihood(self, drawn: Strands) -> Floats:
        """Log likelihood of the readings of each swatch, its scatter integrated out.

        The readings of one swatch share the factor of their scatter, so together they follow a
        multivariate t distribution: a swatch that scatters more than it should counts less.

        Parameters
        ----------
        drawn : Strands
            Of shape (points,).

        Returns
        -------
        numpy.ndarray
            But for a constant, shape (points, swatches).
        """
        table = self.problem.swatches
        off = (self.predict(drawn) - table.lab) / table.sd
        own = np.eye(self._count)[table.swatch]
        squares = np.sum(off**2, axis=-1) @ own
        readings = 3.0 * own.sum(axis=0)
        freedom = SCATTER_FREEDOM
        return np.asarray(-0.5 * (freedom + readings) * np.log1p(squares / freedom))

    def predict(self, drawn: Strands, conditions: Swatches | None = None) -> Floats:
        """Colours without scatter, shape (points, rows, 3).

        Parameters
        ----------
        drawn : Strands
            Of shape (points,).
        conditions : Swatches, optional
            Other readings of the same swatches; default: those measured.
        """
        table = self.problem.swatches if conditions is None else conditions
        values = {**self.values(drawn.theta), RATE: 1.0}
        structure = self.problem.structure
        if conditions is None and self._fixed_dose is not None:
            dose = self._fixed_dose
        else:
            by_set = {k: v[:, None] if np.ndim(v) else v for k, v in values.items()}
            dose = exposure(table, by_set, structure)
        exposed = dose * drawn.rates[:, table.swatch]
        return predict(table, values, drawn.starts, structure, exposed=exposed)

    @cached_property
    def _fixed_dose(self) -> Floats | None:
        """Exposure of every reading at a rate of 1, when no free parameter changes it."""
        varied = {*self.problem.free, *(tie.name for tie in self.problem.ties)}
        if varied - {RATE, *NOT_IN_EXPOSURE}:
            return None
        values = {**self.problem.curves.values, RATE: 1.0}
        return exposure(self.problem.swatches, values, self.problem.structure)

    def start(self) -> Floats:
        """Coordinates to begin the search at, shape (dimensions,)."""
        z = np.zeros(self.dimensions)
        free, count = len(self.problem.free), self._count
        mean, sd = self.judged
        z[free + 1 : free + 1 + count] = (first_levels(self.problem) - mean) / sd
        return z

    def draw_prior(self, random: np.random.Generator) -> Strands:
        """One draw of everything from the prior, shape ()."""
        theta = np.array([p.from_standard(random.standard_normal()) for p in self.priors])
        mean, sd = self.judged
        starts = np.clip(mean + sd * random.standard_normal(mean.shape), *START_RANGE)
        log_rate = np.log(float(self.values(theta[:-1])[RATE]))
        own = log_rate + theta[-1] * random.standard_normal(mean.shape)
        return Strands(theta[:-1], theta[-1], starts, np.exp(own))

    def measure(self, drawn: Strands, random: np.random.Generator) -> Swatches:
        """Measure the same conditions on other strands, with scatter drawn anew.

        Parameters
        ----------
        drawn : Strands
            Truth, of shape ().
        random : numpy.random.Generator
            Source of the scatter.

        Returns
        -------
        Swatches
            Marked as invented.
        """
        table = self.problem.swatches
        one = Strands(drawn.theta[None], drawn.spread[None], drawn.starts[None], drawn.rates[None])
        half = SCATTER_FREEDOM / 2.0
        factor = 1.0 / np.sqrt(random.gamma(half, 1.0 / half, self._count))
        sd = table.sd * factor[table.swatch, None]
        lab = self.predict(one)[0] + sd * random.standard_normal(table.lab.shape)
        return table.replace(lab=lab, invented=True)
