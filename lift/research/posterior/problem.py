"""What the readings of swatches are asked: free parameters, ties, structure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.doors import checked
from lift.errors import Floats, LiftError, check_choice, check_number
from lift.model.course import STANDARD, Structure
from lift.model.curves import CurveSet, Values
from lift.model.natural import natural_path
from lift.model.parameter import Parameter
from lift.research.posterior.settings import Settings
from lift.research.swatches.table import Swatches
from lift.results import Result
from lift.words import note

FREE = (
    "lightening_rate",
    "persulfate_rate",
    "half_oxidised_yield",
    "half_oxidised_rate_ratio",
    "half_oxidised_slope",
)
"""What is fitted when nothing is said: the rates that no source gives."""

FIXED = (
    *("level_sd", "rate_log_sd", "fibre_log_sd", "fade_log_sd"),
    *("warmth_allowance", "visible_lift", "painter_yellow_hue", "red_share"),
    *("damp_dilution", "porosity_gain", "porosity_exposure"),
)
"""Parameters that the colours of swatches say nothing about: they cannot be freed."""

START_RANGE = (-2.0, 14.0)
"""Starting levels [-]: the logarithm of a pigment load, which goes on beyond 1 to 10."""

LOSSES = ("t", "linear")
"""Scatter of each swatch estimated with the rest (robust), or as stated (plain squares)."""


@checked
@dataclass(frozen=True)
class Tie:
    """One parameter that follows another: ``name = factor * other``.

    Examples
    --------
    >>> Tie("persulfate_rate", "lightening_rate", 12.0).factor
    12.0
    """

    name: str
    other: str
    factor: float = 1.0

    def __post_init__(self) -> None:
        check_number(note("name.tie_factor", name=self.name), self.factor, 1e-6, 1e6)


def parse_tie(text: str) -> Tie:
    """Read ``A=B`` or ``A=0.5*B``.

    Raises
    ------
    LiftError
        When the text has another form.
    """
    found = re.fullmatch(r"\s*(\w+)\s*=\s*(?:([-+0-9.eE]+)\s*\*\s*)?([A-Za-z_]\w*)\s*", text)
    if not found:
        raise LiftError("tuning.tie", text=text)
    name, factor, other = found.groups()
    said = note("name.tie_factor", name=name)
    return Tie(name, other, check_number(said, factor or 1.0, 1e-6, 1e6))


@checked
@dataclass(frozen=True, eq=False, repr=False)
class Problem(Result):
    """Free parameters against the readings; each swatch has its own starting level.

    Parameters
    ----------
    swatches : Swatches
        The readings.
    curves : CurveSet
        Centre of what is believed before, and the values of everything not free.
    free : sequence of str
        Names of the free parameters.
    ties : sequence of Tie
        Parameters that follow a free one.
    structure : Structure
        Which physics to use.
    own_rates : bool
        Whether swatches may differ in rate.
    loss : str
        One of `LOSSES`.
    misfit : bool
        Whether swatches may lie off what the physics can give them, see `lift.model.misfit`.
    settings : Settings, optional
        Those with a rate and a scale of colour of their own; default: those that the swatches name.

    Raises
    ------
    LiftError
        For a name that is unknown, doubled, or that colours say nothing about.

    Examples
    --------
    >>> from lift.model.curves import default_curves
    >>> from lift.research.swatches.swatch_file import read_swatches
    >>> swatches = read_swatches("shared/invented_swatches.csv")
    >>> Problem(swatches, default_curves(), free=("lightening_rate",)).free
    ('lightening_rate',)
    """

    swatches: Swatches
    curves: CurveSet
    free: Sequence[str] = FREE
    ties: Sequence[Tie] = ()
    structure: Structure = STANDARD
    own_rates: bool = True
    loss: str = "t"
    misfit: bool = True
    settings: Settings | None = None

    def __post_init__(self) -> None:
        if self.settings is None:
            object.__setattr__(self, "settings", Settings.of(self.swatches))
        check_choice("name.loss", self.loss, LOSSES)
        object.__setattr__(self, "free", tuple(self.free))
        object.__setattr__(self, "ties", tuple(self.ties))
        known = [n for n in self.curves if n not in FIXED]
        names = [*self.free, *(t.name for t in self.ties)]
        for name in names:
            if name in FIXED:
                raise LiftError("tuning.not_by_colour", name=name)
            check_choice("name.free_parameter", name, known)
        if len(set(names)) != len(names):
            raise LiftError("tuning.twice")
        for tie in self.ties:
            check_choice(note("name.tie", name=tie.name), tie.other, self.free)

    @cached_property
    def parameters(self) -> tuple[Parameter, ...]:
        """The free parameters, in order."""
        return tuple(self.curves[n] for n in self.free)

    @cached_property
    def bounds(self) -> tuple[Floats, Floats]:
        """Lowest and highest value of each free parameter; a tie narrows what it follows."""
        low = {p.name: p.low for p in self.parameters}
        high = {p.name: p.high for p in self.parameters}
        for tie in self.ties:
            low[tie.other] = max(low[tie.other], self.curves[tie.name].low / tie.factor)
            high[tie.other] = min(high[tie.other], self.curves[tie.name].high / tie.factor)
            if low[tie.other] >= high[tie.other]:
                raise LiftError("tuning.tie_range", name=tie.name, other=tie.other)
        return np.array([*low.values()]), np.array([*high.values()])

    @property
    def told_apart(self) -> Settings:
        """Those with a rate and a scale of colour of their own."""
        assert self.settings is not None
        return self.settings

    def values(self, theta: ArrayLike) -> Values:
        """Parameter values for free ones of shape (free,) or (sets, free)."""
        columns = np.moveaxis(np.asarray(theta, dtype=np.float64), -1, 0)
        values: dict[str, Any] = dict(self.curves.values)
        values.update(zip(self.free, columns, strict=True))
        for tie in self.ties:
            values[tie.name] = tie.factor * values[tie.other]
        return values


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
