"""Scenario: one client, one service - hair by zone, goals, mixtures, placement and the salon."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from lift.chemistry.tone_kinds import TONE_KINDS
from lift.doors import checked
from lift.errors import LiftError, check_choice, check_number, check_range
from lift.model.frozen import changed, store
from lift.model.hair import Hair
from lift.model.mixture import Mixture, check_doses
from lift.optics.colorimetry import chroma, hue_deg
from lift.practice.assumptions import service_values
from lift.practice.goal import Blend, Goal, Tone, parse_goal
from lift.practice.scenario.place import FieldError, Where, field_of, no_file
from lift.practice.toning.other_light import SALON_LIGHTS
from lift.practice.window import LIMIT_MINUTES
from lift.quantities import Lab, check_fields, quantities_of, quantity
from lift.results import Result
from lift.words import LAST_LEVEL, note

RINSES = ("together", "zone by zone")
CHOOSE, NONE = "choose", "none"
"""Stand in a file for a value that the plan is to choose, and for a toner that nobody lays on."""
LEAVE = "leave"
"""Stands in a file for the goal of hair that is left alone."""
OPEN = ("volume", "tone")
"""What of a mixture the plan may choose."""
MAX_ZONES = 16

HEAD = ("front", "top", "sides", "back")
ALONG = ("regrowth", "mid-lengths", "ends", "foils")
"""Where on the head and where along the hair a zone is; foils are woven into the regrowth."""

Blonde = float | Lab
"""A blonde as declared: a level (natural hair of it) or a CIELAB (D65, 10 degrees)."""

Match = tuple[str, str]
"""``darkest`` or ``lightest``, and the zone whose blonde is to be matched."""

_MATCH = re.compile(r"(darkest|lightest)\s+blonde\s+of\s+(.+)", re.DOTALL)


def read_match(text: str) -> Match:
    """Read ``darkest blonde of ZONE`` or ``lightest blonde of ZONE``."""
    found = _MATCH.fullmatch(text.strip())
    if found is None:
        raise LiftError("scenario.match_form", value=text)
    return found[1], found[2].strip()


@dataclass(frozen=True)
class ZoneGoal:
    """What a zone is to become: a goal, or a blend with the blonde of another zone.

    With `match` the goal is a blend, whose colour is that blonde's. From `lighter_by` past the
    goal on the hair is too light [levels]; default: where the goal's colour says, or the scale
    ends. Hair that is to `leave` alone has no other; what nobody has `said` yet counts as a blend.
    """

    goal: Goal = field(default_factory=Blend)
    match: Match | None = quantity(read=read_match)
    lighter_by: float | None = quantity(low=0.1, high=9.0, unit="levels")
    leave: bool = False
    said: bool = True

    def __post_init__(self) -> None:
        check_fields(self, store)
        if self.match is not None:
            check_choice("quantity.match.label", self.match[0], ("darkest", "lightest"))
            if not isinstance(self.goal, Blend) or self.goal.named:
                raise LiftError("scenario.one_goal")
        lab = getattr(self.goal, "lab", None)
        if lab is not None and chroma(lab) > 6.0 and not 0.0 <= hue_deg(lab) <= 110.0:
            raise FieldError(("lab",), "scenario.goal_hue", lab=lab, hue=float(hue_deg(lab)))


def read_zone_goal(text: str) -> ZoneGoal:
    """Read the goal of a zone as typed: any goal, or ``blend darkest blonde of ZONE``."""
    intent, _, rest = text.strip().partition(" ")
    if text.strip() == LEAVE:
        return ZoneGoal(leave=True)
    if intent == Blend.intent and _MATCH.fullmatch(rest.strip()):
        return ZoneGoal(match=read_match(rest))
    return ZoneGoal(parse_goal(text))


@dataclass(frozen=True)
class Placement:
    """How a mixture goes on, section after section.

    Laying a section takes its seconds with one pair of hands at working speed 1. The seconds from
    rinsing (or wiping off) one section to the next, in the order laid, are 0 where the whole zone
    is rinsed at one moment. Sections are shared out to fresh bowls, one after the other.

    Examples
    --------
    >>> Placement(sections=6, seconds_per_section=40).grams_per_section
    6.0
    """

    sections: int = quantity(low=1, high=200, default=1, whole=True)
    seconds_per_section: float = quantity(low=2, high=900, unit="s", default=60.0)
    section_thickness_mm: float = quantity(low=0.5, high=30, unit="mm", default=3.0)
    rinse_seconds_per_section: float = quantity(low=0, high=900, unit="s", default=0.0)
    bowls: int = quantity(low=1, high=10, default=1, whole=True)
    grams_per_section: float = quantity(low=0.5, high=200, unit="g", default=6.0)

    def __post_init__(self) -> None:
        check_fields(self, store)
        if self.bowls > self.sections:
            numbers = {"bowls": self.bowls, "sections": self.sections}
            raise FieldError(("bowls",), "scenario.bowls", **numbers)


MAX_SECTIONS = int(quantities_of(Placement)["sections"].high or 0)


@dataclass(frozen=True, eq=False)
class Toner:
    """Tone laid on after rinsing.

    The kind says how it washes out (``lift.practice.toning.fade``); doses are by dye band
    [0.01 absorption per fibre radius], and computed from the predicted colour when not given.
    """

    kind: str = quantity(name="toner", default="direct", choices=lambda: TONE_KINDS)
    doses: Mapping[str, float] | None = None

    def __post_init__(self) -> None:
        check_fields(self, store)
        if self.doses is not None:
            object.__setattr__(self, "doses", MappingProxyType(check_doses(self.doses)))


@dataclass(frozen=True, eq=False)
class Zone:
    """Hair with one history and one goal, as it is before the service; single numbers.

    Zones woven into one `part` of the head share its name (default: the zone's own), each having a
    `share` of its hair, and lie `beside` other parts; where these are left out they follow from
    `head` and `along` (`lift.practice.scenario.laid_out`). `regrowth_mm` is given for hair at the
    scalp only. `colour` now, and the `darkest` and `lightest` blonde in it, may be declared. A zone
    without a mixture is left alone, or yet to be decided; a hood, lamp or foil adds `heat_c`, where
    the temperature of the mixture on the hair, `temperature_c`, was not measured. `minutes` fixes
    the time of the section that stays on longest, from its first touch to its rinse [min]. Which
    `toner` follows is chosen by the plan unless it is given, or None: none.
    """

    name: str
    hair: Hair
    head: tuple[str, ...] = quantity(default=(), choices=lambda: HEAD)
    along: str | None = quantity(choices=lambda: ALONG)
    part: str = quantity(default="")
    regrowth_mm: float | None = quantity(low=0.5, high=200, unit="mm")
    length_mm: float | None = quantity(low=1, high=1500, unit="mm")
    share: float = quantity(low=0.01, high=1, default=1.0)
    beside: tuple[str, ...] = quantity(default=())
    colour: Blonde | None = quantity(low=1, high=LAST_LEVEL, lab=True)
    darkest: Blonde | None = quantity(low=1, high=LAST_LEVEL, lab=True, file="darkest_blonde")
    lightest: Blonde | None = quantity(low=1, high=LAST_LEVEL, lab=True, file="lightest_blonde")
    mixture: str | None = quantity()
    goal: ZoneGoal = field(default_factory=lambda: ZoneGoal(said=False))
    placement: Placement = field(default_factory=Placement)
    toner: Toner | str | None = CHOOSE
    minutes: float | None = quantity(
        name="zone_minutes", low=0.5, high=LIMIT_MINUTES, unit="min", file="minutes"
    )
    heat_c: float = quantity(low=0, high=20, unit="C", default=0.0)
    temperature_c: float | None = quantity(
        name="zone_temperature", low=10, high=50, unit="C", file="temperature_c"
    )

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise FieldError(("name",), "scenario.no_name")
        store(self, "part", self.part or self.name)
        try:
            check_fields(self, store)
        except LiftError as error:
            raise LiftError("scenario.in_zone", zone=self.name, error=error.note) from None
        if self.regrowth_mm is not None and self.hair.lightened_to is not None:
            raise FieldError(("lightened_to",), "scenario.regrowth_lightened", zone=self.name)
        if self.mixture is not None and self.colour is not None:
            raise FieldError(("colour",), "scenario.mixture_and_colour", zone=self.name)
        toned = self.mixture is not None or isinstance(self.goal.goal, Tone)
        if isinstance(self.toner, Toner) and not toned:
            raise FieldError(("toner",), "scenario.toner_alone", zone=self.name)
        if isinstance(self.toner, str):
            with field_of("toner"):
                check_choice("scenario.toner", self.toner, (CHOOSE,))
        if self.mixture is None and self.minutes is not None:
            raise FieldError(("minutes",), "scenario.minutes_alone", zone=self.name)
        goal, now = getattr(self.goal.goal, "level", None), self.level_now
        if self.treated and goal is not None and goal < now - 0.5:
            numbers = {"goal": goal, "now": now}
            raise FieldError(("goal", "level"), "scenario.goal_darker", zone=self.name, **numbers)

    @property
    def treated(self) -> bool:
        """Whether a mixture goes on."""
        return self.mixture is not None and not self.goal.leave

    @property
    def only_toned(self) -> bool:
        """Whether it is to be toned and nothing else: no mixture goes on."""
        toned = isinstance(self.goal.goal, Tone)
        return toned and not self.goal.leave and not self.treated

    @property
    def laid_on(self) -> Toner | None:
        """The toner that is laid on; None where it is none, or yet to be chosen."""
        return self.toner if isinstance(self.toner, Toner) else None

    @property
    def level_now(self) -> float:
        """Level of its hair before the service [-]."""
        return self.hair.level_now


@dataclass(frozen=True)
class Salon:
    """Hands, room and rinse.

    The mixture on the hair lies halfway between room and scalp, which is the curve set's 30 C in a
    room of 25 C. Assistants lay sections at the same time. Zones go on in `order`, or, where it is
    empty, in the order found best. All are rinsed together, once everything is on, or zone by
    zone, each at its own moment, during which nothing is laid. The makers' limits come before
    `limit_minutes`, the longest any section stays on. Its `light` is what a toned colour is seen
    under.
    """

    room_c: float = quantity(low=10, high=40, unit="C", default=25.0)
    working_speed: float = quantity(low=0.25, high=4, default=1.0)
    assistants: int = quantity(low=0, high=3, default=0, whole=True)
    rinse: str = quantity(default="together", choices=lambda: RINSES)
    order: tuple[str, ...] = quantity(default=())
    limit_minutes: float = quantity(low=1, high=LIMIT_MINUTES, unit="min", default=50.0)
    light: str | None = quantity(name="salon_light", choices=lambda: SALON_LIGHTS, file="light")

    def __post_init__(self) -> None:
        check_fields(self, store)

    @property
    def together(self) -> bool:
        """Whether all zones are rinsed at one moment."""
        return self.rinse == RINSES[0]


@checked
@dataclass(frozen=True, eq=False, repr=False)
class Scenario(Result):
    """One client and one service; it need not be complete until it is planned.

    The temperature of each mixture is set by room, scalp and heat. Of the mixtures named in
    `to_choose` the plan chooses what stands there, some of `OPEN`, in place of what they have.
    `assumptions` change values of `SERVICE`; `where` gives what stands before an error about a path
    of keys, such as file and line.

    Raises
    ------
    LiftError
        When zones, parts, mixtures and goals do not refer to each other properly, or shares of
        one part exceed 1.

    Examples
    --------
    >>> base = Zone("base", Hair(7, "fine", damp=True), mixture="break")
    >>> scenario = Scenario("Refresh", (base,), {"break": Mixture("base-break", 10)})
    >>> float(scenario.mixture_on(base).temperature_c)
    30.0
    """

    title: str
    zones: tuple[Zone, ...]
    mixtures: Mapping[str, Mixture]
    salon: Salon = field(default_factory=Salon)
    about: str = ""
    assumptions: Mapping[str, float] = field(default_factory=dict)
    to_choose: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    where: Where = field(default=no_file, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "mixtures", MappingProxyType(dict(self.mixtures)))
        object.__setattr__(self, "assumptions", MappingProxyType(dict(self.assumptions)))
        object.__setattr__(self, "to_choose", MappingProxyType(dict(self.to_choose)))
        for name, open_ in self.to_choose.items():
            with field_of("mixtures", name):
                check_choice("scenario.mixture", name, self.mixtures)
                for what in open_:
                    check_choice("scenario.to_choose", what, OPEN)
        service_values(self.assumptions)
        names = [z.name for z in self.zones]
        with field_of("zones"):
            check_number("scenario.zones", len(names), 0, MAX_ZONES)
        for place, zone in enumerate(self.zones):
            if names.index(zone.name) < place:
                raise FieldError(("zones", place, "name"), "scenario.zone_twice", zone=zone.name)
            self._check_references(zone, place, names)
        check_matches(self.zones)
        self._check_order()

    def _check_references(self, zone: Zone, place: int, names: list[str]) -> None:
        if zone.mixture is not None:
            with field_of("zones", place, "mixture"):
                named = note("scenario.mixture_of", zone=zone.name)
                check_choice(named, zone.mixture, self.mixtures)
            with field_of("zones", place, "heat_c"):
                self.mixture_on(zone)
        if zone.goal.match is not None:
            with field_of("zones", place, "goal", "match"):
                others = [n for n in names if n != zone.name]
                check_choice(note("scenario.match_of", zone=zone.name), zone.goal.match[1], others)
        with field_of("zones", place, "beside"):
            for part in zone.beside:
                others = [p for p in self.parts if p != zone.part]
                check_choice(note("scenario.beside", zone=zone.name), part, others)
        with field_of("zones", place, "share"):
            total = sum(z.share for z in self.zones[: place + 1] if z.part == zone.part)
            check_range(note("scenario.shares", part=zone.part), total, 0.0, 1.0 + 1e-9)

    def _check_order(self) -> None:
        treated = [z.name for z in self.treated]
        with field_of("salon", "order"):
            for name in self.salon.order:
                check_choice("scenario.zone_in_order", name, treated)
            if self.salon.order and sorted(self.salon.order) != sorted(treated):
                raise LiftError("scenario.order", zones=treated)

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
        check_choice("scenario.zone", name, [z.name for z in self.zones])
        return next(z for z in self.zones if z.name == name)

    def temperature_on(self, zone: Zone) -> float:
        """Temperature of a mixture on a zone's hair [C]."""
        if zone.temperature_c is not None:
            return zone.temperature_c
        return 0.5 * (self.salon.room_c + self.values["scalp_c"]) + zone.heat_c

    def mixture_on(self, zone: Zone) -> Mixture:
        """Mixture of a treated zone at the temperature it has on this hair."""
        if zone.mixture is None:
            raise LiftError("scenario.left_alone", zone=zone.name)
        return self.mixtures[zone.mixture].replace(temperature_c=self.temperature_on(zone))

    def replace(self, **changes: Any) -> Scenario:
        """Return the scenario with some fields changed; unknown names are refused."""
        return changed(self, "scenario.field", changes)

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
                path = ("zones", place, "goal", "match")
                raise FieldError(path, "scenario.ring", ring=" -> ".join([*seen, following]))
            seen.append(following)
