"""Steps: the plan as a list of things to do, in order."""

from __future__ import annotations

from itertools import groupby

from lift.practice.service.plan_parts import Step
from lift.practice.service.service import Service


def steps_of(service: Service) -> tuple[Step, ...]:
    """List what is mixed, laid and rinsed, on the service's clock.

    Parameters
    ----------
    service : Service
        Works and schedule.

    Returns
    -------
    tuple of Step
        By time; sections that several hands lay at the same time are one step, and so is the
        rinse of a zone, or of everything where all is rinsed together.
    """
    schedule = service.schedule
    together = service.scenario.salon.rinse == "together"
    steps = []
    for name, start in schedule.starts.items():
        work = service.works[name]
        laying = work.laying
        rows = zip(laying.starts, laying.ends, laying.bowl, strict=True)
        bowl = 0
        numbered = enumerate(rows, 1)
        for _, group in groupby(numbered, key=lambda row: (row[1][0], row[1][2])):
            same = list(group)
            begins, ends, of_bowl = same[0][1]
            if of_bowl != bowl:
                bowl = int(of_bowl)
                steps.append(Step("mix", name, (), float(start + begins), float(start + begins)))
            numbers = tuple(number for number, _ in same)
            steps.append(Step("lay", name, numbers, float(start + begins), float(start + ends)))
        if not together:
            rinse = schedule.rinses[name]
            last = rinse + work.rinsing + laying.rinse_minutes
            numbers = tuple(range(1, laying.starts.size + 1))
            steps.append(Step("rinse", name, numbers, rinse, last))
    if together:
        at = max(schedule.rinses.values())
        tails = [w.laying.rinse_minutes for w in service.works.values()]
        steps.append(Step("rinse", "", (), at, at + max(tails)))
    order = {"rinse": 0, "mix": 1, "lay": 2}
    return tuple(sorted(steps, key=lambda s: (round(s.at, 6), order[s.kind])))
