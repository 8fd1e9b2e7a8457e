"""Parts that many answers share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, TypeVar

import numpy as np
from msgspec import UNSET, UnsetType, field
from msgspec.structs import replace
from numpy.typing import ArrayLike

from lift.answers.encode import Code, Part
from lift.model.curves import CurveSet
from lift.practice.time_line import Span
from lift.practice.wheel_and_dye import WheelAndDye
from lift.quantities import Lab
from lift.words import Note, codes, note, say, says

P = TypeVar("P", bound=Part)

DECIMALS = 4
"""Finer than any input, and the same text everywhere."""

Ends = tuple[float, float]
"""Low and high end."""


def rounded(value: ArrayLike | None) -> Any:
    """Numbers of any shape to `DECIMALS`, as floats or nested lists; None stays None."""
    if value is None:
        return None
    found = np.round(np.asarray(value, dtype=np.float64), DECIMALS)
    return float(found) if found.ndim == 0 else found.tolist()


def finite(value: float) -> float | None:
    """Rounded number; None where it is infinite, as a time that never comes."""
    return round(float(value), DECIMALS) if np.isfinite(value) else None


def said(**notes: Note | Iterable[Note]) -> dict[str, Any]:
    """Sentence of each note under its name, and beside it its code and numbers."""
    done: dict[str, Any] = {}
    for name, what in notes.items():
        if isinstance(what, Note):
            done |= {name: say(what), f"{name}_code": what.to_dict()}
        else:
            lines = tuple(what)
            done |= {name: says(lines), f"{name}_codes": codes(lines)}
    return done


class Band(Part):
    """Median and central 90 % of the strands that this hair could turn out to be."""

    low: float
    median: float
    high: float


class LabBand(Part):
    """The same of a CIELAB (D65, 10 degrees), each axis by itself."""

    low: Lab
    median: Lab
    high: Lab


def band(low: ArrayLike, median: ArrayLike, high: ArrayLike) -> Band:
    """Band of three numbers, shape () each."""
    return Band(rounded(low), rounded(median), rounded(high))


def lab_band(low: ArrayLike, median: ArrayLike, high: ArrayLike) -> LabBand:
    """Band of three colours, shape (3,) each."""
    return LabBand(rounded(low), rounded(median), rounded(high))


class CurveSetPart(Part):
    """The curve set behind an answer, and where the answer extrapolates from its swatches."""

    name: str
    status: str
    status_code: Code
    seal: str | None
    provenance: dict[str, str]
    validity: dict[str, Any] | None
    posterior: list[str] | None
    extrapolates: list[str] | UnsetType = UNSET
    extrapolates_codes: list[Code] | UnsetType = UNSET


def curve_set_part(curves: CurveSet, extrapolates: Sequence[Note] | None = None) -> CurveSetPart:
    """Describe a curve set; `extrapolates` where the answer can say so."""
    part = CurveSetPart(
        name=curves.name,
        **said(status=curves.standing),
        seal=curves.seal or None,
        provenance=dict(curves.provenance),
        validity=None if curves.validity is None else curves.validity.to_dict(),
        posterior=None if curves.posterior is None else list(curves.posterior.names),
    )
    if extrapolates is None:
        return part
    return replace(part, **said(extrapolates=extrapolates))


class SpanPart(Part):
    """A stretch of the time line [min], and where a strand rinsed in it would be."""

    place: str
    place_code: Code
    starts: float
    ends: float


def span_parts(spans: Iterable[Span]) -> list[SpanPart]:
    """Describe the named spans of a time line."""
    return [
        SpanPart(
            starts=rounded(span.starts),
            ends=rounded(span.ends),
            **said(place=note(f"place.{span.place}")),
        )
        for span in spans
    ]


class AlonePart(Part):
    """The best dose of one dye by itself: what it leaves, L* it takes, and what is then too much.

    It leaves the hair so far `aside` of what is wanted [CIELAB units], above 0 towards green, below
    towards red.
    """

    dye: str
    dose: float
    left: float = field(name="dE00_left")
    darker: float
    aside: float
    cast: str


class TonePart(Part):
    """One tone direction, what the painter's wheel says of it, and which dye does it on this hair.

    `change` is in CIELAB, `hue_deg` in degrees. `verdict` on the wheel is one of none, agree,
    as_well, differ and unsaid; where it differs, `reason` is one of greens, reddens and short.
    `dyes` are those that do it, the larger dose first, and leave `left` for `darker` [L*].
    """

    hue_deg: float
    munsell: str
    wheel: str
    amount: float
    needed: bool
    excess: str
    change: Lab
    verdict: str
    reason: str | None
    dyes: dict[str, float]
    left: float = field(name="dE00_left")
    darker: float
    text: str
    text_code: Code
    why: list[str]
    why_codes: list[Code]
    alone: list[AlonePart]


def tone_part(found: WheelAndDye) -> TonePart:
    """Describe one tone direction, the wheel and the dyes."""
    tone, why = found.direction, found.why
    alone = found.alone
    columns = (alone.doses, alone.residual, found.darker, found.aside)
    rows = zip(found.dyes, *map(rounded, columns), map(str, found.cast), strict=True)
    return TonePart(
        hue_deg=rounded(tone.hue_deg),
        munsell=str(tone.munsell),
        wheel=str(tone.wheel),
        amount=rounded(tone.amount),
        needed=bool(tone.needed),
        excess=str(tone.excess_wheel),
        change=rounded(tone.change),
        verdict=found.verdict,
        reason=found.reason or None,
        dyes={dye: rounded(dose) for dye, dose in found.best.named().items()},
        left=rounded(found.best.residual),
        darker=rounded(found.best_darker),
        **said(text=found.words, why=() if why is None else (why,)),
        alone=[AlonePart(*row) for row in rows],
    )


def filled(part: type[P], thing: Any, /, **more: Any) -> P:
    """Part from the fields of a result that have its names, numbers rounded."""
    own = {k: _as_told(getattr(thing, k)) for k in part.__struct_fields__ if k not in more}
    return part(**own, **more)


def _as_told(value: Any) -> Any:
    if isinstance(value, str | bool | int) or value is None:
        return value
    if isinstance(value, tuple) and not all(isinstance(part, float) for part in value):
        return list(value)
    return rounded(value)
