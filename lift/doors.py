"""Doors: what is of another kind than a public function takes is refused in one line.

A kind is read from the signature. Numbers and arrays of numbers pass: the function names its own
ranges. Type checkers at run time (beartype, typeguard) do the same, but are a dependency of
`import lift`, say it in lines of their own, and know nothing of what belongs where.
"""

from __future__ import annotations

import builtins
import inspect
import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import cache, wraps
from numbers import Integral, Number
from types import FunctionType, NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin

import numpy as np

from lift.errors import LiftError, shape_of
from lift.quantities import KEY
from lift.words import Note, note

Of = TypeVar("Of", bound=Callable[..., Any])

NUMBERS = ("ArrayLike", "Floats")
"""Names in signatures that stand for numbers in some shape; a `Lab` may be typed, and is read where
it is checked."""

OTHERS = "**"
"""Stands for the names that a function takes besides those in its signature."""

_BARE = (Number, str, bytes, NoneType)


class _ByName(type):
    """A class that is imported for type checkers only: known by its name."""

    def __instancecheck__(cls, thing: object) -> bool:
        return any(each.__name__ == cls.__name__ for each in type(thing).__mro__)


class _Numbers:
    """Stands for whatever numpy may make numbers of."""


class _Names(dict[str, Any]):
    """What the names of a signature stand for, in the module that has it."""

    def __missing__(self, name: str) -> Any:
        found = getattr(builtins, name, None)
        return _ByName(name, (), {}) if found is None else found


def checked(of: Of) -> Of:
    """Refuse what is of another kind than the signature says, before anything is computed.

    Parameters
    ----------
    of : callable
        A function or a method; of a class what makes it and all public methods.

    Returns
    -------
    callable
        The same, behind a door.

    Raises
    ------
    LiftError
        When called with something of another kind: which name, what it was given, what it takes.

    Examples
    --------
    >>> @checked
    ... def twice(count: int) -> int:
    ...     return 2 * count
    >>> twice(2)
    4
    >>> try:
    ...     twice("2")
    ... except LiftError as error:
    ...     print(error)
    twice: count is '2'; it takes a whole number
    """
    if isinstance(of, type):
        made: Any = of
        # What is declared as a quantity is checked by its declaration, which knows its words.
        own = fields(made) if is_dataclass(made) else ()
        declared = frozenset(f.name for f in own if KEY in f.metadata)
        if "__init__" in vars(of):
            made.__init__ = _door(made.__init__, of.__name__, declared)
        for name, method in [*vars(of).items()]:
            if isinstance(method, FunctionType) and not name.startswith("_"):
                setattr(made, name, _door(method, f"{of.__name__}.{name}"))
        return of
    return cast(Of, _door(of, of.__name__))


def _door(
    function: Callable[..., Any], called: str, apart: frozenset[str] = frozenset()
) -> Callable[..., Any]:
    @cache
    def kinds() -> Mapping[str, Any]:
        return {name: kind for name, kind in _kinds(function).items() if name not in apart}

    @cache
    def in_order() -> tuple[str, ...]:
        return tuple(inspect.signature(function).parameters)

    @wraps(function)
    def door(*args: Any, **named: Any) -> Any:
        takes = kinds()
        if any(isinstance(value, Iterator) for value in (*args, *named.values())):
            # What can be walked only once is walked here.
            args = tuple(map(_kept, args))
            named = {name: _kept(value) for name, value in named.items()}
        for name, value in (*zip(in_order(), args, strict=False), *named.items()):
            kind = takes.get(name, takes.get(OTHERS, Any))
            if kind is not Any and not fits(value, kind):
                raise _refusal(called, name, value, kind, takes)
        return function(*args, **named)

    return door


def _kinds(function: Any) -> dict[str, Any]:
    """Kind that each parameter takes; what may be left out may be given as it is by default."""
    names = _Names(inspect.unwrap(function).__globals__)
    names |= dict.fromkeys(NUMBERS, _Numbers) | {"Lab": Any}
    takes = {}
    for name, parameter in inspect.signature(function).parameters.items():
        if parameter.kind is parameter.VAR_POSITIONAL:
            continue
        if parameter.kind is parameter.VAR_KEYWORD:
            name = OTHERS
        kind = Any if parameter.annotation is parameter.empty else parameter.annotation
        if isinstance(kind, str):
            kind = eval(kind, {"__builtins__": {}}, names)
        takes[name] = kind | None if parameter.default is None and kind is not Any else kind
    return takes


def fits(value: object, kind: Any) -> bool:
    """Whether a value is of a kind as signatures name it; of numbers, whether it may be some."""
    if kind in (Any, object) or isinstance(kind, TypeVar):
        return True
    if kind in (None, NoneType):
        return value is None
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        return any(fits(value, each) for each in inside)
    if origin is Literal:
        return value in inside
    if kind is float:
        return _may_be_number(value)
    if kind is _Numbers or _of_numbers(kind):
        counted = origin is tuple and ... not in inside
        return _may_be_numbers(value) and (not counted or shape_of(value) == (len(inside),))
    if kind is int:
        return isinstance(value, Integral) and not isinstance(value, bool)
    if kind is bool:
        return isinstance(value, bool) or type(value).__name__ in ("bool", "bool_")
    held = origin or kind
    if not isinstance(held, type) or not isinstance(value, held):
        return not isinstance(held, type)
    return not inside or _holds(value, held, inside)


def _of_numbers(kind: Any) -> bool:
    """Whether a kind is several numbers: a tuple or a sequence of them, or an array."""
    origin, inside = get_origin(kind), [k for k in get_args(kind) if k is not ...]
    if getattr(origin or kind, "__name__", "") == "ndarray":
        return True
    return origin in (tuple, Sequence, Iterable) and all(k in (float, int) for k in inside)


def _may_be_number(value: Any) -> bool:
    """Whether a value is one number that a float can hold; whether it is finite is asked later."""
    if isinstance(value, bool | str | bytes | type) or not hasattr(value, "__float__"):
        return False
    if hasattr(value, "dtype"):
        return value.dtype.kind in "iuf" and value.shape == ()
    try:
        float(value)
    except (TypeError, ValueError, OverflowError):
        return False
    return True


def _may_be_numbers(value: Any) -> bool:
    """Whether numpy makes numbers of a value; whether they are in range is told by the function."""
    if hasattr(value, "dtype"):
        return value.dtype.kind in "biuf"
    if isinstance(value, list | tuple) or hasattr(value, "__array__"):
        try:
            return np.asarray(value).dtype.kind in "biuf" or np.size(value) == 0
        except (TypeError, ValueError, OverflowError):
            return False
    return isinstance(value, bool) or _may_be_number(value)


def _holds(value: Any, held: type, inside: tuple[Any, ...]) -> bool:
    """Whether what is in a container is of its kind."""
    if issubclass(held, Mapping):
        # Numbers by name are checked by name, where their ranges are known.
        each = Any if inside[1] is float else inside[1]
        return all(fits(k, inside[0]) and fits(v, each) for k, v in value.items())
    if held not in (tuple, list, set, frozenset, Sequence, Iterable):
        return True
    if isinstance(value, str | bytes):  # one text is no list of letters
        return False
    if held is tuple and ... not in inside:
        return len(value) == len(inside) and all(map(fits, value, inside))
    return all(fits(each, inside[0]) for each in value)


def _kept(value: Any) -> Any:
    return tuple(value) if isinstance(value, Iterator) else value


def _refusal(
    called: str, name: str, value: object, kind: Any, takes: Mapping[str, Any]
) -> LiftError:
    where, value, kind = _culprit(name, value, kind)
    return LiftError(
        "door.refused",
        function=called,
        name=where,
        given=_shown(value),
        takes=[*dict.fromkeys(map(str, _said(kind)))],
        hint=_hint(name, value, kind, takes),
    )


def _culprit(name: str, value: Any, kind: Any) -> tuple[str, Any, Any]:
    """What is of another kind: the value, or the first in it where it holds several."""
    for part in _parts(kind):
        origin, inside = get_origin(part), get_args(part)
        holds = isinstance(origin, type) and isinstance(value, origin) and inside
        if holds and isinstance(value, list | tuple):
            for at, each in enumerate(value):
                if not fits(each, inside[0]):
                    return _culprit(f"{name}[{at}]", each, inside[0])
        if holds and isinstance(value, Mapping):
            for key, each in value.items():
                if fits(key, inside[0]) and not fits(each, inside[1]):
                    return _culprit(f"{name}[{key!r}]", each, inside[1])
    return name, value, kind


def _shown(value: object) -> Note:
    if isinstance(value, type):
        return note("door.given.class", name=value.__name__)
    if isinstance(value, _BARE):
        return note("door.given.value", value=value)
    if isinstance(value, list | tuple | set | frozenset | Mapping):
        inside = [*value.values()] if isinstance(value, Mapping) else [*value]
        if all(isinstance(each, _BARE) for each in inside):
            return note("door.given.value", value=value)
    return note("door.given.thing", name=_with_article(type(value).__name__))


def _said(kind: Any) -> Iterator[Note]:
    """What is said of a kind, one note for each that it may be."""
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        for each in inside:
            yield from _said(each)
    elif origin is Literal:
        yield note("text", text=", ".join(map(repr, inside)))
    elif kind is float:
        yield note("door.takes.number")
    elif origin is tuple and _of_numbers(kind) and ... not in inside:
        yield note("door.takes.counted", count=len(inside))
    elif kind is _Numbers or _of_numbers(kind):
        yield note("door.takes.numbers")
    elif kind in (int, bool, str, NoneType):
        yield note(f"door.takes.{kind.__name__}")
    elif origin is not None and issubclass(origin, Mapping):
        yield note("door.takes.mapping", keys=[*_said(inside[0])], values=[*_said(inside[1])])
    elif origin in (tuple, list, set, frozenset, Sequence, Iterable):
        yield note("door.takes.several", each=[*_said(inside[0])])
    elif origin is os.PathLike:
        yield note("door.takes.path")
    elif (origin or kind) is Callable or getattr(origin, "__name__", "") == "Callable":
        yield note("door.takes.function")
    else:
        yield note("text", text=_with_article((origin or kind).__name__))


def _with_article(name: str) -> str:
    return str(note("door.an" if name[:1].lower() in "aeiou" else "door.a", name=name))


def _hint(name: str, value: object, kind: Any, takes: Mapping[str, Any]) -> Note | str:
    """What to do about it, where that can be told."""
    if isinstance(value, type):
        return note("door.hint.make", name=value.__name__)
    if isinstance(value, str):
        several = any(get_origin(k) in (Sequence, Iterable, tuple) for k in _parts(kind))
        return note("door.hint.list", value=value) if several else ""
    if isinstance(value, _BARE):
        return ""
    for other, another in takes.items():
        named = any(type(value) is part for part in _parts(another))
        if other != name and named:
            return note("door.hint.other", name=_with_article(type(value).__name__), other=other)
    return ""


def _parts(kind: Any) -> tuple[Any, ...]:
    return get_args(kind) if get_origin(kind) in (Union, UnionType) else (kind,)
