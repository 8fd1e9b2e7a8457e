"""The table of a visit, the same in JSON, TOML and on disk: read with its places, and written.

It has the keys of a scenario file, whose reader it shares, and beside them what is the visit's own.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lift.errors import LiftError
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.mixtures import MixtureClasses
from lift.practice.scenario.place import Where, no_file
from lift.practice.scenario.reader import Reader, number_of, shown
from lift.practice.scenario.scenario import Placement, Salon, Toner, Zone
from lift.practice.scenario.scenario_file import KIND, scenario_of
from lift.practice.scenario.scenario_table import Table, scenario_table, table_of
from lift.practice.visit.codes import make_code
from lift.practice.visit.consultation import Consultation, consultation_of
from lift.practice.visit.visit import ClockMarks, Seen, Visit, ZoneMarks
from lift.quantities import Quantity, quantities_of

OWN = ("visit", "consultation", "clock", "looks", "came_out")
"""What a visit has beside its scenario."""

TIMES = ("laid", "looked")
"""Marks of a zone that are lists of times."""

_MINUTES: Quantity = quantities_of(ZoneMarks)["begun"]

FORMER = ("learned",)
"""Keys of a visit that earlier releases kept and made nothing of: read past, and not written."""

OWNERS = (
    *(Visit, Consultation, ClockMarks, ZoneMarks, Seen),
    *(Zone, Hair, Placement, Toner, Mixture, Salon),
)


def vocabulary() -> frozenset[str]:
    """Keys that the table of a visit may hold; a later release knows more."""
    quantities = (q.file or name for owner in OWNERS for name, q in quantities_of(owner).items())
    return frozenset((*quantities, *FORMER))


def visit_of(
    table: Mapping[str, Any], where: Where = no_file, classes: MixtureClasses | None = None
) -> Visit:
    """Build a visit from nested tables; what is not said yet may be missing.

    A scenario's tables are those of a visit that is not done yet: it gets a name.

    Parameters
    ----------
    table : mapping
        The keys of a scenario file, and the visit's own.
    where : callable
        What stands before an error about a path of keys.
    classes : MixtureClasses, optional
        Classes of mixture known; default: the shipped ones.

    Raises
    ------
    LiftError
        For a table that is no visit; its ``path`` leads to the key.

    Examples
    --------
    >>> visit_of({"visit": {"name": "k7f-m3q"}, "zones": []}).scenario.zones
    ()
    """
    top = Reader(table, where=where)
    with top.at("version"):
        KIND.check_version(table.get("version"), "table")
    rest = {key: value for key, value in table.items() if key not in ("version", *OWN)}
    scenario = scenario_of({"title": "", "mixtures": {}, "zones": [], **rest}, where, classes)
    own = top.table("visit")
    given = own.given(Visit)
    for key in FORMER:
        own.take(key)
    own.finish()
    with top.at():
        return Visit(
            **{"name": make_code(), **given},
            scenario=scenario,
            consultation=consultation_of(top.table("consultation")),
            clock=_clock(top.table("clock")),
            looks=tuple(map(_seen, top.tables("looks"))),
            came_out=tuple(map(_seen, top.tables("came_out"))),
        )


def visit_table(visit: Visit) -> Table:
    """Tables of a visit, those of its scenario among them; defaults are left out."""
    scenario = scenario_table(visit.scenario)
    clock = table_of(visit.clock)
    if visit.clock.zones:
        clock["zones"] = [_marks_table(marks) for marks in visit.clock.zones]
    if visit.clock.pauses:
        clock["pauses"] = [list(pause) for pause in visit.clock.pauses]
    own = {
        "consultation": table_of(visit.consultation),
        "clock": clock,
        "looks": [table_of(look) for look in visit.looks],
        "came_out": [table_of(result) for result in visit.came_out],
    }
    found = {"version": KIND.version, "title": visit.scenario.title, "visit": table_of(visit)}
    return found | scenario | {key: value for key, value in own.items() if value}


def _marks_table(marks: ZoneMarks) -> Table:
    times = {key: list(getattr(marks, key)) for key in TIMES if getattr(marks, key)}
    return table_of(marks) | times


def _clock(reader: Reader) -> ClockMarks:
    given = reader.given(ClockMarks)
    zones = tuple(_marks(row) for row in reader.tables("zones"))
    pauses = reader.take("pauses")
    with reader.at("pauses"):
        read = tuple(_pause(pause) for pause in _list(pauses, "pauses"))
    reader.finish()
    with reader.at():
        return ClockMarks(zones=zones, pauses=read, **given)


def _marks(reader: Reader) -> ZoneMarks:
    given = reader.given(ZoneMarks)
    reader.need("zone")
    times: dict[str, Any] = {key: _times(reader, key) for key in TIMES}
    reader.finish()
    with reader.at():
        return ZoneMarks(**times, **given)


def _times(reader: Reader, key: str) -> tuple[float, ...]:
    with reader.at(key):
        return tuple(number_of(key, minutes, _MINUTES) for minutes in _list(reader.take(key), key))


def _pause(pause: Any) -> tuple[float, float | None]:
    if not isinstance(pause, list) or len(pause) not in (1, 2):
        raise LiftError("visit.pause_form", value=shown(pause))
    begins = number_of("pauses", pause[0], _MINUTES)
    open_ = len(pause) == 1 or pause[1] is None
    return begins, None if open_ else number_of("pauses", pause[1], _MINUTES)


def _seen(reader: Reader) -> Seen:
    given = reader.given(Seen)
    reader.need("zone", "minutes", "seen")
    reader.finish()
    with reader.at():
        return Seen(**given)


def _list(value: Any, key: str) -> list[Any]:
    if value is None:
        return []
    if not isinstance(value, list):
        raise LiftError("visit.no_list", key=key, value=shown(value))
    return value
