"""After-care: what to tell a client about her hair, decided by what was done to it.

In general words: no product is named. Each piece of advice stands beside where it comes from.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from lift.chemistry.tone_kinds import TONE_KINDS
from lift.practice.scenario.scenario import Scenario, Toner
from lift.practice.service.outcome import MIXTURE_TONE
from lift.practice.visit.marks import clocked_toners
from lift.practice.visit.visit import Visit
from lift.words import Note, note

POROUS_FROM = 9.0
"""Level from which lightened hair is called porous here: common practice (no source)."""

OPEN_HAIR = "high"
"""Answer of a consultation for hair that is porous."""

_PRACTICE = note("evidence.practice")


@dataclass(frozen=True)
class Care:
    """One piece of advice, and where it comes from; both to be said."""

    said: Note
    source: Note


@dataclass(frozen=True)
class Done:
    """What was done to the hair, as far as it decides the advice.

    Whether it was `lightened`, now or before; which kinds of tone it carries, of `TONE_KINDS`;
    whether it is `porous`: lightened more than once, or lightened far.
    """

    lightened: bool
    toned: frozenset[str]
    porous: bool


def what_was_done(scenario: Scenario, toned: Collection[str] = (), porous: bool = False) -> Done:
    """What a service does to hair that it lightens, tones, or finds lightened before.

    `toned` are kinds of toner that are laid on; tone of a mixture counts by itself.

    Examples
    --------
    >>> from lift.practice.scenario.scenario_file import load_scenario
    >>> what_was_done(load_scenario("shared/blonde_refresh.toml")).porous
    True
    """
    mixtures = [scenario.mixtures[zone.mixture] for zone in scenario.treated if zone.mixture]
    before = [zone.hair.lightened_to for zone in scenario.zones]
    again = any(zone.hair.lightened_to is not None for zone in scenario.treated)
    far = any(level is not None and float(level) >= POROUS_FROM for level in before)
    kinds = set(toned)
    if any(dose > 0.0 for mixture in mixtures for dose in (mixture.tone or {}).values()):
        kinds.add(MIXTURE_TONE)
    return Done(
        lightened=bool(mixtures) or any(level is not None for level in before),
        toned=frozenset(kinds),
        porous=porous or again or far,
    )


def done_at(visit: Visit) -> Done:
    """What a visit did to hair: the toners that are named, and those that the clock has laid on."""
    laid = clocked_toners(visit)
    toners = [zone.laid_on or Toner() for zone in visit.scenario.zones if zone.name in laid]
    toners += [
        toner
        for zone in visit.scenario.zones
        if (toner := zone.laid_on) is not None and not zone.goal.leave
    ]
    porous = visit.consultation.porous == OPEN_HAIR
    return what_was_done(visit.scenario, {toner.kind for toner in toners}, porous)


def after_care(done: Done) -> tuple[Care, ...]:
    """Advice for a client, what may hurt first.

    Examples
    --------
    >>> [each.said.code for each in after_care(Done(False, frozenset({"direct"}), False))]
    ['care.pain', 'care.first_wash', 'care.direct', 'care.sun']
    """
    found = [Care(note("care.pain"), _PRACTICE)]
    if done.lightened:
        found.append(_published("acid"))
    if done.toned:
        found.append(Care(note("care.first_wash"), _PRACTICE))
    found += [
        Care(note(f"care.{name}"), kind.source)
        for name, kind in TONE_KINDS.items()
        if name in done.toned
    ]
    if done.lightened or done.toned:
        found.append(_published("sun"))
    if done.lightened:
        found += map(_published, ("heat", "pool"))
    if done.porous:
        found.append(_published("comb"))
    return tuple(found)


def _published(what: str) -> Care:
    return Care(note(f"care.{what}"), note(f"care.source.{what}"))
