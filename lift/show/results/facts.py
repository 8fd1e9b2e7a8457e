"""What a result comes to, in a few lines."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields, is_dataclass
from importlib import import_module
from typing import Any

import numpy as np

from lift.practice.cautions import UNMIXED, apart
from lift.words import Note, note, say, says

MOST_LINES = 8
ROUNDING = 1e-9
MOST_LETTERS = 150

SAID = {
    "Preview": "lift.show.results.first:of_preview",
    "Ensemble": "lift.show.results.first:of_ensemble",
    "StrandTest": "lift.show.said_strand:first_notes",
    "ToneReport": "lift.show.said_tone:first_notes",
    "Choice": "lift.show.results.first:of_choice",
    "Plan": "lift.show.results.first:of_plan",
    "CurveSet": "lift.show.results.first:of_curves",
    "Check": "lift.show.results.first:of_check",
}
"""What is said first of a result, by the name of its class; of others their fields are told."""

TIMED = ("central", "minutes", "mixture", "opens", "steps", "formed_minutes", "zones")
"""A result that has one of these shows a mixture or a time: cautions stand beside it."""


COLOURS = ("lab", "pigmented", "white", "underpigment", "natural", "hair", "goal")
"""Fields that hold CIELAB."""


def load(where: str) -> Callable[..., Any]:
    """Return a function by ``module:name``."""
    module, _, name = where.partition(":")
    found: Callable[..., Any] = getattr(import_module(module), name)
    return found


def short(result: Any) -> str:
    """Fewer than ten lines: what it is, what it comes to, what to beware of."""
    kind, head = type(result).__name__, headline(result)
    try:
        told = [f"  {label}: {text}" for label, text in facts(result)]
    except AttributeError:  # while it is still being made
        return f"{kind}(...)"
    first = _cut(f"{kind}: {head}" if head else kind)
    beware = [f"  ! {text}" for text in warned(result, few=True)]
    room = MOST_LINES - len(beware)
    if len(told) > room:
        more = say("results.more", count=len(told) - room + 1)
        told = [*told[: room - 1], f"  {more}"]
    return "\n".join([first, *map(_cut, told), *beware])


def headline(result: Any) -> str:
    """Its own words, where it has any that are not said line by line."""
    if type(result).__name__ in SAID:
        return ""
    try:
        words = getattr(result, "words", None)
    except (TypeError, ValueError):  # words are of a single strand, not of many
        return ""
    return str(words) if isinstance(words, Note | str) else ""


def facts(result: Any) -> list[tuple[str, str]]:
    """Label and text of each thing to be told, the most important first."""
    where = SAID.get(type(result).__name__)
    if where is not None:
        return [(_label(name), say(said)) for name, said in load(where)(result).items()]
    told = ((f.name, _field(f.name, getattr(result, f.name))) for f in fields(result))
    return [(name, text) for name, text in told if text]


def warned(result: Any, *, few: bool = False) -> list[str]:
    """Cautions that belong to it, special ones first; none where it shows no mixture or time."""
    own = getattr(result, "cautions", None)
    if not own and not any(hasattr(result, name) for name in TIMED):
        return []
    told = apart(own or UNMIXED)
    special = told.special[:2] if few else told.special
    return [*says(special), *says(UNMIXED if few else told.standing)]


def _field(name: str, value: Any) -> str:
    """A field; of colours the last, for that is where they lead to."""
    if isinstance(value, np.ndarray) and name in COLOURS and value.shape[-1:] == (3,):
        count = value.size // 3
        lab = np.reshape(value, (-1, 3))[-1]
        said = note("results.lab", lab=lab)
        return say("results.last", said=said, count=count) if count > 1 else say(said)
    return value_of(value)


def _label(name: str) -> str:
    return say(f"first.{name}")


def value_of(value: Any) -> str:
    """A field in a few words; empty where there is nothing to say."""
    if value is None or callable(value):
        return ""
    if isinstance(value, Note | str):
        return str(value)
    if isinstance(value, bool | np.bool_):
        return say("results.flag", flag=bool(value))
    if isinstance(value, int | float | np.number):
        return _number(value)
    if isinstance(value, np.ndarray):
        return _array(value)
    if isinstance(value, Mapping):
        return _pairs(value)
    if is_dataclass(value):
        return headline(value) or type(value).__name__
    return _several(value) if isinstance(value, Iterable) else type(value).__name__


def _array(value: Any) -> str:
    if value.size == 0:
        return ""
    if value.dtype.kind not in "fiu":
        return _several(value.ravel().tolist())
    if value.size <= 3:
        return say("results.list", items=[*map(_number, value.ravel())])
    if not np.isfinite(value).any():
        return ""
    shape = say("results.shape", sizes=[str(size) for size in value.shape])
    low, high = float(np.nanmin(value)), float(np.nanmax(value))
    return say("results.span", low=_number(low), high=_number(high), shape=shape)


def _number(value: Any) -> str:
    """Four digits; what is nothing but rounding is 0."""
    return f"{0.0 if abs(value) < ROUNDING else value:.4g}"


def _pairs(value: Mapping[Any, Any]) -> str:
    if not value:
        return ""
    plain = [
        f"{key} {_number(each)}" for key, each in value.items() if isinstance(each, int | float)
    ]
    if len(plain) == len(value) <= 4:
        return say("results.list", items=plain)
    return say("results.keys", count=len(value), items=[str(key) for key in list(value)[:4]])


def _several(value: Any) -> str:
    items = list(value)
    if not items:
        return ""
    if all(isinstance(each, str | Note | int | float | np.number) for each in items):
        told = [value_of(each) for each in items]
        return (
            say("results.list", items=told)
            if len(told) <= 4
            else say("results.first", items=told[:3], count=len(told))
        )
    return say("results.many", count=len(items), kind=type(items[0]).__name__)


def _cut(text: str) -> str:
    line = " ".join(text.split()) if not text.startswith("  ") else "  " + " ".join(text.split())
    return line if len(line) <= MOST_LETTERS else f"{line[: MOST_LETTERS - 3]}..."
