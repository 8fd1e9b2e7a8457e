"""Types of what is sent, made from what quantities declare; there is no second description."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from msgspec import Meta

from lift.quantities import Quantity

LAB = Annotated[list[float], Meta(min_length=3, max_length=3)]
"""L*, a*, b*. A list, for msgspec 0.22 crashes on a tuple beside a number with bounds."""


def type_of(q: Quantity) -> Any:
    """Type of a value as a file may have it."""
    kinds: list[Any] = []
    if q.low is not None and q.high is not None:
        meta = Meta(ge=q.low, le=q.high, description=q.unit or None)
        kinds.append(Annotated[int if q.whole else float, meta])
        if q.words:
            kinds.append(Literal[tuple(q.words)])
        if q.lab:
            kinds.append(LAB)
        if q.read is not None:
            kinds.append(str)
    elif isinstance(q.default, tuple):
        kinds.append(list[Literal[tuple(q.choices())]] if q.choices else list[str])  # type: ignore[misc]
    elif q.choices is not None:
        kinds.append(Literal[tuple(q.choices())])
    elif q.flag is None:
        kinds.append(str)
    if q.flag is not None:
        kinds.append(bool)
    found = kinds[0]
    for kind in kinds[1:]:
        found = found | kind
    return found
