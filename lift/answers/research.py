"""Answers of research: swatch files, what to measure next, calibration, curve sets, evidence."""

from __future__ import annotations

from functools import singledispatch
from typing import Any

import numpy as np
from msgspec import UNSET, UnsetType

from lift.answers.encode import Code, Part
from lift.answers.parts import (
    CurveSetPart,
    LabBand,
    curve_set_part,
    lab_band,
    rounded,
    said,
)
from lift.model.curves import CurveSet
from lift.research.evidence.checks import Check
from lift.research.planning.next_swatch import QUANTITIES, NextPlan
from lift.research.posterior.sbc import RankCheck
from lift.research.swatches.swatch_file import SwatchFile
from lift.research.tuning.curve_files import COMPARED, Comparison
from lift.words import known, say

MOST_CHOICES = 20


class FaultPart(Part):
    """One thing that is wrong with a swatch file, at a line or, in CxF, an object."""

    column: str
    value: str
    reason: str
    reason_code: Code
    line: int | UnsetType = UNSET
    row: int | UnsetType = UNSET
    object: int | UnsetType = UNSET


class SwatchFileAnswer(Part):
    """What was found in a swatch file."""

    file: str
    rows: int
    faults: list[FaultPart]
    remarks: list[str]
    remarks_codes: list[Code]
    doubts: list[str]
    doubts_codes: list[Code]
    read_as: list[str]
    read_as_codes: list[Code]


class ChoicePart(Part):
    """A swatch that could be measured, and the width of the interval after it."""

    level: float
    kind: str
    volume: float
    minutes: float
    width_after: float
    bits: float | UnsetType = UNSET
    cost: float | UnsetType = UNSET


class NextAnswer(Part):
    """What to measure next."""

    prediction: str
    prediction_code: Code
    unit: str
    coverage: float
    width_now: float
    next: list[ChoicePart]
    alike: list[ChoicePart]
    alone: list[ChoicePart]
    cautions: list[str]
    cautions_codes: list[Code]
    curve_set: CurveSetPart


class RankPart(Part):
    """Ranks of one quantity over all laboratories."""

    name: str
    name_code: str
    p_value: float
    coverage_of_90_percent: float
    histogram: list[int]


class RankCheckAnswer(Part):
    """Whether intervals are as wide as they say."""

    laboratories: int
    seed: int
    invented: bool
    passed: bool
    least_effective_draws: int
    quantities: list[RankPart]


class ComparedPart(Part):
    """One strand under both curve sets: at the end, and where they differ most.

    `apart` is the second less the first at the end, nine in ten of the pairs of draws.
    """

    level: float
    mixture: str
    volume: float
    lift: list[float]
    warmth: list[float]
    dE00_largest: float
    at_minutes: float
    apart: LabBand | None


class ComparisonAnswer(Part):
    """Two curve sets side by side."""

    first: CurveSetPart
    second: CurveSetPart
    changed: list[dict[str, Any]]
    strands: list[ComparedPart]


class CheckAnswer(Part):
    """One comparison with the outside."""

    name: str
    kind: str
    source: str
    expected: str
    got: str
    passed: bool
    fitted: bool
    standing: str
    standing_code: str
    code: Code
    finding: str | UnsetType = UNSET


@singledispatch
def answer(result: Any) -> Part:
    """Answer of a result of research."""
    raise TypeError(type(result))


@answer.register
def _(found: SwatchFile) -> SwatchFileAnswer:
    return SwatchFileAnswer(
        file=found.path,
        rows=found.rows,
        faults=[
            FaultPart(
                column=f.column,
                value=f.value,
                **said(reason=f.reason) | {found.unit: f.line},
            )
            for f in found.faults
        ],
        **said(remarks=found.remarks, doubts=found.doubts, read_as=found.told),
    )


@answer.register
def _(plan: NextPlan) -> NextAnswer:
    def choice(index: int, width: float, bits: float | UnsetType = UNSET) -> ChoicePart:
        cost = UNSET if plan.costs is None else rounded(plan.costs[index])
        return ChoicePart(
            **vars(plan.choices[index]), width_after=rounded(width), bits=bits, cost=cost
        )

    return NextAnswer(
        unit=QUANTITIES[plan.asked.quantity],
        coverage=0.9,
        width_now=rounded(plan.width),
        next=[choice(i, w) for i, w in zip(plan.taken, plan.taken_widths, strict=True)],
        alike=[choice(i, plan.widths[i]) for i in plan.alike],
        alone=[
            choice(i, plan.widths[i], bits=rounded(plan.bits[i])) for i in plan.order[:MOST_CHOICES]
        ],
        **said(prediction=plan.asked.words, cautions=plan.cautions),
        curve_set=curve_set_part(plan.curves),
    )


@answer.register
def _(found: RankCheck) -> RankCheckAnswer:
    return RankCheckAnswer(
        laboratories=found.laboratories,
        seed=found.seed,
        invented=True,
        passed=found.passed,
        least_effective_draws=round(float(found.effective.min())),
        quantities=[
            RankPart(
                name=say(f"sbc.{name}") if known(f"sbc.{name}") else name,
                name_code=name,
                p_value=round(float(p), 4),
                coverage_of_90_percent=round(float(c), 4),
                histogram=h.astype(int).tolist(),
            )
            for name, p, c, h in zip(
                found.names, found.p_values, found.coverage, found.histograms, strict=True
            )
        ],
    )


@answer.register
def _(found: Comparison) -> ComparisonAnswer:
    strands = zip(COMPARED, found.trajectories, found.differences(), found.apart, strict=True)
    return ComparisonAnswer(
        first=curve_set_part(found.first),
        second=curve_set_part(found.second),
        changed=[
            {
                "name": each.first.name,
                "unit": each.first.unit,
                "first": each.first.value,
                "second": each.second.value,
                "first_sd": each.first_sd,
                "second_sd": each.second_sd,
                "by": each.by,
                "by_sd": each.sd,
            }
            for each in found.changed
        ],
        strands=[
            ComparedPart(
                level=hair.level,
                mixture=mixture.kind,
                volume=mixture.volume,
                lift=rounded([a.lift[-1], b.lift[-1]]),
                warmth=rounded([a.warmth[-1], b.warmth[-1]]),
                dE00_largest=rounded(off.max()),
                at_minutes=rounded(a.minutes[np.argmax(off)]),
                apart=None if np.isnan(apart).any() else lab_band(*apart),
            )
            for (hair, mixture), (a, b), off, apart in strands
        ],
    )


@answer.register
def _(check: Check) -> CheckAnswer:
    return CheckAnswer(
        name=say(check.name),
        kind=say(check.kind_name),
        source=say(check.source),
        expected=say(check.expected),
        got=say(check.got),
        passed=check.passed,
        fitted=check.fitted,
        finding=UNSET if check.finding is None else say(check.finding),
        standing=say(f"evidence.standing.{check.standing}"),
        standing_code=check.standing,
        code=check.name.to_dict(),
    )


class CurveTable(CurveSetPart, kw_only=True):
    """A curve set with every parameter: value, unit, range, status and source."""

    parameters: list[dict[str, Any]]


@answer.register
def _(curves: CurveSet) -> CurveTable:
    from msgspec.structs import asdict

    from lift.research.tuning.curve_files import table_of

    return CurveTable(**asdict(curve_set_part(curves)), parameters=table_of(curves))
