"""The time line: every minute from the first touch of the mixture has a name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

PLACES = ("not_lifted", "inside", "too_warm", "too_light", "past_limit")
"""Not lifted enough, inside the window, past what the goal allows, past the time limit."""


@dataclass(frozen=True)
class Span:
    """A stretch of the time line [min] and where a strand rinsed in it would be, of `PLACES`."""

    place: str
    starts: float
    ends: float


def time_line(
    end: float, limit: float, reached: float | None, passed: Mapping[str, float | None]
) -> tuple[Span, ...]:
    """Spans that tile 0 to `end`, each named, none empty, neighbours of different names.

    What was passed first names the time from then on: a strand that is too warm, or too light,
    stays so until the time limit.

    Parameters
    ----------
    end : float
        Last time told of [min].
    limit : float
        Time limit [min].
    reached : float or None
        When the strand is lifted enough [min]; None where never. Hair that nothing lies on yet is
        not lifted enough.
    passed : mapping of str to float or None
        When it is past what the goal allows [min], by place.

    Examples
    --------
    >>> [(s.place, s.ends) for s in time_line(30.0, 20.0, 8.0, {"too_warm": 12.0})]
    [('not_lifted', 8.0), ('inside', 12.0), ('too_warm', 20.0), ('past_limit', 30.0)]
    """
    times = {place: np.inf if at is None else at for place, at in passed.items()}
    first = min(times, key=times.__getitem__, default="past_limit")
    closes = min(times.get(first, np.inf), limit)
    opens = min(np.inf if reached is None else reached, closes)
    starts = (0.0, opens, closes, limit)
    places = ("not_lifted", "inside", first, "past_limit")
    marks = np.clip([*starts, end], 0.0, end)
    return tuple(
        Span(place, float(a), float(b))
        for place, a, b in zip(places, marks, marks[1:], strict=False)
        if b > a
    )


def place_at(line: tuple[Span, ...], minutes: float) -> str:
    """Place of a time [min] on a time line; its end belongs to its last span.

    Examples
    --------
    >>> place_at(time_line(30.0, 20.0, 8.0, {"too_warm": 12.0}), 12.0)
    'too_warm'
    """
    return next((s.place for s in line if minutes < s.ends), line[-1].place)
