"""What was seen, where it was measured in a photograph."""

from __future__ import annotations

from typing import Any

from lift.photo.measured import Measured
from lift.practice.trial.observation import Observation
from lift.quantities import MINUTES

DECIMALS = 2
"""Of a colour that is kept; a photograph knows no more."""


def photographed(minutes: Any, measured: Measured) -> Observation:
    """Observation of a colour measured in a photograph, with what it is give or take.

    Parameters
    ----------
    minutes : float or str
        Processing time [min], as a number or as typed.
    measured : Measured
        Of `lift.measure`.

    Raises
    ------
    LiftError
        For a colour that no hair has.

    Examples
    --------
    >>> from lift.make.photograph import Scene, photograph, some_hair
    >>> from lift.photo.measure import measure
    >>> taken = photograph(Scene(some_hair(1)[0]))  # a computed photograph
    >>> seen = photographed(5, measure(taken.pixels, taken.chart, taken.hair[0]))
    >>> seen.minutes, len(seen.lab), len(seen.lab_sd)
    (5.0, 3, 3)
    """
    colour, sd = (tuple(map(float, each.round(DECIMALS))) for each in (measured.lab, measured.sd))
    read: Any = colour, sd
    return Observation(MINUTES.number(minutes), None, *read)
