"""A visit that is sent along with a question: read, told under its keys, asked by what counts."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from lift.answers.encode import Part
from lift.answers.visit import VisitBody
from lift.model.mixtures import MixtureClasses
from lift.practice.scenario.place import Path, PlacedError
from lift.practice.visit.visit import Visit
from lift.practice.visit.visit_table import visit_of
from lift.show.page.question import RefusedError

if TYPE_CHECKING:
    VisitBody = Any  # made when msgspec is loaded

DONE = ("clock", "looks", "came_out")
"""What was done and seen: nothing that is planned depends on it."""


class VisitAsked(Part):
    """A visit, which need not be complete."""

    visit: VisitBody


def read_body_visit(table: Mapping[str, Any], classes: MixtureClasses) -> Visit:
    """Read a visit that was sent; what is wrong is told under the path of its key."""
    with by_key():
        return visit_of(table, classes=classes)


@contextmanager
def by_key() -> Iterator[None]:
    """Tell what is wrong with a visit under the path of its key."""
    try:
        yield
    except PlacedError as error:
        raise RefusedError({field_name(error.path): error.note["error"]}) from None


def field_name(path: Path) -> str:
    """Path of keys as the interface tells it: ``zones[0].natural_level``.

    Examples
    --------
    >>> field_name(("zones", 0, "natural_level"))
    'zones[0].natural_level'
    """
    words = ""
    for part in path:
        words += f"[{part}]" if isinstance(part, int) else f".{part}" if words else part
    return words


def unbegun(visit: Mapping[str, Any]) -> str:
    """JSON of a visit without name, step and what is done and seen: equal ones are planned alike.

    Examples
    --------
    >>> head = {"name": "k7f-m3q", "date": "2026-11-27", "step": "use"}
    >>> unbegun({"visit": head, "looks": []})
    '{"visit": {"date": "2026-11-27", "name": "planned"}}'
    """
    own = visit.get("visit")
    date = {"date": own["date"]} if isinstance(own, dict) and own.get("date") else {}
    rest = {key: value for key, value in visit.items() if key not in ("visit", *DONE)}
    return json.dumps({**rest, "visit": {"name": "planned", **date}}, sort_keys=True)
