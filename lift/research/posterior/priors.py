"""What is believed of a parameter before any swatch is measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError
from lift.model.parameter import Parameter

WIDTHS_IN_RANGE = 6.0
"""Standard deviations of the prior that a parameter's allowed range spans; assumed."""

LEAST_SPREAD = 0.01
"""Least strand-to-strand spread of the rate [-]: 0 has no logarithm; assumed."""

_FARTHEST = 8.0  # beyond this many deviates the normal distribution function rounds to 1


@dataclass(frozen=True)
class Prior:
    """Normal about the parameter's value, cut off at its range; of the logarithm where it has one.

    The standard deviation is a sixth of the range, so that a range that is a factor of 100 wide
    lets the value be out by a factor of 2 or so, and the curve set one starts from says no more
    than that.

    Parameters
    ----------
    parameter : Parameter
        Value and range.

    Raises
    ------
    LiftError
        When the range has no width.
    """

    parameter: Parameter

    def __post_init__(self) -> None:
        if not self.low < self.parameter.high:
            raise LiftError("tuning.no_range", name=self.parameter.name)

    @property
    def low(self) -> float:
        """Lowest value, above 0 for a spread."""
        spread = self.parameter.name == "rate_log_sd"
        return max(self.parameter.low, LEAST_SPREAD) if spread else self.parameter.low

    @property
    def logarithmic(self) -> bool:
        """Whether the logarithm is what is normal."""
        return self.low > 0.0

    @cached_property
    def _frame(self) -> tuple[float, float, float, float]:
        """Centre and standard deviation, and the ends in deviates from it."""
        ends = np.array([self.low, self.parameter.high])
        middle = min(max(self.parameter.value, self.low), self.parameter.high)
        if self.logarithmic:
            ends, middle = np.log(ends), float(np.log(middle))
        width = float(ends[1] - ends[0]) / WIDTHS_IN_RANGE
        first, last = (ends - middle) / width
        return middle, width, float(first), float(last)

    def from_standard(self, deviate: ArrayLike) -> Floats:
        """Value in its range that as many draws fall below as standard normal ones do.

        Any shape; deviates beyond 8 count as 8.
        """
        from scipy.special import ndtr, ndtri

        middle, width, first, last = self._frame
        below, above = ndtr(first), ndtr(last)
        share = ndtr(np.clip(deviate, -_FARTHEST, _FARTHEST))
        off = np.clip(ndtri(below + share * (above - below)), first, last)
        return self._unscaled(middle + width * off)

    def _unscaled(self, value: Any) -> Floats:
        return np.asarray(np.exp(value) if self.logarithmic else value)

    def place(self, value: ArrayLike) -> Floats:
        """Where values lie in the range, 0 at its low and 1 at its high end, same shape."""
        ends = np.array([self.low, self.parameter.high])
        found = np.asarray(value, dtype=np.float64)
        if self.logarithmic:
            ends, found = np.log(ends), np.log(found)
        return np.asarray((found - ends[0]) / (ends[1] - ends[0]))


def values_of(priors: Sequence[Prior], deviates: ArrayLike) -> Floats:
    """Value of each of n priors by the first n standard normal deviates, shape (..., n)."""
    z = np.asarray(deviates, dtype=np.float64)
    found = np.empty((*z.shape[:-1], len(priors)))
    for i, prior in enumerate(priors):
        found[..., i] = prior.from_standard(z[..., i])
    return found
