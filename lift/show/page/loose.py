"""Answers that are described by their most telling fields only, until each has its type."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from lift.answers.preview import At


class Observed(Struct):
    """One look."""

    minutes: float
    verdict: str


class Strand(Struct):
    """A strand as expected."""

    at: At
    window: dict[str, Any]


class Looking(Struct):
    """When to look."""

    best_minutes: float


class StrandAnswer(Struct):
    """A strand test."""

    observations: list[Observed]
    before: Strand
    after: Strand
    looks: Looking
    next_look: Looking
    cautions: list[str]
    curve_set: dict[str, Any]


class RecordsAnswer(Struct):
    """Records."""

    records: list[dict[str, Any]]
    cautions: list[str]


class AddedAnswer(Struct):
    """A record that was added."""

    record: dict[str, Any]
    cautions: list[str]


class LearnedAnswer(Struct):
    """What records taught."""

    before: dict[str, Any]
    after: dict[str, Any]
    cautions: list[str]
