"""Visits over the interface: listed, opened, kept as they are changed, copied and deleted.

All visits lie in one file of the page's data folder and are shared by everybody who may use the
page: on this machine whoever uses it, over a network those who have typed the code.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING, Any

from lift.answers.consultation import ConsultationPart, consultation_part
from lift.answers.encode import Part
from lift.answers.visit import VisitBody, visit_body
from lift.errors import LiftError
from lift.files import beside, parse_toml
from lift.model.curves import CurveSet
from lift.practice.visit.again import again, copied
from lift.practice.visit.codes import check_name, make_code
from lift.practice.visit.visit import PLANNED, Visit
from lift.practice.visit.visit_store import Kept, LaterError, NoVisitError, VisitStore
from lift.practice.visit.visit_table import visit_of
from lift.show.page.answer import Lock
from lift.show.page.asked_visit import field_name, read_body_visit
from lift.show.page.desk import Asked, Desk
from lift.show.page.leftovers import take_leftovers
from lift.show.page.question import TOGETHER, RefusedError, without
from lift.show.page.zones_shown import ZoneShown, zone_lock, zones_shown
from lift.show.said_visit import summary_note
from lift.words import note, say

if TYPE_CHECKING:
    VisitBody = Any  # made when msgspec is loaded

MISSING = 404


class Ready(Part):
    """Which steps have what they need."""

    wish: bool
    use: bool
    clock: bool
    tone: bool
    after: bool


class VisitAnswer(Part):
    """A visit as it is kept, and what is to be said of it.

    The `revision` it stands at is told back when it is changed; 0 is an example, which is copied.
    """

    visit: VisitBody
    revision: int
    ready: Ready
    zones: list[ZoneShown]
    consultation: ConsultationPart


class Listed(Part):
    """A visit in the list; a demo is invented and comes with the project."""

    name: str
    client: str | None
    date: str | None
    title: str
    invented: bool
    demo: bool
    state: str
    zones: int
    revision: int
    words: str
    locks: list[Lock]


class VisitsAnswer(Part):
    """All visits, the newest first, then the demos."""

    visits: list[Listed]


class NewVisit(Part):
    """What a new visit is like: nothing, a visit to copy, or the one before of the same client."""

    like: str | None = None
    again: bool = False


class VisitGiven(Part):
    """A visit as it was changed, and the revision that it was changed from."""

    visit: VisitBody
    revision: int


class VisitName(Part):
    """Name of a visit."""

    name: str


@cache
def demos() -> Mapping[str, Visit]:
    """Demo visits by name; none where the project's folder is not at hand."""
    folder = beside("shared")
    found = {}
    for path in sorted(folder.glob("*.toml")):
        name = path.stem.replace("_", "-")
        own = {"name": name, "invented": True}
        found[name] = visit_of({**parse_toml(path.read_text("utf-8"), name), "visit": own})
    return found


def list_visits(desk: Desk, asked: Asked) -> VisitsAnswer:
    """All that are kept, the newest first, then the demos."""
    with visits_of(desk) as store:
        take_leftovers(desk.folder(asked), store, desk.curves.mixtures)
        # Only what has changed since is read and drawn again.
        own = {
            (number, revision): desk.shelf.get((number, revision))
            or _listed(store.get(name), desk.curves)
            for number, revision, name in reversed(store.revisions())
        }
    desk.shelf.clear()
    desk.shelf.update(own)
    demo = [_listed(Kept(0, 0, each), desk.curves) for each in demos().values()]
    return VisitsAnswer([*own.values(), *demo])


def new_visit(desk: Desk, asked: Asked) -> VisitAnswer:
    """Begin a visit: empty, a copy, or the next of the same client."""
    today, given = datetime.date.today(), asked.body
    made = visit_of({"visit": {"name": make_code(), "date": today.isoformat()}})
    with visits_of(desk) as store:
        if given.like is not None:
            like = demos().get(given.like) or _named(store, given.like, "like").visit
            if given.again:
                made = again(like, desk.curves, today=today)
            else:
                made = copied(like, today=today)
        return answer_of(store.add(made), desk.curves)


def read_visit(desk: Desk, asked: Asked) -> VisitAnswer:
    """Open a visit, or a demo."""
    return answer_of(kept_named(desk, asked.name), desk.curves)


def kept_named(desk: Desk, name: str) -> Kept:
    """Visit of a name as it is kept, or a demo; refused where there is none."""
    if name in demos():
        return Kept(0, 0, demos()[name])
    with visits_of(desk) as store:
        return _named(store, name)


def keep_visit(desk: Desk, asked: Asked) -> VisitAnswer:
    """Keep a visit as it was changed; refused where somebody else was later."""
    visit = read_body_visit(asked.body.visit, desk.curves.mixtures)
    if visit.name != asked.name:
        raise RefusedError(
            {field_name(("visit", "name")): note("visit.other_name", name=asked.name[:40])}
        )
    with visits_of(desk) as store:
        try:
            return answer_of(store.put(visit, asked.body.revision), desk.curves)
        except NoVisitError as error:
            raise RefusedError({"name": error.note}, MISSING) from None
        except LaterError as error:
            raise RefusedError({"revision": error.note}, TOGETHER) from None


def delete_visit(desk: Desk, asked: Asked) -> VisitName:
    """Forget a visit for good."""
    with visits_of(desk) as store:
        _named(store, asked.name)
        store.delete(name=asked.name)
    return VisitName(asked.name)


def answer_of(kept: Kept, curves: CurveSet) -> VisitAnswer:
    """Answer of a visit as it is kept."""
    visit = kept.visit
    return VisitAnswer(
        visit=visit_body(visit),
        revision=kept.revision,
        ready=_ready(visit),
        zones=zones_shown(visit, curves),
        consultation=consultation_part(visit.consultation, visit.consulted),
    )


def _ready(visit: Visit) -> Ready:
    zones = visit.scenario.zones
    wished = any(z.goal.said and not z.goal.leave for z in zones)
    mixed = bool(visit.scenario.treated)
    toned = any(z.only_toned for z in zones)
    return Ready(
        wish=bool(zones),
        use=wished,
        clock=mixed,
        tone=bool(zones),
        after=mixed or toned or visit.state != PLANNED,
    )


@contextmanager
def visits_of(desk: Desk) -> Iterator[VisitStore]:
    """Open the store of visits; its path is nobody's business on the page."""
    path = desk.visits
    try:
        with VisitStore(path, create=True, classes=desk.curves.mixtures) as store:
            yield store
    except (RefusedError, NoVisitError, LaterError):
        raise
    except LiftError as error:
        raise type(error)(without(error.note, path, path.name)) from None


def _named(store: VisitStore, name: str, field: str = "name") -> Kept:
    try:
        return store.get(check_name(name))
    except LiftError as error:
        missing = isinstance(error, NoVisitError) or field == "name"
        raise RefusedError({field: error.note}, MISSING if missing else 422) from None


def _listed(kept: Kept, curves: CurveSet) -> Listed:
    visit = kept.visit
    zones = visit.scenario.zones
    return Listed(
        name=visit.name,
        client=visit.client,
        date=visit.date,
        title=visit.scenario.title,
        invented=visit.invented,
        demo=kept.revision == 0,
        state=visit.state,
        zones=len(zones),
        revision=kept.revision,
        words=say(summary_note(visit)),
        locks=[zone_lock(visit, zone, curves) for zone in zones],
    )
