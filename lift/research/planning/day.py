"""Days in a laboratory: when strands are covered, rinsed and read by one pair of hands."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count
from typing import Any

import numpy as np

from lift.errors import LiftError, check_number

DAY_MIN = 480.0
"""A working day [min]."""

COVER_MIN, RINSE_MIN, READ_MIN = 4.0, 5.0, 1.5
"""Hands on one strand: mixing and covering, rinsing and washing, each reading [min]: assumed."""

GRID_MIN = 1.0
"""Starts are told to a minute."""


@dataclass(frozen=True)
class Run:
    """One strand through the days.

    Parameters
    ----------
    number : int
        Place in the order in which strands are begun, from 1.
    strand : int
        Index of the strand.
    day, read_day : int
        On which it is covered and rinsed, and on which it is read, from 1.
    cover : float or None
        When it is covered, of its day [min]; None of hair that nothing lies on.
    rinse, read : float
        When its rinse and its readings begin, of their days [min].
    """

    number: int
    strand: int
    day: int
    cover: float | None
    rinse: float
    read_day: int
    read: float


def check_day(day: Any) -> float:
    """Length of a working day [min], as a number or as typed, checked."""
    return check_number("name.day", day, 60.0, 1440.0, "min")


def lay_out_days(
    minutes: Sequence[float], repeats: float, *, day: float = DAY_MIN, seed: int = 1
) -> tuple[Run, ...]:
    """Lay strands out over days: every rinse begins in time, and no two ask for hands at once.

    The order is drawn, so that what drifts through a day (the mixture, the lamp, the hands) goes
    with no condition. Each strand begins as early as the hands allow, and is read a day later or
    more, as soon as the hands are free.

    Parameters
    ----------
    minutes : sequence of float
        Processing time of each strand [min], 0 to 120; 0: nothing lies on it.
    repeats : float
        Readings of each strand [-], 1 to 1000.
    day : float
        A working day [min], 60 to 1440.
    seed : int
        Of the order; the same seed draws the same.

    Returns
    -------
    tuple of Run
        In the order of their numbers.

    Raises
    ------
    LiftError
        For a value out of range, or a strand that no day is long enough for.

    Examples
    --------
    >>> [run.strand for run in lay_out_days([0.0, 20.0, 45.0], 3)]
    [0, 1, 2]
    """
    length = check_day(day)
    times = [float(t) for t in minutes]
    order = np.random.default_rng(seed).permutation(len(times)).tolist()
    reading = READ_MIN * check_number("name.repeats", repeats, 1.0, 1000.0)
    longest = max([COVER_MIN + max(times, default=0.0) + RINSE_MIN, reading])
    if longest > length:
        raise LiftError("day.too_short", lasts=longest, day=length)
    busy: dict[int, list[Span]] = defaultdict(list)
    begun: list[tuple[int, float | None, float]] = []
    for strand in order:
        for number in count(1):
            found = _fit(busy[number], times[strand], length)
            if found is not None:
                begun.append((number, *found))
                break
    runs = []
    for number, (strand, (on, cover, rinse)) in enumerate(zip(order, begun, strict=True), 1):
        # It dries for a day before it is read.
        for read_day in count(on + 1):
            read = _free(busy[read_day], reading, length)
            if read is not None:
                runs.append(Run(number, strand, on, cover, rinse, read_day, read))
                break
    return tuple(runs)


Span = tuple[float, float]


def _fit(busy: list[Span], lasts: float, length: float) -> tuple[float | None, float] | None:
    """Earliest covering and rinsing on a day, which are then taken; None without room."""
    if lasts == 0.0:
        rinse = _free(busy, RINSE_MIN, length)
        return None if rinse is None else (None, rinse)
    # The time counts from the end of covering to the rinse that ends it.
    last = length - COVER_MIN - lasts - RINSE_MIN
    for cover in np.arange(0.0, last + GRID_MIN / 2.0, GRID_MIN).tolist():
        rinse = cover + COVER_MIN + lasts
        own = [(cover, cover + COVER_MIN), (rinse, rinse + RINSE_MIN)]
        if all(_is_free(busy, span) for span in own):
            busy += own
            return cover, rinse
    return None


def _free(busy: list[Span], lasts: float, length: float) -> float | None:
    """First moment from which hands are free, which is then taken; None without room."""
    for start in sorted((0.0, *(end for _, end in busy))):
        if start + lasts <= length and _is_free(busy, (start, start + lasts)):
            busy.append((start, start + lasts))
            return start
    return None


def _is_free(busy: list[Span], span: Span) -> bool:
    return all(span[1] <= low or span[0] >= high for low, high in busy)
