"""Choose: what a scenario leaves open - developers, carried tone, toners - for all zones at once.

Every way to mix what can be bought is tried, and the schedule of each searched: the chance that
every section of every zone is inside decides, and among nearly equal ones the least exposure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import prod

from lift.errors import LiftError
from lift.model.developer import Developer
from lift.practice.consulted import Consulted
from lift.practice.ranking import first_of
from lift.practice.scenario.scenario import Scenario
from lift.practice.schedule.response import Responses
from lift.practice.schedule.search import COARSE, NEAR, search
from lift.practice.schedule.solve import works_of
from lift.practice.schedule.task import Schedule, Task
from lift.practice.schedule.ways import Way, allowed_ways, matched_first, toners_of, used_mixtures
from lift.practice.schedule.work import ZoneWork
from lift.words import Note, note

MANY = 24
"""Ways to mix from which on a few strands say which are worth all of them."""

SCREENED = 8
"""One strand in so many is enough for that."""

KEPT = (8, 8, 4)
"""Likeliest ways to mix that all strands are asked about, where there is one mixture, two, and of
three on; half as many of the mildest besides."""

MOST_SEARCHED = (300, 300, 150, 100, 80, 60, 40)
"""Combinations whose schedule is searched, where a mixture goes on one zone, two, and so on, and on
many as on the last: the more zones, the longer each search takes."""


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
    in_turn : bool
        Whether there were too many ways, so that mixtures were chosen one after the other.
    """

    developers: Mapping[str, Developer]
    tones: Mapping[str, Mapping[str, float]]
    toners: Mapping[str, str | None]
    tried: int
    near: int
    best: float
    in_turn: bool

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
        found.append(note("plan.chosen", tried=self.tried, near=self.near, points=100.0 * NEAR))
        return (*found, note("plan.chosen.in_turn")) if self.in_turn else tuple(found)


@dataclass(frozen=True, eq=False)
class _Ready:
    """A way with its zones made ready, and the best that it can come to."""

    way: Way
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
    used = used_mixtures(scenario)
    ways = {name: allowed_ways(scenario, name, responses.curves, asked) for name in used}
    if all(len(some) == 1 for some in ways.values()):
        for some in ways.values():
            scenario = some[0].fill(scenario)
        return scenario.replace(to_choose={}), None
    tried = 1
    for some in ways.values():
        tried *= len(some)
    for name in matched_first(scenario):
        # What others are to match is settled before them, by itself.
        only = _ready(scenario, ways[name], responses, KEPT[0])
        ways[name] = [_first_of([_alone(scenario, one) for one in only]).ready[0].way]
        scenario = ways[name][0].fill(scenario)
    kept = KEPT[min(len(ways), len(KEPT)) - 1]
    ready = [_ready(scenario, some, responses, kept) for some in ways.values()]
    searches = _search_all(scenario, ready)
    first = searches.first
    settled = scenario
    for one in first.ready:
        settled = one.way.fill(settled)
    return settled.replace(to_choose={}), _chosen(scenario, first, asked, tried, searches)


def _chosen(
    scenario: Scenario, first: _Tried, asked: Consulted, tried: int, searches: _Searches
) -> Chosen:
    opened, found = scenario.to_choose, searches.found
    top = max(t.schedule.p_inside for t in found)
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
            if len(toners_of(scenario.zone(name), asked)) > 1
        },
        tried=tried,
        near=sum(t.schedule.p_inside >= top - NEAR for t in found),
        best=top,
        in_turn=searches.in_turn,
    )


def _ready(
    scenario: Scenario, ways: Sequence[Way], responses: Responses, kept: int
) -> list[_Ready]:
    """Make every way ready; of very many, those that a few strands hold worth it."""
    if len(ways) > MANY:
        few = Responses(
            responses.curves, responses.latent[[0, *range(1, len(responses.latent), SCREENED)]]
        )
        ways = _worth([_make(scenario, way, few) for way in ways], kept)
    return [_make(scenario, way, responses) for way in ways]


def _make(scenario: Scenario, way: Way, responses: Responses) -> _Ready:
    names = list(way.toners)
    works, _ = works_of(way.fill(scenario), responses, names)
    return _Ready(way, {name: works[name] for name in names})


def _worth(ready: list[_Ready], most: int) -> list[Way]:
    """The likeliest ways of a few strands; and of all nearly as likely, the mildest."""
    order = sorted(ready, key=lambda r: -r.bound)
    top = order[0].bound
    near = [r for r in order if r.bound >= top - 2.0 * NEAR]
    mild = sorted(near, key=lambda r: (_strength(r.way), sum((r.way.mixture.tone or {}).values())))
    kept = dict.fromkeys([*order[:most], *mild[: most // 2]])
    return [r.way for r in kept]


def _strength(way: Way) -> float:
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
        efforts=COARSE,
    )


def _first_of(found: Sequence[_Tried]) -> _Tried:
    """Of those nearly as likely as the likeliest, the one with the least exposure."""
    return first_of(found, lambda t: t.schedule.p_inside, lambda t: t.burden, NEAR)


def _promise(some: Sequence[_Ready]) -> tuple[float, float]:
    """What is searched first: the likeliest by zones alone; of nearly as likely the mildest."""
    bound = min(r.bound for r in some)
    return -float(bound // NEAR), sum(_strength(r.way) for r in some)


def _search_all(scenario: Scenario, ready: Sequence[Sequence[_Ready]]) -> _Searches:
    """Search the schedule of every combination that could be nearly the likeliest.

    Where there are too many, mixtures are changed one after the other as long as that is better.
    """
    most = MOST_SEARCHED[min(len(scenario.treated), len(MOST_SEARCHED)) - 1]
    in_turn = prod(len(some) for some in ready) > most
    searches = _Searches(scenario, most, in_turn)
    if in_turn:
        _climb([sorted(some, key=lambda r: _promise([r])) for some in ready], searches)
    else:
        for combined in sorted(product(*ready), key=_promise):
            searches.search(combined)
    return searches


class _Searches:
    """Combinations searched so far, each once, but what cannot be nearly the likeliest."""

    def __init__(self, scenario: Scenario, most: int, in_turn: bool) -> None:
        self.in_turn = in_turn
        self._most = most
        self._scenario = scenario
        self._done: dict[tuple[_Ready, ...], _Tried | None] = {}
        self._top = 0.0
        self._refused: LiftError | None = None

    @property
    def left(self) -> int:
        """How many may still be searched."""
        return self._most - len(self._done)

    @property
    def found(self) -> list[_Tried]:
        """Combinations that have a schedule."""
        return [tried for tried in self._done.values() if tried is not None]

    @property
    def first(self) -> _Tried:
        """Of those nearly as likely as the likeliest, the one with the least exposure."""
        if self._refused is not None and not self.found:
            raise self._refused
        return _first_of(self.found)

    def search(self, some: tuple[_Ready, ...]) -> None:
        """Search the schedule of one combination."""
        if some in self._done or (self.found and min(r.bound for r in some) < self._top - NEAR):
            return
        works = {name: work for r in some for name, work in r.works.items()}
        tasks = [works[zone.name].task() for zone in self._scenario.treated]
        try:
            tried = _Tried(some, _schedule(self._scenario, tasks))
        except LiftError as error:
            # Minutes that are fixed may go together with a quicker mixture and not with this one.
            self._refused, self._done[some] = error, None
            return
        self._done[some] = tried
        self._top = max(self._top, tried.schedule.p_inside)


def _climb(ready: Sequence[Sequence[_Ready]], searches: _Searches) -> None:
    """Change one mixture after the other to its best, from the most promising of each on."""
    now = tuple(some[0] for some in ready)
    searches.search(now)
    before: tuple[_Ready, ...] = ()
    while now != before and searches.left > 0:
        before = now
        # The mixture whose zones are least likely by themselves decides most.
        for place in sorted(range(len(now)), key=lambda i: now[i].bound):
            for other in ready[place][: searches.left]:
                searches.search((*now[:place], other, *now[place + 1 :]))
            if searches.found:
                now = searches.first.ready
