"""A zone's plan, read off its work and the schedule: sections, window, colours and bowl."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from lift.errors import Floats
from lift.model.natural import path_of
from lift.model.stages import named_stage
from lift.model.trajectory import Trajectory
from lift.optics.colorimetry import lab_tuple, mean_lab
from lift.practice.fibres import GreyLook
from lift.practice.scenario.scenario import MAX_SECTIONS, Scenario, Zone
from lift.practice.schedule.response import respond
from lift.practice.schedule.solve import Service
from lift.practice.schedule.work import MIDDLE, ZoneWork, lay
from lift.practice.service.outcome import Outcome
from lift.practice.time_line import Span, time_line
from lift.practice.tone import ToneDirection, tone_direction
from lift.practice.toning.toner_step import TonerStep, toner_step
from lift.practice.wheel_and_dye import WheelAndDye, wheel_and_dye
from lift.quantities import Lab
from lift.results import Result
from lift.words import Note


@dataclass(frozen=True)
class SectionPlan:
    """One section of a zone.

    On the service's clock [min]: when its laying `starts` and `ends`, when it is `rinsed`. In its
    own time from the first touch [min]: `minutes` at the rinse, and the window of its expected
    strands, `opens` to `closes`, None where never; it `closes_by` one of ``CLOSES_BY``, at the
    latest after `limit_minutes`. `strength` is what the bowl has left when it is laid, per strength
    freshly mixed. Colour, level, lift and warmth are means of its expected strands at the rinse;
    `spread` is lift of the best less the least coated [levels].
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
    limit_minutes: float
    inside: bool
    p_inside: float
    p_too_far: float
    lab: Lab
    level: float
    lift: float
    warmth: float
    spread: float

    @property
    def has_window(self) -> bool:
        """Whether there is a time at which its expected strands are inside."""
        return self.opens is not None and self.closes is not None and self.opens < self.closes

    def spans(self, end: float) -> tuple[Span, ...]:
        """Named spans of its expected strands on the service's clock, from 0 to `end` [min].

        As if it stayed on; before it is laid it is not lifted enough.
        """
        reached = None if self.opens is None else self.starts + self.opens
        closes = None if self.closes is None else self.starts + self.closes
        place = {"warmth": "too_warm", "lightness": "too_light"}.get(self.closes_by)
        passed = {} if place is None else {place: closes}
        return time_line(end, self.starts + self.limit_minutes, reached, passed)


@dataclass(frozen=True)
class Bowl:
    """How far one bowl goes.

    It `serves` the sections that all have a common time inside when rinsed, and `lasts` until the
    mixture is too weak for a window of their own. It ends by ``window`` (the first closes before
    the next opens), ``strength`` or ``none``. Grams are those of one bowl as planned, of `bowls`
    fresh ones; parts by weight are taken as parts by volume.
    """

    serves: int
    lasts: int
    ends_by: str
    grams: float
    product_grams: float
    developer_grams: float
    bowls: int


@dataclass(frozen=True, eq=False, repr=False)
class ZonePlan(Result):
    """One treated zone; times on the service's clock [min], but for `minutes`.

    It is begun at `starts`, all on when `laid`, and its rinse begins at `rinsed`, the longest
    processing time of a section then being `minutes` [min]. Between `earliest` and `latest` every
    section's expected strands are inside, None where the goal is not reached within the limit;
    until `latest_safe` no section is past its close on nine heads in ten. The window `closes_by`
    one of ``CLOSES_BY`` first. Probabilities are those at the rinse: that every section is inside,
    and that one is past its close. CIELAB is as seen at the rinse (`lab`), after toning (`after`)
    and as wanted (`target`, where the goal is a colour); of grey hair `grey` and `grey_after` tell
    both kinds of fibres at either time, and warmth, stage and tone are the pigmented ones'.
    `wheel_and_dye` holds the wheel against every dye on the hair at the rinse; where the plan finds
    the toner, that is what does it. `spread` is lift of its most less its least lifted strands
    [levels], `toner` the dose of each dye laid on after rinsing [0.01 absorption per fibre radius],
    which is told as a `toner_step`: its grams are taken to be as many as the zone's sections get
    of the mixture.
    """

    zone: Zone
    goal: Note
    target: Lab | None
    warmth_limit: float | None
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
    wheel_and_dye: WheelAndDye
    toner: Mapping[str, float]
    toner_step: TonerStep | None
    after: Lab
    grey: GreyLook | None
    grey_after: GreyLook | None
    bowl: Bowl

    @property
    def tone(self) -> ToneDirection:
        """Direction of the change that is needed at the rinse."""
        return self.wheel_and_dye.direction

    @property
    def has_window(self) -> bool:
        """Whether there is a time at which every section's expected strands are inside."""
        return self.earliest is not None and self.earliest < self.latest

    @property
    def p_too_soon(self) -> float:
        """Probability at the rinse that a section has not reached the goal, and none is past it."""
        return max(0.0, 1.0 - self.p_inside - self.p_too_far)


def zone_plan(service: Service, name: str, done: Outcome) -> ZonePlan:
    """Plan of one treated zone, `done` being its outcome."""
    work = service.works[name]
    start, rinse = service.schedule.starts[name], service.rinse_after(name)
    task, strands = work.task(), done.strands
    inside = task.inside(np.array([rinse]))[0]
    lab = lab_tuple(_seen(strands.lab))
    level, exposed = (float(x[:, MIDDLE].mean()) for x in (strands.level, strands.exposed))
    target = service.target_lab(name)
    pigmented = _seen(strands.pigmented)
    sections = _sections(work, strands, start, rinse)
    return ZonePlan(
        zone=work.zone,
        goal=work.target.name,
        target=target,
        warmth_limit=_finite(work.target.warmth_limit),
        starts=start,
        laid=start + task.laying,
        rinsed=start + rinse,
        minutes=max(s.minutes for s in sections),
        earliest=start + float(task.earliest[0]) if np.isfinite(task.earliest[0]) else None,
        latest=start + float(task.latest[0]),
        latest_safe=start + task.latest_safe,
        closes_by=work.closes_by[int(np.argmin(work.laying.offset + work.closes[0]))],
        inside=bool(inside[0]),
        p_inside=float(inside[1:].mean()),
        p_too_far=float((rinse >= task.latest)[1:].mean()),
        sections=sections,
        lab=lab,
        level=level,
        lift=float(strands.lift[:, MIDDLE].mean()),
        warmth=float(strands.warmth[:, MIDDLE].mean()),
        spread=float(np.ptp(strands.lift)),
        stage=str(named_stage(_seen(strands.underpigment), exposed, level, work.curves)),
        wheel_and_dye=_wheel_and_dye(work, done, target, pigmented),
        toner=dict(done.toner),
        toner_step=_toner_step(work, done, service.scenario.values["pure_tone_dose"]),
        after=lab_tuple(done.lab_after()),
        grey=done.grey_at_rinse,
        grey_after=done.grey_after,
        bowl=bowl_reach(work, service.scenario),
    )


def _wheel_and_dye(
    work: ZoneWork, done: Outcome, target: Lab | None, pigmented: Floats
) -> WheelAndDye:
    """What the wheel says at the rinse, and the dye that does it: the toner, where it is found."""
    path, (pigment, in_hair), laid = path_of(work.zone.hair, work.curves), done.middle, None
    if work.zone.laid_on is not None and work.zone.laid_on.doses is None:
        laid = done.toner
    neutral = path.lab_of_lightness(pigmented[0])
    return wheel_and_dye(
        pigment,
        work.curves,
        target,
        direction=tone_direction(pigmented, neutral if target is None else target, work.curves),
        laid=laid,
        path=path,
        in_hair=in_hair,
    )


def _toner_step(work: ZoneWork, done: Outcome, pure: float) -> TonerStep | None:
    """The toner of a zone as a step; None where nothing is laid on after rinsing."""
    toner, placement = work.zone.laid_on, work.zone.placement
    if toner is None:
        return None
    path = path_of(work.zone.hair, work.curves)
    ends = _seen(done.strands.pigmented), done.fibres_after().pigmented
    before, after = (float(path.level_of_lightness(lab[0])) for lab in ends)
    grams = placement.sections * placement.grams_per_section
    values, levels = work.curves.values, (before, after)
    return toner_step(done.toner, toner.kind, values, levels=levels, grams=grams, pure=pure)


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
            limit_minutes=work.response.limit_minutes,
            inside=bool(inside[0, i]),
            p_inside=float(inside[1:, i].mean()),
            p_too_far=float((own[i] >= closes[1:, i]).mean()),
            lab=lab_tuple(colour[i]),
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
