"""Answers: what a result says, as one type that is its JSON and its description.

Each module turns the results of one room into frozen structures whose fields are the keys of the
JSON. A sentence stands under its key; beside it, under the same key with ``_code`` or ``_codes``,
stand its code and numbers. The structures are msgspec's, so this room is loaded only where an
answer is written or described.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

MAKERS = {
    "Preview": "lift.answers.preview",
    "Choice": "lift.answers.choose",
    "Tuning": "lift.answers.tuning",
    "Criticism": "lift.answers.structures",
    "SwatchFile": "lift.answers.research",
    "NextPlan": "lift.answers.research",
    "Series": "lift.answers.series",
    "RankCheck": "lift.answers.research",
    "Comparison": "lift.answers.research",
    "CurveSet": "lift.answers.research",
    "Check": "lift.answers.research",
    "Plan": "lift.answers.plan",
    "StageTable": "lift.answers.stages",
    "ToneReport": "lift.answers.tone",
    "StrandTest": "lift.answers.strand",
    "Learned": "lift.answers.record",
    "Measured": "lift.answers.measure",
    "Difference": "lift.answers.measure",
}
"""Module with the ``answer`` of each kind of result, by the name of its class."""


def answer_of(result: Any) -> Any:
    """Answer of a result: a structure whose fields are the JSON's keys."""
    return import_module(MAKERS[type(result).__name__]).answer(result)


def to_dict(result: Any) -> dict[str, Any]:
    """JSON form of a result as plain objects; every number in the unit of its name.

    Examples
    --------
    >>> from lift import Hair, Mixture, preview
    >>> to_dict(preview(Hair(7), Mixture("cream", 10), 5))["inputs"]["volume"]
    10.0
    """
    from lift.answers.encode import plain

    found: dict[str, Any] = plain(answer_of(result))
    return found


def to_json(result: Any) -> bytes:
    """JSON form of a result, without white space."""
    from lift.answers.encode import encode

    return encode(answer_of(result))
