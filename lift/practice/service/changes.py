"""Changes: why no schedule keeps all inside, and what would give one, each computed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from itertools import combinations, islice

import numpy as np

from lift.errors import LiftError
from lift.model.developer import Developer, developer_choices
from lift.practice.allowed import HALVES
from lift.practice.scenario.laid_out import MAX_TREATED
from lift.practice.scenario.scenario import RINSES, Scenario, Zone
from lift.practice.schedule.response import Responses
from lift.practice.schedule.search import COARSE, EXACT, FINE, Effort
from lift.practice.schedule.solve import Service, solve
from lift.practice.schedule.work import ZoneWork
from lift.practice.service.after_rinse import toning_times
from lift.words import Note, note

Variant = tuple[Note, Scenario]
"""What to change, and the scenario so changed."""

Way = Callable[[Scenario, tuple[str, ...]], Iterator[Variant]]
"""Every change of one kind to some zones of a scenario."""

MOST_ZONES = (4, 3, 3, 2)
"""Zones that changes are tried on, the least likely, where a mixture goes on one zone, two, and so
on, and on many as on the last: the more zones, the longer each trial takes."""

MOST_PAIRS = 600
"""Trials of two changes at once, shared out: so many by the number of zones."""

RAISED = 0.1
"""By how much a change must raise the probability to be worth telling, where a plan exists."""


def failing_zones(service: Service) -> tuple[str, ...]:
    """Zones that cannot be inside as planned, alone or together with others."""
    alone = [name for name, work in service.works.items() if zone_reason(work) is not None]
    if alone:
        return tuple(alone)
    return tuple(dict.fromkeys(name for pair in _clashes(service) for name in pair))


def reasons(service: Service) -> tuple[Note, ...]:
    """Why there is no schedule, where the expected strands are not all inside."""
    found = [why for work in service.works.values() if (why := zone_reason(work)) is not None]
    found = found or [_clash(service, pair) for pair in _clashes(service)]
    return tuple(found) or (note("plan.reason.not_at_once"),)


def zone_reason(work: ZoneWork) -> Note | None:
    """Why a zone cannot be inside even alone; None when it can."""
    task, laying = work.task(), work.laying
    opens, closes, by = work.opens[0], work.closes[0], work.closes_by
    earliest, latest = float(task.earliest[0]), float(task.latest[0])
    if max(earliest, task.laying) < latest:
        return None
    zone = {"zone": work.zone.name, "goal": work.target.name}
    limit = work.response.limit_minutes
    worst = int(np.argmax(opens - closes))
    if not np.isfinite(opens[worst]) or opens[worst] >= limit:
        left = float(laying.strength[worst])
        return note("plan.reason.unreached", **zone, section=worst + 1, limit=limit, left=left)
    if np.any(opens >= closes):
        times = {"closes": float(closes[worst]), "opens": float(opens[worst])}
        return note("plan.reason.no_window", **zone, section=worst + 1, by=by[worst], **times)
    first = int(np.argmin(laying.offset + closes))
    closing = {"section": first + 1, "by": by[first], "closes": latest}
    if latest <= task.laying:
        return note("plan.reason.laid_late", **zone, **closing, laid=task.laying)
    last = int(np.argmax(laying.offset + opens))
    return note(
        "plan.reason.apart",
        **zone,
        **closing,
        last=last + 1,
        laid=float(laying.starts[last]),
        opens=earliest,
        width=float(np.min(closes - opens)),
    )


def _clashes(service: Service) -> list[tuple[str, str]]:
    """Pairs that cannot be rinsed together in either order (expected strands)."""
    if not service.scenario.salon.together:
        return []
    return [
        (one, two)
        for one, two in combinations(service.works, 2)
        if not (_allows(service, one, two) or _allows(service, two, one))
    ]


def _allows(service: Service, first: str, second: str) -> bool:
    """Whether one zone can be laid before another and both be inside at one rinse."""
    order = service.scenario.salon.order
    if order and order.index(first) > order.index(second):
        return False
    one, two = service.works[first].task(), service.works[second].task()
    changeover = service.scenario.values["changeover_minutes"]
    shortest = max(float(two.earliest[0]), two.laying)
    return float(one.latest[0]) - shortest > one.laying + changeover


def _clash(service: Service, pair: tuple[str, str]) -> Note:
    values: dict[str, object] = {}
    for which, name in zip(("one", "two"), pair, strict=True):
        task = service.works[name].task()
        values |= {
            which: name,
            f"{which}_from": float(task.earliest[0]),
            f"{which}_to": float(task.latest[0]),
            f"{which}_laying": task.laying,
        }
    return note("plan.reason.clash", **values)


@dataclass(frozen=True)
class Change:
    """A change to the scenario, computed.

    `kinds` holds one of `Trials.ways`, or two that are made together, and `parts` what to change,
    one for each, which makes the scenario the `changed` one. It `works` when all expected strands
    are then inside; `cost` is the person-minutes it adds until all is rinsed, a further bowl
    counted with its mixing [min]; `total_minutes` has the toning after it.
    """

    kinds: tuple[str, ...]
    parts: tuple[Note, ...]
    changed: Scenario = field(compare=False, repr=False)
    works: bool
    p_inside: float
    total_minutes: float
    cost: float

    @property
    def kind(self) -> Note:
        """Its kinds, to be said."""
        names = [note(f"plan.change.kind.{kind}") for kind in self.kinds]
        return names[0] if len(names) == 1 else note("plan.change.both", one=names[0], two=names[1])

    @property
    def text(self) -> Note:
        """What to change, to be said in a sentence."""
        if len(self.parts) == 1:
            return note("plan.change.one", change=self.parts[0])
        return note("plan.change.two", change=self.parts[0], more=self.parts[1])


@dataclass(frozen=True, eq=False)
class Trials:
    """What changes are tried against: a solved service, and the responses all trials share.

    Zones that are `toned` and nothing else are so whatever is changed; their names take time.
    """

    service: Service
    responses: Responses
    toned: tuple[str, ...] = ()

    def judge(
        self,
        kinds: tuple[str, ...],
        parts: tuple[Note, ...],
        changed: Scenario,
        efforts: Sequence[Effort] = FINE,
    ) -> Change:
        """Plan the changed scenario, finely or coarsely, and tell what it gives and costs."""
        base = self.service.scenario
        service = solve(changed, self.responses, efforts)
        schedule = service.schedule
        more_bowls = _bowls(changed) - _bowls(base)
        person_minutes = schedule.total * (1 + changed.salon.assistants)
        before = self.service.schedule.total * (1 + base.salon.assistants)
        return Change(
            kinds=kinds,
            parts=parts,
            changed=changed,
            works=schedule.expected_inside,
            p_inside=schedule.p_inside,
            total_minutes=_all_toned(service, self.toned),
            cost=person_minutes - before + more_bowls * base.values["changeover_minutes"],
        )

    @cached_property
    def ways(self) -> Mapping[str, Way]:
        """Kinds of change, in the order in which they are tried, and what makes those of each."""
        shelf = developer_choices(self.responses.curves.mixtures.developers, HALVES)
        return {
            "weaker": partial(_weaker, shelf),
            "bowls": _two_bowls,
            "in_order": _in_order,
            "by_zone": _by_zone,
            "split": _split,
            "assistant": _assistant,
        }

    def variants(self, kind: str, base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
        """A scenario changed in every way of one kind, as far as its own rules allow."""
        names = {z.name for z in base.treated}
        # A change that the scenario's own rules refuse is none.
        with suppress(LiftError):
            yield from self.ways[kind](base, tuple(n for n in failing if n in names))

    def of_kind(self, kind: str, zones: tuple[str, ...]) -> list[Change]:
        """Every change of one kind to some zones, judged coarsely where there are many."""
        variants = self.variants(kind, self.service.scenario, zones)
        return [self.judge((kind,), (part,), made, self.efforts) for part, made in variants]

    @property
    def efforts(self) -> Sequence[Effort]:
        """How a trial is searched: of one or two zones as what is told."""
        return FINE if len(self.service.works) <= EXACT else COARSE

    def finely(self, change: Change) -> Change:
        """A change as it is told."""
        if self.efforts is FINE:
            return change
        return self.judge(change.kinds, change.parts, change.changed)

    def weakest(self, names: Sequence[str]) -> tuple[str, ...]:
        """Of some zones those that changes are tried on."""
        most = MOST_ZONES[min(len(self.service.works), len(MOST_ZONES)) - 1]
        return tuple(sorted(names, key=self.service.p_inside)[:most])


def _all_toned(service: Service, toned: tuple[str, ...]) -> float:
    """When all is rinsed, and toned [min]."""
    scenario = service.scenario
    names = [z.name for z in scenario.treated if z.laid_on is not None]
    toning = toning_times((*names, *toned), service.all_rinsed, scenario.values)
    return toning[-1].ends if toning else service.all_rinsed


def _bowls(scenario: Scenario) -> int:
    return sum(z.placement.bowls for z in scenario.treated)


def make_possible(trials: Trials) -> tuple[Change, ...]:
    """Try the changes that could give a schedule where there is none.

    Each kind is tried by itself; when none works, every two of them, until one does. Those that
    work come first, the cheapest at the head, then those that do not.
    """
    failing = trials.weakest(failing_zones(trials.service) or tuple(trials.service.works))
    found = []
    for kind in trials.ways:
        tried = trials.of_kind(kind, failing)
        working = [c for c in tried if c.works]
        if working:
            found.append(min(working, key=lambda c: c.cost))
        elif tried:
            found.append(max(tried, key=lambda c: c.p_inside))
    if not any(c.works for c in found):
        found += _pair(trials, failing)
    found = [trials.finely(c) for c in found]
    return tuple(sorted(found, key=lambda c: (not c.works, c.cost)))


def make_likelier(trials: Trials) -> tuple[Change, ...]:
    """Try the changes that could raise the probability of a schedule that exists.

    They are tried on the zone that is least likely to be inside; those that raise it by `RAISED`
    or more are told, the likeliest first.
    """
    service = trials.service
    weakest = min(service.works, key=service.p_inside)
    tried = [change for kind in trials.ways for change in trials.of_kind(kind, (weakest,))]
    worth = [c for c in tried if c.works and c.p_inside >= service.schedule.p_inside + RAISED]
    best = {c.kinds: c for c in sorted(worth, key=lambda c: c.p_inside)}
    return tuple(sorted(map(trials.finely, best.values()), key=lambda c: -c.p_inside))


def _pair(trials: Trials, failing: tuple[str, ...]) -> list[Change]:
    most = MOST_PAIRS // len(trials.service.works)
    for kinds, parts, changed in islice(_pairs(trials, failing), most):
        change = trials.judge(kinds, parts, changed, trials.efforts)
        if change.works:
            return [change]
    return []


def _pairs(
    trials: Trials, failing: tuple[str, ...]
) -> Iterator[tuple[tuple[str, str], tuple[Note, Note], Scenario]]:
    base = trials.service.scenario
    for one, two in combinations(trials.ways, 2):
        for part, changed in trials.variants(one, base, failing):
            for more, both in trials.variants(two, changed, failing):
                yield (one, two), (part, more), both


def _weaker(
    shelf: tuple[Developer, ...], base: Scenario, failing: tuple[str, ...]
) -> Iterator[Variant]:
    for name in failing:
        zone = base.zone(name)
        mixture = base.mixtures[zone.mixture or ""]
        own = float(mixture.developer_volume)
        # The strongest that does it comes first: it asks least of everything else.
        for developer in reversed(shelf):
            if developer.volume < own - 1e-9:
                key = f"{zone.mixture}/{developer.volume:g}"
                weaker = {**base.mixtures, key: mixture.replace(volume=developer.volume)}
                changed = base.replace(mixtures=weaker).replace_zone(name, mixture=key)
                said = {"volume": developer.volume, "developer": developer.note}
                yield note("plan.change.weaker", **said, own=own, zone=name), changed


def _two_bowls(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    for name in failing:
        placement = base.zone(name).placement
        if placement.bowls < placement.sections:
            more = placement.bowls + 1
            yield (
                note("plan.change.bowls", bowls=more, zone=name, now=placement.bowls),
                base.replace_zone(name, placement=replace(placement, bowls=more)),
            )


def _in_order(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    for name in failing:
        placement = base.zone(name).placement
        # At the pace at which they went on, all sections stay equally long.
        pace = placement.seconds_per_section / base.salon.working_speed
        pace = min(pace / (1 + base.salon.assistants), 900.0)
        if placement.sections > 1 and placement.rinse_seconds_per_section < pace - 1e-9:
            slower = replace(placement, rinse_seconds_per_section=pace)
            yield (
                note("plan.change.in_order", zone=name, seconds=pace),
                base.replace_zone(name, placement=slower),
            )


def _by_zone(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    if base.salon.together and len(base.treated) > 1:
        salon = replace(base.salon, rinse=RINSES[1])
        yield note("plan.change.by_zone"), base.replace(salon=salon)


def _split(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    for name in failing:
        sections = base.zone(name).placement.sections
        if sections < 2 or len(base.treated) >= MAX_TREATED or base.salon.order:
            continue
        halves = (sections + 1) // 2, sections // 2
        zones: list[Zone] = []
        for zone in base.zones:
            zones += _halves(zone, halves) if zone.name == name else [zone]
        salon = replace(base.salon, rinse=RINSES[1])
        yield (
            note("plan.change.split", zone=name, first=halves[0], second=halves[1]),
            base.replace(zones=tuple(zones), salon=salon),
        )


def _halves(zone: Zone, halves: tuple[int, int]) -> list[Zone]:
    placement = zone.placement
    return [
        replace(
            zone,
            name=f"{zone.name}{mark}",
            share=zone.share * half / placement.sections,
            placement=replace(placement, sections=half, bowls=min(placement.bowls, half)),
        )
        for mark, half in zip(("", "/2"), halves, strict=True)
    ]


def _assistant(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    if base.salon.assistants < 3:
        more = base.salon.assistants + 1
        salon = replace(base.salon, assistants=more)
        code = "plan.change.assistant" if more == 1 else "plan.change.assistants"
        yield note(code, assistants=more), base.replace(salon=salon)
