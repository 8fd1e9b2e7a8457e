"""Answer of a service plan; times in minutes on the service's clock."""

from __future__ import annotations

from typing import Any, TypeVar

from lift.answers.chosen import ChosenPart, chosen_part
from lift.answers.encode import Code, Part
from lift.answers.fibres import FibresPart, fibres_part
from lift.answers.parts import (
    CurveSetPart,
    SpanPart,
    TonePart,
    curve_set_part,
    rounded,
    said,
    span_parts,
    tone_part,
)
from lift.answers.toner import TonerPart, toner_part
from lift.model.mixture import Mixture
from lift.practice.service.changes import Change
from lift.practice.service.next_visit import Demarcation, NextVisit
from lift.practice.service.outcome import Blend
from lift.practice.service.plan import Plan
from lift.practice.service.toned_zone import TonedZone
from lift.practice.service.zone_plan import SectionPlan, ZonePlan
from lift.quantities import MINUTES, Lab
from lift.words import codes, note, says

P = TypeVar("P", bound=Part)


class SalonPart(Part):
    """Hands, room and rinse."""

    room_c: float
    working_speed: float
    assistants: int
    rinse: str
    order: list[str]
    limit_minutes: float
    light: str | None


class MixturePart(Part):
    """A mixture as mixed; strengths in vol, parts of developer to one of product."""

    kind: str
    developer_volume: float
    developer_parts: float
    on_head_volume: float


class ChangePart(Part):
    """A change to the scenario, and what it gives; its cost in minutes of work."""

    kind: str
    kind_code: Code
    text: str
    text_code: Code
    works: bool
    p_inside: float
    total_minutes: float
    cost: float


class SectionPart(Part):
    """One section; its window is in its own minutes, its time line on the service's clock."""

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
    closes_by_code: Code
    inside: bool
    time_line: list[SpanPart]
    p_inside: float
    p_too_far: float
    lab: Lab
    level: float
    lift: float
    warmth: float
    spread: float


class BowlPart(Part):
    """How many sections one bowl serves, and what goes into it."""

    serves: int
    lasts: int
    ends_by: str
    grams: float
    product_grams: float
    developer_grams: float
    bowls: int


class ZonePart(Part):
    """One treated zone.

    `lab` at the rinse and `after` toning are of hair as it is seen; warmth, stage, window and tone
    are those of its pigmented fibres. `fibres` tells both kinds of grey hair at the rinse,
    `fibres_after` after toning.
    """

    zone: str
    part: str
    mixture: str
    goal: str
    goal_code: Code
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
    closes_by_code: Code
    inside: bool
    p_inside: float
    p_too_far: float
    lab: Lab
    level: float
    level_words: str
    level_words_code: Code
    lift: float
    warmth: float
    spread: float
    stage: str
    after: Lab
    fibres: FibresPart | None
    fibres_after: FibresPart | None
    tone: TonePart
    toner: dict[str, float]
    toner_step: TonerPart | None
    bowl: BowlPart
    past_safe: list[str]
    past_safe_codes: list[Code]
    sections: list[SectionPart]


class StepPart(Part):
    """One thing to do; an empty zone means all of them."""

    kind: str
    zone: str
    sections: list[int]
    at: float
    until: float


class ToningPart(Part):
    """One toner on the clock, after the last rinse; its minutes are assumed."""

    zone: str
    starts: float
    laid: float
    rinsed: float
    ends: float


class TonedPart(Part):
    """A zone that is toned and nothing else; CIELAB as seen before and after, and as wanted."""

    zone: str
    before: Lab
    after: Lab
    target: Lab | None
    tone: TonePart
    toner: dict[str, float]
    toner_step: TonerPart


class EdgePart(Part):
    """Two parts side by side, in CIEDE2000."""

    parts: list[str]
    before: float
    after: float
    p_seen: float
    breaks: str | None


class BlendPart(Part):
    """Colours as seen, in CIELAB (D65, 10 degrees), and where an edge shows, in CIEDE2000."""

    zones: dict[str, Lab]
    parts: dict[str, Lab]
    parts_before: dict[str, Lab]
    edges: list[EdgePart]
    to_match: dict[str, float]
    limit: float
    breaks: str | None
    words: str
    words_code: Code


class DemarcationPart(Part):
    """How the regrowth of one part shows, in CIEDE2000, one value a time."""

    part: str
    weeks: list[float]
    band_mm: list[float]
    side_by_side: list[float]
    seen: list[float]
    limit: float
    due_weeks: float | None
    due_mm: float | None
    words: str
    words_code: Code


class ToneWashPart(Part):
    """Warmth of a zone as its tone washes out, one value a time.

    When its colour is further than `limit` from the `wanted` one [dE00], or, where none is wanted,
    warmer than that [dC*].
    """

    weeks: list[float]
    warmth: list[float]
    limit: float
    wanted: Lab | None
    passes_weeks: float | None


class VisitPart(Part):
    """What decides the next visit."""

    due_weeks: float | None
    demarcations: list[DemarcationPart]
    tone: dict[str, ToneWashPart]
    usual_weeks: tuple[float, float]
    words: list[str]
    words_codes: list[Code]


class PlanAnswer(Part):
    """A service, planned."""

    title: str
    about: str
    salon: SalonPart
    mixtures: dict[str, MixturePart]
    chosen: ChosenPart | None
    exists: bool
    p_inside: float
    latest_safe: float | None
    total_minutes: float
    all_rinsed: float
    toned: list[TonedPart]
    toning: list[ToningPart]
    order: list[str]
    reason: str
    reason_codes: list[Code]
    changes: list[ChangePart]
    advice: list[str]
    advice_codes: list[Code]
    zones: list[ZonePart]
    steps: list[StepPart]
    water: list[str]
    water_codes: list[Code]
    blend: BlendPart
    next_visit: VisitPart
    assumed: list[str]
    assumed_codes: list[Code]
    assumptions: dict[str, float]
    cautions: list[str]
    cautions_codes: list[Code]
    curve_set: CurveSetPart


def answer(result: Plan) -> PlanAnswer:
    """Answer of a plan."""
    scenario = result.scenario
    return _filled(
        PlanAnswer,
        result,
        title=scenario.title,
        about=scenario.about,
        salon=SalonPart(**vars(scenario.salon)),
        mixtures={name: _mixture(mixture) for name, mixture in scenario.mixtures.items()},
        chosen=chosen_part(result.chosen),
        order=[z.zone.name for z in result.zones],
        all_rinsed=rounded(result.service.all_rinsed),
        toned=[_toned(each) for each in result.toned],
        toning=[_filled(ToningPart, each) for each in result.toning],
        reason=" ".join(says(result.reasons)),
        reason_codes=codes(result.reasons),
        changes=[_change(c) for c in result.changes],
        zones=[_zone(z, result) for z in result.zones],
        steps=[_filled(StepPart, s) for s in result.steps],
        blend=blend_part(result.blend),
        next_visit=visit_part(result.next_visit),
        assumptions={name: rounded(value) for name, value in scenario.values.items()},
        **said(
            advice=result.advice,
            assumed=result.assumed,
            water=result.water,
            cautions=result.cautions,
        ),
        curve_set=curve_set_part(result.curves),
    )


def _filled(part: type[P], thing: Any, /, **more: Any) -> P:
    """Part from the fields of a result that have its names, numbers rounded."""
    own = {k: _plain(getattr(thing, k)) for k in part.__struct_fields__ if k not in more}
    return part(**own, **more)


def _plain(value: Any) -> Any:
    if isinstance(value, str | bool | int) or value is None:
        return value
    if isinstance(value, tuple) and not all(isinstance(part, float) for part in value):
        return list(value)
    return rounded(value)


def _mixture(mixture: Mixture) -> MixturePart:
    return MixturePart(
        kind=mixture.kind,
        developer_volume=float(mixture.developer_volume),
        developer_parts=float(mixture.developer_parts),
        on_head_volume=rounded(mixture.on_head_volume),
    )


def _change(change: Change) -> ChangePart:
    return _filled(ChangePart, change, **said(kind=change.kind, text=change.text))


def _toned(zone: TonedZone) -> TonedPart:
    step = toner_part(zone.toner_step)
    assert step is not None  # what is toned has one
    return TonedPart(
        zone=zone.zone.name,
        before=rounded(zone.before),
        after=rounded(zone.after),
        target=rounded(zone.target),
        tone=tone_part(zone.tone),
        toner={dye: rounded(dose) for dye, dose in zone.toner.items()},
        toner_step=step,
    )


def _zone(zone: ZonePlan, result: Plan) -> ZonePart:
    end = result.total_minutes + MINUTES.range[1]
    return _filled(
        ZonePart,
        zone,
        zone=zone.zone.name,
        part=zone.zone.part,
        mixture=zone.zone.mixture,
        tone=tone_part(zone.tone),
        toner={dye: rounded(dose) for dye, dose in zone.toner.items()},
        toner_step=toner_part(zone.toner_step),
        fibres=fibres_part(zone.grey, zone.warmth_limit),
        fibres_after=fibres_part(zone.grey_after),
        bowl=_filled(BowlPart, zone.bowl),
        sections=[_section(s, end) for s in zone.sections],
        **said(
            goal=zone.goal,
            past_safe=result.past_safe[zone.zone.name],
            closes_by=note(f"plan.closes_by.{zone.closes_by}"),
            level_words=note("level", level=zone.level),
        ),
    )


def _section(section: SectionPlan, end: float) -> SectionPart:
    line = span_parts(section.spans(end))
    closes_by = note(f"plan.closes_by.{section.closes_by}")
    return _filled(SectionPart, section, time_line=line, **said(closes_by=closes_by))


def blend_part(blend: Blend) -> BlendPart:
    """Describe how the parts blend."""
    labs = {
        key: {name: rounded(lab) for name, lab in getattr(blend, key).items()}
        for key in ("zones", "parts", "parts_before")
    }
    return _filled(
        BlendPart,
        blend,
        **labs,
        edges=[_filled(EdgePart, e) for e in blend.edges],
        to_match={name: rounded(difference) for name, difference in blend.to_match.items()},
        **said(words=blend.finding),
    )


def visit_part(visit: NextVisit) -> VisitPart:
    """Describe what decides the next visit."""
    weeks, passes = rounded(visit.weeks), visit.tone_passes
    return _filled(
        VisitPart,
        visit,
        demarcations=[_demarcation(d) for d in visit.demarcations],
        tone={
            name: ToneWashPart(
                weeks=weeks,
                warmth=rounded(warmth),
                limit=rounded(visit.tone_limits[name].most),
                wanted=rounded(visit.tone_limits[name].wanted),
                passes_weeks=rounded(passes[name]),
            )
            for name, warmth in visit.tone_warmth.items()
        },
        **said(words=visit.findings),
    )


def _demarcation(line: Demarcation) -> DemarcationPart:
    return _filled(DemarcationPart, line, **said(words=line.finding))
