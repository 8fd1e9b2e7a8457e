"""Arrange: when zones that are rinsed one by one begin, hands doing one thing at a time.

How long each stays on is given; while one zone works another is laid or rinsed.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

import numpy as np

from lift.practice.schedule.task import SLACK, Task

TOUCHING = 1e-7
"""Overlap that rounding alone may make [min]."""

FEW = 3
"""Zones for which every sequence and every way to fit one between the others is tried."""

Starts = tuple[float, ...]
Spans = tuple[tuple[float, float], tuple[float, float]]


def least_total(tasks: Sequence[Task], minutes: Sequence[float]) -> float:
    """Length that a service of zones rinsed one by one cannot fall short of [min]."""
    alone = max(x + t.rinsing for t, x in zip(tasks, minutes, strict=True))
    return max(alone, sum(t.laying + t.rinsing for t in tasks))


def arrange(
    tasks: Sequence[Task], minutes: Sequence[float], changeover: float, sequence: Sequence[int]
) -> Starts | None:
    """Starts of zones rinsed one by one, for a service as short as is found; the first at 0 [min].

    Of up to `FEW` zones it is the shortest; of more each goes on as soon as hands allow, in the
    best sequence that exchanging two, or moving one, leads to. None where fixed times do not go
    with a sequence that is given.

    Parameters
    ----------
    tasks : sequence of Task
        The zones.
    minutes : sequence of float
        Time of each from its start to its rinse [min].
    changeover : float
        Time from the end of one laying to the start of the next [min].
    sequence : sequence of int
        Places of the tasks in the order in which they go on; empty: any.
    """
    busy = [_busy(task, x, changeover) for task, x in zip(tasks, minutes, strict=True)]
    if len(tasks) <= FEW:
        return _shortest(busy, least_total(tasks, minutes), sequence)
    if sequence:
        return _soonest(busy, sequence)
    return _exchanged(busy, sorted(range(len(tasks)), key=lambda i: -minutes[i]))


def _busy(task: Task, rinse_after: float, changeover: float) -> Spans:
    """Spans during which a zone occupies the hands, from its start [min]: laying and rinse."""
    return (0.0, task.laying + changeover), (rinse_after, rinse_after + task.rinsing)


def _total(busy: Sequence[Spans], starts: Starts) -> float:
    return max(s + spans[1][1] for s, spans in zip(starts, busy, strict=True)) - min(starts)


def _shortest(busy: Sequence[Spans], least: float, sequence: Sequence[int]) -> Starts | None:
    """Place zones one by one, each touching one already placed: an optimum is among them."""
    best: Starts | None = None
    shortest = np.inf

    def place(order: tuple[int, ...], placed: dict[int, float]) -> None:
        nonlocal best, shortest
        first = min(placed.values())
        total = max(s + busy[i][1][1] for i, s in placed.items()) - first
        if total >= shortest - SLACK or shortest <= least + SLACK:
            return
        if len(placed) == len(order):
            best, shortest = tuple(placed[i] - first for i in range(len(order))), total
            return
        new = order[len(placed)]
        trials: set[float] = set()
        for old, start in placed.items():
            for low, high in busy[old]:
                for from_, to in busy[new]:
                    trials.update((round(start + high - from_, 9), round(start + low - to, 9)))
        for trial in sorted(trials):
            if all(
                _apart(busy[new], trial, busy[old], start)
                and (not sequence or _before(new, old, sequence) == (trial < start))
                for old, start in placed.items()
            ):
                place(order, {**placed, new: trial})

    for order in permutations(range(len(busy))):
        place(order, {order[0]: 0.0})
    return best


def _before(one: int, other: int, sequence: Sequence[int]) -> bool:
    return sequence.index(one) < sequence.index(other)


def _apart(new: Spans, new_start: float, old: Spans, old_start: float) -> bool:
    shift = new_start - old_start
    return not any(
        low + shift < to - TOUCHING and from_ < high + shift - TOUCHING
        for low, high in new
        for from_, to in old
    )


def _soonest(busy: Sequence[Spans], sequence: Sequence[int]) -> Starts:
    """Each zone as soon as hands allow after the one before it has been begun."""
    starts: dict[int, float] = {}
    taken: list[tuple[float, float]] = []
    begun = 0.0
    for new in sequence:
        # It is begun at once, or when something that hands do ends.
        trials = sorted({begun, *(to - low for _, to in taken for low, _ in busy[new])})
        for trial in trials:
            if trial >= begun - TOUCHING and all(
                low + trial >= to - TOUCHING or from_ >= high + trial - TOUCHING
                for low, high in busy[new]
                for from_, to in taken
            ):
                break
        starts[new] = begun = trial
        taken += [(low + trial, high + trial) for low, high in busy[new]]
    return tuple(starts[i] for i in range(len(busy)))


def _exchanged(busy: Sequence[Spans], order: list[int]) -> Starts:
    """The best sequence that exchanging two zones or moving one leads to."""
    best = _soonest(busy, order)
    shortest, better = _total(busy, best), True
    while better:
        better = False
        for i in range(len(order)):
            for j in range(len(order)):
                if i == j:
                    continue
                moved = order[:i] + order[i + 1 :]
                moved.insert(j, order[i])
                starts = _soonest(busy, moved)
                if _total(busy, starts) < shortest - TOUCHING:
                    order, best, shortest = moved, starts, _total(busy, starts)
                    better = True
    return best
