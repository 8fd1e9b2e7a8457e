"""A zone's plan, read off its work and the schedule: sections, window, colours and bowl."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from lift.errors import Floats
from lift.model.stages import nearest_stage
from lift.model.trajectory import Trajectory
from lift.practice.service.outcome import Outcome
from lift.practice.service.response import respond
from lift.practice.service.scenario import MAX_SECTIONS, Lab, Scenario, Zone
from lift.practice.service.solve import Service
from lift.practice.service.work import MIDDLE, ZoneWork, as_tuple, lay, mean_lab
from lift.practice.tone import ToneDirection, tone_direction
from lift.words import Note

SAFE = 0.9
"""Share of the members that must not be past a limit at the latest safe rinse."""


@dataclass(frozen=True)
class SectionPlan:
    """One section of a zone; clock times count from the start of the service [min].

    Parameters
    ----------
    number, bowl : int
        Number in its zone, in the order laid, and bowl of the zone it is laid from, from 1.
    strength : float
        Strength left in the bowl when it is laid, per strength freshly mixed [-].
    starts, ends, rinsed : float
        When its laying begins and ends, and when it is rinsed, on the clock [min].
    minutes : float
        Its own processing time at the rinse [min], from the first touch.
    opens, closes : float or None
        Its window, as own processing time of the expected strands [min]; None: never reached.
    closes_by : str
        One of ``CLOSES_BY``.
    inside : bool
        Whether the expected strands are inside at the rinse.
    p_inside, p_too_far : float
        Probability of being inside, and of being past the close, at the rinse.
    lab : tuple
        CIELAB as seen at the rinse.
    level, lift, warmth : float
        Mean of its expected strands at the rinse [-, levels, dC*].
    spread : float
        Lift of its best coated less that of its least coated strands [levels].
    """

    number: int
    bowl: int
    strength: float
    starts: float
    ends: float
    rinsed: float
    minutes: float
    opens: float | None
    closes: float | None
    closes_by: str
    inside: bool
    p_inside: float
    p_too_far: float
    lab: Lab
    level: float
    lift: float
    warmth: float
    spread: float


@dataclass(frozen=True)
class Bowl:
    """How far one bowl goes.

    Parameters
    ----------
    serves : int
        Sections, laid from one bowl, that all have a common time inside when rinsed.
    lasts : int
        Sections until the mixture is too weak for a window of their own.
    ends_by : str
        ``window`` (the first closes before the next opens), ``strength`` or ``none``.
    grams, product_grams, developer_grams : float
        Mixture of one bowl as planned, product and developer in it [g]; parts by weight are taken
        as parts by volume.
    bowls : int
        Fresh bowls planned.
    """

    serves: int
    lasts: int
    ends_by: str
    grams: float
    product_grams: float
    developer_grams: float
    bowls: int


@dataclass(frozen=True, eq=False)
class ZonePlan:
    """One treated zone; clock times count from the start of the service [min].

    Parameters
    ----------
    zone : Zone
        As planned.
    goal : Note
        The goal, to be said.
    target : tuple or None
        CIELAB of the goal where it is a colour.
    warmth_limit : float
        Largest welcome warmth [dC*].
    starts, laid, rinsed : float
        When it is begun, when it is all on, and when its rinse begins, on the clock.
    minutes : float
        Longest processing time of a section at the rinse [min].
    earliest, latest : float or None
        Clock times between which every section's expected strands are inside; None: the goal is
        not reached within the limit.
    latest_safe : float
        Clock time until which no section is past its close, nine times in ten.
    closes_by : str
        What closes the zone's window first, one of ``CLOSES_BY``.
    inside : bool
        Whether all expected strands are inside at the rinse.
    p_inside, p_too_far : float
        Probability that every section is inside, and that one is past its close, at the rinse.
    sections : tuple of SectionPlan
        In the order laid.
    lab, after : tuple
        CIELAB as seen at the rinse and after toning.
    level, lift, warmth, spread : float
        Mean level, lift and warmth, and spread of lift between its most and least lifted strands.
    stage : str
        Stage of the underpigment at the rinse.
    tone : ToneDirection
        From its colour to its target, or to natural hair of the same lightness.
    toner : mapping of str to float
        Dose of each dye of the toner laid on after rinsing; empty for none.
    bowl : Bowl
        How far one bowl goes.
    """

    zone: Zone
    goal: Note
    target: Lab | None
    warmth_limit: float
    starts: float
    laid: float
    rinsed: float
    minutes: float
    earliest: float | None
    latest: float
    latest_safe: float
    closes_by: str
    inside: bool
    p_inside: float
    p_too_far: float
    sections: tuple[SectionPlan, ...]
    lab: Lab
    level: float
    lift: float
    warmth: float
    spread: float
    stage: str
    tone: ToneDirection
    toner: Mapping[str, float]
    after: Lab
    bowl: Bowl


def zone_plan(service: Service, name: str, done: Outcome) -> ZonePlan:
    """Plan of one treated zone, `done` being its outcome."""
    work = service.works[name]
    start, rinse = service.schedule.starts[name], service.rinse_after(name)
    task, strands = work.task(), done.strands
    inside = task.inside(np.array([rinse]))[0]
    lab = as_tuple(_seen(strands.lab))
    target = service.target_lab(name)
    sections = _sections(work, strands, start, rinse)
    return ZonePlan(
        zone=work.zone,
        goal=work.target.name,
        target=target,
        warmth_limit=work.target.warmth_limit,
        starts=start,
        laid=start + task.laying,
        rinsed=start + rinse,
        minutes=max(s.minutes for s in sections),
        earliest=start + float(task.earliest[0]) if np.isfinite(task.earliest[0]) else None,
        latest=start + float(task.latest[0]),
        latest_safe=start + float(np.quantile(task.latest[1:], 1.0 - SAFE, method="inverted_cdf")),
        closes_by=work.closes_by[int(np.argmin(work.laying.offset + work.closes[0]))],
        inside=bool(inside[0]),
        p_inside=float(inside[1:].mean()),
        p_too_far=float((rinse >= task.latest)[1:].mean()),
        sections=sections,
        lab=lab,
        level=float(strands.level[:, MIDDLE].mean()),
        lift=float(strands.lift[:, MIDDLE].mean()),
        warmth=float(strands.warmth[:, MIDDLE].mean()),
        spread=float(np.ptp(strands.lift)),
        stage=str(nearest_stage(_seen(strands.underpigment), work.curves)),
        tone=tone_direction(lab, target, work.curves),
        toner=dict(done.toner),
        after=as_tuple(done.lab_after()),
        bowl=bowl_reach(work, service.scenario),
    )


def _seen(lab: Floats) -> Floats:
    """CIELAB of a zone from that of its strands, shape (sections, strands, 3)."""
    return mean_lab(mean_lab(lab[:, MIDDLE], axis=1))


def _sections(
    work: ZoneWork, strands: Trajectory, start: float, rinse: float
) -> tuple[SectionPlan, ...]:
    laying, own = work.laying, work.own_minutes(rinse)
    opens, closes, closes_by = work.opens, work.closes, work.closes_by
    inside = (opens <= own + 1e-9) & (own < closes - 1e-9)
    colour = mean_lab(strands.lab[:, MIDDLE], axis=1)
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
            closes_by=closes_by[i],
            inside=bool(inside[0, i]),
            p_inside=float(inside[1:, i].mean()),
            p_too_far=float((own[i] >= closes[1:, i]).mean()),
            lab=as_tuple(colour[i]),
            level=float(strands.level[i, MIDDLE].mean()),
            lift=float(strands.lift[i, MIDDLE].mean()),
            warmth=float(strands.warmth[i, MIDDLE].mean()),
            spread=float(strands.lift[i, 0] - strands.lift[i, -1]),
        )
        for i in range(own.size)
    )


def _finite(minutes: float) -> float | None:
    return float(minutes) if np.isfinite(minutes) else None


def bowl_reach(work: ZoneWork, scenario: Scenario) -> Bowl:
    """Count the sections of a zone that one bowl can serve, for the expected strands.

    Sections are added, at the planned pace and from one bowl, as long as all of them still have
    a common moment at which they are inside their windows; at most `MAX_SECTIONS`.
    """
    placement = work.zone.placement
    endless = replace(placement, sections=MAX_SECTIONS, bowls=1)
    many = lay(endless, scenario.salon, scenario.values)
    outer = np.log(many.strength)[None]
    inner = outer + (work.inner - work.outer)[0, 0]
    span = float(inner.min()), float(outer.max())
    responses = work.responses
    table = respond(replace(work.asked, log_strength=span), responses.curves, responses.latent[:1])
    opens = (many.ends - many.starts + table.times(table.reached, inner))[0]
    closes = np.minimum(
        np.minimum(table.times(table.too_warm, outer), table.times(table.too_light, outer)),
        table.limit_minutes,
    )[0]
    first_closes = np.minimum.accumulate(many.offset + closes)
    common = np.maximum.accumulate(many.offset + opens) < first_closes
    # The rinse waits for the last section; the first must not have closed by then.
    common &= many.ends < first_closes
    serves, lasts = _first_false(common), _first_false(opens < closes)
    grams = -(-placement.sections // placement.bowls) * placement.grams_per_section
    product = grams / (1.0 + float(work.mixture.developer_parts))
    return Bowl(
        serves=serves,
        lasts=lasts,
        ends_by="none" if serves == MAX_SECTIONS else "strength" if serves == lasts else "window",
        grams=grams,
        product_grams=product,
        developer_grams=grams - product,
        bowls=placement.bowls,
    )


def _first_false(flags: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> int:
    return int(flags.size if flags.all() else np.argmin(flags))
