"""Parts that many answers share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, TypeVar

import numpy as np
from msgspec import UNSET, UnsetType
from msgspec.structs import replace
from numpy.typing import ArrayLike

from lift.answers.encode import Code, Part
from lift.model.curves import CurveSet
from lift.practice.time_line import Span
from lift.practice.tone import ToneDirection
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


class TonePart(Part):
    """One tone direction; `change` is in CIELAB, `hue_deg` in degrees."""

    hue_deg: float
    munsell: str
    wheel: str
    amount: float
    needed: bool
    excess: str
    change: Lab


def tone_part(tone: ToneDirection) -> TonePart:
    """Describe one tone direction."""
    return TonePart(
        hue_deg=rounded(tone.hue_deg),
        munsell=str(tone.munsell),
        wheel=str(tone.wheel),
        amount=rounded(tone.amount),
        needed=bool(tone.needed),
        excess=str(tone.excess_wheel),
        change=rounded(tone.change),
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
