"""Assumptions: what a goal and a service take for granted, each a number with its standing."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from types import MappingProxyType

from lift.errors import check_choice, check_number
from lift.files import DATA
from lift.model.parameter import Parameter
from lift.words import note


def _shipped() -> Mapping[str, Parameter]:
    rows = tomllib.loads((DATA / "service.toml").read_text("utf-8"))
    return MappingProxyType({name: Parameter(name, **row) for name, row in rows.items()})


SERVICE = _shipped()
"""What is taken for granted, each number with its unit, status and source."""


def service_values(changes: Mapping[str, float] | None = None) -> dict[str, float]:
    """Values by name, some of them replaced; each in the unit of its parameter in `SERVICE`.

    Raises
    ------
    LiftError
        For an unknown name or a value out of range.
    """
    values = {name: p.value for name, p in SERVICE.items()}
    for name, value in (changes or {}).items():
        p = SERVICE[check_choice("scenario.assumption", name, SERVICE)]
        values[name] = check_number(note("text", text=name), value, p.low, p.high, p.unit)
    return values
