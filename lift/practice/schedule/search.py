"""Schedule: the order, starts and rinses that keep every section inside its window.

A zone is judged by one number, how long after its start it is rinsed; from the windows of its
sections follows, for each member of the ensemble, from when until when that may be. Of one and two
zones every combination of those times on a grid is counted. Of three on, ways that promise less are
let go while zones are put in one after the other (`times`), and where zones are rinsed one by one,
so are sequences of four (`arrange`): what is found is good, and not proven to be the best.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from lift.errors import LiftError
from lift.practice.schedule.arrange import Starts, arrange, least_total
from lift.practice.schedule.task import SLACK, Schedule, Task
from lift.practice.schedule.times import best_times

EXACT = 2
"""Zones up to which every way on the grid is counted."""


@dataclass(frozen=True)
class Effort:
    """How much is looked at: more takes longer.

    Parameters
    ----------
    grid : int
        Times tried for each zone.
    keep : int
        Ways to time some of the zones that are kept of each set of them.
    arranged : int
        Ways to time all zones whose arrangement is tried, where they are rinsed one by one.
    """

    grid: int
    keep: int
    arranged: int


ALL = 1000
"""More ways than there are of one zone."""

FINE = (
    Effort(121, ALL, 400),
    Effort(61, ALL, 400),
    Effort(41, 120, 24),
    Effort(31, 60, 12),
    Effort(31, 48, 8),
    Effort(31, 36, 6),
    Effort(21, 24, 4),
    Effort(21, 24, 4),
)
"""For what is told of one zone, of two, and so on; of more as of the last."""

COARSE = (
    Effort(61, ALL, 100),
    Effort(21, ALL, 40),
    Effort(15, 24, 4),
    Effort(12, 10, 2),
    Effort(12, 6, 1),
    Effort(10, 4, 1),
)
"""For telling which of many plans are worth a closer look."""

NEAR = 0.03
"""Difference of two probabilities that are nearly the same: assumed; an ensemble of 160 knows one
no better than that."""


def search(
    tasks: Sequence[Task],
    together: bool,
    *,
    changeover: float = 0.0,
    order: Sequence[str] = (),
    efforts: Sequence[Effort] = FINE,
) -> Schedule:
    """Find the schedule with the best chance that every section is inside when rinsed.

    First comes that the expected strands are all inside; then the probability that all are, in
    steps of ``STEP`` up to ``ENOUGH``; then, where that is nil, the zones' own probabilities; then
    the shorter service. Where a schedule that rinses no zone past its latest safe time is nearly
    as likely (`NEAR`), it is that.

    Parameters
    ----------
    tasks : sequence of Task
        One or more.
    together : bool
        Whether all zones are rinsed at one moment, or each at its own.
    changeover : float
        Time from the end of one laying to the start of the next [min].
    order : sequence of str
        Order of the zones; empty: any.
    efforts : sequence of Effort
        `FINE` or `COARSE`.

    Raises
    ------
    LiftError
        When times that are fixed go with no order.
    """
    asked = together, changeover, order, efforts[min(len(tasks), len(efforts)) - 1]
    best = best_of_grid(tasks, *asked)
    if best is None:
        raise LiftError("plan.fixed_apart", zones=[t.name for t in tasks if t.fixed is not None])
    if best.safe or any(t.latest_safe < t.laying for t in tasks):
        return best
    safe = best_of_grid([replace(t, until=t.latest_safe) for t in tasks], *asked)
    if safe is None or not safe.safe or safe.expected_inside < best.expected_inside:
        return best
    return safe if safe.p_inside >= max(best.p_inside - NEAR, SLACK) else best


def best_of_grid(
    tasks: Sequence[Task], together: bool, changeover: float, order: Sequence[str], effort: Effort
) -> Schedule | None:
    """The best schedule of a grid; None where no times of it go together."""
    names = [task.name for task in tasks]
    sequence = [names.index(name) for name in order]
    found = best_times(
        tasks,
        together,
        changeover=changeover,
        sequence=sequence,
        grid=effort.grid,
        keep=effort.keep,
    )
    if not len(found.minutes):
        return None
    if together:
        minutes = found.minutes[0].tolist()
        longest = max(minutes)
        return _schedule(tasks, minutes, [longest - x for x in minutes], together)
    first = np.flatnonzero(found.worth == found.worth[0])
    some = found.minutes[first[: effort.arranged]].tolist()
    best: tuple[float, list[float], Starts] | None = None
    for minutes in sorted(some, key=lambda each: least_total(tasks, each)):
        if best is not None and least_total(tasks, minutes) >= best[0] - SLACK:
            break
        starts = arrange(tasks, minutes, changeover, sequence)
        if starts is not None:
            total = max(_ends(tasks, minutes, starts, together))
            if best is None or total < best[0] - SLACK:
                best = total, minutes, starts
    return None if best is None else _schedule(tasks, best[1], best[2], together)


def _ends(
    tasks: Sequence[Task], minutes: Sequence[float], starts: Sequence[float], together: bool
) -> list[float]:
    each = zip(tasks, minutes, starts, strict=True)
    return [start + x + task.rinse_time(together) for task, x, start in each]


def _schedule(
    tasks: Sequence[Task], minutes: Sequence[float], starts: Sequence[float], together: bool
) -> Schedule:
    each = list(zip(tasks, minutes, starts, strict=True))
    inside = np.all([t.inside(np.array([x]))[0] for t, x, _ in each], axis=0)
    return Schedule(
        order=tuple(t.name for t, _, _ in sorted(each, key=lambda row: row[2])),
        starts={t.name: start for t, _, start in each},
        rinses={t.name: start + x for t, x, start in each},
        expected_inside=bool(inside[0]),
        p_inside=float(inside[1:].mean()) if inside.size > 1 else float(inside[0]),
        total=max(_ends(tasks, minutes, starts, together)),
        safe=all(x <= t.latest_safe + SLACK for t, x, _ in each),
    )
