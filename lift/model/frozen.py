"""Frozen objects: storing what was checked, and changed copies."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any, TypeVar

import numpy as np

from lift.errors import check_choice

T = TypeVar("T")


def store(target: object, name: str, value: Any) -> None:
    """Store a checked field: a number stays a number, an array becomes a read-only copy."""
    if isinstance(value, np.ndarray):
        if value.ndim == 0:
            value = float(value)
        else:
            value = value.copy()
            value.setflags(write=False)
    object.__setattr__(target, name, value)


def changed(thing: T, what: str, changes: dict[str, Any]) -> T:
    """Return a copy with some fields changed and checked; unknown names are refused."""
    names = [f.name for f in fields(thing) if f.init]  # type: ignore[arg-type]
    for key in changes:
        check_choice(what, key, names)
    return replace(thing, **changes)  # type: ignore[type-var]


def trusted(thing: T, **values: Any) -> T:
    """Return a copy with some fields set to what has been checked already (an ensemble's draws)."""
    copy = object.__new__(type(thing))
    for name, value in {**vars(thing), **values}.items():
        object.__setattr__(copy, name, value)
    return copy
