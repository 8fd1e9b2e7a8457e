"""Options of a visit: what to use on all its zones together, planned and ranked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice, product

from lift.errors import LiftError, LimitError
from lift.model.curves import CurveSet, default_curves
from lift.model.ensemble import MEMBERS, draw_latent
from lift.model.mixture import Mixture
from lift.practice.allowed import Allowed
from lift.practice.consulted import AWAY, Consulted
from lift.practice.goal import Blend, Goal, Tone
from lift.practice.ranking import ranked
from lift.practice.scenario.laid_out import ready
from lift.practice.scenario.scenario import Scenario, Zone
from lift.practice.schedule.choose import settle
from lift.practice.schedule.response import Responses, deck
from lift.practice.schedule.search import NEAR
from lift.practice.service.plan import Plan, plan
from lift.words import Note, note

MOST_OPTIONS = 5
MOST_PLANNED = 6
"""Combinations of classes that are planned, those that suit each zone best first: a plan takes most
of a second."""

FEW = 32
"""Strands by which developers, tones and toners are chosen."""


@dataclass(frozen=True, eq=False)
class VisitOption:
    """One way to do all zones.

    Parameters
    ----------
    kinds : mapping of str to str
        Class of mixture of each zone that was open.
    plan : Plan
        What comes of it; its scenario has nothing open.
    """

    kinds: Mapping[str, str]
    plan: Plan

    @property
    def burden(self) -> tuple[float, ...]:
        """What it asks of hair and hands, to be compared: the least is best."""
        zones = self.plan.zones
        used = [self.plan.scenario.mixture_on(z.zone) for z in zones]
        dose = sum(float(m.on_head_volume) * z.minutes for m, z in zip(used, zones, strict=True))
        return (
            float(sum(m.chemistry.oxidant == "persulfate" for m in used)),
            float(sum(z.bowl.bowls for z in zones)),
            round(dose, 3),
            float(sum(bool(z.toner) for z in zones)),
        )

    @property
    def slack(self) -> Mapping[str, float]:
        """How late the rinse of each zone may be [min]."""
        return {z.zone.name: max(0.0, z.latest_safe - z.rinsed) for z in self.plan.zones}


@dataclass(frozen=True, eq=False)
class VisitOptions:
    """Ways to do a visit, the best first.

    Parameters
    ----------
    open_zones : tuple of str
        Zones whose mixture was open.
    untold : tuple of str
        Zones of which nobody has said what they are to become; they stay as they are.
    options : tuple of VisitOption
        Up to five that differ in the kinds of their mixtures.
    refused : tuple of Note
        Why a zone has no way.
    """

    open_zones: tuple[str, ...]
    untold: tuple[str, ...]
    options: tuple[VisitOption, ...]
    refused: tuple[Note, ...]


def is_open(zone: Zone) -> bool:
    """Whether a mixture is to be chosen: something is wished, and it is more than toning."""
    said = zone.goal.said and not zone.goal.leave
    return said and zone.mixture is None and not isinstance(zone.goal.goal, Tone)


def visit_options(
    scenario: Scenario,
    curves: CurveSet | None = None,
    *,
    consulted: Consulted | None = None,
    powder: bool | None = None,
    members: int = MEMBERS,
) -> VisitOptions:
    """Find what to mix for every zone of a visit whose mixture is open.

    Classes that suit each zone's wish are combined; developer, carried tone, toner and schedule of
    each combination are chosen by its plan, for all zones together. Ranked by the chance that every
    section is inside; of those within `NEAR` of the likeliest by persulfate, bowls, exposure and
    toners, the least first.

    Parameters
    ----------
    scenario : Scenario
        Hair and wishes; zones that have a mixture keep it.
    curves : CurveSet, optional
        Default: the shipped set.
    consulted : Consulted, optional
        What the client's answers refuse.
    powder : bool, optional
        Whether mixtures with persulfate; None: where the wish is to lighten, and in foils.
    members : int
        Size of the ensemble.

    Raises
    ------
    LiftError
        Where nothing is to be done, or no combination can be planned.
    LimitError
        Where the client's answers refuse all that could be.

    Examples
    --------
    >>> from lift import Hair
    >>> from lift.practice.scenario.scenario import ZoneGoal
    >>> from lift.practice.goal import Lighten
    >>> wish = ZoneGoal(Lighten(level=8))
    >>> hair = Zone("lengths", Hair(6), goal=wish)
    >>> found = visit_options(Scenario("", (hair,), {}), members=20)
    >>> [option.kinds["lengths"] for option in found.options]
    ['powder', 'cream']
    """
    curves, asked = curves or default_curves(), consulted or Consulted()
    zones = [zone for zone in scenario.zones if is_open(zone)]
    untold = tuple(z.name for z in scenario.zones if not z.goal.said and not z.treated)
    if not zones and not scenario.treated:
        raise LiftError("visit.options.none", untold=untold)
    kinds, refused = {}, []
    for zone in zones:
        allowed = Allowed(powder=powder, consulted=asked, along=zone.along)
        try:
            kinds[zone.name] = _kinds(zone, allowed, curves)
        except LimitError as error:
            refused.append(note("visit.options.refused", zone=zone.name, why=error.note))
    if zones and not kinds and not scenario.treated:
        raise LimitError("visit.options.all_refused", why=refused)
    few = Responses(curves, deck(draw_latent(min(FEW, members)), prior=True))
    found, problem = [], None
    for some in islice(_combined(kinds), MOST_PLANNED):
        try:
            # What is chosen by a few strands is judged by all of them.
            settled, _ = settle(ready(_filled(scenario, some, curves)), few, asked)
            made = plan(settled, curves, members=members, consulted=asked)
        except LiftError as error:
            problem = error
            continue
        found.append(VisitOption(some, made))
    if not found and problem is not None:
        raise problem
    best = ranked(found, lambda o: o.plan.p_inside, lambda o: o.burden, NEAR)[:MOST_OPTIONS]
    return VisitOptions(tuple(kinds), untold, tuple(best), tuple(refused))


def _kinds(zone: Zone, allowed: Allowed, curves: CurveSet) -> list[str]:
    """Classes that suit a zone's wish, the mildest first."""
    goal: Goal = Blend() if zone.goal.match is not None else zone.goal.goal
    # Off the scalp persulfate may soften, too.
    if allowed.powder is None and zone.along in AWAY and isinstance(goal, Blend):
        allowed = replace(allowed, powder=True)
    of = allowed.suited(goal.intent, curves)
    return [each.name for each in sorted(of, key=lambda c: c.oxidant == "persulfate")]


def _combined(kinds: Mapping[str, Sequence[str]]) -> Iterator[dict[str, str]]:
    """Classes for all zones together: first those that stand first for each."""
    places = product(*(range(len(some)) for some in kinds.values()))
    for way in sorted(places, key=lambda way: (sum(way), way)):
        yield {name: kinds[name][place] for name, place in zip(kinds, way, strict=True)}


def _filled(scenario: Scenario, kinds: Mapping[str, str], curves: CurveSet) -> Scenario:
    """Scenario with a mixture for each open zone, its developer and tone left to the plan."""
    mixtures, to_choose = dict(scenario.mixtures), dict(scenario.to_choose)
    zones = []
    for zone in scenario.zones:
        if zone.name in kinds:
            of = curves.mixtures[kinds[zone.name]]
            name = _free(zone.name, mixtures)
            mixtures[name] = Mixture(of)
            to_choose[name] = ("volume", "tone") if of.tone else ("volume",)
            zone = replace(zone, mixture=name)
        elif is_open(zone):
            zone = replace(zone, goal=replace(zone.goal, leave=True))
        zones.append(zone)
    return scenario.replace(zones=tuple(zones), mixtures=mixtures, to_choose=to_choose)


def _free(name: str, taken: Mapping[str, Mixture]) -> str:
    while name in taken:
        name += "'"
    return name
