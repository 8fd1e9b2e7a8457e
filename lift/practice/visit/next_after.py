"""Next visit after one that was: from the hair as it came out, not as it was planned."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

import numpy as np

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.ensemble import draw_latent
from lift.practice.consulted import Consulted
from lift.practice.scenario.laid_out import ready
from lift.practice.scenario.scenario import CHOOSE, Scenario
from lift.practice.schedule.choose import settle
from lift.practice.schedule.response import Responses, deck
from lift.practice.schedule.solve import solve
from lift.practice.schedule.work import MIDDLE, ZoneWork
from lift.practice.service.next_visit import NextVisit, next_visit
from lift.practice.service.outcome import outcome
from lift.practice.visit.again import level_of
from lift.practice.visit.marks import clocked_minutes, clocked_toners
from lift.practice.visit.next_date import Proposal, proposal, usual
from lift.practice.visit.tone import zone_tone
from lift.practice.visit.visit import Visit

HALVINGS = 20
"""Of an hour: to less than a second."""


def come_again(visit: Visit, curves: CurveSet) -> Proposal:
    """When to come again after a visit that was, and why; what is usual where nothing was planned.

    Examples
    --------
    >>> from lift.model.curves import default_curves
    >>> from lift.practice.visit.visit_table import visit_of
    >>> come_again(visit_of({"zones": []}), default_curves()).weeks
    10
    """
    faded = faded_weeks(visit, curves)
    try:
        return proposal(next_after(visit, curves), faded)
    except LiftError:
        return usual(visit.scenario.values["growth_mm_per_day"], faded)


def faded_weeks(visit: Visit, curves: CurveSet) -> dict[str, float | None]:
    """When the toners of a visit will have faded, by zone [weeks]; None: not within a year.

    They are those that are named, and those that the clock has laid on.
    """
    laid = clocked_toners(visit)
    found: dict[str, float | None] = {}
    for zone in visit.scenario.zones:
        if zone.goal.leave or (zone.laid_on is None and zone.name not in laid):
            continue
        with suppress(LiftError):
            tone = zone_tone(visit, zone.name, curves)
            fade = tone.fades(tone.chosen)
            if fade is not None:
                passes = fade.passes
                found[zone.name] = None if passes is None else passes / tone.washes_per_week
    return found


def next_after(visit: Visit, curves: CurveSet) -> NextVisit:
    """What decides the next visit, its regrowth and tone followed from what came out.

    Without added tone the colour of hair depends on its exposure alone, so hair that came out at a
    level is hair rinsed when it would have been expected to be there. Of a zone of which nothing is
    told the clock's rinse holds, else the planned one.

    Raises
    ------
    LiftError
        Where nothing can be planned, for a wish is missing, or none that can be met.

    Examples
    --------
    >>> from lift.model.curves import default_curves
    >>> from lift.practice.visit.visit_table import visit_of
    >>> base = {"name": "base", "natural_level": 6, "mixture": "m", "goal": "lighten 7.5"}
    >>> mixtures = {"m": {"kind": "cream", "volume": 20}}
    >>> visit = visit_of({"zones": [base | {"regrowth_mm": 15}], "mixtures": mixtures})
    >>> next_after(visit, default_curves()).due_weeks is None
    False
    """
    responses = Responses(curves, deck(draw_latent(), prior=True))
    # What was done was done: nothing of it is refused any more.
    scenario, _ = settle(ready(_as_done(visit)), responses, Consulted())
    service, outcomes = solve(scenario, responses), {}
    for name, work in service.works.items():
        seen, rinse = visit.result_of(name), clocked_minutes(visit, name)
        if seen is not None:
            rinse = rinse_that_shows(work, level_of(seen, curves))
        at = service.rinse_after(name) if rinse is None else rinse
        outcomes[name] = outcome(work, at, service.target_lab(name))
    return next_visit(scenario, outcomes, curves)


def _as_done(visit: Visit) -> Scenario:
    """Scenario without toners that were left to be chosen and that the clock does not know of."""
    toned = clocked_toners(visit)
    zones = (
        replace(zone, toner=None) if zone.toner == CHOOSE and zone.name not in toned else zone
        for zone in visit.scenario.zones
    )
    return visit.scenario.replace(zones=tuple(zones))


def rinse_that_shows(work: ZoneWork, level: float) -> float:
    """When a zone is to be rinsed so that its expected strands have a level [min after its start].

    The soonest or the latest moment where they never have it.
    """
    low, high = 0.0, float(work.asked.limit_minutes + work.laying.offset.max())
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        shown = float(np.mean(work.strands(middle).level[:, MIDDLE]))
        low, high = (low, middle) if shown > level else (middle, high)
    return 0.5 * (low + high)
