"""Answer of a tone report."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from msgspec import UNSET, UnsetType, field
from msgspec.structs import replace

from lift.answers.encode import Code, Part
from lift.answers.fibres import FibresPart, fibres_part
from lift.answers.partial import PartialPart, Shows, partial_part, shows_parts
from lift.answers.parts import (
    CurveSetPart,
    Ends,
    TonePart,
    curve_set_part,
    rounded,
    said,
    tone_part,
)
from lift.answers.toner import TonerPart, toner_part
from lift.practice.toning.carried import Carried
from lift.practice.toning.dose_look import DoseLook
from lift.practice.toning.fade import Fade
from lift.practice.toning.neutralise import Neutralisation
from lift.practice.toning.other_light import OtherLight
from lift.practice.toning.tone_report import ToneReport
from lift.quantities import Lab
from lift.words import note

Doses = dict[str, float]
"""Dose by dye [0.01 absorption per fibre radius]."""


class ToneInputs(Part):
    """Colour of the hair and colour wanted.

    Where a mixture lies on the hair, that too; where it was rinsed of one, how its colour is known,
    and the tone that is in it already.
    """

    lab: Lab
    goal: Lab
    grey_percent: float
    resistant_percent: float
    pheomelanin_share: float | UnsetType = UNSET
    natural_level: float | UnsetType = UNSET
    fibre_um: float | UnsetType = UNSET
    damp: bool | UnsetType = UNSET
    mixture: str | UnsetType = UNSET
    on_head_volume: float | UnsetType = UNSET
    minutes: float | UnsetType = UNSET
    carries: Doses | UnsetType = UNSET
    known_by: str | UnsetType = UNSET
    in_hair: Doses | UnsetType = UNSET


class Seen(Part):
    """The colour as it is seen, and level, stage and warmth of the pigmented fibres.

    The two differ where hair is grey, and then `fibres` tells both.
    """

    lab: Lab
    pigmented: Lab
    level: float
    level_words: str
    level_words_code: Code
    stage: str
    warmth: float
    fibres: FibresPart | None


class State(Part):
    """Pigment, as absorption per fibre radius; of an inferred one, what it was inferred to be."""

    eumelanin: float
    pheomelanin: float
    half_oxidised: float
    oxidised_pheomelanin: float
    natural_level: float | UnsetType = UNSET
    natural_level_range: Ends | UnsetType = UNSET
    exposure: float | UnsetType = UNSET
    exposure_range: Ends | UnsetType = UNSET
    pheomelanin_share: float | UnsetType = UNSET
    pheomelanin_share_range: Ends | UnsetType = UNSET
    misfit: float | UnsetType = UNSET
    plausible: bool | UnsetType = UNSET


class Predicted(Part):
    """Colour with the tone; its central 90 % where the state was inferred."""

    expected: Lab
    low: Lab | None
    high: Lab | None


class Look(Part):
    """How another dose looks."""

    lab: Lab
    warmth: float
    text: str
    text_code: Code


class OneDye(Part):
    """Best dose of a single dye."""

    doses: Doses
    left: float = field(name="dE00_left")


class NeutralisePart(Part):
    """Dose, prediction, margins and verdict.

    `lab` is the toned hair as it is seen; of grey hair `fibres` tells both of its kinds. Dose,
    distances and verdict are those of the pigmented fibres. `wanted` is the one colour from which
    `dE00_untoned` and `dE00_left` are counted; where no goal was given it is natural hair as light
    as the toned, and `dE00_before` counts from natural hair as light as the untoned.
    """

    verdict: str
    verdict_code: Code
    text: str
    text_code: Code
    lift_to: float | None
    doses: Doses
    dose_unit: str
    dose_unit_code: Code
    lab: Predicted
    fibres: FibresPart | None
    wanted: Lab
    before: float = field(name="dE00_before")
    untoned: float = field(name="dE00_untoned")
    left: float = field(name="dE00_left")
    lightness_lost: float
    forgiving: Ends | None
    wanted_multiple: Ends | None
    half: Look | None
    double: Look | None
    one_dye: OneDye
    to_carry: Doses | None


class CarriedPart(Part):
    """Warmth through time with the mixture's own tone and without; times in minutes."""

    text: str
    text_code: Code
    allowance: float
    too_warm_at: float | None
    too_warm_at_without_tone: float | None
    minutes: list[float]
    warmth: list[float]
    warmth_without_tone: list[float]


class Light(Part):
    """The strand under one light, as an eye sees it that is used to that light."""

    light: str
    cct_k: float
    lab: Lab
    shift: float
    natural_shift: float
    warmth: float


class LightsPart(Part):
    """The strand under other lights; it turns warm where it is warmer than the `allowance`."""

    text: str
    text_code: Code
    adaptation: str
    adaptation_code: Code
    turns_warm: list[str]
    allowance: float
    lights: list[Light]


class FadePart(Part):
    """One kind of tone washing out."""

    text: str
    text_code: Code
    status: str
    source: str
    source_code: Code
    washes_per_week: float
    allowance: float
    passes_after_washes: float | None
    passes_range: tuple[float | None, float | None]
    week: int | None
    washes: list[float]
    warmth: list[float]


class Fades(Part):
    """Kind asked about, and how each lasts where there is a tone."""

    kind: str
    permanent: FadePart | UnsetType = UNSET
    demi_permanent: FadePart | UnsetType = field(default=UNSET, name="demi-permanent")
    direct: FadePart | UnsetType = UNSET


class ToneAnswer(Part):
    """A hair colour, the goal, and everything about the tone between them."""

    inputs: ToneInputs
    at: Seen
    tone: TonePart
    state: State
    neutralise: NeutralisePart
    partial: PartialPart | None
    shows: dict[str, Shows]
    toner: TonerPart | None
    carried: CarriedPart | None
    other_light: LightsPart | None
    fade: Fades
    cautions: list[str]
    cautions_codes: list[Code]
    curve_set: CurveSetPart


def answer(report: ToneReport) -> ToneAnswer:
    """Answer of a tone report."""
    return ToneAnswer(
        inputs=_inputs(report),
        at=Seen(
            lab=rounded(report.lab),
            pigmented=rounded(report.pigmented),
            level=rounded(report.level),
            **said(level_words=note("level", level=report.level)),
            stage=report.stage,
            warmth=rounded(report.warmth),
            fibres=fibres_part(report.grey),
        ),
        tone=tone_part(report.wheel_and_dye),
        state=_state(report.answer),
        neutralise=_neutralise(report),
        partial=partial_part(report.partial),
        shows=shows_parts(report.curves),
        toner=toner_part(report.toner),
        carried=None if report.carried is None else _carried(report.carried),
        other_light=None if report.light is None else _lights(report.light),
        fade=Fades(
            report.kind,
            **{kind.replace("-", "_"): _fade(fade) for kind, fade in report.fades.items()},
        ),
        **said(cautions=report.cautions),
        curve_set=curve_set_part(report.curves),
    )


def _inputs(report: ToneReport) -> ToneInputs:
    asked = ToneInputs(
        lab=rounded(report.lab),
        goal=rounded(np.add(report.pigmented, report.direction.change)),
        grey_percent=report.answer.grey_percent,
        resistant_percent=report.answer.resistant_percent,
        pheomelanin_share=UNSET if report.pheomelanin_share is None else report.pheomelanin_share,
    )
    if report.rinsed is not None:
        after = report.rinsed
        return replace(
            asked,
            natural_level=rounded(after.hair.level),
            minutes=rounded(after.minutes),
            known_by=after.known_by,
            in_hair=_doses(after.in_hair),
        )
    if report.processed is None:
        return asked
    hair, mixture = report.processed.hair, report.processed.mixture
    return replace(
        asked,
        natural_level=hair.level,
        fibre_um=hair.fibre_um,
        damp=bool(hair.damp),
        mixture=mixture.kind,
        on_head_volume=rounded(mixture.on_head_volume),
        minutes=report.processed.minutes,
        carries=_doses(mixture.properties(report.curves.values)["tone"]),
    )


def _state(found: Neutralisation) -> State:
    state = State(*map(rounded, found.pigment.amounts))
    inferred = found.inferred
    if inferred is None:
        return state
    return replace(
        state,
        natural_level=rounded(inferred.natural_level),
        natural_level_range=rounded(inferred.interval("level")),
        exposure=rounded(inferred.exposure),
        exposure_range=rounded(inferred.interval("exposure")),
        pheomelanin_share=rounded(inferred.pheomelanin_share),
        pheomelanin_share_range=rounded(inferred.interval("share")),
        misfit=rounded(inferred.misfit),
        plausible=inferred.plausible,
    )


def _neutralise(report: ToneReport) -> NeutralisePart:
    found = report.answer
    return NeutralisePart(
        **said(verdict=note(f"toning.{found.verdict.verdict}"), text=found.verdict.text),
        lift_to=rounded(found.verdict.lift_to),
        doses=_doses(found.tone),
        **said(dose_unit=note("toning.dose_unit")),
        lab=Predicted(rounded(found.lab), *map(rounded, found.band or (None, None))),
        fibres=fibres_part(report.toned),
        wanted=rounded(report.wanted),
        before=rounded(found.before),
        untoned=rounded(found.untoned),
        left=rounded(found.residual),
        lightness_lost=rounded(found.lightness_lost),
        forgiving=rounded(found.forgiving),
        wanted_multiple=rounded(found.factor_band),
        half=_look(found.under),
        double=_look(found.over),
        one_dye=OneDye(_doses(found.alone.best.named()), rounded(found.alone.best.residual)),
        to_carry=_doses(report.to_carry) if report.processed else None,
    )


def _look(look: DoseLook | None) -> Look | None:
    if look is None:
        return None
    return Look(rounded(look.lab), rounded(look.warmth), **said(text=look.words))


def _carried(carried: Carried) -> CarriedPart:
    return CarriedPart(
        **said(text=carried.words),
        allowance=rounded(carried.allowance),
        too_warm_at=rounded(carried.too_warm_at),
        too_warm_at_without_tone=rounded(carried.bare_too_warm_at),
        minutes=rounded(carried.minutes),
        warmth=rounded(carried.warmth),
        warmth_without_tone=rounded(carried.bare),
    )


def _lights(light: OtherLight) -> LightsPart:
    columns = (light.cct_k, light.lab, light.shift, light.natural_shift, light.warmth)
    rows = zip(light.lights, *map(rounded, columns), strict=True)
    return LightsPart(
        **said(text=light.words, adaptation=note("light.adaptation")),
        turns_warm=list(light.turns_warm),
        allowance=rounded(light.allowance),
        lights=[Light(*row) for row in rows],
    )


def _fade(fade: Fade) -> FadePart:
    return FadePart(
        **said(text=fade.words, source=fade.kind.source),
        status=fade.kind.status,
        washes_per_week=fade.washes_per_week,
        allowance=rounded(fade.allowance),
        passes_after_washes=rounded(fade.passes),
        passes_range=(rounded(fade.passes_range[0]), rounded(fade.passes_range[1])),
        week=fade.week,
        washes=rounded(fade.washes),
        warmth=rounded(fade.warmth),
    )


def _doses(doses: Mapping[str, Any]) -> Doses:
    return {dye: rounded(dose) for dye, dose in doses.items()}
