"""Reasons: why no schedule keeps every section inside its window."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from lift.practice.service.service import Service
from lift.practice.service.zone_work import ZoneWork


def failing_zones(service: Service) -> tuple[str, ...]:
    """Zones that cannot be inside as planned, alone or together with others."""
    alone = [name for name, work in service.works.items() if zone_reason(work) is not None]
    if alone:
        return tuple(alone)
    return tuple(dict.fromkeys(name for pair in _clashes(service) for name in pair))


def reason(service: Service) -> str:
    """Why there is no schedule, in one or more sentences.

    Parameters
    ----------
    service : Service
        One whose expected strands are not all inside.

    Returns
    -------
    str
    """
    found = [text for work in service.works.values() if (text := zone_reason(work)) is not None]
    if found:
        return " ".join(found)
    clashes = _clashes(service)
    if clashes:
        return " ".join(_clash_words(service, pair) for pair in clashes)
    return (
        "Each zone, and each pair of zones, can be inside its windows, but not all at once: the "
        "hands are needed in two places, or one common rinse comes too late for one of them."
    )


def zone_reason(work: ZoneWork) -> str | None:
    """Why a zone cannot be inside even alone; None when it can."""
    task = work.task()
    name, goal = work.zone.name, work.target.words
    opens, closes = work.opens[0], work.closes[0]
    earliest, latest = float(task.earliest[0]), float(task.latest[0])
    if max(earliest, task.laying) < latest:
        return None
    limit = work.response.limit_minutes
    worst = int(np.argmax(opens - closes))
    if not np.isfinite(opens[worst]) or opens[worst] >= limit:
        return (
            f"{name}: {goal} is not reached within {limit:g} min in section {worst + 1} "
            f"(its mixture has {work.laying.strength[worst]:.0%} of its strength left)."
        )
    by = work.closes_by
    if np.any(opens >= closes):
        return (
            f"{name}: section {worst + 1} passes its limit ({by[worst]}) at {closes[worst]:.1f} "
            f"min, before all of it has reached {goal} at {opens[worst]:.1f} min."
        )
    first = int(np.argmin(work.offset + closes))
    last = int(np.argmax(work.offset + opens))
    if latest <= task.laying:
        return (
            f"{name}: section {first + 1} closes ({by[first]}) {latest:.1f} min after the start, "
            f"before the last section is on at {task.laying:.1f} min."
        )
    return (
        f"{name}: section {first + 1} closes ({by[first]}) {latest:.1f} min after the start, "
        f"before section {last + 1}, laid {work.laying.starts[last]:.1f} min after the start, has "
        f"reached {goal} at {earliest:.1f} min; the windows are "
        f"{float(np.min(closes - opens)):.1f} min wide."
    )


def _clashes(service: Service) -> list[tuple[str, str]]:
    """Pairs that cannot be rinsed together in either order (expected strands)."""
    scenario = service.scenario
    if scenario.salon.rinse != "together":
        return []
    return [
        (one, two)
        for one, two in combinations(service.works, 2)
        if not (_allows(service, one, two) or _allows(service, two, one))
    ]


def _allows(service: Service, first: str, second: str) -> bool:
    """Whether one zone can be laid before another and both be inside at one rinse."""
    order = service.scenario.salon.order
    if order and order.index(first) > order.index(second):
        return False
    one, two = service.works[first].task(), service.works[second].task()
    changeover = service.scenario.values["changeover_minutes"]
    longest = float(one.latest[0])
    shortest = max(float(two.earliest[0]), two.laying)
    return longest - shortest > one.laying + changeover


def _clash_words(service: Service, pair: tuple[str, str]) -> str:
    one, two = (service.works[name].task() for name in pair)
    return (
        f"{pair[0]} and {pair[1]} cannot be rinsed together: {pair[0]} must be rinsed "
        f"{float(one.earliest[0]):.1f} to {float(one.latest[0]):.1f} min after its start and takes "
        f"{one.laying:.1f} min to lay, {pair[1]} {float(two.earliest[0]):.1f} to "
        f"{float(two.latest[0]):.1f} min and {two.laying:.1f} min."
    )
