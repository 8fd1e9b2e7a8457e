"""Answer of what comes of a plan: how parts blend, and what decides the next visit."""

from __future__ import annotations

from lift.answers.encode import Code, Part
from lift.answers.parts import filled, rounded, said
from lift.practice.service.next_visit import Demarcation, NextVisit
from lift.practice.service.outcome import Blend
from lift.quantities import Lab


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


def blend_part(blend: Blend) -> BlendPart:
    """Describe how the parts blend."""
    labs = {
        key: {name: rounded(lab) for name, lab in getattr(blend, key).items()}
        for key in ("zones", "parts", "parts_before")
    }
    return filled(
        BlendPart,
        blend,
        **labs,
        edges=[filled(EdgePart, e) for e in blend.edges],
        to_match={name: rounded(difference) for name, difference in blend.to_match.items()},
        **said(words=blend.finding),
    )


def visit_part(visit: NextVisit) -> VisitPart:
    """Describe what decides the next visit."""
    weeks, passes = rounded(visit.weeks), visit.tone_passes
    return filled(
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
    return filled(DemarcationPart, line, **said(words=line.finding))
