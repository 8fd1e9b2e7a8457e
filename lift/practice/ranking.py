"""Ranking: the likeliest way first, and of those nearly as likely the one that asks least."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, TypeVar

T = TypeVar("T")


def first_of(
    found: Sequence[T], chance: Callable[[T], float], burden: Callable[[T], Any], near: float
) -> T:
    """Of those whose chance is within `near` of the best [-], the one with the least burden.

    Examples
    --------
    >>> first_of([(0.80, 3), (0.79, 1), (0.5, 0)], lambda w: w[0], lambda w: w[1], 0.02)
    (0.79, 1)
    """
    top = max(map(chance, found))
    return min((each for each in found if chance(each) >= top - near), key=burden)


def ranked(
    found: Iterable[T], chance: Callable[[T], float], burden: Callable[[T], Any], near: float
) -> list[T]:
    """All, each the first of those behind it; see `first_of`."""
    left, ordered = list(found), []
    while left:
        ordered.append(first_of(left, chance, burden, near))
        left.remove(ordered[-1])
    return ordered
