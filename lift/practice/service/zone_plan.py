"""A zone's plan, read off its work and the schedule."""

from __future__ import annotations

import numpy as np

from lift.model.stages import nearest_stage
from lift.model.trajectory import Trajectory
from lift.practice.service.bowl import bowl_reach
from lift.practice.service.outcome import Outcome
from lift.practice.service.plan_parts import SectionPlan, ZonePlan
from lift.practice.service.service import Service, as_tuple
from lift.practice.service.zone import Lab
from lift.practice.service.zone_work import ZoneWork, mean_lab
from lift.practice.tone import tone_direction

SAFE = 0.9
"""Share of the members that must not be past a limit at the latest safe rinse."""


def zone_plan(service: Service, name: str, done: Outcome) -> ZonePlan:
    """Plan of one treated zone.

    Parameters
    ----------
    service : Service
        Works and schedule.
    name : str
        The zone.
    done : Outcome
        The zone after its rinse.

    Returns
    -------
    ZonePlan
    """
    work, scenario = service.works[name], service.scenario
    start, rinse = service.schedule.starts[name], service.rinse_after(name)
    task = work.task()
    strands = done.strands
    # The strands between the outermost and the innermost stand for the section's hair.
    middle = slice(1, -1)
    sections = _sections(work, strands, start, rinse)
    bare = strands.underpigment[:, middle]
    lab = as_tuple(mean_lab(mean_lab(strands.lab[:, middle], axis=1)))
    inside = task.inside(np.array([rinse]))[0]
    past = rinse >= task.latest
    target = target_lab(service, name)
    return ZonePlan(
        zone=work.zone,
        goal=work.target.words,
        target=target,
        warmth_limit=work.target.warmth_limit,
        starts=start,
        laid=start + task.laying,
        rinsed=start + rinse,
        minutes=max(s.minutes for s in sections),
        earliest=start + float(task.earliest[0]) if np.isfinite(task.earliest[0]) else None,
        latest=start + float(task.latest[0]),
        latest_safe=start + float(np.quantile(task.latest[1:], 1.0 - SAFE, method="inverted_cdf")),
        closes_by=work.closes_by[int(np.argmin(work.offset + work.closes[0]))],
        inside=bool(inside[0]),
        p_inside=float(inside[1:].mean()),
        p_too_far=float(past[1:].mean()),
        sections=sections,
        lab=lab,
        level=float(strands.level[:, middle].mean()),
        lift=float(strands.lift[:, middle].mean()),
        warmth=float(strands.warmth[:, middle].mean()),
        spread=float(np.ptp(strands.lift)),
        stage=str(nearest_stage(mean_lab(mean_lab(bare, axis=1)), work.curves)),
        tone=tone_direction(lab, target, work.curves),
        toner=dict(done.toner),
        after=as_tuple(done.lab_after()),
        bowl=bowl_reach(work, scenario),
    )


def target_lab(service: Service, name: str) -> Lab | None:
    """CIELAB that a zone is to have, where its goal is a colour."""
    return service.matches.get(name, service.works[name].zone.goal.goal.lab)


def _sections(
    work: ZoneWork, strands: Trajectory, start: float, rinse: float
) -> tuple[SectionPlan, ...]:
    laying = work.laying
    own = work.own_minutes(rinse)
    opens, closes = work.opens, work.closes
    inside = (opens <= own + 1e-9) & (own < closes - 1e-9)
    middle = slice(1, -1)
    colour = mean_lab(strands.lab[:, middle], axis=1)
    return tuple(
        SectionPlan(
            number=i + 1,
            bowl=int(laying.bowl[i]),
            strength=float(laying.strength[i]),
            starts=start + float(laying.starts[i]),
            ends=start + float(laying.ends[i]),
            rinsed=start + rinse + float(laying.rinse_after[i]),
            minutes=float(own[i]),
            opens=_finite(opens[0, i]),
            closes=_finite(closes[0, i]),
            closes_by=work.closes_by[i],
            inside=bool(inside[0, i]),
            p_inside=float(inside[1:, i].mean()),
            p_too_far=float((own[i] >= closes[1:, i]).mean()),
            lab=as_tuple(colour[i]),
            level=float(strands.level[i, middle].mean()),
            lift=float(strands.lift[i, middle].mean()),
            warmth=float(strands.warmth[i, middle].mean()),
            spread=float(strands.lift[i, 0] - strands.lift[i, -1]),
        )
        for i in range(own.size)
    )


def _finite(minutes: float) -> float | None:
    return float(minutes) if np.isfinite(minutes) else None
