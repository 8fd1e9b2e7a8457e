"""Fields of a preview: what the form shows, what the description of the interface promises."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import parse_goal
from lift.quantities import FLAGS, MINUTES, Quantity, typed_quantities
from lift.words import say

LONGEST = 200
"""Characters of one typed value; no sensible one is longer."""


@dataclass(frozen=True)
class Field:
    """One input, named as the option of the command line.

    Parameters
    ----------
    name, label : str
        Name in requests and label on the page.
    default : str or None
        Text used when it is not given; None: it may be left out.
    low, high, step : float, optional
        Allowed closed range and the slider's step, in `unit`; None for words.
    unit : str
        Unit behind the number.
    choices : tuple of str
        Allowed words, when only words are allowed.
    about : str
        One sentence for the description of the interface.
    """

    name: str
    label: str
    default: str | None
    about: str
    low: float | None = None
    high: float | None = None
    step: float | None = None
    unit: str = ""
    choices: tuple[str, ...] = ()

    @property
    def schema(self) -> dict[str, Any]:
        """JSON schema of the value."""
        if self.choices:
            schema: dict[str, Any] = {"type": "string", "enum": list(self.choices)}
        elif self.low is None:
            schema = {"type": "string", "maxLength": LONGEST}
        else:
            schema = {"type": "number", "minimum": self.low, "maximum": self.high}
        if self.default is not None:
            number = "type" in schema and schema["type"] == "number"
            schema["default"] = float(self.default) if number else self.default
        return schema


def _of(q: Quantity) -> Field:
    default = q.start if q.default is None else q.default
    flag = q.flag is not None
    return Field(
        name=q.typed,
        label=say(f"quantity.{q.name}.form"),
        default="false" if flag else None if default is None else _text(default),
        about=say(q.help),
        low=None if flag else q.low,
        high=None if flag else q.high,
        step=None if flag or q.low is None else q.step,
        unit=q.unit,
        choices=FLAGS if flag else tuple(q.choices()) if q.choices else (),
    )


def _text(value: Any) -> str:
    return value if isinstance(value, str) else f"{value:g}"


GOAL = Quantity("goal", typed="goal", read=parse_goal)
STRAND = Quantity("strand", typed="strand", flag=True, default=False)

ASKED: Mapping[str, Quantity] = {
    **{name: q for name, (_, q) in typed_quantities(Hair, Mixture).items()},
    **{q.typed: q for q in (MINUTES, GOAL, STRAND)},
}
"""Everything a preview asks, by the name it is typed under."""

FIELDS = tuple(_of(q) for q in ASKED.values())

BY_NAME = {field.name: field for field in FIELDS}
