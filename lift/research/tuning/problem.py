"""What a fit of the stage curves varies, and what it makes small."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_choice, check_number
from lift.model.course import PEROXIDE_ORDER, STANDARD, Structure
from lift.model.curves import CurveSet, Parameter, Values
from lift.model.natural import natural_path
from lift.research.swatches.forward import exposure, predict
from lift.research.swatches.table import Swatches
from lift.research.tuning.fitting import Sparsity

FREE = (
    "lightening_rate",
    "powder_boost",
    "half_oxidised_yield",
    "half_oxidised_rate_ratio",
    "half_oxidised_slope",
)
"""What is fitted when nothing is said: the rates that no source gives."""

FIXED = (
    *("level_sd", "rate_log_sd", "fibre_log_sd", "fade_log_sd"),
    *("warmth_allowance", "visible_lift", "painter_yellow_hue"),
    *("damp_dilution", "porosity_gain", "porosity_exposure"),
)
"""Parameters that the colours of swatches say nothing about: they cannot be freed."""

START_RANGE = (-2.0, 14.0)
"""Starting levels [-]: the logarithm of a pigment load, which goes on beyond 1 to 10."""


FARTHEST = 6.0
"""Spreads by which the rate of a swatch may be off."""


@dataclass(frozen=True)
class Tie:
    """One parameter that follows another: ``name = factor * other``."""

    name: str
    other: str
    factor: float = 1.0


def parse_tie(text: str) -> Tie:
    """Read ``A=B`` or ``A=0.5*B``.

    Raises
    ------
    LiftError
        When the text has another form.
    """
    found = re.fullmatch(r"\s*(\w+)\s*=\s*(?:([-+0-9.eE]+)\s*\*\s*)?([A-Za-z_]\w*)\s*", text)
    if not found:
        raise LiftError(f"tie {text!r} is not NAME=OTHER or NAME=FACTOR*OTHER")
    name, factor, other = found.groups()
    return Tie(name, other, check_number(f"factor of {name}", factor or 1.0, 1e-6, 1e6))


@dataclass(frozen=True, eq=False)
class Problem:
    """Free parameters and starting levels against the readings.

    The vector that a fit varies holds the free parameters first, in the order of `free`, then the
    starting level of each swatch, then, where swatches may differ in rate, how far each swatch's
    is off [spreads]. Its residuals are the colour differences over their expected scatter, row by
    row in L*, a*, b*, then the differences of the starting levels from the judged ones over the
    curve set's ``level_sd``, then the deviates of the rates.

    Parameters
    ----------
    swatches : Swatches
        The readings.
    curves : CurveSet
        Where the fit starts, and the values of everything not free.
    free : sequence of str
        Names of the free parameters; ``peroxide_order`` is allowed beside the curve set's.
    ties : sequence of Tie
        Parameters that follow a free one.
    structure : Structure
        Which physics to use.
    rate_spread : float
        Standard deviation of the logarithm of the rate from swatch to swatch [-]; 0: one rate.
    scatter_scale : float
        Factor on the expected scatter of the readings [-].

    Raises
    ------
    LiftError
        For a name that is unknown, doubled, or that colours say nothing about.
    """

    swatches: Swatches
    curves: CurveSet
    free: Sequence[str] = FREE
    ties: Sequence[Tie] = ()
    structure: Structure = STANDARD
    rate_spread: float = 0.0
    scatter_scale: float = 1.0

    def __post_init__(self) -> None:
        check_number("spread of the rate", self.rate_spread, 0.0, 2.0)
        check_number("scale of the scatter", self.scatter_scale, 1e-6, 1e6)
        object.__setattr__(self, "free", tuple(self.free))
        object.__setattr__(self, "ties", tuple(self.ties))
        known = [n for n in (*self.curves, PEROXIDE_ORDER.name) if n not in FIXED]
        names = [*self.free, *(t.name for t in self.ties)]
        for name in names:
            if name in FIXED:
                raise LiftError(f"parameter {name!r} cannot be fitted: colours do not depend on it")
            check_choice("free parameter", name, known)
        if len(set(names)) != len(names):
            raise LiftError("a parameter is freed or tied twice")
        for tie in self.ties:
            check_choice(f"tie of {tie.name}", tie.other, self.free)

    @cached_property
    def parameters(self) -> tuple[Parameter, ...]:
        """The free parameters, in order."""
        return tuple(
            PEROXIDE_ORDER if n == PEROXIDE_ORDER.name else self.curves[n] for n in self.free
        )

    @cached_property
    def bounds(self) -> tuple[Floats, Floats]:
        """Lowest and highest value of the whole vector; a tie narrows the range it follows."""
        low = {p.name: p.low for p in self.parameters}
        high = {p.name: p.high for p in self.parameters}
        for tie in self.ties:
            low[tie.other] = max(low[tie.other], self.curves[tie.name].low / tie.factor)
            high[tie.other] = min(high[tie.other], self.curves[tie.name].high / tie.factor)
            if low[tie.other] >= high[tie.other]:
                raise LiftError(f"tie of {tie.name} to {tie.other} leaves no range for either")
        count = len(self.swatches.names)
        rates = count if self.rate_spread > 0.0 else 0
        return (
            np.array([*low.values(), *[START_RANGE[0]] * count, *[-FARTHEST] * rates]),
            np.array([*high.values(), *[START_RANGE[1]] * count, *[FARTHEST] * rates]),
        )

    @cached_property
    def start(self) -> Floats:
        """Where the fit starts: the curve set's values and the starting levels as they look."""
        low, high = self.bounds
        start = np.zeros(low.size)
        known = [*(p.value for p in self.parameters), *first_levels(self)]
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

    def values(self, theta: ArrayLike) -> Values:
        """Parameter values for free ones of shape (free,) or (sets, free)."""
        columns = np.moveaxis(np.asarray(theta, dtype=np.float64), -1, 0)
        values: dict[str, Any] = dict(self.curves.values)
        values.update(zip(self.free, columns, strict=True))
        for tie in self.ties:
            values[tie.name] = tie.factor * values[tie.other]
        return values

    def split(self, x: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Free parameters, starting levels and deviates of the rates, along the last axis."""
        x = np.asarray(x, dtype=np.float64)
        free, count = len(self.free), len(self.swatches.names)
        return x[..., :free], x[..., free : free + count], x[..., free + count :]

    def predict(self, x: ArrayLike) -> Floats:
        """Colours of every reading for vectors of shape (n,) or (sets, n)."""
        theta, starts, deviates = self.split(x)
        values = self.values(theta)
        exposed = None
        if deviates.shape[-1]:
            columns = {k: np.asarray(v)[..., None] if np.ndim(v) else v for k, v in values.items()}
            own_rate = np.exp(self.rate_spread * deviates[..., self.swatches.swatch])
            exposed = exposure(self.swatches, columns, self.structure) * own_rate
        return predict(self.swatches, values, starts, self.structure, exposed=exposed)

    def residuals(self, x: ArrayLike) -> Floats:
        """Residuals [expected standard deviations], shape (residuals,) or (sets, residuals)."""
        _, starts, deviates = self.split(x)
        scatter = self.scatter_scale * self.swatches.sd
        colour = (self.predict(x) - self.swatches.lab) / scatter
        judged = ~np.isnan(self.swatches.level)
        off = (starts - self.swatches.level)[..., judged] / self.curves.values["level_sd"]
        colours = colour.reshape(*colour.shape[:-2], -1)
        return np.concatenate([colours, off, deviates], axis=-1)

    def tuned(self, theta: ArrayLike) -> Mapping[str, float]:
        """Values of the free and the tied parameters, by name."""
        values = self.values(theta)
        return {n: float(values[n]) for n in (*self.free, *(t.name for t in self.ties))}


def first_levels(problem: Problem) -> Floats:
    """First guess of the starting levels [-], from the earliest reading or the judged level."""
    table = problem.swatches
    path = natural_path(problem.curves)
    guess = np.array(table.level)
    for swatch in range(guess.size):
        rows = np.flatnonzero(table.swatch == swatch)
        first = rows[np.argmin(table.minutes[rows])]
        if table.minutes[first] == 0.0 or np.isnan(guess[swatch]):
            guess[swatch] = path.level_of_lightness(table.lab[first, 0])
    return np.asarray(np.clip(guess, *START_RANGE))
