"""Service: make all zones ready and search their schedule."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError
from lift.model.curves import CurveSet
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.trajectory import simulate
from lift.practice.goal import Goal, Target, resolve_goal
from lift.practice.service.response import Response
from lift.practice.service.scenario import Scenario
from lift.practice.service.schedule import Schedule, search
from lift.practice.service.zone import Blonde, Lab, Zone
from lift.practice.service.zone_work import ZoneWork, make_ready, mean_lab
from lift.words import note

LIGHTEST_LEVEL = 12.0
"""Lightest level that can be asked for: the range of a goal's level."""


@dataclass(frozen=True, eq=False)
class Service:
    """All treated zones and their schedule.

    Parameters
    ----------
    scenario : Scenario
        As planned.
    works : mapping of str to ZoneWork
        Treated zones by name.
    matches : mapping of str to tuple
        CIELAB that each matching zone is to have.
    schedule : Schedule
        Order, starts and rinses.
    """

    scenario: Scenario
    works: dict[str, ZoneWork]
    matches: dict[str, Lab]
    schedule: Schedule

    def rinse_after(self, name: str) -> float:
        """Time from a zone's start to its rinse [min]."""
        return self.schedule.rinses[name] - self.schedule.starts[name]

    def p_inside(self, name: str) -> float:
        """Probability that every section of a zone is inside when rinsed [-]."""
        inside = self.works[name].task().inside(np.array([self.rinse_after(name)]))
        return float(inside[0, 1:].mean())


def solve(
    scenario: Scenario,
    curves: CurveSet,
    latent: Floats,
    known: dict[Any, Response] | None = None,
) -> Service:
    """Make all zones ready and search their schedule.

    Parameters
    ----------
    scenario : Scenario
        As planned.
    curves : CurveSet
        Curve set.
    latent : numpy.ndarray
        Deviates, the expected strand's first, shape (1 + members, 4).
    known : dict, optional
        Responses worked out before, as for `make_ready`.

    Returns
    -------
    Service

    Raises
    ------
    LiftError
        When a goal resolves to something that lightening cannot give.
    """
    works: dict[str, ZoneWork] = {}
    matches: dict[str, Lab] = {}

    def ready(zone: Zone) -> ZoneWork:
        if zone.name not in works:
            target, too_light = aim(zone)
            works[zone.name] = make_ready(
                scenario, zone, target, curves, latent, too_light=too_light, known=known
            )
        return works[zone.name]

    def aim(zone: Zone) -> tuple[Target, float]:
        goal, match = zone.goal.goal, zone.goal.match
        lighter_by = zone.goal.lighter_by
        if match is not None:
            matches[zone.name] = match_colour(match)
            goal = Goal(lab=matches[zone.name], warmth_allowance=goal.warmth_allowance)
            lighter_by = lighter_by or scenario.values["match_lighter_levels"]
        target = reachable_target(scenario, zone, goal, curves)
        too_light = np.inf if lighter_by is None else target.level + lighter_by
        if match is not None:
            near = max(target.level - scenario.values["match_darker_levels"], level_now(zone))
            name = note("goal.match", which=match[0], zone=match[1], level=target.level)
            target = replace(target, level=near, name=name)
        return target, too_light

    def match_colour(match: tuple[str, str]) -> Lab:
        which, zone = match[0], scenario.zone(match[1])
        declared = zone.darkest if which == "darkest" else zone.lightest
        if declared is not None:
            return blonde_lab(declared, curves)
        if not zone.treated:
            return colour_now(zone, curves)
        work = ready(zone)
        alone = search([work.task()], "together").rinses[zone.name]
        sections = mean_lab(work.strands(alone).lab[:, 1:-1], axis=1)
        order = np.argsort(sections[:, 0])
        return as_tuple(sections[order[0 if which == "darkest" else -1]])

    for zone in scenario.treated:
        ready(zone)
    tasks = [works[z.name].task() for z in scenario.treated]
    salon = scenario.salon
    schedule = search(
        tasks,
        salon.rinse,
        changeover=scenario.values["changeover_minutes"],
        order=salon.order,
    )
    return Service(scenario, works, matches, schedule)


def reachable_target(scenario: Scenario, zone: Zone, goal: Goal, curves: CurveSet) -> Target:
    """Make a goal definite, refusing what no lightening of this hair can reach.

    Raises
    ------
    LiftError
        When the goal is darker than the hair, or lighter than any goal may be; it says where
        the goal stands in a file.
    """
    place = scenario.where(("zones", scenario.zones.index(zone), "goal"))
    try:
        target = resolve_goal(goal, zone.hair, curves)
    except LiftError as error:
        raise LiftError(f"{place}: {error}") from None
    if target.level > LIGHTEST_LEVEL:
        raise LiftError(
            f"{place}: the goal of zone {zone.name} ({target.words}) is lighter than natural hair "
            f"of level {LIGHTEST_LEVEL:g}; no hair is lightened past that"
        )
    return target


def level_now(zone: Zone) -> float:
    """Level of a zone's hair before the service [-]."""
    return float(zone.hair.level if zone.hair.lightened_to is None else zone.hair.lightened_to)


def blonde_lab(blonde: Blonde, curves: CurveSet) -> Lab:
    """CIELAB of a declared blonde; a level means natural hair of it."""
    if isinstance(blonde, tuple | list):
        return as_tuple(blonde)
    return as_tuple(natural_path(curves).lab_of_level(float(blonde)))


def colour_now(zone: Zone, curves: CurveSet) -> Lab:
    """CIELAB of a zone before the service: declared, or that of its hair."""
    if zone.colour is not None:
        return blonde_lab(zone.colour, curves)
    return as_tuple(simulate(zone.hair, Mixture(volume=0.0), 0.0, curves).lab)


def natural_colour(zone: Zone, curves: CurveSet) -> Lab:
    """CIELAB of the hair as it grows, its grey included."""
    return as_tuple(
        simulate(zone.hair.replace(lightened_to=None), Mixture(volume=0.0), 0.0, curves).lab
    )


def as_tuple(lab: object) -> Lab:
    """Three plain floats."""
    one, two, three = (float(v) for v in np.asarray(lab))
    return one, two, three
