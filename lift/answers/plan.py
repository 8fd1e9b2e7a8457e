"""Answer of a service plan; times in minutes on the service's clock."""

from __future__ import annotations

from lift.answers.chosen import ChosenPart, chosen_part
from lift.answers.encode import Code, Part
from lift.answers.fibres import FibresPart, fibres_part
from lift.answers.parts import (
    CurveSetPart,
    SpanPart,
    TonePart,
    curve_set_part,
    filled,
    rounded,
    said,
    span_parts,
    tone_part,
)
from lift.answers.toner import TonerPart, toner_part
from lift.answers.what_comes import BlendPart, VisitPart, blend_part, visit_part
from lift.model.mixture import Mixture
from lift.practice.service.changes import Change
from lift.practice.service.plan import Plan
from lift.practice.service.toned_zone import TonedZone
from lift.practice.service.zone_plan import SectionPlan, ZonePlan
from lift.quantities import MINUTES, Lab
from lift.words import codes, note, says


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
    return filled(
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
        toning=[filled(ToningPart, each) for each in result.toning],
        reason=" ".join(says(result.reasons)),
        reason_codes=codes(result.reasons),
        changes=[_change(c) for c in result.changes],
        zones=[_zone(z, result) for z in result.zones],
        steps=[filled(StepPart, s) for s in result.steps],
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


def _mixture(mixture: Mixture) -> MixturePart:
    return MixturePart(
        kind=mixture.kind,
        developer_volume=float(mixture.developer_volume),
        developer_parts=float(mixture.developer_parts),
        on_head_volume=rounded(mixture.on_head_volume),
    )


def _change(change: Change) -> ChangePart:
    return filled(ChangePart, change, **said(kind=change.kind, text=change.text))


def _toned(zone: TonedZone) -> TonedPart:
    step = toner_part(zone.toner_step)
    assert step is not None  # what is toned has one
    return TonedPart(
        zone=zone.zone.name,
        before=rounded(zone.before),
        after=rounded(zone.after),
        target=rounded(zone.target),
        tone=tone_part(zone.wheel_and_dye),
        toner={dye: rounded(dose) for dye, dose in zone.toner.items()},
        toner_step=step,
    )


def _zone(zone: ZonePlan, result: Plan) -> ZonePart:
    end = result.total_minutes + MINUTES.range[1]
    return filled(
        ZonePart,
        zone,
        zone=zone.zone.name,
        part=zone.zone.part,
        mixture=zone.zone.mixture,
        tone=tone_part(zone.wheel_and_dye),
        toner={dye: rounded(dose) for dye, dose in zone.toner.items()},
        toner_step=toner_part(zone.toner_step),
        fibres=fibres_part(zone.grey, zone.warmth_limit),
        fibres_after=fibres_part(zone.grey_after),
        bowl=filled(BowlPart, zone.bowl),
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
    return filled(SectionPart, section, time_line=line, **said(closes_by=closes_by))
