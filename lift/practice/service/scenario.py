"""Scenario: one client, one service - hair by zone, goals, mixtures, placement and the salon."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from types import MappingProxyType
from typing import Any

from lift.errors import LiftError, check_choice, check_number, check_range
from lift.model.mixture import Mixture
from lift.practice.service.reader import FieldError, Where, field_of, words_only
from lift.practice.service.service_values import service_values
from lift.practice.service.zone import Zone
from lift.practice.window import LIMIT_MINUTES

RINSES = ("together", "zone by zone")
MAX_ZONES = 8
MAX_TREATED = 4


@dataclass(frozen=True)
class Salon:
    """Hands, room and rinse.

    Parameters
    ----------
    room_c : float
        Room temperature [C], 10 to 40. The mixture on the hair lies halfway between room and
        scalp, which is the curve set's 30 C in a room of 25 C.
    working_speed : float
        1: the placements' seconds per section; 2: twice as fast; 0.25 to 4.
    assistants : int
        Further pairs of hands laying sections at the same time, 0 to 3.
    rinse : str
        ``together``: all zones at one moment, once everything is on; ``zone by zone``: each zone
        at its own moment, during which nothing is laid.
    order : tuple of str
        Order in which zones go on; empty: searched.
    limit_minutes : float
        Longest any section stays on [min], 1 to 60; the makers' limits come first.
    """

    room_c: float = 25.0
    working_speed: float = 1.0
    assistants: int = 0
    rinse: str = "together"
    order: tuple[str, ...] = ()
    limit_minutes: float = 50.0

    def __post_init__(self) -> None:
        check_number("room", self.room_c, 10.0, 40.0, "C")
        check_number("working_speed", self.working_speed, 0.25, 4.0)
        check_choice("rinse", self.rinse, RINSES)
        check_number("limit_minutes", self.limit_minutes, 1.0, LIMIT_MINUTES, "min")
        assistants = check_number("assistants", self.assistants, 0, 3)
        if assistants != int(assistants):
            raise LiftError(f"assistants {assistants:g} is not a whole number")
        object.__setattr__(self, "assistants", int(assistants))


@dataclass(frozen=True, eq=False)
class Scenario:
    """One client and one service.

    Parameters
    ----------
    title : str
        A few words; no names of people.
    zones : tuple of Zone
        1 to 8, of which 1 to 4 treated.
    mixtures : mapping of str to Mixture
        By name; the temperature of each is set by room, scalp and heat.
    salon : Salon
        Hands, room and rinse.
    about : str
        What it is; invented data say so here.
    assumptions : mapping of str to float
        Changed values of ``lift.practice.service.service_values.SERVICE``.
    where : callable
        Words that stand before an error about a path of keys: file and line, where there are.

    Raises
    ------
    LiftError
        When zones, parts, mixtures and goals do not refer to each other properly, or shares of
        one part exceed 1.
    """

    title: str
    zones: tuple[Zone, ...]
    mixtures: Mapping[str, Mixture]
    salon: Salon = field(default_factory=Salon)
    about: str = ""
    assumptions: Mapping[str, float] = field(default_factory=dict)
    where: Where = field(default=words_only, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "mixtures", MappingProxyType(dict(self.mixtures)))
        object.__setattr__(self, "assumptions", MappingProxyType(dict(self.assumptions)))
        service_values(self.assumptions)
        names = [z.name for z in self.zones]
        with field_of("zones"):
            check_number("number of zones", len(names), 1, MAX_ZONES)
            check_number("number of zones with a mixture", len(self.treated), 1, MAX_TREATED)
        for place, zone in enumerate(self.zones):
            if names.index(zone.name) < place:
                path = ("zones", place, "name")
                raise FieldError(path, f"zone {zone.name!r} appears twice")
            self._check_references(zone, place, names)
        check_matches(self.zones)
        self._check_order()

    def _check_references(self, zone: Zone, place: int, names: list[str]) -> None:
        if zone.mixture is not None:
            with field_of("zones", place, "mixture"):
                check_choice(f"mixture of zone {zone.name}", zone.mixture, self.mixtures)
            with field_of("zones", place, "heat_c"):
                self.mixture_on(zone)
        if zone.goal.match is not None:
            with field_of("zones", place, "goal", "match"):
                others = [n for n in names if n != zone.name]
                check_choice(f"zone that {zone.name} is to match", zone.goal.match[1], others)
        with field_of("zones", place, "beside"):
            for part in zone.beside:
                others = [p for p in self.parts if p != zone.part]
                check_choice(f"part beside zone {zone.name}", part, others)
        with field_of("zones", place, "share"):
            total = sum(z.share for z in self.zones[: place + 1] if z.part == zone.part)
            check_range(f"sum of shares in part {zone.part}", total, 0.0, 1.0 + 1e-9)

    def _check_order(self) -> None:
        treated = [z.name for z in self.treated]
        with field_of("salon", "order"):
            for name in self.salon.order:
                check_choice("zone in order", name, treated)
            if self.salon.order and sorted(self.salon.order) != sorted(treated):
                raise LiftError(f"order must name each treated zone once: {', '.join(treated)}")

    @property
    def treated(self) -> tuple[Zone, ...]:
        """Zones that a mixture goes on."""
        return tuple(z for z in self.zones if z.treated)

    @property
    def parts(self) -> tuple[str, ...]:
        """Parts of the head, each once, in the order of the zones."""
        return tuple(dict.fromkeys(z.part for z in self.zones))

    @property
    def values(self) -> dict[str, float]:
        """Values of the service's assumptions by name."""
        return service_values(self.assumptions)

    def zone(self, name: str) -> Zone:
        """Zone of that name; an unknown one is refused with the nearest."""
        check_choice("zone", name, [z.name for z in self.zones])
        return next(z for z in self.zones if z.name == name)

    def mixture_on(self, zone: Zone) -> Mixture:
        """Mixture of a treated zone at the temperature it has on this hair."""
        if zone.mixture is None:
            raise LiftError(f"zone {zone.name} is left alone and has no mixture")
        warm = 0.5 * (self.salon.room_c + self.values["scalp_c"]) + zone.heat_c
        return self.mixtures[zone.mixture].replace(temperature_c=warm)

    def replace(self, **changes: Any) -> Scenario:
        """Return the scenario with some fields changed; unknown names are refused."""
        for key in changes:
            check_choice("scenario field", key, [f.name for f in fields(self)])
        return replace(self, **changes)

    def replace_zone(self, name: str, **changes: Any) -> Scenario:
        """Return the scenario with one zone changed."""
        zone = replace(self.zone(name), **changes)
        return self.replace(zones=tuple(zone if z.name == name else z for z in self.zones))


def check_matches(zones: tuple[Zone, ...]) -> None:
    """Refuse goals that match each other in a ring."""
    wanted = {z.name: z.goal.match[1] for z in zones if z.goal.match is not None}
    for name in wanted:
        seen = [name]
        while (following := wanted.get(seen[-1])) is not None:
            if following in seen:
                place = [z.name for z in zones].index(name)
                raise FieldError(
                    ("zones", place, "goal", "match"),
                    f"goals match in a ring: {' -> '.join([*seen, following])}",
                )
            seen.append(following)
