"""Laid out: a scenario made ready to be planned, its zones put beside each other on the head.

Who draws zones on a head says where each is, on the head and along the hair. What a plan asks of
them follows from that: which are woven into one part, how much of its hair each has, and which
parts lie beside each other. What is given is never changed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lift.errors import LiftError, check_number
from lift.practice.scenario.place import placed
from lift.practice.scenario.scenario import HEAD, Scenario, Zone
from lift.quantities import quantities_of

MAX_TREATED = 8
FOIL_SHARE = 0.4
"""Share of the regrowth that is woven into foils, where they lie over all of it: assumed."""

MOST_WOVEN = 0.9
"""Share that several zones of foils have between them at most, so that they fit: assumed."""

LEAST_SHARE = quantities_of(Zone)["share"].range[0]

REGROWTH, LENGTHS, ENDS, FOILS = "regrowth", "mid-lengths", "ends", "foils"


def ready(scenario: Scenario) -> Scenario:
    """Scenario as it is planned: laid out.

    Raises
    ------
    LiftError
        When no zone has a mixture, or more have one than can be planned.

    Examples
    --------
    >>> from lift import Hair, Mixture, Scenario
    >>> foils = Zone("foils", Hair(7), head=("top",), along="foils", mixture="light")
    >>> base = Zone("base", Hair(7), head=("top",), along="regrowth")
    >>> found = ready(Scenario("", (foils, base), {"light": Mixture("powder", 20)}))
    >>> [(zone.part, zone.share) for zone in found.zones]
    [('base', 0.4), ('base', 0.6)]
    """
    try:
        check_number("scenario.treated", len(scenario.treated), 1, MAX_TREATED)
    except LiftError as error:
        raise placed(error, ("zones",), scenario.where) from None
    return laid_out(scenario)


def laid_out(scenario: Scenario) -> Scenario:
    """Scenario whose zones have part, share and neighbours that follow from where they are."""
    return scenario.replace(zones=_beside(_shared(_woven(scenario.zones))))


def _places(zone: Zone) -> frozenset[str]:
    """Places on the head; where none is named, all of them."""
    return frozenset(zone.head or HEAD)


def _woven(zones: Sequence[Zone]) -> tuple[Zone, ...]:
    """Foils become part of the regrowth that most of them lie in."""
    bases = [z for z in zones if z.along == REGROWTH]

    def into(zone: Zone) -> Zone:
        if zone.along != FOILS or zone.part != zone.name:
            return zone
        most = max(bases, key=lambda base: len(_places(base) & _places(zone)), default=None)
        if most is None or not _places(most) & _places(zone):
            return zone
        return replace(zone, part=most.part)

    return tuple(map(into, zones))


def _shared(zones: Sequence[Zone]) -> tuple[Zone, ...]:
    """Foils have a share by how much of the part they lie over; what is left has the rest."""
    return tuple(_with_share(z, [o for o in zones if o.part == z.part]) for z in zones)


def _with_share(zone: Zone, part: Sequence[Zone]) -> Zone:
    if zone.share != 1.0 or zone.along not in (REGROWTH, FOILS):
        return zone
    bases = [z for z in part if z.along == REGROWTH]
    if zone.along == FOILS:
        return replace(zone, share=_foil_share(zone, part, bases))
    open_ = [z for z in bases if z.share == 1.0]
    given = sum(_taken(z, part, bases) for z in part if z not in open_)
    left = (1.0 - given) / len(open_)
    # Where what is given leaves nothing, the scenario refuses it, in words.
    return replace(zone, share=left) if left >= LEAST_SHARE else zone


def _taken(zone: Zone, part: Sequence[Zone], bases: Sequence[Zone]) -> float:
    open_foil = zone.along == FOILS and zone.share == 1.0
    return _foil_share(zone, part, bases) if open_foil else zone.share


def _foil_share(zone: Zone, part: Sequence[Zone], bases: Sequence[Zone]) -> float:
    foils = sum(z.along == FOILS for z in part)
    over = frozenset().union(*map(_places, bases)) or _places(zone)
    return min(FOIL_SHARE, MOST_WOVEN / foils) * len(_places(zone) & over) / len(over)


def _beside(zones: Sequence[Zone]) -> tuple[Zone, ...]:
    """From root to tip, parts lie beside those that follow in the same places of the head."""

    def next_to(zone: Zone) -> Zone:
        if zone.beside or zone.along is None or zone.along == ENDS:
            return zone
        for along in (LENGTHS, ENDS) if zone.along in (REGROWTH, FOILS) else (ENDS,):
            there = [z for z in zones if z.along == along and _places(z) & _places(zone)]
            if parts := tuple(dict.fromkeys(z.part for z in there if z.part != zone.part)):
                return replace(zone, beside=parts)
        return zone

    return tuple(map(next_to, zones))
