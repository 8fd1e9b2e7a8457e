"""Plan: what goes on when, how long each section stays, and what comes of it.

One object for terminal, page, card and clock; `Plan.to_dict` is its JSON form.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.curves import CurveSet, default_curves
from lift.model.ensemble import MEMBERS, SEED, draw_latent
from lift.practice.advice import advise
from lift.practice.cautions import ALWAYS, cautions
from lift.practice.preview import rounded
from lift.practice.service.blend import Blend, blend
from lift.practice.service.changes import Trials, make_likelier, make_possible
from lift.practice.service.next_visit import NextVisit, next_visit
from lift.practice.service.outcome import outcome
from lift.practice.service.plan_parts import Change, Step, ZonePlan
from lift.practice.service.reasons import failing_zones, reason
from lift.practice.service.response import Response
from lift.practice.service.scenario import Scenario
from lift.practice.service.service import Service, solve
from lift.practice.service.steps import steps_of
from lift.practice.service.zone_plan import target_lab, zone_plan
from lift.practice.window import find_window
from lift.words import Note

LIKELY = 0.5
"""Probability that every section is inside below which changes are tried although a plan exists."""

ASSUMED = (
    "What is not known of this head is the same for all its sections; sections differ by how they "
    "are laid.",
    "A section is inside when its best coated, first laid strands are within the limits and its "
    "least coated, last laid strands have reached the goal.",
    "All hands lay the same zone; nothing is laid while a zone is rinsed; a rinse stops the "
    "mixture at once.",
    "Each zone gets a bowl of its own, mixed when it is begun.",
)


@dataclass(frozen=True, eq=False)
class Plan:
    """A service, planned.

    Parameters
    ----------
    scenario : Scenario
        What was planned.
    zones : tuple of ZonePlan
        Treated zones, in the order in which they go on.
    exists : bool
        Whether the expected strands of every section are inside their windows when rinsed.
    p_inside : float
        Probability that every section of every zone is inside when rinsed.
    latest_safe : float or None
        Clock time of the latest safe rinse where all is rinsed together [min], else None.
    total_minutes : float
        When the last rinse ends [min].
    reason : str
        Why no schedule keeps all inside; empty when one does.
    changes : tuple of Change
        What would make one, the cheapest first; where there is one but its probability is below
        `LIKELY`, what would raise it, the likeliest first.
    advice : tuple of str
        Further changes to single zones that have no window.
    steps : tuple of Step
        What to do, in order.
    blend : Blend
        Colours as seen, and which zone breaks the blend.
    next_visit : NextVisit
        Regrowth and tone in the weeks after.
    cautions : tuple of str
        To be shown with every mixture and time.
    curves : CurveSet
        The curve set used.
    service : Service
        Works and schedule behind the plan.
    """

    scenario: Scenario
    zones: tuple[ZonePlan, ...]
    exists: bool
    p_inside: float
    latest_safe: float | None
    total_minutes: float
    reason: str
    changes: tuple[Change, ...]
    advice: tuple[str, ...]
    steps: tuple[Step, ...]
    blend: Blend
    next_visit: NextVisit
    cautions: tuple[Note, ...]
    curves: CurveSet
    service: Service

    def zone(self, name: str) -> ZonePlan:
        """Plan of the treated zone of that name."""
        return next(z for z in self.zones if z.zone.name == name)

    @property
    def best_change(self) -> Change | None:
        """The first change that works; None when none is needed or none works."""
        return next((c for c in self.changes if c.works), None)

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form; times in minutes on the service's clock."""
        salon = self.scenario.salon
        return {
            "title": self.scenario.title,
            "about": self.scenario.about,
            "salon": {**vars(salon), "order": list(salon.order)},
            "mixtures": {
                name: {
                    "kind": mixture.kind,
                    "developer_volume": float(mixture.developer_volume),
                    "developer_parts": float(mixture.developer_parts),
                    "on_head_volume": rounded(mixture.on_head_volume),
                }
                for name, mixture in self.scenario.mixtures.items()
            },
            "exists": self.exists,
            "p_inside": rounded(self.p_inside),
            "latest_safe": rounded(self.latest_safe),
            "total_minutes": rounded(self.total_minutes),
            "order": [z.zone.name for z in self.zones],
            "reason": self.reason,
            "changes": [c.to_dict() for c in self.changes],
            "advice": list(self.advice),
            "zones": [z.to_dict() for z in self.zones],
            "steps": [s.to_dict() for s in self.steps],
            "blend": self.blend.to_dict(),
            "next_visit": self.next_visit.to_dict(),
            "assumed": list(ASSUMED),
            "assumptions": {k: rounded(v) for k, v in self.scenario.values.items()},
            "cautions": list(map(str, self.cautions)),
            "curve_set": self.curves.to_dict(),
        }


def plan(
    scenario: Scenario,
    curves: CurveSet | None = None,
    *,
    members: int = MEMBERS,
    seed: int = SEED,
    latent: ArrayLike | None = None,
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
        zone of this head), shape (members, 4).

    Returns
    -------
    Plan

    Raises
    ------
    LiftError
        When a goal cannot be reached by any lightening.
    """
    curves = curves or default_curves()
    deviates = _deviates(draw_latent(members, seed) if latent is None else latent, latent is None)
    known: dict[Any, Response] = {}
    service = solve(scenario, curves, deviates, known)
    schedule = service.schedule
    outcomes = {
        name: outcome(work, service.rinse_after(name), target_lab(service, name))
        for name, work in service.works.items()
    }
    zones = tuple(zone_plan(service, name, outcomes[name]) for name in schedule.order)
    targets = {
        z.name: lab for z in scenario.treated if (lab := target_lab(service, z.name)) is not None
    }
    exists = schedule.expected_inside
    return Plan(
        scenario=scenario,
        zones=zones,
        exists=exists,
        p_inside=schedule.p_inside,
        latest_safe=min(z.latest_safe for z in zones)
        if scenario.salon.rinse == "together"
        else None,
        total_minutes=schedule.total,
        reason="" if exists else reason(service),
        changes=_changes(Trials(service, curves, deviates, known)),
        advice=() if exists else _advice(service, curves),
        steps=steps_of(service),
        blend=blend(
            scenario, {name: o.members_after() for name, o in outcomes.items()}, targets, curves
        ),
        next_visit=next_visit(scenario, outcomes, targets, curves),
        cautions=_cautions(zones, scenario, curves),
        curves=curves,
        service=service,
    )


def _deviates(latent: ArrayLike, prior: bool) -> Floats:
    """Deviates with the expected strand's before them: the mean, or zero for a plain draw."""
    members = np.asarray(latent, dtype=np.float64)
    thin = members[:: max(1, len(members) // MEMBERS)]
    centre = np.zeros((1, members.shape[1])) if prior else members.mean(axis=0, keepdims=True)
    return np.concatenate([centre, thin])


def _changes(trials: Trials) -> tuple[Change, ...]:
    if not trials.service.schedule.expected_inside:
        return make_possible(trials)
    if trials.service.schedule.p_inside < LIKELY:
        return make_likelier(trials)
    return ()


def _advice(service: Service, curves: CurveSet) -> tuple[str, ...]:
    """Advice for zones whose single strand has no window, whatever the schedule."""
    found = []
    for name in failing_zones(service):
        work = service.works[name]
        goal = work.zone.goal.goal
        if work.zone.goal.match is not None:
            continue
        limit = service.scenario.salon.limit_minutes
        window = find_window(
            work.zone.hair, work.mixture, goal, curves, limit_minutes=limit, members=2
        )
        if not window.exists:
            advice = advise(work.zone.hair, work.mixture, window, curves)
            found += [f"{name}: {a.text}" for a in advice]
    return tuple(found)


def _cautions(
    zones: tuple[ZonePlan, ...], scenario: Scenario, curves: CurveSet
) -> tuple[Note, ...]:
    found: list[Note] = []
    for z in zones:
        mixture, minutes = scenario.mixture_on(z.zone), round(z.minutes, 1)
        found += curves.extrapolations(z.zone.hair, mixture, minutes)
        found += cautions(mixture, minutes, z.zone.hair)
    special = [text for text in found if text not in ALWAYS]
    return tuple(dict.fromkeys([*special, *ALWAYS]))
