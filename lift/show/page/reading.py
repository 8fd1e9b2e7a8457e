"""Reading: what is sent becomes a value of its type, or is refused in our words, at its place."""

from __future__ import annotations

import re
from functools import cache
from typing import Any, TypeVar, get_args

import msgspec

from lift.answers.encode import Part
from lift.show.page.question import RefusedError
from lift.words import note

T = TypeVar("T")

_PLACED = re.compile(r"(.*?)(?: - at `\$\.?(.*)`)?", re.DOTALL)
_MISSING = re.compile(r"Object missing required field `(.+)`")
_UNKNOWN = re.compile(r"Object contains unknown field `(.+)`", re.DOTALL)
_WRONG = re.compile(r"Expected `(.+)`, got `.+`")


def read_json(content: bytes, kind: type[T]) -> T:
    """Read JSON as a type, every value in it checked.

    A table with a reader of its own, such as a visit, whose errors say more, is left to it.

    Raises
    ------
    RefusedError
        400 for what is no JSON, 422 at the field that is not as its type has it.
    """
    hashable: Any = kind  # mypy holds a class of any kind not to be
    try:
        found: T = msgspec.json.decode(content, type=_left_to_readers(hashable))
        return found
    except msgspec.ValidationError as error:
        raise _refusal(str(error)) from None
    except (msgspec.DecodeError, ValueError, RecursionError):
        raise RefusedError({"": note("page.body.no_json")}, 400) from None


@cache
def _left_to_readers(kind: Any) -> Any:
    """Type as it is read here: structures that are made from declarations stay mappings."""
    fields = msgspec.structs.fields(kind)
    read = {f.name: _mapping_for(f.type) for f in fields}
    if not any(read.values()):
        return kind
    plain = [(f.name, read[f.name] or f.type, *_default_of(f)) for f in fields]
    return msgspec.defstruct(kind.__name__, plain, forbid_unknown_fields=True)


def _default_of(field: Any) -> tuple[Any, ...]:
    if field.required:
        return ()
    if field.default is not msgspec.NODEFAULT:
        return (field.default,)
    return (msgspec.field(default_factory=field.default_factory),)


def _mapping_for(kind: Any) -> Any:
    """Mapping in place of a structure that is made from declarations; None for other types."""
    kinds = get_args(kind) or (kind,)
    if not any(isinstance(each, type) and _is_made(each) for each in kinds):
        return None
    return dict[str, Any] | None if type(None) in kinds else dict[str, Any]


def _is_made(kind: type) -> bool:
    return issubclass(kind, msgspec.Struct) and not issubclass(kind, Part)


def read_text(field: str, text: str, kind: Any) -> Any:
    """Read a typed text of a query as a type; refused at its field."""
    try:
        return msgspec.convert(text, kind, strict=False)
    except msgspec.ValidationError as error:
        raise _refusal(str(error), field) from None


def _refusal(said: str, field: str = "") -> RefusedError:
    """Refusal of what msgspec says of a value, which is English only and has no codes."""
    found = _PLACED.fullmatch(said)
    what, path = (said, "") if found is None else (found[1], found[2] or "")
    # It names no key of a mapping; the mapping itself is the field then.
    path = path.partition("[...]")[0] or field
    for pattern, code in ((_MISSING, "page.body.missing"), (_UNKNOWN, "page.body.unknown")):
        if key := pattern.fullmatch(what):
            name = key[1][:40]
            return RefusedError({f"{path}.{name}" if path else name: note(code, key=name)})
    name = path or note("page.body.whole")
    if kinds := _WRONG.fullmatch(what):
        return RefusedError({path: note("page.body.wrong", key=name, kinds=kinds[1].split(" | "))})
    return RefusedError({path: note("page.body.not_allowed", key=name)})
