"""Answer of a preview."""

from __future__ import annotations

from typing import Any

import numpy as np

from lift.answers.encode import Code, Part
from lift.answers.fibres import FibresPart, fibres_part
from lift.answers.parts import (
    Band,
    CurveSetPart,
    Ends,
    LabBand,
    TonePart,
    band,
    curve_set_part,
    finite,
    lab_band,
    rounded,
    said,
    tone_part,
)
from lift.answers.strand_parts import Asked, WindowPart, asked, window_part
from lift.model.natural import path_of
from lift.practice.passages import Passage
from lift.practice.preview import Preview
from lift.practice.why import Parts, Why, why
from lift.quantities import Lab
from lift.words import note


class Inputs(Asked):
    """What was asked of one strand."""

    minutes: float


class TonerPart(Part):
    """The one dye that comes nearest, and what it gives.

    Its dose is in 0.01 absorption per fibre radius, `lab` (D65, 10 degrees) and `level` are after
    it.
    """

    tone: dict[str, float]
    lab: Lab
    level: float


class PassagePart(Part):
    """A level that lightening passes: when [min], how surely, and the toner there.

    `minutes` is null where the expected strand gets there too late, an end of `between` where a
    strand of that end does.
    """

    level: float
    stage: str
    minutes: float | None
    between: tuple[float | None, float | None]
    p_reached: float
    lab: Lab
    toner: TonerPart


class At(Part):
    """What is to be expected at the asked time.

    `places` are the shares of strands not there yet, inside, too warm and too light for the goal,
    and `toner` what would follow a rinse then; both are null where there is none.
    `lab` and `hue_deg` are of hair as it is seen, `pigmented` and warmth of its pigmented fibres;
    the two differ where hair is grey, and then `fibres` tells both of the expected strand.
    """

    minutes: float
    lab: LabBand
    pigmented: LabBand
    level: Band
    level_words: str
    level_words_code: Code
    lift: Band
    stage: str
    stage_chances: dict[str, float]
    warmth: Band
    hue_deg: float
    p_too_warm: float | None
    places: dict[str, float] | None
    toner: TonerPart | None
    blend_warmth: Band
    fibres: FibresPart | None


class Curve(Part):
    """The course up to the time limit, as medians over the strands, one value a time.

    `lab` is of hair as it is seen: of grey hair a blend of `pigmented` and `white`, which are null
    where none is, as is how warm the blend is.
    """

    minutes: list[float]
    lab: list[Lab]
    pigmented: list[Lab] | None
    white: list[Lab] | None
    level: list[float]
    warmth: list[float]
    warmth_low: list[float]
    warmth_high: list[float]
    p_too_warm: list[float] | None
    blend_warmth: list[float] | None


class WhyPart(Part):
    """One band at the asked time, in parts: 90 % of the strands, and this head's share of it."""

    of_head: Ends
    unmeasured: Ends
    whole: Ends
    head_share: float


class Cause(Part):
    """A number that nobody measured, and the share of that spread in warmth that goes with it."""

    parameter: str
    share: float


class WhyAnswer(Part):
    """How much of the bands is this head, and how much is what nobody has measured."""

    level: WhyPart
    warmth: WhyPart
    causes: list[Cause]


class PreviewAnswer(Part):
    """One strand, one mixture, one time."""

    inputs: Inputs
    at: At
    why: WhyAnswer
    curve: Curve
    window: WindowPart | None
    passes: list[PassagePart]
    tone: TonePart
    cautions: list[str]
    cautions_codes: list[Code]
    curve_set: CurveSetPart


def at(result: Preview) -> At:
    """Describe a strand at the asked time."""
    return At(
        minutes=result.minutes,
        lab=lab_band(*result.band_at("lab")),
        pigmented=lab_band(*result.band_at("pigmented")),
        level=band(*result.band_at("level")),
        **said(level_words=note("level", level=float(result.band_at("level")[1]))),
        lift=band(*result.band_at("lift")),
        stage=result.stage,
        stage_chances={name: rounded(share) for name, share in result.stage_chances.items()},
        warmth=band(*result.band_at("warmth")),
        hue_deg=rounded(result.drawn.central.hue_deg[-1]),
        p_too_warm=rounded(result.p_too_warm),
        places=None
        if result.window is None
        else {name: rounded(share) for name, share in result.places.items()},
        toner=_toner_now(result),
        blend_warmth=band(*result.band_at("blend_warmth")),
        fibres=fibres_part(result.grey, result.warmth_limit),
    )


def _toner_now(result: Preview) -> TonerPart | None:
    found = result.toned
    if found is None:
        return None
    path = path_of(result.hair, result.curves)
    return TonerPart(
        tone={dye: rounded(dose) for dye, dose in found.named().items()},
        lab=rounded(found.lab),
        level=rounded(path.level_of_lightness(found.lab[0])),
    )


def passage_part(each: Passage) -> PassagePart:
    """Describe a level that lightening passes."""
    low, high = each.between
    return PassagePart(
        level=each.level,
        stage=each.stage,
        minutes=rounded(each.minutes),
        between=(finite(low), finite(high)),
        p_reached=rounded(each.p_reached),
        lab=rounded(each.lab),
        toner=TonerPart(
            tone={dye: rounded(dose) for dye, dose in each.tone.items()},
            lab=rounded(each.after),
            level=rounded(each.level_after),
        ),
    )


def why_answer(found: Why) -> WhyAnswer:
    """Answer of the bands in parts."""

    def part(of: Parts) -> WhyPart:
        return WhyPart(
            of_head=rounded(of.of_head),
            unmeasured=rounded(of.unmeasured),
            whole=rounded(of.whole),
            head_share=rounded(of.head_share),
        )

    causes = [Cause(parameter=name, share=rounded(share)) for name, share in found.causes]
    return WhyAnswer(level=part(found.level), warmth=part(found.warmth), causes=causes)


def curve(result: Preview) -> Curve:
    """Describe the course of a strand."""
    # The last column is the asked time, out of order: the curve is all before it.
    some = slice(0, -1)
    low, warmth, high = result.drawn.band("warmth")
    return Curve(
        minutes=rounded(result.drawn.central.minutes[some]),
        lab=rounded(result.drawn.band("lab")[1][some]),
        pigmented=_course_of("pigmented", result),
        white=_course_of("white", result),
        blend_warmth=_course_of("blend_warmth", result),
        level=rounded(result.drawn.band("level")[1][some]),
        warmth=rounded(warmth[some]),
        warmth_low=rounded(low[some]),
        warmth_high=rounded(high[some]),
        p_too_warm=_p_too_warm(result),
    )


def _p_too_warm(result: Preview) -> Any:
    if result.window is None:
        return None
    limit = result.warmth_limit
    if limit is not None:
        return rounded(result.drawn.probability_too_warm(limit)[:-1])
    each, minutes = result.window.each, result.window.minutes
    warm = each.too_warm <= each.too_light
    return rounded(np.mean(warm[:, None] & (minutes >= each.too_warm[:, None]), axis=0))


def _course_of(quantity: str, result: Preview) -> Any:
    return None if result.grey is None else rounded(result.drawn.band(quantity)[1][:-1])


def answer(result: Preview) -> PreviewAnswer:
    """Answer of a preview."""
    return PreviewAnswer(
        inputs=Inputs(
            **asked(result.hair, result.mixture, result.target, result.curves),
            minutes=result.minutes,
        ),
        at=at(result),
        why=why_answer(why(result)),
        curve=curve(result),
        window=None if result.window is None else window_part(result.window, result.advice),
        passes=[passage_part(each) for each in result.passages],
        tone=tone_part(result.wheel_and_dye),
        **said(cautions=result.cautions),
        curve_set=curve_set_part(result.curves, result.extrapolates),
    )
