"""Parts of an answer about one strand: what was asked, and when the goal is met."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Literal, cast

from msgspec import defstruct

from lift.answers.encode import Code, Part
from lift.answers.parts import SpanPart, finite, rounded, said, span_parts
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.advice import Advice
from lift.practice.target import Target
from lift.practice.window import Window
from lift.quantities import MINUTES, Lab, Quantity, quantities_of
from lift.words import note


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
    intent: str
    goal_level: float | None
    goal_lab: Lab | None
    tolerance: float | None
    toned: bool
    warmth_limit: float | None


def hair_fields(hair: Hair, curves: CurveSet) -> dict[str, Any]:
    """Fields of `HairPart`: what was given, and what the curve set filled in."""
    taken = {name: getattr(hair, name) for name in quantities_of(Hair)}
    if taken["pheomelanin_share"] is None:
        taken["pheomelanin_share"] = curves.values["pheomelanin_share"]
    return taken


def asked(hair: Hair, mixture: Mixture, target: Target | None, curves: CurveSet) -> dict[str, Any]:
    """Fields of `Asked`: what was given, and what the curve set filled in."""
    properties = mixture.properties(curves.values)
    return {
        **hair_fields(hair, curves),
        "mixture": mixture.kind,
        "volume": mixture.developer_volume,
        "developer_parts": mixture.developer_parts,
        "on_head_volume": float(mixture.on_head_volume),
        "ph": properties["ph"],
        "temperature_c": mixture.temperature_c,
        "tone": {dye: float(dose) for dye, dose in properties["tone"].items()},
        **goal_parts(target),
    }


def goal_parts(target: Target | None) -> dict[str, Any]:
    """Fields about the goal; of an open one, that it is open."""
    if target is None:
        return {
            **said(goal=note("goal.any_lift")),
            "intent": "lighten",
            "goal_level": None,
            "goal_lab": None,
            "tolerance": None,
            "toned": True,
            "warmth_limit": None,
        }
    return {
        **said(goal=target.name),
        "intent": target.intent,
        "goal_level": rounded(target.level),
        "goal_lab": rounded(target.wanted),
        "tolerance": finite(target.tolerance),
        "toned": target.toned,
        "warmth_limit": finite(target.warmth_limit),
    }


class WindowPart(Part):
    """When the goal is met; times in minutes, null where they never come."""

    opens: float | None
    closes: float | None
    closes_by: Literal["warmth", "lightness", "time limit", "none"]
    opens_range: tuple[float | None, float | None]
    closes_range: tuple[float | None, float | None]
    reached_at: float | None
    too_warm_at: float | None
    too_light_at: float | None
    rinse_from: float
    best_minutes: float
    rinse_until: float
    p_best: float
    goal: str
    goal_code: Code
    warmth_limit: float | None
    time_line: list[SpanPart]
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
        too_light_at=rounded(window.too_light_at),
        rinse_from=rounded(window.rinse[0]),
        best_minutes=window.best_minutes,
        rinse_until=rounded(window.rinse[2]),
        p_best=rounded(window.p_best),
        warmth_limit=finite(window.target.warmth_limit),
        time_line=span_parts(window.spans(MINUTES.range[1])),
        **said(goal=window.target.name, advice=(a.note for a in advice)),
    )
