"""After the rinse: when toners go on, one zone after another, and when each is rinsed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Pace:
    """How long the work with toners takes [min].

    A bowl is mixed in `changeover`, laid through a zone in `laying`, works for `minutes` from its
    first touch, and is rinsed in `rinse`. All is assumed: the maker's minutes come first.
    """

    changeover: float
    laying: float
    minutes: float
    rinse: float


@dataclass(frozen=True)
class ToningTimes:
    """One toner on the service's clock [min].

    Its laying `starts` and ends (`laid`), it is `rinsed` and that rinse `ends`.
    """

    zone: str
    starts: float
    laid: float
    rinsed: float
    ends: float


@dataclass(frozen=True)
class Next:
    """What is done next with a toner, ``tone`` or ``rinse_tone``, and when it is due [min]."""

    kind: str
    zone: str
    at: float


def pace_of(values: Mapping[str, float]) -> Pace:
    """Read the pace off a service's assumptions."""
    return Pace(
        changeover=values["changeover_minutes"],
        laying=values["toner_laying_minutes"],
        minutes=values["toner_minutes"],
        rinse=values["rinse_minutes"],
    )


def next_toner(
    ahead: Sequence[str], working: Mapping[str, float], free: float, pace: Pace
) -> Next | None:
    """What hands do next with toners; None when all is done.

    The next toner is laid unless one that works would then be on too long.

    Parameters
    ----------
    ahead : sequence of str
        Zones whose toner is still to be laid, in that order.
    working : mapping of str to float
        First touch of each toner that is on [min].
    free : float
        When hands are free again [min].
    pace : Pace
        How long the work takes.
    """
    first = min(working, key=lambda zone: working[zone], default=None)
    due = float("inf") if first is None else working[first] + pace.minutes
    at = free + pace.changeover
    if ahead and at + pace.laying <= due:
        return Next("tone", ahead[0], at)
    return None if first is None else Next("rinse_tone", first, max(due, free))


def toning_times(
    names: Iterable[str], after: float, values: Mapping[str, float]
) -> tuple[ToningTimes, ...]:
    """Put toners on the clock, in the order of the zones' names.

    Parameters
    ----------
    names : iterable of str
        Zones with a toner.
    after : float
        When the last rinse of a mixture has ended [min].
    values : mapping of str to float
        The service's assumptions by name.

    Examples
    --------
    >>> from lift.practice.assumptions import service_values
    >>> [each.rinsed for each in toning_times(("foils", "base"), 30.0, service_values())]
    [51.0, 55.0]
    """
    pace, free = pace_of(values), after
    ahead, starts, rinsed = list(names), dict[str, float](), dict[str, float]()
    order = tuple(ahead)
    while True:
        working = {zone: at for zone, at in starts.items() if zone not in rinsed}
        todo = next_toner(ahead, working, free, pace)
        if todo is None:
            break
        if todo.kind == "tone":
            ahead.remove(todo.zone)
            starts[todo.zone], free = todo.at, todo.at + pace.laying
        else:
            rinsed[todo.zone], free = todo.at, todo.at + pace.rinse
    return tuple(
        ToningTimes(
            zone, starts[zone], starts[zone] + pace.laying, rinsed[zone], rinsed[zone] + pace.rinse
        )
        for zone in order
    )
