"""Fields of a preview: what the form shows, what the description of the interface promises."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Annotated, Any

from msgspec import Meta

from lift.answers.declared import type_of
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Blend, Lighten, parse_goal
from lift.practice.scenario.scenario import Zone
from lift.quantities import FLAGS, MINUTES, Quantity, quantities_of, typed_quantities
from lift.words import say

LONGEST = 200
"""Characters of one typed value; no sensible one is longer."""


@dataclass(frozen=True, eq=False)
class Field:
    """One quantity as an input, named as the option of the command line."""

    quantity: Quantity

    @property
    def name(self) -> str:
        """Name in requests."""
        return self.quantity.typed

    @property
    def label(self) -> str:
        """Label on the page."""
        return say(f"quantity.{self.quantity.name}.form")

    def among(self, words: Iterable[str]) -> Field:
        """The same input with other words to choose from."""
        known = tuple(words)
        return Field(replace(self.quantity, choices=lambda: known))

    @property
    def default(self) -> str | None:
        """Text used when it is not given; None: it may be left out."""
        q = self.quantity
        found = q.start if q.default is None else q.default
        if q.flag is not None:
            return FLAGS[0]
        return found if found is None or isinstance(found, str) else f"{found:g}"

    @property
    def about(self) -> str:
        """One sentence for the description of the interface."""
        help, unit = self.quantity.help, self.quantity.unit
        return say("page.api.parameter", help=help, unit=unit) if unit else say(help)

    @property
    def type(self) -> Any:
        """Type of the value, for the description of the interface; it is read as it is typed."""
        kind, default = type_of(self.quantity), self.default
        if kind is str:
            kind = Annotated[str, Meta(max_length=LONGEST)]
        if default is None:
            return kind
        with suppress(ValueError):
            default = json.loads(default)
        return Annotated[kind, Meta(extra_json_schema={"default": default})]


GOAL = Quantity("goal", typed="goal", read=parse_goal)
GOAL_PARTS: Mapping[str, Quantity] = {**quantities_of(Blend), **quantities_of(Lighten)}
"""What a wish is put together from: level, stage, warmth and tolerance."""

ASKED: Mapping[str, Quantity] = {
    **{name: q for name, (_, q) in typed_quantities(Hair, Mixture).items()},
    **{q.typed: q for q in (MINUTES, GOAL)},
}
"""Everything a preview asks, by the name it is typed under."""

FIELDS = tuple(map(Field, ASKED.values()))
BY_NAME = {field.name: field for field in FIELDS}


@dataclass(frozen=True, eq=False)
class ZoneNumber:
    """A number of a zone, which may be typed exactly, under its key in a visit."""

    key: str
    quantity: Quantity

    @property
    def range(self) -> str:
        """What may stand there."""
        return say("page.hair.range", low=self.quantity.low, high=self.quantity.high)


ZONE_NUMBERS = tuple(
    ZoneNumber(q.file or name, q)
    for owner in (Hair, Zone)
    for name, q in quantities_of(owner).items()
    if q.low is not None and name not in {"minutes", "heat_c"}
)
"""Of hair, what is measured or shared out; minutes and heat belong to what is laid on."""
