"""Schedule: the order, starts and rinses that keep every section inside its window.

A zone is judged by one number, how long after its start it is rinsed; from the windows of its
sections follows, for each member of the ensemble, from when until when that may be. The search
goes through all combinations of those times on a grid and discards a branch only when its best
possible outcome cannot beat the best found, so it gives the optimum of its grid.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lift.practice.service.arrange import Task, arrange, fits, least_total

ENOUGH = 0.95
"""Probability of being inside above which the shorter service is preferred."""

STEP = 0.02
"""Step in which probabilities are compared: a longer service must be worth its time."""

GRID = {1: 121, 2: 61, 3: 25, 4: 13}
"""Rinse times tried for each zone, by number of zones."""


@dataclass(frozen=True)
class Schedule:
    """When each zone is started and rinsed.

    Parameters
    ----------
    order : tuple of str
        Zones in the order in which they go on.
    starts, rinses : mapping of str to float
        Time on the service's clock [min]; the first zone starts at 0.
    expected_inside : bool
        Whether the expected strand of every section is inside when rinsed.
    p_inside : float
        Probability that every section of every zone is inside when rinsed.
    total : float
        When the last rinse ends [min].
    """

    order: tuple[str, ...]
    starts: dict[str, float]
    rinses: dict[str, float]
    expected_inside: bool
    p_inside: float
    total: float


@dataclass(frozen=True)
class _Option:
    minutes: float
    bits: int
    p: float


Score = tuple[bool, int, int, float]


def search(
    tasks: Sequence[Task],
    rinse: str,
    *,
    changeover: float = 0.0,
    order: Sequence[str] = (),
    grid: int | None = None,
) -> Schedule:
    """Find the schedule with the best chance that every section is inside when rinsed.

    First comes that the expected strands are all inside; then the probability that all are, in
    steps of `STEP` up to `ENOUGH`; then, where that is nil, the zones' own probabilities; then
    the shorter service.

    Parameters
    ----------
    tasks : sequence of Task
        One to four.
    rinse : str
        ``together`` or ``zone by zone``, as in ``Salon.rinse``.
    changeover : float
        Time from the end of one laying to the start of the next [min].
    order : sequence of str
        Order of the zones; empty: any.
    grid : int, optional
        Times tried for each zone; default `GRID`.

    Returns
    -------
    Schedule
        The optimum over the grid.
    """
    count = grid or GRID[len(tasks)]
    options = [_options(task, count) for task in tasks]
    best: tuple[Score, tuple[float, ...], dict[str, float]] | None = None
    members = tasks[0].earliest.size - 1
    # What the zones still to be decided could give at best, from the last zone backwards.
    rest = [(-1, 0.0, 0.0)]
    for task, choice in zip(reversed(tasks), reversed(options), strict=True):
        bits, p, least = rest[-1]
        union = 0
        for option in choice:
            union |= option.bits
        shortest = min(option.minutes for option in choice)
        own = shortest + _rinse_time(task, rinse)
        rest.append((bits & union, p + max(min(o.p, ENOUGH) for o in choice), max(least, own)))
    rest.reverse()

    def score(bits: int, p: float, total: float) -> Score:
        inside = (bits >> 1).bit_count() / members if members else float(bits & 1)
        steps = int(min(inside, ENOUGH) / STEP)
        return bool(bits & 1), steps, 0 if steps else int(p / STEP + 1e-6), -total

    def descend(chosen: tuple[float, ...], bits: int, p: float) -> None:
        nonlocal best
        depth = len(chosen)
        longest = least_total(tasks[:depth], chosen, rinse)
        ahead, more, least = rest[depth]
        bound = score(bits & ahead, p + more, max(longest, least))
        if best is not None and bound <= best[0]:
            return
        if depth == len(tasks):
            starts = arrange(tasks, chosen, rinse, changeover, order)
            if starts is None:
                return
            total = max(
                starts[t.name] + x + _rinse_time(t, rinse)
                for t, x in zip(tasks, chosen, strict=True)
            )
            reached = score(bits, p, total)
            if best is None or reached > best[0]:
                best = reached, chosen, starts
            return
        for option in options[depth]:
            longer = (*chosen, option.minutes)
            if rinse == "together" and not fits(tasks, longer, changeover, order):
                continue
            descend(longer, bits & option.bits, p + min(option.p, ENOUGH))

    descend((), -1, 0.0)
    if best is None:
        # No grid time of one zone goes with the others': lay them one after the other and rinse.
        chosen, starts = _one_after_the_other(tasks, changeover, order)
    else:
        _, chosen, starts = best
    return _schedule(tasks, chosen, starts, rinse)


def _rinse_time(task: Task, rinse: str) -> float:
    return task.tail if rinse == "together" else task.rinsing


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
    tasks: Sequence[Task], chosen: tuple[float, ...], starts: dict[str, float], rinse: str
) -> Schedule:
    inside = np.all(
        [t.inside(np.array([x]))[0] for t, x in zip(tasks, chosen, strict=True)], axis=0
    )
    rinses = {t.name: starts[t.name] + x for t, x in zip(tasks, chosen, strict=True)}
    ends = [rinses[t.name] + _rinse_time(t, rinse) for t in tasks]
    return Schedule(
        order=tuple(sorted(starts, key=lambda name: starts[name])),
        starts=starts,
        rinses=rinses,
        expected_inside=bool(inside[0]),
        p_inside=float(inside[1:].mean()) if inside.size > 1 else float(inside[0]),
        total=max(ends),
    )
