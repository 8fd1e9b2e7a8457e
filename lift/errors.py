"""Errors that name the bad value, the allowed range and the nearest valid choice."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lift.words import Note, known, note, say

Floats = NDArray[np.float64]


LONGEST = 1200
"""Characters of an error; a name that it tells may be of any length."""


class LiftError(ValueError):
    """A value that the tool cannot accept; its text is one line a user can act on.

    Parameters
    ----------
    what : str or Note
        Code of the catalogue, or the whole note.
    **values
        What the sentence names.

    Examples
    --------
    >>> from lift.model.hair import Hair
    >>> try:
    ...     Hair(11)
    ... except LiftError as error:
    ...     print(error, error.note.code)
    natural level 11 is outside 1 to 10; nearest: 10 range.outside
    """

    def __init__(self, what: str | Note, /, **values: Any) -> None:
        self.note = what if isinstance(what, Note) else named(what, **values)
        super().__init__(self.note)

    def __str__(self) -> str:
        said = say(self.note)
        return said if len(said) <= LONGEST else said[: LONGEST - 3] + "..."

    def __reduce__(self) -> Any:
        # An error made in another process must arrive whole.
        return type(self), (self.note,)


class LimitError(LiftError):
    """A mixture or time that a safety rule refuses.

    Examples
    --------
    >>> from lift.model.mixture import Mixture
    >>> try:
    ...     Mixture("powder", 90)
    ... except LimitError as error:
    ...     print(str(error)[:27])
    strength on the head 60 vol
    """


def named(what: str | Note, /, **values: Any) -> Note:
    """Note of a code; a text that is no code stands for itself."""
    if isinstance(what, Note):
        return what
    if what == "text" and not values:  # the one code that a name may happen to be, and says nothing
        return note("text", text=what)
    return note(what, **values) if known(what) else note("text", text=what)


def check_range(
    name: str | Note,
    value: ArrayLike,
    low: float,
    high: float,
    unit: str = "",
    *,
    hint: str | Note = "",
) -> Floats:
    """Return `value` as floats when every element lies in the closed range.

    Parameters
    ----------
    name : str or Note
        What the value is, as the user knows it: a code or a note.
    value : array_like
        Any shape; in `unit`.
    low, high : float
        Allowed closed range, in `unit`.
    unit : str
        Unit printed behind each number.
    hint : str or Note
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
    given: Any = value
    if isinstance(given, float) and low <= given <= high:
        return np.asarray(given, dtype=np.float64)
    try:
        numbers = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError, OverflowError):
        said = _allowed(name, low, high, unit, hint)
        raise LiftError("range.no_number", value=value, **said) from None
    if numbers.size and numbers.min() >= low and numbers.max() <= high:
        return numbers
    bad = ~((numbers >= low) & (numbers <= high))
    if bad.any():
        worst = float(numbers[bad].flat[0]) if numbers.ndim else float(numbers)
        end = low if worst < low else high
        said = _allowed(name, low, high, unit, hint)
        nearest = "" if np.isnan(worst) else note("range.nearest", value=end, unit=said["unit"])
        raise LiftError("range.outside", value=worst, nearest=nearest, **said)
    return numbers


def _allowed(
    name: str | Note, low: float, high: float, unit: str, hint: str | Note
) -> dict[str, Any]:
    return {
        "name": named(name),
        "low": low,
        "high": high,
        "unit": note("range.unit", unit=unit) if unit else "",
        "hint": note("range.hint", hint=named(hint)) if hint else "",
    }


def shape_of(value: Any) -> tuple[int, ...] | None:
    """Shape of what may be numbers; None of rows that are not equally long.

    Examples
    --------
    >>> shape_of([1, 2]), shape_of([[1], [2, 3]])
    ((2,), None)
    """
    try:
        shape: tuple[int, ...] = np.shape(value)
    except ValueError:
        return None
    return shape


def check_together(**given: Any) -> None:
    """Refuse numbers and arrays whose shapes do not broadcast, naming the first two that do not.

    Parameters
    ----------
    **given : array_like or None
        By the name that the user knows; None is left out.

    Raises
    ------
    LiftError
        Naming both and their shapes.

    Examples
    --------
    >>> try:
    ...     check_together(level=[5, 6], minutes=[10, 20, 30])
    ... except LiftError as error:
    ...     print(str(error)[:63])
    level of shape (2,) and minutes of shape (3,) do not go togethe
    """
    shapes = {name: np.shape(value) for name, value in given.items() if value is not None}
    arrays = [(name, shape) for name, shape in shapes.items() if shape]
    for at, (name, shape) in enumerate(arrays):
        for other, another in arrays[:at]:
            if any(
                a != b and 1 not in (a, b) for a, b in zip(shape[::-1], another[::-1], strict=False)
            ):
                said = {"one": other, "one_shape": another, "other": name, "other_shape": shape}
                raise LiftError("shapes.apart", **said)


def check_number(
    name: str | Note,
    value: Any,
    low: float,
    high: float,
    unit: str = "",
    *,
    hint: str | Note = "",
) -> float:
    """Like `check_range`, for one number; an array or a boolean is refused."""
    if isinstance(value, bool | np.bool_) or shape_of(value) != ():
        raise LiftError("range.not_one", value=value, **_allowed(name, low, high, unit, ""))
    return float(check_range(name, value, low, high, unit, hint=hint))


def check_choice(name: str | Note, value: Any, choices: Iterable[str]) -> str:
    """Return `value` when it is one of `choices`; otherwise suggest the nearest.

    Raises
    ------
    LiftError
        Naming the value, every choice and the nearest one.
    """
    allowed = list(choices)
    if not isinstance(value, np.ndarray) and value in allowed:
        found: str = value
        return found
    near = get_close_matches(value, allowed, n=1, cutoff=0.4) if isinstance(value, str) else ()
    raise LiftError(
        "choice.unknown",
        name=named(name),
        value=value,
        known=allowed,
        meant=note("choice.meant", near=near[0]) if near else "",
    )
