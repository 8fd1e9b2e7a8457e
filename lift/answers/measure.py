"""Answer of a colour measured in a photograph."""

from __future__ import annotations

from typing import Any

from msgspec import UNSET, UnsetType

from lift.answers.encode import Code, Part
from lift.answers.parts import CurveSetPart, curve_set_part, rounded, said
from lift.model.strand import ABSORBERS
from lift.photo.measured import Difference, Measured
from lift.quantities import Lab
from lift.words import note


class PigmentSeen(Part):
    """The second estimate: hair of the model without tone whose light fits.

    `left` is what absorbs in the fibre, by absorber [absorption per fibre radius]; `apart` is the
    distance [dE00] of the two estimates.
    """

    lab: Lab
    sd: Lab
    level: float
    stage: str
    left: dict[str, float]
    plausible: bool
    apart: float


class LeftOutPart(Part):
    """Errors [dE00] of the chart's patches, each found without itself."""

    median: float
    worst: float


class ChartPart(Part):
    """The chart: which edition its colours are taken from, and how well they come out.

    `method` is the correction by which patches that are left out come out best.
    """

    edition: str
    method: str
    left_out: LeftOutPart


class TakenPart(Part):
    """Pixels that were taken, and their share of the region [-]."""

    pixels: int
    share: float


class RegionPart(Part):
    """One region: CIELAB (D65, 10 degrees) with standard deviations."""

    lab: Lab
    sd: Lab
    level: float
    level_words: str
    level_words_code: Code
    level_interval: tuple[float, float]
    pigment: PigmentSeen
    taken: TakenPart
    warnings: list[str]
    warnings_codes: list[Code]


class DifferencePart(Part):
    """The other region less the first, with standard deviations of its own; `dE00` between."""

    lab: Lab
    sd: Lab
    dE00: float


class MeasureAnswer(RegionPart):
    """A colour from a photograph; with another region, that and how it differs."""

    chart: ChartPart
    cautions: list[str]
    cautions_codes: list[Code]
    curve_set: CurveSetPart
    other: RegionPart | UnsetType = UNSET
    difference: DifferencePart | UnsetType = UNSET


def answer(found: Measured | Difference) -> MeasureAnswer:
    """Answer of one region, or of two and their difference."""
    if isinstance(found, Measured):
        return MeasureAnswer(**_region(found), **_picture(found))
    difference = DifferencePart(rounded(found.lab), rounded(found.sd), rounded(found.de00))
    return MeasureAnswer(
        **_region(found.first),
        **_picture(found.first),
        other=RegionPart(**_region(found.second)),
        difference=difference,
    )


def _picture(found: Measured) -> dict[str, Any]:
    errors = LeftOutPart(rounded(found.left_out.median), rounded(found.left_out.worst))
    return {
        "chart": ChartPart(found.edition, found.left_out.method, errors),
        "curve_set": curve_set_part(found.curves),
        **said(cautions=found.cautions),
    }


def _region(found: Measured) -> dict[str, Any]:
    like = found.pigment
    amounts = zip(ABSORBERS, like.pigment.amounts, strict=True)
    return {
        "lab": rounded(found.lab),
        "sd": rounded(found.sd),
        "level": rounded(found.level),
        "level_interval": tuple(rounded(found.level_interval)),
        "pigment": PigmentSeen(
            lab=rounded(like.lab),
            sd=rounded(like.sd),
            level=rounded(like.level),
            stage=like.stage,
            left={name: rounded(amount) for name, amount in amounts},
            plausible=like.plausible,
            apart=rounded(found.apart),
        ),
        "taken": TakenPart(found.taken.pixels, rounded(found.taken.share)),
        **said(level_words=note("level", level=found.level), warnings=found.warnings),
    }
