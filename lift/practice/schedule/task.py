"""Task: one zone as the search of a schedule sees it, and the schedule that comes of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lift.errors import Floats

SAFE = 0.9
"""Share of the members that must not be past a limit at the latest safe rinse."""

SLACK = 1e-9


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
