"""Swatches as strands: each has its own starting level, its own rate and its own scatter.

Strands of one head differ, and so do swatches. The logarithm of each swatch's rate scatters about
that of the curve set's by a spread (``rate_log_sd``) that the swatches tell; the same spread then
makes the ensemble of strands that a client's hair could turn out to be. Given the parameters,
swatches are independent, so what is a swatch's own is integrated out swatch by swatch: what is
left to explore has as many dimensions as parameters, however many swatches there are.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model import misfit
from lift.model.course import RATES
from lift.model.curves import Values
from lift.research.posterior.misfit import ROUGH, SCALES, Blocks
from lift.research.posterior.own import Own, level_and_rate
from lift.research.posterior.priors import Prior, values_of
from lift.research.posterior.problem import START_RANGE, Problem, first_levels
from lift.research.posterior.settings import Rows
from lift.research.swatches.forward import NOT_IN_EXPOSURE, exposure, predict, predict_slopes
from lift.research.swatches.table import Swatches

SPREAD = "rate_log_sd"

SCATTER_FREEDOM = 4.0
"""Degrees of freedom of each swatch's scatter: its variance is an inverse gamma variable about the
table's. With 4, the logarithm of its standard deviation has a standard deviation of 0.40, as it
has over the published 0.3 to 1.2 in L* (drawn evenly in the logarithm: ln 4 / sqrt 12)."""

UNJUDGED_LEVEL = (5.5, 2.5)
"""Mean and standard deviation of a starting level that nobody judged [-]; assumed."""

WIDE_MISFIT = 2.0
"""Deviates at which a search begins: some CIELAB units."""

_FARTHEST = 6.0  # logarithm of a rate over the common one
_FAR = 0.1  # deviates from a look to where it leads
_READINGS_AT_ONCE = 300_000


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
        Rate of each swatch over the common one [-], shape (..., swatches).
    misfit : numpy.ndarray
        Standard deviation of the misfit in L*, a*, b* [CIELAB units], shape (..., 3).
    settings : numpy.ndarray
        Of those that the problem tells apart, shape (..., numbers); see `Settings.priors`.
    """

    theta: Floats
    spread: Floats
    starts: Floats
    rates: Floats
    misfit: Floats
    settings: Floats

    def __getitem__(self, pick: Any) -> Strands:
        return Strands(**{f.name: getattr(self, f.name)[pick] for f in fields(self)})


@dataclass(frozen=True, eq=False)
class StrandModel:
    """Posterior density of parameters and spread, with the swatches' own integrated out.

    Its coordinates are standard normal deviates under the prior, one a free parameter, then one
    for the spread where swatches may differ in rate, then those of the settings that are told
    apart, then three for the misfit where there is any.

    Parameters
    ----------
    problem : Problem
        Readings, free parameters, ties and structure.
    exposed : numpy.ndarray, optional
        Exposure of each reading, about [-], shape (rows,), which says where along the way its
        misfit is; default: by the curve set's own rates.
    """

    problem: Problem
    exposed: Floats | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """Free parameters, then the spread."""
        return (*self.problem.free, SPREAD) if self.problem.own_rates else tuple(self.problem.free)

    @property
    def dimensions(self) -> int:
        """Coordinates."""
        return len(self.priors)

    @cached_property
    def freedom(self) -> float:
        """Degrees of freedom of the scatter [-], infinite where it is as stated."""
        return SCATTER_FREEDOM if self.problem.loss == "t" else np.inf

    @cached_property
    def priors(self) -> tuple[Prior, ...]:
        """Prior of each coordinate; a tie narrows the range."""
        narrowed = [
            replace(p, low=low, high=high, value=min(max(p.value, low), high))
            for p, low, high in zip(self.problem.parameters, *self.problem.bounds, strict=True)
        ]
        spread = [self.problem.curves[SPREAD]] if self.problem.own_rates else []
        scales = SCALES if self.problem.misfit else ()
        settings = self.problem.told_apart.priors
        return (*map(Prior, (*narrowed, *spread)), *settings, *map(Prior, scales))

    @cached_property
    def blocks(self) -> Blocks:
        """Readings by swatch, and how they lean on each other."""
        if not self.problem.misfit:
            return Blocks(self.problem.swatches, None)
        if self.exposed is not None:
            return Blocks(self.problem.swatches, self.exposed)
        table, structure = self.problem.swatches, self.problem.structure
        return Blocks(table, exposure(table, self.problem.curves.values, structure))

    def start(self, deviates: Floats | float = 0.0) -> Floats:
        """Coordinates to climb from: those given, shape (..., dimensions), but a wide misfit.

        With a narrow one a wrong point would be a top of its own: every swatch would scatter far.
        """
        point = np.asarray(np.zeros(self.dimensions) + deviates)
        if self.problem.misfit:
            point[..., -len(SCALES) :] = WIDE_MISFIT
        return point

    def where_it_is(self, z: Floats, own: Floats) -> StrandModel:
        """The model with the exposures of one point, deviates of shape (swatches, 2)."""
        return replace(self, exposed=self._exposed(self.strands(z[None], own[None]))[0])

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

    @cached_property
    def first(self) -> Floats:
        """Deviates of level and rate to begin with, shape (swatches, 2)."""
        mean, sd = self.judged
        levels = (first_levels(self.problem) - mean) / sd
        return np.stack([levels, np.zeros(levels.size)], axis=-1)

    def parameters(self, z: ArrayLike) -> tuple[Floats, Floats]:
        """Free parameters and spread of coordinates, shapes (..., free) and (...)."""
        z = np.asarray(z, dtype=np.float64)
        count = len(self.problem.free)
        theta = values_of(self.priors[:count], z)
        if not self.problem.own_rates:
            return theta, np.zeros(z.shape[:-1])
        return theta, self.priors[count].from_standard(z[..., count])

    def misfit(self, z: ArrayLike) -> Floats:
        """Standard deviation of the misfit in L*, a*, b* [CIELAB units], shape (..., 3)."""
        z = np.asarray(z, dtype=np.float64)
        if not self.problem.misfit:
            return np.zeros((*z.shape[:-1], 3))
        return values_of(self.priors[-3:], z[..., -3:])

    def strands(self, z: Floats, own: Floats) -> Strands:
        """What coordinates (points, dimensions) and deviates (points, swatches, 2) stand for."""
        theta, spread = self.parameters(z)
        mean, sd = self.judged
        starts = np.clip(mean + sd * own[..., 0], *START_RANGE)
        log_rates = np.clip(spread[..., None] * own[..., 1], -_FARTHEST, _FARTHEST)
        rates = np.exp(log_rates)
        settings = values_of(self.problem.told_apart.priors, z[..., len(self.names) :])
        return Strands(theta, spread, starts, rates, self.misfit(z), settings)

    def look(self, z: Floats, own: Floats) -> Own:
        """Misfit of each swatch about some levels and rates, to first order in both.

        Parameters
        ----------
        z : numpy.ndarray
            Coordinates, shape (points, dimensions).
        own : numpy.ndarray
            Deviates of level and rate, shape (points, swatches, 2).
        """
        table, drawn = self.problem.swatches, self.strands(z, own)
        lab = self._slopes(drawn)
        level, rate = self._steps(drawn.spread, own)
        lab[0] -= table.lab
        lab[1] *= level[:, table.swatch, None]
        lab[2] *= rate[:, table.swatch, None]
        scales = self.misfit(z)
        off = self.blocks.whitened(lab / table.sd, scales)
        slopes = off[1:]

        def summed(one: Floats, other: Floats) -> Floats:
            return np.asarray(np.einsum("snp,snp->ps", one, other))

        bend = [[summed(a, b) for b in slopes] for a in slopes]
        return Own(
            at=own,
            squares=summed(off[0], off[0]),
            slope=np.stack([summed(a, off[0]) for a in slopes], axis=-1),
            bend=np.stack([np.stack(row, axis=-1) for row in bend], axis=-2),
            size=self.blocks.size(scales),
            readings=self.blocks.readings,
            freedom=self.freedom,
        )

    def settle(self, z: Floats, own: Floats, looks: int) -> Own:
        """Go to the likeliest levels and rates, looking again where each look leads."""
        found = self.look(z, own)
        for _ in range(looks - 1):
            found = self.look(z, found.best())
        return found

    def from_afar(self, z: Floats, looks: int = 10) -> Floats:
        """Likeliest levels and rates of one point from several first rates, shape (swatches, 2).

        A swatch of a very different rate, as one with a wrong label, has two tops.
        """
        first = np.stack([np.add(self.first, (0.0, off)) for off in (0.0, -3.0, 3.0)])
        found = self.settle(np.tile(z, (3, 1)), first, looks)
        which = np.argmax(found.log_density(), axis=0)
        return np.asarray(found.best()[which, np.arange(which.size)])

    def log_likelihood(
        self, z: ArrayLike, own: ArrayLike, looks: int = 2, further: int = 0
    ) -> tuple[Floats, Own]:
        """Log likelihood of each swatch's readings, its level, rate and scatter integrated out.

        Parameters
        ----------
        z : array_like
            Coordinates, shape (points, dimensions).
        own : array_like
            Levels and rates to look from, shape (points, swatches, 2).
        looks, further : int
            How often to look, and how often more at points where a look still leads far. Without
            the latter it is smooth in the coordinates.

        Returns
        -------
        numpy.ndarray
            But for a constant, shape (points, swatches).
        Own
            About the likeliest levels and rates.
        """
        z, own = np.asarray(z, dtype=np.float64), np.asarray(own, dtype=np.float64)
        size = max(1, _READINGS_AT_ONCE // (3 * len(self.problem.swatches)))
        parts = [
            self.settle(z[i : i + size], own[i : i + size], looks) for i in range(0, len(z), size)
        ]
        found = Own.joined(parts)
        told = level_and_rate(found)
        if further:
            off = found.step()
            far = np.flatnonzero(np.abs(off).max(axis=(1, 2)) > _FAR)
            if far.size:
                again, there = self.log_likelihood(z[far], (found.at + off)[far], 1, further - 1)
                told[far] = again
                found = found.with_points(far, there)
        return told, found

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
        values, structure = self.problem.values(drawn.theta), self.problem.structure
        exposed = self._exposed(drawn, conditions)
        lab = predict(table, values, drawn.starts, structure, exposed=exposed)
        return lab + self.problem.told_apart.colour(drawn.settings, self._settings_of(conditions))

    def _slopes(self, drawn: Strands) -> Floats:
        """Colours of the measured readings with their slopes, shape (3, points, rows, 3)."""
        values, structure = self.problem.values(drawn.theta), self.problem.structure
        exposed, table = self._exposed(drawn), self.problem.swatches
        lab = predict_slopes(table, values, drawn.starts, structure, exposed)
        lab[0] += self.problem.told_apart.colour(drawn.settings, self._settings_of())
        return lab

    def _settings_of(self, conditions: Swatches | None = None) -> Rows:
        """Which settings each reading is of."""
        if conditions is None:
            return self._own_settings
        return self.problem.told_apart.rows(conditions)

    @cached_property
    def _own_settings(self) -> Rows:
        return self.problem.told_apart.rows(self.problem.swatches)

    def _steps(self, spread: Floats, own: Floats) -> tuple[Floats, Floats]:
        """Level and logarithm of the rate per deviate, none beyond their ranges.

        Shapes (points, swatches).
        """
        mean, sd = self.judged
        low, high = START_RANGE
        levels, wide = mean + sd * own[..., 0], spread[..., None] + 0.0 * own[..., 1]
        inside = (levels >= low) & (levels <= high)
        near = np.abs(wide * own[..., 1]) <= _FARTHEST
        return np.where(inside, sd, 0.0), np.where(near, wide, 0.0)

    def _exposed(self, drawn: Strands, conditions: Swatches | None = None) -> Floats:
        """Exposure of each reading [-], shape (points, rows)."""
        table = self.problem.swatches if conditions is None else conditions
        values = self.problem.values(drawn.theta)
        if conditions is None and self._fixed_dose is not None:
            each = [np.broadcast_to(values[name], len(drawn.theta)) for name in RATES]
            dose = self._fixed_dose[0] + np.stack(each, axis=-1) @ self._fixed_dose[1:]
        else:
            by_set: Values = {k: v[:, None] if np.ndim(v) else v for k, v in values.items()}
            dose = exposure(table, by_set, self.problem.structure)
        own = self.problem.told_apart.log_rate(drawn.settings, self._settings_of(conditions))
        return np.asarray(dose * drawn.rates[:, table.swatch] * np.exp(own))

    @cached_property
    def _fixed_dose(self) -> Floats | None:
        """Exposure of every reading before, and by a rate of 1 of each oxidant, shape (3, rows).

        None where a free parameter changes any of it.
        """
        varied = {*self.problem.free, *(tie.name for tie in self.problem.ties)}
        if varied - {*RATES, *NOT_IN_EXPOSURE}:
            return None

        def at(**rates: float) -> Floats:
            values = {**self.problem.curves.values, **dict.fromkeys(RATES, 0.0), **rates}
            return exposure(self.problem.swatches, values, self.problem.structure)

        before = at()
        return np.stack([before, *(at(**{name: 1.0}) - before for name in RATES)])

    def draw_prior(self, random: np.random.Generator) -> Strands:
        """One draw of everything from the prior, shape (1,)."""
        z = random.standard_normal((1, self.dimensions))
        own = random.standard_normal((1, len(self.problem.swatches.names), 2))
        return self.strands(z, own)

    def measure(self, drawn: Strands, random: np.random.Generator) -> Swatches:
        """Measure the same conditions on other strands, of shape (1,), with scatter drawn anew.

        Parameters
        ----------
        drawn : Strands
            Truth.
        random : numpy.random.Generator
            Source of the scatter.

        Returns
        -------
        Swatches
            Marked as invented.
        """
        table = self.problem.swatches
        half = SCATTER_FREEDOM / 2.0
        factor = 1.0 / np.sqrt(random.gamma(half, 1.0 / half, len(table.names)))
        off = table.sd * random.standard_normal(table.lab.shape)
        if self.problem.misfit:
            at = misfit.weights(self._exposed(drawn)[0])
            own = misfit.draw(drawn.misfit, random, len(table.names))[table.swatch]
            off += np.sqrt(1.0 - ROUGH) * np.einsum("rn,rcn->rc", at, own)
            off += np.sqrt(ROUGH) * drawn.misfit * random.standard_normal(off.shape)
        lab = self.predict(drawn)[0] + factor[table.swatch, None] * off
        return table.replace(lab=lab, invented=True)
