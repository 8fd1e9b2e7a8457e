"""Ways: what may stand in place of what a scenario leaves open - developers, tone, toners."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from lift.errors import LimitError
from lift.model.curves import CurveSet
from lift.model.developer import Developer
from lift.model.mixture import Mixture
from lift.practice.allowed import CARRIED_DOSES, CARRIED_DYES, Allowed
from lift.practice.consulted import Consulted
from lift.practice.goal import Blend, Lighten, Match
from lift.practice.scenario.scenario import Scenario, Toner, Zone

DOSES = CARRIED_DOSES[1::2]
"""Doses of carried tone that are tried: every other one, as all zones are chosen at once."""


MOST_APART = 2
"""Zones with one mixture up to which a toner is chosen for each by itself."""


@dataclass(frozen=True, eq=False)
class Way:
    """One mixture in place of an open one, and the toners of the zones that it goes on."""

    name: str
    mixture: Mixture
    developer: Developer | None
    toners: Mapping[str, Toner | None]

    def fill(self, scenario: Scenario) -> Scenario:
        """Put it in."""
        mixtures = {**scenario.mixtures, self.name: self.mixture}
        zones = tuple(
            replace(z, toner=self.toners[z.name]) if z.name in self.toners else z
            for z in scenario.zones
        )
        return scenario.replace(mixtures=mixtures, zones=zones)


def used_mixtures(scenario: Scenario) -> list[str]:
    """Mixtures that go on, each once."""
    return list(dict.fromkeys(z.mixture for z in scenario.treated if z.mixture is not None))


def allowed_ways(scenario: Scenario, name: str, curves: CurveSet, asked: Consulted) -> list[Way]:
    """Ways to fill in a mixture that no answer of the client refuses."""
    ways = list(ways_of(scenario, name, curves, asked))
    places = [z.along for z in scenario.treated if z.mixture == name]
    left = [w for w in ways if not any(asked.refused(w.mixture, along) for along in places)]
    if not left:
        for along in places:
            asked.check(ways[0].mixture, along)
    return left


def ways_of(scenario: Scenario, name: str, curves: CurveSet, asked: Consulted) -> Iterator[Way]:
    """Every way to fill in what is open of one mixture and of the zones that it goes on."""
    given, opened = scenario.mixtures[name], scenario.to_choose.get(name, ())
    zones = [z for z in scenario.treated if z.mixture == name]
    developers: list[Developer | None] = [None]
    if "volume" in opened:
        developers = [*Allowed().developers(given.chemistry, curves)]
    tones: list[dict[str, float] | None] = [*tones_of(given)] if "tone" in opened else [None]
    toners = [toners_of(z, asked) for z in zones]
    for developer, tone in product(developers, tones):
        mixture = given
        if developer is not None:
            volume = developer.parts if developer.mixed else developer.volume
            mixture = mixture.replace(volume=volume)
        if tone is not None:
            mixture = mixture.replace(tone=tone)
        for some in _together(toners):
            if tone and any(some):
                continue  # who tones afterwards need carry no tone
            by_zone = {z.name: toner for z, toner in zip(zones, some, strict=True)}
            yield Way(name, mixture, developer, by_zone)


def _together(toners: Sequence[list[Toner | None]]) -> Iterator[tuple[Toner | None, ...]]:
    """Toners of zones with one mixture; of many zones all that can be are toned, or none."""
    if sum(len(some) > 1 for some in toners) <= MOST_APART:
        yield from product(*toners)
        return
    yield tuple(some[0] for some in toners)
    yield tuple(some[-1] for some in toners)


def tones_of(mixture: Mixture) -> Iterator[dict[str, float] | None]:
    """Tones that a mixture may carry: none, its own, and each dye in each dose."""
    yield {}
    if mixture.chemistry.tone:
        yield None
    for dye in CARRIED_DYES:
        for dose in DOSES:
            yield {dye: dose}


def toners_of(zone: Zone, asked: Consulted) -> list[Toner | None]:
    """Toners that may follow on a zone: the given one, or those that its goal can do with."""
    stop = asked.toner_refused(zone.along)
    if isinstance(zone.toner, Toner) and stop is not None:
        raise LimitError(stop.note)
    if zone.toner is None or isinstance(zone.toner, Toner):
        return [zone.toner]
    if stop is not None:
        return [None]
    goal = zone.goal.goal
    if zone.goal.match is not None or (isinstance(goal, Blend) and goal.named):
        return [None, Toner()]
    if isinstance(goal, Match) and goal.warmth is None:
        return [None, Toner()]
    # To lighten means to tone then, unless a warmth is welcome; natural hair needs no tone.
    return [Toner() if isinstance(goal, Lighten) and goal.warmth is None else None]


def matched_first(scenario: Scenario) -> list[str]:
    """Mixtures of treated zones whose blonde other treated zones are to match, those first."""
    found: list[str] = []

    def visit(zone: Zone) -> None:
        if zone.goal.match is not None:
            other = scenario.zone(zone.goal.match[1])
            if other.mixture is not None and other.mixture != zone.mixture:
                visit(other)
                found.append(other.mixture)

    for zone in scenario.treated:
        visit(zone)
    return list(dict.fromkeys(found))
