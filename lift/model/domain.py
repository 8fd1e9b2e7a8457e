"""Domain: within what an answer is given, where it comes with a warning, and what is refused.

A class of mixture is used within its `lift.model.bounds`; a curve set that was tuned to measured
swatches may hold longer times. What is outside is refused before anything is computed.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import LiftError, check_range
from lift.model.bounds import DOMAIN, Bound
from lift.quantities import MINUTES, quantities_of
from lift.words import Note, note

if TYPE_CHECKING:
    from lift.model.curves import CurveSet
    from lift.model.hair import Hair
    from lift.model.mixture import Mixture

SLACK = 1e-9
"""What rounding may add to a bound, relative to 1."""


class OutsideError(LiftError):
    """What lies outside the domain of a mixture; `property_name` is one of `DOMAIN`."""

    def __init__(self, property_name: str, what: Note) -> None:
        super().__init__(what)
        self.property_name = property_name

    def __reduce__(self) -> Any:
        return OutsideError, (self.property_name, self.note)


def bound_of(name: str, mixture: Mixture, curves: CurveSet) -> Bound:
    """Bound of one of `DOMAIN`; a curve set that holds longer measured times widens theirs."""
    bound = mixture.chemistry.bound(name)
    held = curves.validity
    if name != "minutes" or held is None or not held.measured or curves.invented:
        return bound
    measured = held.longest_minutes(mixture.kind)
    if measured is None or measured <= bound.high:
        return bound
    return replace(bound, high=measured, usual_high=measured)


def longest_minutes(mixture: Mixture, curves: CurveSet) -> float:
    """Longest processing time that is predicted [min].

    Examples
    --------
    >>> from lift import Mixture, default_curves
    >>> longest_minutes(Mixture("base-break", 10), default_curves())
    15.0
    """
    return bound_of("minutes", mixture, curves).high


def check_domain(hair: Hair, mixture: Mixture, minutes: ArrayLike, curves: CurveSet) -> None:
    """Refuse what lies outside the domain of a mixture.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        What is asked; their fields may be arrays.
    minutes : array_like
        Processing times [min].
    curves : CurveSet
        Gives pH where the mixture does not, and may hold longer times.

    Raises
    ------
    OutsideError
        At the first property outside, naming its value, the range and the nearest allowed.

    Examples
    --------
    >>> from lift import Hair, LiftError, Mixture, default_curves
    >>> try:
    ...     check_domain(Hair(5), Mixture("base-break", 10), 20.0, default_curves())
    ... except LiftError as error:
    ...     print(str(error)[:62])
    processing time 20 min is outside 0 to 15 min; nearest: 15 min
    """
    for name, value in _asked(hair, mixture, minutes, curves).items():
        bound = bound_of(name, mixture, curves)
        if not np.size(value):
            raise LiftError("domain.none", name=_named(name)[0])
        if np.min(value) >= bound.low - SLACK and np.max(value) <= bound.high + SLACK:
            continue
        label, unit = _named(name)
        hint = note("domain.of", kind=mixture.kind, standing=bound.standing)
        try:
            check_range(label, value, bound.low, bound.high, unit, hint=hint)
        except LiftError as error:
            raise OutsideError(name, error.note) from None


def edges(
    hair: Hair | None, mixture: Mixture, minutes: ArrayLike | None, curves: CurveSet
) -> tuple[Note, ...]:
    """What of a question lies at the edge of the domain, one sentence each.

    See `check_domain`; of what is None nothing is said.

    Examples
    --------
    >>> from lift import Hair, Mixture, default_curves
    >>> print(edges(Hair(5), Mixture("base-break", 10), 12.0, default_curves())[0])
    At the edge: processing time 12 min; a base-break is usually 0 to 10 min (common practice).
    """
    said = []
    for name, value in _asked(hair, mixture, minutes, curves).items():
        if value is None:
            continue
        bound = bound_of(name, mixture, curves)
        numbers = np.ravel(np.asarray(value, dtype=np.float64))
        past = [float(v) for v in (numbers.max(), numbers.min()) if bound.at_edge(float(v))]
        if past:
            label, unit = _named(name)
            said.append(
                note(
                    "domain.edge",
                    kind=mixture.kind,
                    what=label,
                    value=past[0],
                    low=bound.usual_low,
                    high=bound.usual_high,
                    unit=note("range.unit", unit=unit) if unit else "",
                    standing=bound.usual_standing,
                )
            )
    return tuple(said)


def _named(name: str) -> tuple[Note, str]:
    """Label and unit of a property."""
    from lift.model.hair import Hair
    from lift.model.mixture import Mixture

    if name == "minutes":
        return MINUTES.label, MINUTES.unit
    q = {**quantities_of(Hair), **quantities_of(Mixture)}[name]
    return q.label, q.unit


def _asked(
    hair: Hair | None, mixture: Mixture, minutes: ArrayLike | None, curves: CurveSet
) -> dict[str, Any]:
    values = (
        minutes,
        mixture.developer_volume,
        mixture.properties(curves.values)["ph"],
        mixture.temperature_c,
        None if hair is None else hair.level,
    )
    return dict(zip(DOMAIN, values, strict=True))
