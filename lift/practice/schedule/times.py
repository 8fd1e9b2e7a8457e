"""Times: how long each zone stays on, so that most strands of all zones are inside at once.

Zones are put in one after the other, from the one that goes on last. Of all that may go on next,
at all times worth trying, those are kept that promise most: of each set of zones so many, so that
the work grows with the sets and not with the orders. Members are counted as bits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lift.errors import Floats
from lift.practice.schedule.task import SLACK, Task

ENOUGH = 0.95
"""Probability of being inside above which the shorter service is preferred."""

STEP = 0.02
"""Step in which probabilities are compared: a longer service must be worth its time."""

Bits = np.ndarray[tuple[int, ...], np.dtype[np.uint64]]
Whole = np.ndarray[tuple[int, ...], np.dtype[np.int64]]


@dataclass(frozen=True, eq=False)
class Times:
    """Ways to time all zones, the best first; times from the start of a zone to its rinse [min].

    `minutes` has shape (ways, zones), its zones in the order of the tasks, and `worth`, shape
    (ways,), is what comes before a shorter service; `ends` bounds that from below [min].
    """

    minutes: Floats
    worth: Whole
    ends: Floats


@dataclass(frozen=True, eq=False)
class _Zone:
    """Times worth trying for one zone, and what they and all later ones could give."""

    task: Task
    times: Floats
    bits: Bits
    own: Floats
    later_bits: Bits
    later_own: Floats


@dataclass(frozen=True, eq=False)
class _Partial:
    """Ways to time some of the zones: which `placed`, as bits, and the latest `front` [min]."""

    placed: Whole
    minutes: Floats
    bits: Bits
    own: Floats
    front: Floats

    def __getitem__(self, some: Whole) -> _Partial:
        return _Partial(*(each[some] for each in vars(self).values()))


def best_times(
    tasks: Sequence[Task],
    together: bool,
    *,
    changeover: float,
    sequence: Sequence[int],
    grid: int,
    keep: int,
) -> Times:
    """Time all zones; none where no times go together.

    Parameters
    ----------
    tasks : sequence of Task
        The zones.
    together : bool
        Whether all are rinsed at one moment: then a zone must be all on when the next is begun.
    changeover : float
        Time from the end of one laying to the start of the next [min].
    sequence : sequence of int
        Places of the tasks in the order in which they go on; empty: any.
    grid : int
        Times tried for each zone.
    keep : int
        Ways kept of each set of zones, while some are still to be put in.
    """
    zones = [_zone(task, grid) for task in tasks]
    members = tasks[0].earliest.size - 1
    now = _nothing(len(tasks), zones[0].bits.shape[1], -changeover if together else 0.0)
    # Rinsed one by one zones leave each other any time, so any sequence finds all of them.
    fixed = list(reversed(sequence)) or ([] if together else list(range(len(tasks))))
    for depth in range(len(tasks)):
        following = fixed[depth : depth + 1] or range(len(tasks))
        grown = [_with(now, j, zones[j], together, changeover) for j in following]
        now = _joined([g for g in grown if len(g.placed)] or grown[:1])
        if not len(now.placed):
            break
        worth = _bound(now, zones, members, together, changeover)
        now = now[_best(now, worth, keep if depth < len(tasks) - 1 else None)]
    worth = _worth(now.bits, now.own, members)
    tail = max(task.tail for task in tasks) if together else 0.0
    order = np.lexsort((now.front, -worth))
    return Times(now.minutes[order], worth[order], now.front[order] + tail)


def _zone(task: Task, grid: int) -> _Zone:
    times = task.candidates(grid)
    inside = task.inside(times)
    bits, own = _packed(inside), _own(inside)
    later = np.bitwise_or.accumulate(bits[::-1], axis=0)[::-1]
    most = np.maximum.accumulate(own[::-1])[::-1]
    none = np.zeros((1, bits.shape[1]), dtype=np.uint64)
    return _Zone(
        task, times, bits, own, np.concatenate([later, none]), np.concatenate([most, [0.0]])
    )


def _packed(inside: np.ndarray[tuple[int, int], np.dtype[np.bool_]]) -> Bits:
    """Members as bits, the expected strand in the lowest, shape (times, words)."""
    rows = np.packbits(inside, axis=1, bitorder="little")
    whole = np.zeros((len(rows), -(-rows.shape[1] // 8) * 8), dtype=np.uint8)
    whole[:, : rows.shape[1]] = rows
    return whole.view("<u8").astype(np.uint64)


def _own(inside: np.ndarray[tuple[int, int], np.dtype[np.bool_]]) -> Floats:
    shares = inside[:, 1:].mean(axis=1) if inside.shape[1] > 1 else inside[:, 0].astype(float)
    return np.asarray(np.minimum(shares, ENOUGH))


def _nothing(count: int, words: int, front: float) -> _Partial:
    return _Partial(
        placed=np.zeros(1, dtype=np.int64),
        minutes=np.full((1, count), np.nan),
        bits=np.full((1, words), ~np.uint64(0)),
        own=np.zeros(1),
        front=np.full(1, front),
    )


def _with(now: _Partial, place: int, zone: _Zone, together: bool, changeover: float) -> _Partial:
    """All ways with one more zone, at every time that leaves it room."""
    task = zone.task
    some = now[np.flatnonzero(now.placed >> place & 1 == 0)]
    room = some.front + changeover if together else np.zeros(len(some.front))
    least = room + task.laying
    way, time = np.nonzero(zone.times >= least[:, None] - SLACK)
    made = [(way, zone.times[time], zone.bits[time], zone.own[time])]
    if task.fixed is None:
        # It may also go on just before the one that follows.
        close = np.flatnonzero(least <= task.until + SLACK)
        inside = task.inside(least[close])
        made.append((close, least[close], _packed(inside), _own(inside)))
    ways, times, bits, own = (np.concatenate(column) for column in zip(*made, strict=True))
    before = some[ways]
    minutes = before.minutes.copy()
    minutes[:, place] = times
    return _Partial(
        placed=before.placed | 1 << place,
        minutes=minutes,
        bits=before.bits & bits,
        own=before.own + own,
        front=times if together else np.maximum(before.front, times + task.rinsing),
    )


def _joined(some: Sequence[_Partial]) -> _Partial:
    columns = zip(*(vars(each).values() for each in some), strict=True)
    return _Partial(*(np.concatenate(column) for column in columns))


def _bound(
    now: _Partial, zones: Sequence[_Zone], members: int, together: bool, changeover: float
) -> Whole:
    """Worth that no way to put in the rest can exceed."""
    bits, own = now.bits.copy(), now.own.copy()
    for place, zone in enumerate(zones):
        open_ = np.flatnonzero(now.placed >> place & 1 == 0)
        least = zone.task.laying + (now.front[open_] + changeover if together else 0.0)
        # From the last time before that on: just before the zone that follows lies between two.
        at = np.maximum(np.searchsorted(zone.times, np.broadcast_to(least, open_.shape)) - 1, 0)
        bits[open_] &= zone.later_bits[at]
        own[open_] += zone.later_own[at]
    return _worth(bits, own, members)


def _worth(bits: Bits, own: Floats, members: int) -> Whole:
    """What comes before a shorter service, as one number.

    First that the expected strands are inside; then the chance of all in steps up to enough; then,
    where there is none, the zones' own chances.
    """
    expected = (bits[:, 0] & np.uint64(1)).astype(np.int64)
    count = np.bitwise_count(bits).sum(axis=1).astype(np.int64) - expected
    chance = count / members if members else expected.astype(float)
    steps = (np.minimum(chance, ENOUGH) / STEP).astype(np.int64)
    alone = np.where(steps > 0, 0, (own / STEP + 1e-6).astype(np.int64))
    return np.asarray((expected * 64 + steps) * 1024 + alone)


def _best(now: _Partial, worth: Whole, keep: int | None) -> Whole:
    """The most promising of each set of zones, the shortest of equal ones first."""
    order = np.lexsort((now.front, -worth, now.placed))
    if keep is None:
        return order
    placed = now.placed[order]
    first = np.flatnonzero(np.concatenate([[True], placed[1:] != placed[:-1]]))
    rank = np.arange(len(placed)) - np.repeat(first, np.diff([*first, len(placed)]))
    return order[rank < keep]
