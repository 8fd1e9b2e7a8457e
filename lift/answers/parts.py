"""Parts that many answers share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, Literal, cast

import numpy as np
from msgspec import UNSET, UnsetType, defstruct
from msgspec.structs import replace
from numpy.typing import ArrayLike

from lift.answers.encode import Code, Part
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.advice import Advice
from lift.practice.goal import Target
from lift.practice.tone import ToneDirection
from lift.practice.window import Window
from lift.quantities import Lab, Quantity, quantities_of
from lift.words import Note, codes, say, says

DECIMALS = 4
"""Finer than any input, and the same text everywhere."""


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


def _told(q: Quantity) -> Any:
    """Type of a quantity in an answer."""
    if isinstance(q.default, bool):
        return bool
    return float if q.required or q.default is not None else float | None


if TYPE_CHECKING:

    class HairPart(Part):
        """Every property of the hair, as `Hair` declares it."""

else:
    HairPart = defstruct(
        "HairPart",
        [(name, _told(q)) for name, q in quantities_of(Hair).items()],
        bases=(Part,),
        frozen=True,
    )


class Asked(HairPart):
    """Hair, mixture and goal, every property with what it took where it was not given."""

    mixture: str
    volume: float
    developer_parts: float
    on_head_volume: float
    ph: float
    temperature_c: float
    tone: dict[str, float]
    goal: str
    goal_code: Code
    goal_level: float
    warmth_limit: float


def asked(hair: Hair, mixture: Mixture, target: Target, curves: CurveSet) -> dict[str, Any]:
    """Fields of `Asked`: what was given, and what the curve set filled in."""
    properties = mixture.properties(curves.values)
    taken = {name: getattr(hair, name) for name in quantities_of(Hair)}
    if taken["pheomelanin_share"] is None:
        taken["pheomelanin_share"] = curves.values["pheomelanin_share"]
    return {
        **taken,
        "mixture": mixture.kind,
        "volume": mixture.developer_volume,
        "developer_parts": mixture.developer_parts,
        "on_head_volume": float(mixture.on_head_volume),
        "ph": properties["ph"],
        "temperature_c": mixture.temperature_c,
        "tone": {dye: float(dose) for dye, dose in properties["tone"].items()},
        **said(goal=target.name),
        "goal_level": rounded(target.level),
        "warmth_limit": rounded(target.warmth_limit),
    }


class WindowPart(Part):
    """When the goal is met; times in minutes, null where they never come."""

    opens: float | None
    closes: float | None
    closes_by: Literal["warmth", "time limit", "none"]
    opens_range: tuple[float | None, float | None]
    closes_range: tuple[float | None, float | None]
    reached_at: float | None
    too_warm_at: float | None
    best_minutes: float
    p_best: float
    goal: str
    goal_code: Code
    warmth_limit: float
    advice: list[str]
    advice_codes: list[Code]


def window_part(window: Window, advice: Sequence[Advice]) -> WindowPart:
    """Describe a window and the advice that goes with it."""
    return WindowPart(
        opens=rounded(window.opens),
        closes=rounded(window.closes),
        closes_by=cast(Any, window.closes_by),
        opens_range=(finite(window.opens_range[0]), finite(window.opens_range[1])),
        closes_range=(finite(window.closes_range[0]), finite(window.closes_range[1])),
        reached_at=rounded(window.reached_at),
        too_warm_at=rounded(window.too_warm_at),
        best_minutes=window.best_minutes,
        p_best=rounded(window.p_best),
        warmth_limit=rounded(window.target.warmth_limit),
        **said(goal=window.target.name, advice=(a.note for a in advice)),
    )


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
