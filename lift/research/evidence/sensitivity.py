"""How far the window moves when one number of the model, or one reading of the hair, is off."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.bounds import DOMAIN
from lift.model.curves import CurveSet, default_curves
from lift.model.ensemble import LATENT, check_one_strand, draw_latent
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Goal
from lift.practice.window import LIMIT_MINUTES, find_window
from lift.quantities import quantities_of
from lift.results import Result
from lift.words import Note, note

SHARE = 0.1
"""Relative change of a number, the same for all that count an amount."""

OFFSETS = {
    "peroxide_pka": 0.1,
    "reference_ph": 0.1,
    "cream_ph": 0.1,
    "base_break_ph": 0.1,
    "powder_ph": 0.1,
    "reference_temperature": 3.0,
    "painter_yellow_hue": 5.0,
}
"""Change of numbers whose zero is a convention, in their own unit: no tenth of a pH makes sense."""

READINGS = {
    "level": (0.5, "levels"),
    "fibre_um": (10.0, "um"),
    "volume": (1.0, "vol"),
    "temperature_c": (3.0, "C"),
}
"""How far a reading may be off at the chair; level: common practice (no source), rest assumed."""


@dataclass(frozen=True, eq=False, repr=False)
class Sensitivity(Result):
    """When the strand is too warm, and when lift is enough, with one number changed.

    Parameters
    ----------
    names : tuple of str
        What was changed, shape (n,).
    labels : tuple of Note
        Both values with their unit, such as ``0.101 to 0.123 L/(mol min)``.
    statuses : tuple of str
        Status of each number.
    opens, closes : numpy.ndarray
        Time at which lift is enough and at which warmth passes its limit [min], with the number
        lowered and raised, shape (n, 2); infinity when not within the time limit.
    base_opens, base_closes : float
        The same with nothing changed [min].
    """

    names: tuple[str, ...]
    labels: tuple[Note, ...]
    statuses: tuple[str, ...]
    opens: Floats
    closes: Floats
    base_opens: float
    base_closes: float

    @property
    def swing(self) -> Floats:
        """Distance between the closing times [min], shape (n,); infinity when one is missing."""
        low, high = self.closes.T
        both = np.isfinite(low) & np.isfinite(high)
        apart = np.abs(np.where(both, high, 0.0) - np.where(both, low, 0.0))
        never = ~np.isfinite(low) & ~np.isfinite(high)
        return np.where(both, apart, np.where(never, 0.0, np.inf))

    def largest(self, count: int) -> Sensitivity:
        """Return the `count` changes with the largest swing, largest first."""
        order = np.argsort(-self.swing, kind="stable")[:count]
        return Sensitivity(
            tuple(self.names[i] for i in order),
            tuple(self.labels[i] for i in order),
            tuple(self.statuses[i] for i in order),
            self.opens[order],
            self.closes[order],
            self.base_opens,
            self.base_closes,
        )


def window_sensitivity(
    hair: Hair,
    mixture: Mixture,
    goal: Goal | None = None,
    curves: CurveSet | None = None,
    *,
    whole_range: bool = False,
) -> Sensitivity:
    """Change every parameter of a curve set, one at a time, and find the window again.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    goal : Goal, optional
        Default: to stay natural.
    curves : CurveSet, optional
        Default: the shipped set.
    whole_range : bool
        Go to both ends of each parameter's allowed range; else change it by a tenth of its value
        (`SHARE`), or by `OFFSETS`, cut off at its range.

    Returns
    -------
    Sensitivity
        One entry for each parameter, in the curve set's order.

    Notes
    -----
    The other parameters are held. A set that was fitted would let some of them make up for part
    of the change, so this is the most that one number can do by itself.

    Examples
    --------
    >>> import lift
    >>> found = lift.lab.window_sensitivity(lift.Hair(7, damp=True), lift.Mixture("base-break", 10))
    >>> len(found.largest(3).names)
    3
    """
    curves = curves or default_curves()
    labels, times = [], []
    for name in curves:
        parameter = curves[name]
        low, high = parameter.low, parameter.high
        if not whole_range:
            change = OFFSETS.get(name, SHARE * abs(parameter.value))
            low, high = max(low, parameter.value - change), min(high, parameter.value + change)
        labels.append(_span(low, high, parameter.unit))
        times.append([_edges(hair, mixture, goal, _with(curves, name, v)) for v in (low, high)])
    statuses = tuple(curves[name].status for name in curves)
    base = _edges(hair, mixture, goal, curves)
    return _collect(tuple(curves), labels, statuses, times, base)


def reading_sensitivity(
    hair: Hair, mixture: Mixture, goal: Goal | None = None, curves: CurveSet | None = None
) -> Sensitivity:
    """Misread the hair or the mixture by what is usual at the chair (see `READINGS`).

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    goal : Goal, optional
        Default: to stay natural.
    curves : CurveSet, optional
        Default: the shipped set.

    Returns
    -------
    Sensitivity

    Examples
    --------
    >>> import lift
    >>> lift.lab.reading_sensitivity(lift.Hair(7), lift.Mixture("cream", 20)).names
    ('level', 'fibre_um', 'volume', 'temperature_c')
    """
    curves = curves or default_curves()
    check_one_strand(hair, mixture)
    limits = {**quantities_of(Hair), **quantities_of(Mixture)}
    labels, times = [], []
    for name, (off, unit) in READINGS.items():
        of_hair = name in {"level", "fibre_um"}
        value = float(getattr(hair if of_hair else mixture, name))
        low, high = limits[name].range
        if name in DOMAIN:
            bound = mixture.chemistry.bound(name)
            low, high = bound.low, bound.high
        ends = np.clip([value - off, value + off], low, high)
        labels.append(_span(ends[0], ends[1], unit))
        times.append(
            [
                _edges(
                    hair.replace(**{name: end}) if of_hair else hair,
                    mixture if of_hair else mixture.replace(**{name: end}),
                    goal,
                    curves,
                )
                for end in ends.tolist()
            ]
        )
    base = _edges(hair, mixture, goal, curves)
    return _collect(tuple(READINGS), labels, ("assumed",) * len(READINGS), times, base)


def strand_spread(
    hair: Hair, mixture: Mixture, goal: Goal | None = None, curves: CurveSet | None = None
) -> dict[str, tuple[float, float]]:
    """Range of closing times when only one thing varies from strand to strand.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    goal : Goal, optional
        Default: to stay natural.
    curves : CurveSet, optional
        Default: the shipped set; its ``*_sd`` parameters give the spread.

    Returns
    -------
    dict of str to (float, float)
        Central 90 % of the closing times [min] for ``level``, ``rate``, ``fibre``, ``fade``,
        ``unmeasured`` and ``all`` of them together.

    Examples
    --------
    >>> import lift
    >>> [*lift.lab.strand_spread(lift.Hair(7), lift.Mixture("cream", 20))]
    ['level', 'rate', 'fibre', 'fade', 'unmeasured', 'all']
    """
    drawn = draw_latent()
    ranges = {}
    for index, name in enumerate((*LATENT, "all")):
        latent = drawn if name == "all" else np.where(np.arange(len(LATENT)) == index, drawn, 0.0)
        window = find_window(hair, mixture, goal, curves, latent=latent)
        ranges[name] = window.closes_range
    return ranges


def _span(low: float, high: float, unit: str) -> Note:
    shown = note("range.unit", unit=unit) if unit != "-" else ""
    return note("sensitivity.span", low=low, high=high, unit=shown)


def _with(curves: CurveSet, name: str, value: float) -> CurveSet:
    change: dict[str, Any] = {name: value}
    return curves.replace(**change)


def _edges(
    hair: Hair, mixture: Mixture, goal: Goal | None, curves: CurveSet
) -> tuple[float, float]:
    window = find_window(hair, mixture, goal, curves, members=2, limit_minutes=LIMIT_MINUTES)
    reached, too_warm = window.reached_at, window.too_warm_at
    return (
        np.inf if reached is None else reached,
        np.inf if too_warm is None else too_warm,
    )


def _collect(
    names: tuple[str, ...],
    labels: Iterable[Note],
    statuses: tuple[str, ...],
    times: list[list[tuple[float, float]]],
    base: tuple[float, float],
) -> Sensitivity:
    both = np.array(times, dtype=np.float64)
    return Sensitivity(names, tuple(labels), statuses, both[..., 0], both[..., 1], *base)
