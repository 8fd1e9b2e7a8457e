"""Visit as it is sent: its table as structures, made from what its quantities declare.

So the page's description of a visit is the declaration, and there is no second one. Whoever reads a
visit reads it with `lift.practice.visit.visit_table`, whose errors name the key.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Annotated, Any, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from lift.answers.declared import LAB, type_of
from lift.answers.encode import Part, plain
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Lighten
from lift.practice.scenario.scenario import CHOOSE, NONE, Placement, Salon, Toner, Zone, ZoneGoal
from lift.practice.scenario.scenario_file import OWN
from lift.practice.visit.codes import make_code
from lift.practice.visit.consultation import Consultation
from lift.practice.visit.visit import ClockMarks, Seen, Visit, ZoneMarks
from lift.practice.visit.visit_store import Kept
from lift.practice.visit.visit_table import TIMES, visit_table
from lift.quantities import quantities_of

Field = tuple[str, Any] | tuple[str, Any, Any]


def _fields(owner: type, without: tuple[str, ...] = ()) -> list[Field]:
    found: list[Field] = []
    for name, q in quantities_of(owner).items():
        if name in without:
            continue
        key = q.file or name
        found.append((key, type_of(q)) if q.required else _optional(key, type_of(q)))
    return found


def _optional(key: str, kind: Any) -> Field:
    return key, kind | None | UnsetType, UNSET


def _told(owner: type) -> list[Field]:
    """Fields that an answer always has, those that nobody gave at their default."""
    found: list[Field] = []
    for name, q in quantities_of(owner).items():
        key = q.file or name
        found.append((key, type_of(q)) if q.required else (key, type_of(q) | None, q.default))
    return found


def _structure(name: str, *fields: Field) -> Any:
    needed = [each for each in fields if len(each) == 2]
    rest = [each for each in fields if len(each) == 3]
    return msgspec.defstruct(
        name, [*needed, *rest], frozen=True, forbid_unknown_fields=True, module=__name__
    )


# Types made at run time are none that a checker could follow.


def _list_of(kind: Any) -> Any:
    return list[kind]


def _by_name(kind: Any) -> Any:
    return dict[str, kind]


def _always(key: str, kind: Any, make: Callable[[], Any]) -> Field:
    """Field that an answer always has, and that need not be given."""
    return key, kind, msgspec.field(default_factory=make)


_DOSES = dict[str, Annotated[float, Meta(ge=0.0)]]
_NAME = _always("name", type_of(quantities_of(Visit)["name"]), make_code)
HeadBody = _structure("HeadBody", *(f for f in _told(Visit) if f[0] != "name"), _NAME)
SalonBody = _structure(
    "SalonBody", *_fields(Salon), _optional("heat_c", type_of(quantities_of(Zone)["heat_c"]))
)
PlacementBody = _structure("PlacementBody", *_fields(Placement))
MixtureBody = _structure(
    "MixtureBody",
    ("kind", str),
    *_fields(Mixture, ("kind", "volume", "tone", "temperature_c")),
    _optional("volume", type_of(quantities_of(Mixture)["volume"])),
    _optional("tone", Literal[CHOOSE, OWN] | _DOSES),
)
TonerBody = _structure("TonerBody", *_fields(Toner), _optional("doses", _DOSES))
GoalBody = _structure("GoalBody", *_fields(Lighten), *_fields(ZoneGoal), _optional("lab", LAB))
ZoneBody = _structure(
    "ZoneBody",
    ("name", str),
    *_fields(Hair),
    *_fields(Zone, ("minutes",)),
    _optional("minutes", type_of(quantities_of(Zone)["minutes"]) | Literal[CHOOSE]),
    _optional("goal", str | GoalBody),
    _optional("placement", PlacementBody),
    _optional("toner", Literal[CHOOSE, NONE] | TonerBody),
)
_TIMES = [_always(key, list[float], list) for key in TIMES]
MarksBody = _structure("MarksBody", *_told(ZoneMarks), *_TIMES)
ClockBody = _structure(
    "ClockBody",
    *_told(ClockMarks),
    _always("zones", _list_of(MarksBody), list),
    _always("pauses", list[tuple[float, float | None]], list),
)
SeenBody = _structure("SeenBody", *_told(Seen))
ConsultationBody = _structure("ConsultationBody", *_fields(Consultation))
VisitBody = _structure(
    "VisitBody",
    _always("visit", HeadBody, HeadBody),
    _always("version", int, lambda: 1),
    _always("title", str, str),
    _always("about", str, str),
    _always("salon", SalonBody, SalonBody),
    _always("assumptions", dict[str, float], dict),
    _always("mixtures", _by_name(MixtureBody), dict),
    _always("zones", _list_of(ZoneBody), list),
    _always("consultation", ConsultationBody, ConsultationBody),
    _always("clock", ClockBody, ClockBody),
    _always("looks", _list_of(SeenBody), list),
    _always("came_out", _list_of(SeenBody), list),
)


class VisitRow(Part):
    """A visit in a list."""

    number: int
    name: str
    client: str | None
    date: str | None
    title: str
    invented: bool
    state: str
    zones: list[str]
    revision: int


class VisitsListed(Part):
    """Visits kept, in the order in which they were added; of one client by their day."""

    visits: list[VisitRow]


class KeptVisit(Part):
    """One visit, its number and how often it was changed."""

    number: int
    revision: int
    visit: dict[str, Any]


def visits_listed(kept: Sequence[Kept]) -> VisitsListed:
    """Answer of a list of visits."""
    return VisitsListed([_row(each) for each in kept])


def _row(kept: Kept) -> VisitRow:
    visit = kept.visit
    return VisitRow(
        number=kept.number,
        name=visit.name,
        client=visit.client,
        date=visit.date,
        title=visit.scenario.title,
        invented=visit.invented,
        state=visit.state,
        zones=[zone.name for zone in visit.scenario.zones],
        revision=kept.revision,
    )


def kept_visit(kept: Kept) -> KeptVisit:
    """Answer of one visit."""
    return KeptVisit(kept.number, kept.revision, plain(visit_body(kept.visit)))


def visit_body(visit: Visit) -> Any:
    """Table of a visit as it is sent."""
    return msgspec.convert(visit_table(visit), VisitBody)
