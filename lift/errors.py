"""Errors that name the bad value, the allowed range and the nearest valid choice."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


class LiftError(ValueError):
    """A value that the tool cannot accept; its text is one line a user can act on."""


class LimitError(LiftError):
    """A mixture or time that a safety rule refuses."""


def check_range(
    name: str, value: ArrayLike, low: float, high: float, unit: str = "", *, hint: str = ""
) -> Floats:
    """Return `value` as floats when every element lies in the closed range.

    Parameters
    ----------
    name : str
        What the value is, as the user knows it.
    value : array_like
        Any shape; in `unit`.
    low, high : float
        Allowed closed range, in `unit`.
    unit : str
        Unit printed behind each number.
    hint : str
        A further sentence for the message.

    Returns
    -------
    numpy.ndarray
        `value` as float64, same shape.

    Raises
    ------
    LiftError
        When an element is not a number, not finite or outside the range.
    """
    # Most values are numbers that are fine; a preview checks some two hundred of them.
    given: Any = value
    if isinstance(given, float) and low <= given <= high:
        return np.asarray(given, dtype=np.float64)
    unit = f" {unit}" if unit else ""
    tail = f"; {hint}" if hint else ""
    try:
        numbers = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError):
        raise LiftError(
            f"{name} {value!r} is not a number; allowed: {low:g} to {high:g}{unit}{tail}"
        ) from None
    if numbers.size and numbers.min() >= low and numbers.max() <= high:
        return numbers
    bad = ~((numbers >= low) & (numbers <= high))
    if bad.any():
        worst = float(numbers[bad].flat[0]) if numbers.ndim else float(numbers)
        nearest = "" if np.isnan(worst) else f"; nearest: {low if worst < low else high:g}{unit}"
        raise LiftError(
            f"{name} {worst:g}{unit} is outside {low:g} to {high:g}{unit}{nearest}{tail}"
        )
    return numbers


def check_number(
    name: str, value: Any, low: float, high: float, unit: str = "", *, hint: str = ""
) -> float:
    """Like `check_range`, for one number; an array or a boolean is refused."""
    if isinstance(value, bool | np.bool_) or np.ndim(value) != 0:
        raise LiftError(
            f"{name} {value!r} is not one number; allowed: {low:g} to {high:g} {unit}".rstrip()
        )
    return float(check_range(name, value, low, high, unit, hint=hint))


def check_choice(name: str, value: str, choices: Iterable[str]) -> str:
    """Return `value` when it is one of `choices`; otherwise suggest the nearest.

    Raises
    ------
    LiftError
        Naming the value, every choice and the nearest one.
    """
    known = list(choices)
    if value in known:
        return value
    near = get_close_matches(str(value), known, n=1, cutoff=0.4)
    tip = f"; did you mean {near[0]}?" if near else ""
    raise LiftError(f"{name} {value!r} is not one of {', '.join(known)}{tip}")
