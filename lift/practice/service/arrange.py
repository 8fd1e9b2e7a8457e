"""Arrange: whether zones fit in between each other, for given times from start to rinse."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np

from lift.errors import Floats

SLACK = 1e-9
TOUCHING = 1e-7
"""Overlap that rounding alone may make [min]."""


@dataclass(frozen=True, eq=False)
class Task:
    """One zone, as the search sees it; times from the start of its laying [min].

    Parameters
    ----------
    name : str
        The zone.
    laying : float
        Time until it is all on.
    rinsing : float
        Time the rinse occupies the hands.
    earliest, latest : numpy.ndarray
        Rinse from and before which every section is inside, shape (1 + members,); the expected
        strand first. Where earliest is not below latest, no time is right.
    tail : float
        Time from its first to its last section rinsed, part of `rinsing`.
    """

    name: str
    laying: float
    rinsing: float
    earliest: Floats
    latest: Floats
    tail: float = 0.0

    def inside(self, rinse: Floats) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
        """Whether all sections are inside at each time, shape (times, 1 + members)."""
        rinse = np.asarray(rinse)[:, None]
        return (self.earliest <= rinse + SLACK) & (rinse < self.latest - SLACK)

    def candidates(self, count: int) -> Floats:
        """Times worth trying: where any member is inside, and some over all possible ones."""
        last = max(self.laying, float(self.latest.max()))
        everywhere = np.linspace(self.laying, last, max(count // 3, 2))
        some = self.earliest < self.latest
        if not some.any():
            return np.asarray(np.unique(everywhere))
        low = max(self.laying, float(self.earliest[some].min()))
        high = max(low, float(self.latest[some].max()) - 1e-6)
        return np.asarray(np.unique(np.concatenate([everywhere, np.linspace(low, high, count)])))


def least_total(tasks: Sequence[Task], chosen: Sequence[float], rinse: str) -> float:
    """Length that a service cannot fall short of, given times from start to rinse [min]."""
    if not chosen:
        return 0.0
    if rinse == "together":
        return max(max(chosen), *(max(chosen) + t.tail for t in tasks))
    alone = max(x + t.rinsing for t, x in zip(tasks, chosen, strict=True))
    return max(alone, sum(t.laying + t.rinsing for t in tasks))


def may_precede(first: int, second: int, tasks: Sequence[Task], order: Sequence[str]) -> bool:
    """Whether one zone may be begun before another."""
    return not order or order.index(tasks[first].name) < order.index(tasks[second].name)


def fits(
    tasks: Sequence[Task], chosen: tuple[float, ...], changeover: float, order: Sequence[str]
) -> bool:
    """Whether the last chosen zone can be laid before or after each of the others."""
    new = len(chosen) - 1
    for old in range(new):
        gap = chosen[old] - chosen[new]
        after = may_precede(old, new, tasks, order) and (
            gap >= tasks[old].laying + changeover - SLACK
        )
        before = may_precede(new, old, tasks, order) and (
            -gap >= tasks[new].laying + changeover - SLACK
        )
        if not (after or before):
            return False
    return True


def arrange(
    tasks: Sequence[Task],
    chosen: tuple[float, ...],
    rinse: str,
    changeover: float,
    order: Sequence[str],
) -> dict[str, float] | None:
    """Starts for given times to the rinse, the shortest service they allow."""
    if rinse == "together":
        longest = max(chosen)
        return {t.name: longest - x for t, x in zip(tasks, chosen, strict=True)}
    best: dict[int, float] = {}
    shortest = np.inf
    least = least_total(tasks, chosen, rinse)
    busy = [_busy(t, x, changeover) for t, x in zip(tasks, chosen, strict=True)]

    def place(sequence: tuple[int, ...], placed: dict[int, float]) -> None:
        """Place zones one by one, each touching one already placed: an optimum is among them."""
        nonlocal best, shortest
        first = min(placed.values())
        total = max(s + busy[i][1][1] for i, s in placed.items()) - first
        if total >= shortest - SLACK or shortest <= least + SLACK:
            return
        if len(placed) == len(sequence):
            best, shortest = {i: s - first for i, s in placed.items()}, total
            return
        new = sequence[len(placed)]
        trials: set[float] = set()
        for old, start in placed.items():
            for low, high in busy[old]:
                for from_, to in busy[new]:
                    trials.update((round(start + high - from_, 9), round(start + low - to, 9)))
        for trial in sorted(trials):
            if all(
                _apart(busy[new], trial, busy[old], start)
                and (trial < start) in _allowed(tasks, new, old, order)
                for old, start in placed.items()
            ):
                place(sequence, {**placed, new: trial})

    for sequence in permutations(range(len(tasks))):
        place(sequence, {sequence[0]: 0.0})
    return {tasks[i].name: s for i, s in best.items()} if best else None


Spans = tuple[tuple[float, float], tuple[float, float]]


def _busy(task: Task, rinse_after: float, changeover: float) -> Spans:
    """Spans during which a zone occupies the hands, from its start [min]: laying and rinse."""
    return (0.0, task.laying + changeover), (rinse_after, rinse_after + task.rinsing)


def _allowed(tasks: Sequence[Task], new: int, old: int, order: Sequence[str]) -> tuple[bool, ...]:
    """Whether the new zone may start before the old one, and whether it may not."""
    if not order:
        return True, False
    return (may_precede(new, old, tasks, order),)


def _apart(new: Spans, new_start: float, old: Spans, old_start: float) -> bool:
    shift = new_start - old_start
    return not any(
        low + shift < to - TOUCHING and from_ < high + shift - TOUCHING
        for low, high in new
        for from_, to in old
    )
