"""Plan: what goes on when, how long each section stays, and what comes of it.

One object for terminal, page, card and clock.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import ArrayLike

from lift.doors import checked
from lift.errors import check_choice
from lift.model.curves import CurveSet, default_curves
from lift.model.domain import longest_minutes
from lift.model.ensemble import MEMBERS, SEED, check_latent, draw_latent
from lift.optics.colorimetry import delta_e_2000
from lift.practice.advice import advise
from lift.practice.allowed import Allowed
from lift.practice.cautions import cautions, in_order
from lift.practice.consulted import Consulted
from lift.practice.overprocessing import overprocessed
from lift.practice.scenario.laid_out import ready
from lift.practice.scenario.scenario import Scenario
from lift.practice.schedule.choose import Chosen, settle
from lift.practice.schedule.response import Responses, deck
from lift.practice.schedule.search import EXACT
from lift.practice.schedule.solve import Service, solve
from lift.practice.service.after_rinse import ToningTimes, toning_times
from lift.practice.service.changes import (
    Change,
    Trials,
    failing_zones,
    make_likelier,
    make_possible,
    reasons,
)
from lift.practice.service.next_visit import NextVisit, next_visit
from lift.practice.service.outcome import Blend, Outcome, blend, outcome
from lift.practice.service.rinses import past_safe, water
from lift.practice.service.toned_zone import TonedZone, toned_zones
from lift.practice.service.zone_plan import ZonePlan, zone_plan
from lift.practice.window import find_window
from lift.results import Result
from lift.words import Note, note

LIKELY = 0.5
"""Probability that every section is inside below which changes are tried although a plan exists."""

ASSUMED = tuple(
    note(f"plan.assumed.{which}") for which in ("head", "inside", "hands", "bowls", "toners")
)
"""What is assumed about the work."""


TONING = ("tone", "rinse_tone")
"""What is done with toners, after the last rinse of a mixture."""

STEPS = ("rinse", "mix", "lay", *TONING)
"""What can be done, in the order in which things of one moment are."""


@dataclass(frozen=True)
class Step:
    """One thing to do on the service's clock [min]: one of `STEPS`.

    An empty zone means all of them; `sections` are the numbers of those laid together, from 1.
    A toner is laid on all of a zone.
    """

    kind: str
    zone: str
    sections: tuple[int, ...]
    at: float
    until: float


@checked
@dataclass(frozen=True, eq=False, repr=False)
class Plan(Result):
    """A service, planned; zones stand in the order in which they go on.

    Its scenario has nothing open: what was left to the plan is `chosen`, None where all was given.
    It `exists` when the expected strands of every section are inside their windows when rinsed;
    `p_inside` is the probability that all strands are. `latest_safe` is the clock time of the
    latest safe rinse where all is rinsed together [min], else None. Zones that are `toned` have no
    mixture, and are not among `zones`. `toning` says when toners go on, after the last rinse;
    `total_minutes` is when all is rinsed, and toned [min]. `reasons` say why no schedule keeps all
    inside. `changes` would make one, the cheapest first; where there is
    one but its probability is below `LIKELY`, they would raise it, the likeliest first. `advice` is
    for single zones without a window. `past_safe` says, by zone, why it is rinsed later than is
    safe, where it is; `water` where that of one rinse reaches hair that is to stay on. `cautions`
    are to be shown with every mixture and time.

    Examples
    --------
    >>> from lift.practice.scenario.scenario_file import load_scenario
    >>> visit = plan(load_scenario("shared/darker_base.toml"), members=20)
    >>> [each.zone.name for each in visit.zones], visit.best_change is None
    (['base'], False)
    """

    scenario: Scenario
    chosen: Chosen | None
    zones: tuple[ZonePlan, ...]
    exists: bool
    p_inside: float
    latest_safe: float | None
    toned: tuple[TonedZone, ...]
    toning: tuple[ToningTimes, ...]
    total_minutes: float
    reasons: tuple[Note, ...]
    changes: tuple[Change, ...]
    advice: tuple[Note, ...]
    steps: tuple[Step, ...]
    past_safe: Mapping[str, tuple[Note, ...]]
    water: tuple[Note, ...]
    blend: Blend
    next_visit: NextVisit
    cautions: tuple[Note, ...]
    curves: CurveSet
    service: Service

    def zone(self, name: str) -> ZonePlan:
        """Plan of the treated zone of that name; an unknown one is refused with the nearest."""
        check_choice("scenario.zone", name, [z.zone.name for z in self.zones])
        return next(z for z in self.zones if z.zone.name == name)

    @property
    def assumed(self) -> tuple[Note, ...]:
        """What is assumed about the work, and whether every schedule was looked at."""
        many = len(self.zones) > EXACT
        return (*ASSUMED, note("plan.assumed.many", most=EXACT)) if many else ASSUMED

    @property
    def best_change(self) -> Change | None:
        """The first change that works; None when none is needed or none works."""
        return next((c for c in self.changes if c.works), None)


def plan(
    scenario: Scenario,
    curves: CurveSet | None = None,
    *,
    members: int = MEMBERS,
    seed: int = SEED,
    latent: ArrayLike | None = None,
    consulted: Consulted | None = None,
) -> Plan:
    """Plan a service.

    Parameters
    ----------
    scenario : Scenario
        Client, zones, mixtures and salon.
    curves : CurveSet, optional
        Default: the shipped set.
    members, seed : int
        Size and seed of the ensemble.
    latent : array_like, optional
        Deviates to use in place of a draw (a strand test's posterior, taken to hold for every
        zone of this head), shape (members, 5).
    consulted : Consulted, optional
        What the client's answers refuse, and warn of before anything else.

    Raises
    ------
    LiftError
        When a goal cannot be reached by any lightening.
    LimitError
        For a mixture or a toner that the client's answers refuse.

    Examples
    --------
    >>> from lift import load_scenario
    >>> found = plan(load_scenario("shared/blonde_refresh.toml"), members=40)
    >>> [zone.zone.name for zone in found.zones], found.exists
    (['foils', 'base'], True)
    >>> round(found.zone("base").rinsed)
    13
    """
    curves = curves or default_curves()
    deviates = draw_latent(members, seed) if latent is None else check_latent(latent)
    responses = Responses(curves, deck(deviates, prior=latent is None))
    asked = consulted or Consulted()
    scenario, chosen = settle(ready(scenario), responses, asked)
    service = solve(scenario, responses)
    schedule, together = service.schedule, scenario.salon.together
    outcomes = {
        name: outcome(work, service.rinse_after(name), service.target_lab(name))
        for name, work in service.works.items()
    }
    zones = tuple(zone_plan(service, name, outcomes[name]) for name in schedule.order)
    targets = {
        z.name: lab for z in scenario.treated if (lab := service.target_lab(z.name)) is not None
    }
    toned = toned_zones(scenario, curves)
    after = {name: done.members_after() for name, done in outcomes.items()}
    after |= {each.zone.name: np.array(each.after) for each in toned}
    seen = {name: outcomes[name].seen_with_grey(lab) for name, lab in targets.items()}
    to_match = {
        name: float(delta_e_2000(outcomes[name].fibres_after().pigmented, np.array(lab)))
        for name, lab in targets.items()
    }
    exists = schedule.expected_inside
    with_toner = [z.zone.name for z in zones if z.toner_step is not None]
    with_toner += [z.zone.name for z in toned]
    toning = toning_times(with_toner, service.all_rinsed, scenario.values)
    return Plan(
        scenario=scenario,
        chosen=chosen,
        zones=zones,
        exists=exists,
        p_inside=schedule.p_inside,
        latest_safe=min(z.latest_safe for z in zones) if together else None,
        toned=toned,
        toning=toning,
        total_minutes=toning[-1].ends if toning else service.all_rinsed,
        reasons=() if exists else reasons(service),
        changes=_changes(Trials(service, responses, tuple(each.zone.name for each in toned))),
        advice=() if exists else _advice(service, curves, asked),
        steps=steps_of(service, toning),
        past_safe={z.zone.name: past_safe(z, zones, together=together) for z in zones},
        water=water(scenario, zones),
        blend=blend(scenario, after, seen, curves, to_match),
        next_visit=next_visit(scenario, outcomes, curves),
        cautions=in_order((*asked.notes, *_cautions(zones, outcomes, scenario, curves))),
        curves=curves,
        service=service,
    )


def _changes(trials: Trials) -> tuple[Change, ...]:
    if not trials.service.schedule.expected_inside:
        return make_possible(trials)
    return make_likelier(trials) if trials.service.schedule.p_inside < LIKELY else ()


def _advice(service: Service, curves: CurveSet, asked: Consulted) -> tuple[Note, ...]:
    """Advice for zones whose single strand has no window, whatever the schedule."""
    found = []
    for name in failing_zones(service):
        work = service.works[name]
        if work.zone.goal.match is not None:
            continue
        hair, mixture, limit = work.zone.hair, work.mixture, service.scenario.salon.limit_minutes
        goal = work.zone.goal.goal
        window = find_window(hair, mixture, goal, curves, limit_minutes=limit, members=2)
        if not window.exists:
            allowed = Allowed(consulted=asked, along=work.zone.along)
            advice = advise(hair, mixture, window, curves, allowed=allowed)
            found += [note("plan.advice", zone=name, advice=a.note) for a in advice]
    return tuple(found)


def _cautions(
    zones: tuple[ZonePlan, ...],
    outcomes: Mapping[str, Outcome],
    scenario: Scenario,
    curves: CurveSet,
) -> list[Note]:
    found: list[Note] = []
    for z in zones:
        name, mixture, minutes = z.zone.name, scenario.mixture_on(z.zone), round(z.minutes, 1)
        if minutes > (longest := longest_minutes(mixture, curves)):
            numbers = {"minutes": minutes, "longest": longest, "kind": mixture.kind}
            found.append(note("plan.past_domain", zone=name, **numbers))
        level = outcomes[name].members.level[1:]
        for said in overprocessed(z.zone.hair, mixture, level):
            general = said.code == "overprocessed.known"
            found.append(said if general else note("plan.caution", zone=name, caution=said))
        found += curves.extrapolations(z.zone.hair, mixture, minutes)
        found += cautions(mixture, minutes, z.zone.hair, curves)
    return found


def steps_of(service: Service, toning: tuple[ToningTimes, ...] = ()) -> tuple[Step, ...]:
    """What is mixed, laid, rinsed and toned, by time on the service's clock.

    Sections that several hands lay at the same time are one step, and so is the rinse of a zone,
    or of everything where all is rinsed together.
    """
    schedule, together = service.schedule, service.scenario.salon.together
    steps = []
    for name, start in schedule.starts.items():
        work, laying = service.works[name], service.works[name].laying
        rows = zip(laying.starts, laying.ends, laying.bowl, strict=True)
        bowl = 0
        for _, group in groupby(enumerate(rows, 1), key=lambda row: (row[1][0], row[1][2])):
            same = list(group)
            begins, ends, of_bowl = same[0][1]
            at, until = float(start + begins), float(start + ends)
            if of_bowl != bowl:
                bowl = int(of_bowl)
                steps.append(Step("mix", name, (), at, at))
            steps.append(Step("lay", name, tuple(number for number, _ in same), at, until))
        if not together:
            rinse = schedule.rinses[name]
            last = rinse + work.rinsing + laying.rinse_minutes
            numbers = tuple(range(1, laying.starts.size + 1))
            steps.append(Step("rinse", name, numbers, rinse, last))
    if together:
        at = max(schedule.rinses.values())
        steps.append(Step("rinse", "", (), at, service.all_rinsed))
    for toner in toning:
        steps.append(Step("tone", toner.zone, (), toner.starts, toner.laid))
        steps.append(Step("rinse_tone", toner.zone, (), toner.rinsed, toner.ends))
    return tuple(sorted(steps, key=lambda s: (round(s.at, 6), STEPS.index(s.kind))))
