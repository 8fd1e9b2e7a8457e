"""Changes: what would give a schedule, each one computed, the cheapest first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

from lift.errors import Floats, LiftError
from lift.model.curves import CurveSet
from lift.practice.advice import WEAKER_VOLUMES
from lift.practice.service.plan_parts import Change
from lift.practice.service.reasons import failing_zones
from lift.practice.service.response import Response
from lift.practice.service.scenario import MAX_TREATED, Scenario
from lift.practice.service.service import Service, solve
from lift.practice.service.zone import Zone

RAISED = 0.1
"""By how much a change must raise the probability to be worth telling, where a plan exists."""


@dataclass(frozen=True, eq=False)
class Trials:
    """What changes are tried against.

    Parameters
    ----------
    service : Service
        As planned.
    curves : CurveSet
        Curve set.
    latent : numpy.ndarray
        Deviates, the expected strand's first, shape (1 + members, 4).
    known : dict
        Responses worked out so far, shared by all trials.
    """

    service: Service
    curves: CurveSet
    latent: Floats
    known: dict[Any, Response]

    def judge(self, kind: str, text: str, changed: Scenario) -> Change:
        """Plan the changed scenario and tell what it gives and costs."""
        base = self.service.scenario
        schedule = solve(changed, self.curves, self.latent, self.known).schedule
        more_bowls = _bowls(changed) - _bowls(base)
        person_minutes = schedule.total * (1 + changed.salon.assistants)
        before = self.service.schedule.total * (1 + base.salon.assistants)
        return Change(
            kind=kind,
            text=text,
            works=schedule.expected_inside,
            p_inside=schedule.p_inside,
            total_minutes=schedule.total,
            cost=person_minutes - before + more_bowls * base.values["changeover_minutes"],
        )

    def best(self, kind: str, zones: tuple[str, ...]) -> Change | None:
        """The best change of one kind: the cheapest that works, else the likeliest."""
        base = self.service.scenario
        tried = [self.judge(kind, *variant) for variant in _variants(kind, base, zones)]
        working = [c for c in tried if c.works]
        if working:
            return min(working, key=lambda c: c.cost)
        return max(tried, key=lambda c: c.p_inside, default=None)


def _bowls(scenario: Scenario) -> int:
    return sum(z.placement.bowls for z in scenario.treated)


def make_possible(trials: Trials) -> tuple[Change, ...]:
    """Try the changes that could give a schedule where there is none.

    Each kind is tried by itself; when none works, every two of them, until one does.

    Parameters
    ----------
    trials : Trials
        With a service whose expected strands are not all inside.

    Returns
    -------
    tuple of Change
        Those that work, the cheapest first, then those that do not.
    """
    failing = failing_zones(trials.service) or tuple(trials.service.works)
    found = [c for kind in KINDS if (c := trials.best(kind, failing)) is not None]
    if not any(c.works for c in found):
        found += _pair(trials, failing)
    return tuple(sorted(found, key=lambda c: (not c.works, c.cost)))


def make_likelier(trials: Trials) -> tuple[Change, ...]:
    """Try the changes that could raise the probability of a schedule that exists.

    They are tried on the zone that is least likely to be inside.

    Parameters
    ----------
    trials : Trials
        With a service whose expected strands are all inside.

    Returns
    -------
    tuple of Change
        Those that raise it by `RAISED` or more, the likeliest first.
    """
    service = trials.service
    weakest = min(service.works, key=service.p_inside)
    tried = [
        trials.judge(kind, *variant)
        for kind in KINDS
        for variant in _variants(kind, service.scenario, (weakest,))
    ]
    worth = [c for c in tried if c.works and c.p_inside >= service.schedule.p_inside + RAISED]
    best = {c.kind: c for c in sorted(worth, key=lambda c: c.p_inside)}
    return tuple(sorted(best.values(), key=lambda c: -c.p_inside))


def _pair(trials: Trials, failing: tuple[str, ...]) -> list[Change]:
    base = trials.service.scenario
    for one, two in combinations(KINDS, 2):
        for text, changed in _variants(one, base, failing):
            for more, both in _variants(two, changed, failing):
                text_of_both = f"{text[:-1]}; {more[0].lower()}{more[1:]}"
                change = trials.judge(f"{one} and {two}", text_of_both, both)
                if change.works:
                    return [change]
    return []


Variant = tuple[str, Scenario]


def _weaker(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    for name in failing:
        zone = base.zone(name)
        mixture = base.mixtures[zone.mixture or ""]
        parts = float(mixture.developer_parts)
        own = float(mixture.on_head_volume) * (1.0 + parts) / parts
        for volume in (v for v in WEAKER_VOLUMES if v < own - 1e-9):
            key = f"{zone.mixture} {volume:g} vol"
            weaker = {**base.mixtures, key: mixture.replace(volume=volume)}
            changed = base.replace(mixtures=weaker).replace_zone(name, mixture=key)
            yield f"{volume:g} vol instead of {own:g} vol on {name}.", changed


def _two_bowls(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    for name in failing:
        placement = base.zone(name).placement
        if placement.bowls < placement.sections:
            more = replace(placement, bowls=placement.bowls + 1)
            yield (
                f"{placement.bowls + 1} fresh bowls for {name} instead of {placement.bowls}.",
                base.replace_zone(name, placement=more),
            )


def _split(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    for name in failing:
        zone = base.zone(name)
        sections = zone.placement.sections
        if sections < 2 or len(base.treated) >= MAX_TREATED or base.salon.order:
            continue
        halves = (sections + 1) // 2, sections // 2
        zones: list[Zone] = []
        for other in base.zones:
            if other.name != name:
                zones.append(other)
                continue
            zones += [
                replace(
                    zone,
                    name=name if part == 0 else f"{name}, second half",
                    share=zone.share * half / sections,
                    placement=replace(
                        zone.placement, sections=half, bowls=min(zone.placement.bowls, half)
                    ),
                )
                for part, half in enumerate(halves)
            ]
        split = base.replace(zones=tuple(zones), salon=replace(base.salon, rinse="zone by zone"))
        yield (
            f"Split {name} into halves of {halves[0]} and {halves[1]} sections, each from a fresh "
            "bowl and rinsed at its own moment.",
            split,
        )


def _assistant(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    if base.salon.assistants < 3:
        more = base.salon.assistants + 1
        who = "an assistant lays" if more == 1 else f"{more} assistants lay"
        yield (
            f"{who[0].upper()}{who[1:]} sections at the same time.",
            base.replace(salon=replace(base.salon, assistants=more)),
        )


def _as_laid(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    for name in failing:
        placement = base.zone(name).placement
        # At the pace at which they went on, all sections stay equally long.
        pace = placement.seconds_per_section / base.salon.working_speed
        pace = min(pace / (1 + base.salon.assistants), 900.0)
        if placement.sections > 1 and placement.rinse_seconds_per_section < pace - 1e-9:
            yield (
                f"Rinse {name} section by section in the order laid, one every {pace:.0f} s.",
                base.replace_zone(
                    name, placement=replace(placement, rinse_seconds_per_section=pace)
                ),
            )


def _by_zone(base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    if base.salon.rinse == "together" and len(base.treated) > 1:
        yield (
            "Rinse each zone at its own moment instead of all together.",
            base.replace(salon=replace(base.salon, rinse="zone by zone")),
        )


KINDS = {
    "weaker developer": _weaker,
    "two bowls": _two_bowls,
    "rinse in the order laid": _as_laid,
    "rinse zone by zone": _by_zone,
    "split the zone": _split,
    "assistant": _assistant,
}


def _variants(kind: str, base: Scenario, failing: tuple[str, ...]) -> Iterator[Variant]:
    names = {z.name for z in base.treated}
    try:
        yield from KINDS[kind](base, tuple(n for n in failing if n in names))
    except LiftError:
        # A change that the scenario's own rules refuse is none.
        return
