"""What to change when a window is missing or narrow: the search for a goal, one thing changed.

Only what can be bought, or mixed half and half of it, is told, and only what does clearly better.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from lift.model.curves import CurveSet
from lift.model.developer import Developer, nearest_developer
from lift.model.ensemble import draw_latent
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.allowed import HALVES, Allowed, carried_tones, mixture_of
from lift.practice.chances import Chance, Chances, strands_of
from lift.practice.target import Target
from lift.practice.window import Window
from lift.words import Note, note

NARROW_MINUTES = 3.0
"""A window that is as wide needs no advice [min]: two hands rinse in it without haste (assumed)."""

CLEARLY = 0.1
"""By how much a change must raise the chance of being inside to be told (assumed)."""

FEW = 4
"""One member in so many is enough to advise by."""


@dataclass(frozen=True, eq=False)
class Advice:
    """One change, and what it does.

    Parameters
    ----------
    change : str
        ``developer``, ``tone``, ``mixture``, ``toner`` or ``none``.
    note : Note
        One sentence for the stylist, yet to be said.
    chance : Chance or None
        How likely strands are inside then, minute by minute.
    """

    change: str
    note: Note
    chance: Chance | None = None


def advise(
    hair: Hair,
    mixture: Mixture,
    window: Window,
    curves: CurveSet,
    latent: ArrayLike | None = None,
    allowed: Allowed | None = None,
) -> tuple[Advice, ...]:
    """Try the changes that could make a goal likelier; none where the window is wide enough.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    window : Window
        Of these, for the goal.
    curves : CurveSet
        The numbers behind.
    latent : array_like, optional
        Deviates of the strands, shape (members, 5); default: drawn.
    allowed : Allowed, optional
        What may be advised; default: what suits the goal.
    """
    if window.exists and window.width >= NARROW_MINUTES:
        return ()
    deviates = draw_latent() if latent is None else np.asarray(latent)
    chances = Chances(strands_of(hair, curves, deviates[::FEW]), window.limit_minutes)
    now = chances.chance(mixture, window.target).p_best
    found: dict[str, Advice] = {}
    for each in _tried(chances, mixture, window.target, now, allowed or Allowed()):
        known = found.get(each.change)
        if known is None or _p(each) > _p(known):
            found[each.change] = each
    better = [each for each in found.values() if _p(each) >= now + CLEARLY]
    ordered = tuple(sorted(better, key=lambda each: -_p(each)))
    return ordered or (Advice("none", note("advice.none", goal=window.target.name)),)


def _p(each: Advice) -> float:
    return 0.0 if each.chance is None else each.chance.p_best


def _tried(
    chances: Chances, mixture: Mixture, target: Target, now: float, allowed: Allowed
) -> Iterator[Advice]:
    curves, own, of = chances.strands.curves, float(mixture.developer_volume), mixture.chemistry

    def told(change: str, one: Chance, **values: object) -> Advice:
        first, best, last = one.rinse
        numbers = {"first": first, "best": best, "last": last, "p": one.p_best, "now": now}
        return Advice(change, note(f"advice.{change}", **values, **numbers), one)

    for developer in allowed.developers(of, curves):
        if abs(developer.volume - own) > 1e-9:
            one = chances.chance(mixture.replace(volume=_volume(developer)), target)
            yield told("developer", one, developer=developer.note)
    tones = [*carried_tones(of)]
    for tone, one in zip(
        tones, chances.carried(mixture, tones, target) if tones else (), strict=True
    ):
        dye, dose = next(iter(tone.items()), ("", 0.0))
        yield told("tone" if dye else "bare", one, dye=dye, dose=dose)
    for other in Allowed().classes(target, curves):
        if other != of and allowed.refused(other) is None:
            developer = nearest_developer(own, curves.mixtures.developers, HALVES)
            most = other.bound("volume").usual_high
            if developer.volume <= most:
                another = mixture_of(other, developer)
                another = another.replace(temperature_c=mixture.temperature_c)
                one = chances.chance(another, target)
                yield told("mixture", one, kind=other.name, developer=developer.note)
    if target.wanted is not None and not target.toned and allowed.toner:
        yield told("toner", chances.chance(mixture, replace(target, toned=True)))


def _volume(developer: Developer) -> object:
    return developer.parts if developer.mixed else developer.volume
