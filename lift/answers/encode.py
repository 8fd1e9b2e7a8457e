"""From an answer to its JSON and to the description of it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any, dataclass_transform

import msgspec

Code = dict[str, Any]
"""Code of a sentence, and its numbers."""


@dataclass_transform(frozen_default=True, field_specifiers=(msgspec.field,))
class Part(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Part of an answer: frozen, with exactly its fields."""


def plain(answer: Any) -> Any:
    """Answer as dictionaries, lists, numbers and texts."""
    return msgspec.to_builtins(answer)


def encode(answer: Any) -> bytes:
    """Answer as JSON; a number that is not finite is a fault of ours, not of the reader's."""
    built = plain(answer)
    if not _finite(built):
        raise ValueError("an answer holds a number that is not finite")
    return msgspec.json.encode(built)


def schemas(answers: Iterable[type]) -> tuple[list[dict[str, Any]], dict[str, Any]]:
    """JSON schema of each answer type, and the components they share."""
    found, parts = msgspec.json.schema_components(
        list(answers), ref_template="#/components/schemas/{name}"
    )
    return list(found), parts


def _finite(value: Any) -> bool:
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, dict):
        return all(map(_finite, value.values()))
    return all(map(_finite, value)) if isinstance(value, list | tuple) else True
