"""Schedule: the order, starts and rinses that keep every section inside its window.

A zone is judged by one number, how long after its start it is rinsed; from the windows of its
sections follows, for each member of the ensemble, from when until when that may be. The search
goes through all combinations of those times on a grid and discards a branch only when its best
possible outcome cannot beat the best found, so it gives the optimum of its grid.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import permutations

import numpy as np

from lift.errors import Floats, LiftError

ENOUGH = 0.95
"""Probability of being inside above which the shorter service is preferred."""

STEP = 0.02
"""Step in which probabilities are compared: a longer service must be worth its time."""

GRID = {1: 121, 2: 61, 3: 21, 4: 8}
"""Rinse times tried for each zone, by number of zones."""

NEAR = 0.03
"""Difference of two probabilities that are nearly the same: assumed; an ensemble of 160 knows one
no better than that."""

SAFE = 0.9
"""Share of the members that must not be past a limit at the latest safe rinse."""

SLACK = 1e-9
TOUCHING = 1e-7
"""Overlap that rounding alone may make [min]."""


@dataclass(frozen=True, eq=False)
class Task:
    """One zone, as the search sees it; times from the start of its laying [min].

    `laying` is the time until it is all on, `rinsing` that for which its rinse occupies the hands,
    and `tail`, part of it, that from its first to its last section rinsed. Every section is inside
    when rinsed from `earliest` and before `latest`, shape (1 + members,), the expected strand
    first; where earliest is not below latest, no time is right. The rinse is not after `until`, and
    at `fixed`, where it is not the search's to choose.
    """

    name: str
    laying: float
    rinsing: float
    earliest: Floats
    latest: Floats
    tail: float = 0.0
    until: float = np.inf
    fixed: float | None = None

    @property
    def latest_safe(self) -> float:
        """Latest rinse at which no section is past its close on nine heads in ten [min]."""
        heads = self.latest[1:] if self.latest.size > 1 else self.latest
        return float(np.quantile(heads, 1.0 - SAFE, method="inverted_cdf"))

    def inside(self, rinse: Floats) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
        """Whether all sections are inside at each time, shape (times, 1 + members)."""
        rinse = np.asarray(rinse)[:, None]
        return (self.earliest <= rinse + SLACK) & (rinse < self.latest - SLACK)

    def candidates(self, count: int) -> Floats:
        """Times worth trying: where any member is inside, and some over all possible ones."""
        if self.fixed is not None:
            return np.array([self.fixed])
        last = max(self.laying, min(float(self.latest.max()), self.until))
        everywhere = np.linspace(self.laying, last, max(count // 3, 2))
        some = self.earliest < self.latest
        if not some.any():
            return np.asarray(np.unique(everywhere))
        low = max(self.laying, float(self.earliest[some].min()))
        high = max(low, min(float(self.latest[some].max()) - 1e-6, last))
        times = np.concatenate([everywhere, np.linspace(low, high, count)])
        return np.asarray(np.unique(times[times <= last]))

    def best_alone(self, count: int = 61) -> float:
        """Probability that every section is inside, at the best time for this zone alone [-]."""
        inside = self.inside(self.candidates(count))
        return float((inside[:, 1:] if inside.shape[1] > 1 else inside).mean(axis=1).max())

    def rinse_time(self, together: bool) -> float:
        """From its rinse to the end of it, as it counts for the service [min]."""
        return self.tail if together else self.rinsing


@dataclass(frozen=True)
class Schedule:
    """When each zone is started and rinsed; the first one starts at 0 [min].

    `order` is that in which the zones go on, `total` when the last rinse ends [min].
    `expected_inside` is of the expected strands, `p_inside` the probability that every section of
    every zone is inside; `safe` says that no zone is rinsed past its latest safe time.
    """

    order: tuple[str, ...]
    starts: dict[str, float]
    rinses: dict[str, float]
    expected_inside: bool
    p_inside: float
    total: float
    safe: bool


@dataclass(frozen=True)
class _Option:
    minutes: float
    bits: int
    p: float


Score = tuple[bool, int, int, float]


def search(
    tasks: Sequence[Task],
    together: bool,
    *,
    changeover: float = 0.0,
    order: Sequence[str] = (),
    grid: int | None = None,
) -> Schedule:
    """Find the schedule with the best chance that every section is inside when rinsed.

    First comes that the expected strands are all inside; then the probability that all are, in
    steps of `STEP` up to `ENOUGH`; then, where that is nil, the zones' own probabilities; then
    the shorter service. Where a schedule that rinses no zone past its latest safe time is nearly
    as likely (`NEAR`), it is that.

    Parameters
    ----------
    tasks : sequence of Task
        One to four.
    together : bool
        Whether all zones are rinsed at one moment, or each at its own.
    changeover : float
        Time from the end of one laying to the start of the next [min].
    order : sequence of str
        Order of the zones; empty: any.
    grid : int, optional
        Times tried for each zone; default `GRID`.

    Raises
    ------
    LiftError
        When times that are fixed go with no order.
    """
    asked = together, changeover, order, grid or GRID[len(tasks)]
    best = best_of_grid(tasks, *asked)
    if best is None:
        if any(t.fixed is not None for t in tasks):
            raise LiftError(
                "plan.fixed_apart", zones=[t.name for t in tasks if t.fixed is not None]
            )
        # No grid time of one zone goes with the others': lay them one after the other and rinse.
        chosen, starts = _one_after_the_other(tasks, changeover, order)
        best = _schedule(tasks, chosen, starts, together)
    if best.safe or any(t.latest_safe < t.laying for t in tasks):
        return best
    safe = best_of_grid([replace(t, until=t.latest_safe) for t in tasks], *asked)
    if safe is None or not safe.safe or safe.expected_inside < best.expected_inside:
        return best
    return safe if safe.p_inside >= max(best.p_inside - NEAR, SLACK) else best


def best_of_grid(
    tasks: Sequence[Task], together: bool, changeover: float, order: Sequence[str], grid: int
) -> Schedule | None:
    """The best schedule of a grid; None where no times of it go together."""
    options = [_options(task, grid) for task in tasks]
    best: tuple[Score, tuple[float, ...], dict[str, float]] | None = None
    members = tasks[0].earliest.size - 1
    # What the zones still to be decided could give at best, from the last zone backwards.
    rest = [(-1, 0.0, 0.0)]
    for task, choice in zip(reversed(tasks), reversed(options), strict=True):
        bits, p, least = rest[-1]
        union = 0
        for option in choice:
            union |= option.bits
        own = min(option.minutes for option in choice) + task.rinse_time(together)
        rest.append((bits & union, p + max(min(o.p, ENOUGH) for o in choice), max(least, own)))
    rest.reverse()

    def score(bits: int, p: float, total: float) -> Score:
        inside = (bits >> 1).bit_count() / members if members else float(bits & 1)
        steps = int(min(inside, ENOUGH) / STEP)
        return bool(bits & 1), steps, 0 if steps else int(p / STEP + 1e-6), -total

    def descend(chosen: tuple[float, ...], bits: int, p: float) -> None:
        nonlocal best
        depth = len(chosen)
        longest = least_total(tasks[:depth], chosen, together)
        ahead, more, least = rest[depth]
        bound = score(bits & ahead, p + more, max(longest, least))
        if best is not None and bound <= best[0]:
            return
        if depth == len(tasks):
            starts = arrange(tasks, chosen, together, changeover, order)
            if starts is None:
                return
            total = max(_ends(tasks, chosen, starts, together))
            reached = score(bits, p, total)
            if best is None or reached > best[0]:
                best = reached, chosen, starts
            return
        for option in options[depth]:
            longer = (*chosen, option.minutes)
            if together and not fits(tasks, longer, changeover, order):
                continue
            descend(longer, bits & option.bits, p + min(option.p, ENOUGH))

    descend((), -1, 0.0)
    if best is None:
        return None
    _, chosen, starts = best
    return _schedule(tasks, chosen, starts, together)


def _ends(
    tasks: Sequence[Task], chosen: Sequence[float], starts: dict[str, float], together: bool
) -> list[float]:
    return [starts[t.name] + x + t.rinse_time(together) for t, x in zip(tasks, chosen, strict=True)]


def _options(task: Task, count: int) -> list[_Option]:
    times = task.candidates(count)
    inside = task.inside(times)
    shares = inside[:, 1:].mean(axis=1) if inside.shape[1] > 1 else inside[:, 0].astype(float)
    # One bit for each member, the expected strand in the lowest.
    rows = np.packbits(inside, axis=1, bitorder="little")
    found = [
        _Option(float(time), int.from_bytes(row.tobytes(), "little"), float(share))
        for time, row, share in zip(times, rows, shares, strict=True)
    ]
    return sorted(found, key=lambda o: (-(o.bits & 1), -min(o.p, ENOUGH), o.minutes))


def _one_after_the_other(
    tasks: Sequence[Task], changeover: float, order: Sequence[str]
) -> tuple[tuple[float, ...], dict[str, float]]:
    by_name = {t.name: t for t in tasks}
    names = list(order) or [t.name for t in sorted(tasks, key=lambda t: -float(t.latest[0]))]
    starts, clock = {}, 0.0
    for name in names:
        starts[name] = clock
        clock += by_name[name].laying + changeover
    end = max(starts[t.name] + t.laying for t in tasks)
    return tuple(end - starts[t.name] for t in tasks), starts


def _schedule(
    tasks: Sequence[Task], chosen: tuple[float, ...], starts: dict[str, float], together: bool
) -> Schedule:
    inside = np.all(
        [t.inside(np.array([x]))[0] for t, x in zip(tasks, chosen, strict=True)], axis=0
    )
    return Schedule(
        order=tuple(sorted(starts, key=lambda name: starts[name])),
        starts=starts,
        rinses={t.name: starts[t.name] + x for t, x in zip(tasks, chosen, strict=True)},
        expected_inside=bool(inside[0]),
        p_inside=float(inside[1:].mean()) if inside.size > 1 else float(inside[0]),
        total=max(_ends(tasks, chosen, starts, together)),
        safe=all(x <= t.latest_safe + SLACK for t, x in zip(tasks, chosen, strict=True)),
    )


# Whether zones fit in between each other, for given times from start to rinse.


def least_total(tasks: Sequence[Task], chosen: Sequence[float], together: bool) -> float:
    """Length that a service cannot fall short of, given times from start to rinse [min]."""
    if not chosen:
        return 0.0
    if together:
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
    together: bool,
    changeover: float,
    order: Sequence[str],
) -> dict[str, float] | None:
    """Starts for given times to the rinse, the shortest service they allow."""
    if together:
        longest = max(chosen)
        return {t.name: longest - x for t, x in zip(tasks, chosen, strict=True)}
    best: dict[int, float] = {}
    shortest = np.inf
    least = least_total(tasks, chosen, together)
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
    return (may_precede(new, old, tasks, order),) if order else (True, False)


def _apart(new: Spans, new_start: float, old: Spans, old_start: float) -> bool:
    shift = new_start - old_start
    return not any(
        low + shift < to - TOUCHING and from_ < high + shift - TOUCHING
        for low, high in new
        for from_, to in old
    )
