"""Choose: what a scenario leaves open - developers, carried tone, toners - for all zones at once.

Every way to mix what can be bought is tried, and the schedule of each searched: the chance that
every section of every zone is inside decides, and among nearly equal ones the least exposure.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

from lift.errors import LiftError, LimitError
from lift.model.developer import Developer
from lift.model.mixture import Mixture
from lift.practice.allowed import CARRIED_DOSES, CARRIED_DYES, Allowed
from lift.practice.consulted import Consulted
from lift.practice.goal import Blend, Lighten, Match
from lift.practice.scenario.scenario import Scenario, Toner, Zone
from lift.practice.schedule.response import Responses
from lift.practice.schedule.search import NEAR, Schedule, Task, search
from lift.practice.schedule.solve import works_of
from lift.practice.schedule.work import ZoneWork
from lift.words import Note, note

DOSES = CARRIED_DOSES[1::2]
"""Doses of carried tone that are tried: every other one, as all zones are chosen at once."""

MANY = 24
"""Ways to mix from which on a few strands say which are worth all of them."""

SCREENED = 8
"""One strand in so many is enough for that."""

KEPT = 8
"""Likeliest ways to mix that all strands are asked about; half as many of the mildest besides."""

COARSE = {3: 12, 4: 5}
"""Times tried for each of many zones while mixtures are compared; the plan is searched finely."""

MOST_SEARCHED = {1: 300, 2: 300, 3: 24, 4: 6}
"""Combinations whose schedule is searched, by the number of zones that a mixture goes on: a search
for two zones takes hundredths of a second, for four it takes seconds. The likeliest by their zones
alone come first, of those nearly as likely the mildest."""


@dataclass(frozen=True)
class Chosen:
    """What a plan has chosen.

    Parameters
    ----------
    developers : mapping of str to Developer
        How the developer of each mixture is poured, where it was left open.
    tones : mapping of str to mapping
        Dose of each dye carried by each mixture, where it was left open [0.01 absorption per fibre
        radius].
    toners : mapping of str to str or None
        Kind of each zone's toner, where it was left open; None: none.
    tried : int
        Ways to fill in what was left open.
    near : int
        How many of them are nearly as likely as the likeliest.
    best : float
        Probability of the likeliest [-].
    """

    developers: Mapping[str, Developer]
    tones: Mapping[str, Mapping[str, float]]
    toners: Mapping[str, str | None]
    tried: int
    near: int
    best: float

    @property
    def notes(self) -> tuple[Note, ...]:
        """What was chosen, each to be said in a sentence, and out of how many."""
        found = [
            note("plan.chosen.developer", mixture=name, developer=made.note)
            for name, made in self.developers.items()
        ]
        for name, tone in self.tones.items():
            doses = [note("dose", dye=dye, dose=dose) for dye, dose in tone.items() if dose > 0.0]
            said = doses or [note("plan.chosen.no_tone")]
            found.append(note("plan.chosen.tone", mixture=name, doses=said))
        for name, kind in self.toners.items():
            if kind is None:
                found.append(note("plan.chosen.no_toner", zone=name))
            else:
                found.append(note("plan.chosen.toner", zone=name, kind=kind))
        return (*found, note("plan.chosen", tried=self.tried, near=self.near, points=100.0 * NEAR))


@dataclass(frozen=True, eq=False)
class _Way:
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


@dataclass(frozen=True, eq=False)
class _Ready:
    """A way with its zones made ready, and the best that it can come to."""

    way: _Way
    works: Mapping[str, ZoneWork]

    @cached_property
    def bound(self) -> float:
        """Probability that no schedule of this way exceeds [-]."""
        return min(work.task().best_alone() for work in self.works.values())

    def exposure(self, schedule: Schedule) -> float:
        """Strength on the head times the time there, summed over zones [vol min]."""
        return sum(
            float(self.way.mixture.on_head_volume)
            * float(work.own_minutes(schedule.rinses[n] - schedule.starts[n]).max())
            for n, work in self.works.items()
        )


@dataclass(frozen=True, eq=False)
class _Tried:
    """One way for every mixture, and its schedule."""

    ready: tuple[_Ready, ...]
    schedule: Schedule

    @cached_property
    def burden(self) -> tuple[float, ...]:
        """What it asks of hair and hands, to be compared: the least is best.

        A second developer and a toner are each one more thing to do.
        """
        ways = [r.way for r in self.ready]
        more = sum(w.developer is not None and w.developer.mixed for w in ways)
        more += sum(t is not None for w in ways for t in w.toners.values())
        exposed = sum(r.exposure(self.schedule) for r in self.ready)
        carried = sum(sum(w.mixture.tone.values()) for w in ways if w.mixture.tone)
        return (
            float(not self.schedule.expected_inside),
            float(not self.schedule.safe),
            float(more),
            round(exposed, 3),
            carried,
            round(self.schedule.total, 3),
        )


def settle(
    scenario: Scenario, responses: Responses, consulted: Consulted | None = None
) -> tuple[Scenario, Chosen | None]:
    """Fill in what a scenario leaves open; what is given is never changed.

    Returns
    -------
    Scenario, Chosen or None
        The scenario with nothing open, and what was chosen; None where there was no choice.

    Raises
    ------
    LiftError
        When a goal cannot be reached by any lightening.
    LimitError
        Where answers of the client refuse what is given, or all that may be chosen.
    """
    asked = consulted or Consulted()
    ways = {name: _allowed(scenario, name, responses, asked) for name in _used(scenario)}
    if all(len(some) == 1 for some in ways.values()):
        for some in ways.values():
            scenario = some[0].fill(scenario)
        return scenario.replace(to_choose={}), None
    tried = 1
    for some in ways.values():
        tried *= len(some)
    for name in _matched_first(scenario):
        # What others are to match is settled before them, by itself.
        only = _ready(scenario, ways[name], responses)
        ways[name] = [_first_of([_alone(scenario, one) for one in only]).ready[0].way]
        scenario = ways[name][0].fill(scenario)
    ready = [_ready(scenario, some, responses) for some in ways.values()]
    found = _search_all(scenario, ready)
    first, top = _first_of(found), max(t.schedule.p_inside for t in found)
    near = sum(t.schedule.p_inside >= top - NEAR for t in found)
    settled = scenario
    for one in first.ready:
        settled = one.way.fill(settled)
    found_by = _chosen(scenario, first, asked, tried, near, top)
    return settled.replace(to_choose={}), found_by


def _chosen(
    scenario: Scenario,
    first: _Tried,
    asked: Consulted,
    tried: int,
    near: int,
    top: float,
) -> Chosen:
    opened = scenario.to_choose
    picked = [one.way for one in first.ready]
    return Chosen(
        developers={
            w.name: w.developer
            for w in picked
            if w.developer is not None and "volume" in opened.get(w.name, ())
        },
        tones={
            w.name: dict(w.mixture.tone or {}) for w in picked if "tone" in opened.get(w.name, ())
        },
        toners={
            name: None if toner is None else toner.kind
            for w in picked
            for name, toner in w.toners.items()
            if len(_toners(scenario.zone(name), asked)) > 1
        },
        tried=tried,
        near=near,
        best=top,
    )


def _used(scenario: Scenario) -> list[str]:
    """Mixtures that go on, each once."""
    return list(dict.fromkeys(z.mixture for z in scenario.treated if z.mixture is not None))


def _allowed(scenario: Scenario, name: str, responses: Responses, asked: Consulted) -> list[_Way]:
    """Ways to fill in a mixture that no answer of the client refuses."""
    ways = list(_ways(scenario, name, responses, asked))
    places = [z.along for z in scenario.treated if z.mixture == name]
    left = [w for w in ways if not any(asked.refused(w.mixture, along) for along in places)]
    if not left:
        for along in places:
            asked.check(ways[0].mixture, along)
    return left


def _ways(scenario: Scenario, name: str, responses: Responses, asked: Consulted) -> Iterator[_Way]:
    given, opened = scenario.mixtures[name], scenario.to_choose.get(name, ())
    zones = [z for z in scenario.treated if z.mixture == name]
    developers: list[Developer | None] = [None]
    if "volume" in opened:
        developers = [*Allowed().developers(given.chemistry, responses.curves)]
    tones: list[dict[str, float] | None] = [*_tones(given)] if "tone" in opened else [None]
    toners = [_toners(z, asked) for z in zones]
    for developer, tone in product(developers, tones):
        mixture = given
        if developer is not None:
            volume = developer.parts if developer.mixed else developer.volume
            mixture = mixture.replace(volume=volume)
        if tone is not None:
            mixture = mixture.replace(tone=tone)
        for some in product(*toners):
            if tone and any(some):
                continue  # who tones afterwards need carry no tone
            by_zone = {z.name: toner for z, toner in zip(zones, some, strict=True)}
            yield _Way(name, mixture, developer, by_zone)


def _tones(mixture: Mixture) -> Iterator[dict[str, float] | None]:
    """Tones that a mixture may carry: none, its own, and each dye in each dose."""
    yield {}
    if mixture.chemistry.tone:
        yield None
    for dye in CARRIED_DYES:
        for dose in DOSES:
            yield {dye: dose}


def _toners(zone: Zone, asked: Consulted) -> list[Toner | None]:
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


def _matched_first(scenario: Scenario) -> list[str]:
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


def _ready(scenario: Scenario, ways: Sequence[_Way], responses: Responses) -> list[_Ready]:
    """Make every way ready; of very many, those that a few strands hold worth it."""
    if len(ways) > MANY:
        few = Responses(
            responses.curves, responses.latent[[0, *range(1, len(responses.latent), SCREENED)]]
        )
        ways = _worth([_make(scenario, way, few) for way in ways])
    return [_make(scenario, way, responses) for way in ways]


def _make(scenario: Scenario, way: _Way, responses: Responses) -> _Ready:
    names = list(way.toners)
    works, _ = works_of(way.fill(scenario), responses, names)
    return _Ready(way, {name: works[name] for name in names})


def _worth(ready: list[_Ready]) -> list[_Way]:
    """The likeliest ways of a few strands; and of all nearly as likely, the mildest."""
    order = sorted(ready, key=lambda r: -r.bound)
    top = order[0].bound
    near = [r for r in order if r.bound >= top - 2.0 * NEAR]
    mild = sorted(near, key=lambda r: (_strength(r.way), sum((r.way.mixture.tone or {}).values())))
    kept = dict.fromkeys([*order[:KEPT], *mild[: KEPT // 2]])
    return [r.way for r in kept]


def _strength(way: _Way) -> float:
    return float(way.mixture.on_head_volume)


def _alone(scenario: Scenario, one: _Ready) -> _Tried:
    tasks = [work.task() for work in one.works.values()]
    return _Tried((one,), _schedule(scenario, tasks))


def _schedule(scenario: Scenario, tasks: Sequence[Task]) -> Schedule:
    names = [t.name for t in tasks]
    salon = scenario.salon
    return search(
        tasks,
        salon.together,
        changeover=scenario.values["changeover_minutes"],
        order=[n for n in salon.order if n in names],
        grid=COARSE.get(len(tasks)),
    )


def _first_of(found: Sequence[_Tried]) -> _Tried:
    """Of those nearly as likely as the likeliest, the one with the least exposure."""
    top = max(t.schedule.p_inside for t in found)
    near = [t for t in found if t.schedule.p_inside >= top - NEAR]
    return min(near, key=lambda t: t.burden)


def _promise(some: Sequence[_Ready], zones: int) -> tuple[float, float]:
    """What is searched first: the likeliest; where few are, of nearly as likely the mildest."""
    bound = min(r.bound for r in some)
    if MOST_SEARCHED[zones] >= MOST_SEARCHED[1]:
        return -bound, 0.0
    return -float(bound // NEAR), sum(_strength(r.way) for r in some)


def _search_all(scenario: Scenario, ready: Sequence[Sequence[_Ready]]) -> list[_Tried]:
    """Search the schedule of every combination that could be nearly the likeliest."""
    names = [z.name for z in scenario.treated]
    combined = sorted(product(*ready), key=lambda some: _promise(some, len(names)))
    found: list[_Tried] = []
    top, refused = 0.0, None
    for some in combined[: MOST_SEARCHED[len(names)]]:
        if found and min(r.bound for r in some) < top - NEAR:
            break
        works = {name: work for r in some for name, work in r.works.items()}
        try:
            schedule = _schedule(scenario, [works[name].task() for name in names])
        except LiftError as error:
            # Minutes that are fixed may go together with a quicker mixture and not with this one.
            refused = error
            continue
        found.append(_Tried(tuple(some), schedule))
        top = max(top, schedule.p_inside)
    if refused is not None and not found:
        raise refused
    return found
