"""Solve: goals made definite, all zones made ready, their schedule searched."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.trajectory import simulate
from lift.optics.colorimetry import lab_tuple, mean_lab
from lift.practice.goal import Blend, Goal
from lift.practice.scenario.place import placed
from lift.practice.scenario.scenario import Blonde, Match, Scenario, Zone
from lift.practice.schedule.response import Responses
from lift.practice.schedule.search import FINE, Effort, search
from lift.practice.schedule.task import Schedule
from lift.practice.schedule.work import MIDDLE, ZoneWork, make_ready
from lift.practice.target import Target, resolve_goal
from lift.quantities import Lab
from lift.words import note


@dataclass(frozen=True, eq=False)
class Service:
    """All treated zones by name, what each matching zone is to become, and the schedule."""

    scenario: Scenario
    works: dict[str, ZoneWork]
    matches: dict[str, Lab]
    schedule: Schedule

    @property
    def all_rinsed(self) -> float:
        """When the last rinse of a mixture has ended on the service's clock [min].

        The schedule of a rinse together ends when water has reached the last section.
        """
        still = self.scenario.values["rinse_minutes"] if self.scenario.salon.together else 0.0
        return self.schedule.total + still

    @property
    def rinse_lasts(self) -> float:
        """How long the last rinse of a mixture takes [min]."""
        return self.all_rinsed - max(self.schedule.rinses.values())

    def rinse_after(self, name: str) -> float:
        """Time from a zone's start to its rinse [min]."""
        return self.schedule.rinses[name] - self.schedule.starts[name]

    def p_inside(self, name: str) -> float:
        """Probability that every section of a zone is inside when rinsed [-]."""
        inside = self.works[name].task().inside(np.array([self.rinse_after(name)]))
        return float(inside[0, 1:].mean())

    def target_lab(self, name: str) -> Lab | None:
        """CIELAB that a zone is to have, where its goal is a colour."""
        work = self.works[name]
        asked: Lab | None = getattr(work.zone.goal.goal, "lab", None)
        return self.matches.get(name) or work.target.wanted or asked


def solve(scenario: Scenario, responses: Responses, efforts: Sequence[Effort] = FINE) -> Service:
    """Make all zones ready and search their schedule, finely or coarsely.

    Raises
    ------
    LiftError
        When a goal resolves to something that lightening cannot give.
    """
    works, matches = works_of(scenario, responses)
    salon = scenario.salon
    schedule = search(
        [works[z.name].task() for z in scenario.treated],
        salon.together,
        changeover=scenario.values["changeover_minutes"],
        order=salon.order,
        efforts=efforts,
    )
    return Service(scenario, works, matches, schedule)


def works_of(
    scenario: Scenario, responses: Responses, names: Iterable[str] | None = None
) -> tuple[dict[str, ZoneWork], dict[str, Lab]]:
    """Make zones of those names ready, default all treated ones, and those that they match.

    With the works by name goes what each matching zone is to become.
    """
    curves = responses.curves
    works: dict[str, ZoneWork] = {}
    matches: dict[str, Lab] = {}

    def ready(zone: Zone) -> ZoneWork:
        if zone.name not in works:
            works[zone.name] = make_ready(scenario, zone, aim(zone), responses)
        return works[zone.name]

    def aim(zone: Zone) -> Target:
        match = zone.goal.match
        if match is None:
            return reachable_target(scenario, zone, zone.goal.goal, responses)
        matches[zone.name] = match_colour(match)
        goal = Blend(lab=matches[zone.name], tolerance=zone.goal.goal.tolerance)
        target = reachable_target(scenario, zone, goal, responses)
        name = note("goal.match", which=match[0], zone=match[1], level=target.level)
        return replace(target, name=name)

    def match_colour(match: Match) -> Lab:
        which, zone = match[0], scenario.zone(match[1])
        declared = zone.darkest if which == "darkest" else zone.lightest
        if declared is not None:
            return blonde_lab(declared, curves)
        # What is matched is matched by pigmented fibres, and so is what they are to match.
        if not zone.treated:
            return colour_now(zone, curves, pigmented=True)
        work = ready(zone)
        alone = search([work.task()], together=True).rinses[zone.name]
        sections = mean_lab(work.strands(alone).pigmented[:, MIDDLE], axis=1)
        order = np.argsort(sections[:, 0])
        return lab_tuple(sections[order[0 if which == "darkest" else -1]])

    for zone in scenario.treated:
        if names is None or zone.name in names:
            ready(zone)
    return works, matches


def reachable_target(scenario: Scenario, zone: Zone, goal: Goal, responses: Responses) -> Target:
    """Make a goal definite, refusing what no lightening of this hair can reach.

    Raises
    ------
    LiftError
        When the goal is darker than the hair, or lighter than any hair is to be; it says where
        the goal stands in a file.
    """
    path = ("zones", scenario.zones.index(zone), "goal")
    # As long as it is to be chosen, a lightening is toned and a blend is not.
    toned = None if isinstance(zone.toner, str) else zone.toner is not None
    edge = scenario.values["blend_limit"]
    asked = zone.hair, goal, toned, edge
    try:
        if asked not in responses.targets:
            responses.targets[asked] = resolve_goal(
                goal, zone.hair, responses.curves, toned=toned, edge=edge
            )
        target = responses.targets[asked]
    except LiftError as error:
        raise placed(error, path, scenario.where) from None
    lighter_by = zone.goal.lighter_by
    if lighter_by is None:
        return target
    return replace(target, past_level=min(target.level + lighter_by, target.past_level))


def blonde_lab(blonde: Blonde, curves: CurveSet) -> Lab:
    """CIELAB of a declared blonde; a level means natural hair of it."""
    if isinstance(blonde, tuple | list):
        return lab_tuple(blonde)
    return lab_tuple(natural_path(curves).lab_of_level(float(blonde)))


def colour_now(zone: Zone, curves: CurveSet, *, pigmented: bool = False) -> Lab:
    """CIELAB of a zone before the service: declared, or that of its hair, as it is seen.

    Of hair that is not declared, `pigmented` gives the colour of its pigmented fibres alone.
    """
    if zone.colour is not None:
        return blonde_lab(zone.colour, curves)
    now = simulate(zone.hair, Mixture(volume=0.0), 0.0, curves)
    return lab_tuple(now.pigmented if pigmented else now.lab)


def natural_colour(zone: Zone, curves: CurveSet) -> Lab:
    """CIELAB of the hair as it grows, its grey included."""
    grown = zone.hair.replace(lightened_to=None)
    return lab_tuple(simulate(grown, Mixture(volume=0.0), 0.0, curves).lab)
