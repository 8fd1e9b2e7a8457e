"""Parts of a tone's answer: what less than all of it buys, and from what difference it shows."""

from __future__ import annotations

from msgspec import field

from lift.answers.encode import Code, Part
from lift.answers.parts import rounded, said
from lift.model.curves import CurveSet
from lift.practice.shows import thresholds
from lift.practice.toning.partial import Partial


class PartialPart(Part):
    """How much goes for how little darkening: dE00 and warmth left for every L* given.

    `knee` is the place past which every L* takes much less, `enough` the first whose warmth passes
    for natural; null where there is none.
    """

    text: str
    text_code: Code
    darker: list[float]
    left: list[float] = field(name="dE00_left")
    warmth: list[float]
    doses: list[dict[str, float]]
    knee: int | None
    enough: int | None


class Shows(Part):
    """From which difference something shows, and how well that stands."""

    value: float
    unit: str
    status: str
    source: str


def partial_part(found: Partial | None) -> PartialPart | None:
    """Describe what less than all of a tone buys; None stays None."""
    if found is None:
        return None
    return PartialPart(
        **said(text=found.words),
        darker=rounded(found.darker),
        left=rounded(found.left),
        warmth=rounded(found.warmth),
        doses=[{dye: rounded(dose) for dye, dose in each.items()} for each in found.doses],
        knee=found.knee,
        enough=found.enough,
    )


def shows_parts(curves: CurveSet) -> dict[str, Shows]:
    """Describe the thresholds from which something shows, by name."""
    found = thresholds(curves)
    return {name: Shows(p.value, p.unit, p.status, p.source) for name, p in found.items()}
