"""Options: the ways to meet a goal in one sitting, searched and ranked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, LimitError
from lift.model.curves import CurveSet, default_curves
from lift.model.developer import Developer
from lift.model.ensemble import MEMBERS, SEED, check_latent, draw_latent, expected_strand
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import NaturalPath, path_of
from lift.model.strand import hair_pigment, lightened, strand_lab
from lift.model.trajectory import simulate
from lift.optics.colorimetry import delta_e_2000, lab_tuple
from lift.practice.allowed import Allowed, mixture_of
from lift.practice.cautions import cautions
from lift.practice.chances import Chance, Chances, Strands, strands_of
from lift.practice.goal import Goal, Lighten, Tone
from lift.practice.overprocessing import overprocessed
from lift.practice.ranking import first_of, ranked
from lift.practice.target import Target, resolve_goal
from lift.practice.toned import toned
from lift.practice.window import LIMIT_MINUTES
from lift.quantities import Lab
from lift.results import Result
from lift.words import Note

MOST_OPTIONS = 5

NEAR = 0.02
"""Difference in probability that is none: an ensemble of 160 knows it no better (assumed)."""

REACHED = 0.5
"""Chance below which a goal is not reached in one sitting (assumed): it is as likely missed."""

SCREENED = 8
"""One strand in so many is enough to see which carried tones are worth all of them."""

KEPT = 5
"""Carried tones of each developer that all strands are asked about."""

FIRST = 0.1
"""Share of the strands that are inside when it is time to look (assumed)."""


@dataclass(frozen=True, eq=False, repr=False)
class Option(Result):
    """One way to meet a goal.

    Parameters
    ----------
    mixture : Mixture or None
        What to mix; None: nothing, toning only.
    developer : Developer or None
        How its developer is poured.
    tone : mapping of str to float
        Dose of each dye that the mixture carries [0.01 absorption per fibre radius].
    rinse_from, best, rinse_until : float
        When to rinse [min].
    p_inside : float
        Chance of being inside at the best minute [-].
    p_met : float
        The same for a rinse that may come a minute late [-]: what options are ranked by.
    before, after : tuple of float
        CIELAB of the expected strand at the best minute, and after toning (D65, 10 degrees).
    level, level_after : float
        Levels of natural hair as light as these [-].
    follows : bool
        Whether a toner is to follow.
    toner : mapping of str to float
        Dose of its dye [0.01 absorption per fibre radius]; empty: there is nothing to tone.
    risk : str
        What goes wrong first, if it goes wrong: ``not_lifted``, ``too_warm`` or ``too_light``.
    p_risk : float
        How likely that is at the best minute [-].
    look_at : float
        When to look first [min]: one strand in ten is inside.
    cautions : tuple of Note
        To be shown with it.
    """

    mixture: Mixture | None
    developer: Developer | None
    tone: Mapping[str, float]
    rinse_from: float
    best: float
    rinse_until: float
    p_inside: float
    p_met: float
    before: Lab
    after: Lab
    level: float
    level_after: float
    follows: bool
    toner: Mapping[str, float]
    risk: str
    p_risk: float
    look_at: float
    cautions: tuple[Note, ...]

    @property
    def slack(self) -> float:
        """How late the rinse may be [min]."""
        return self.rinse_until - self.best


@dataclass(frozen=True, eq=False, repr=False)
class Found(Result):
    """Ways to meet a goal in one sitting, the best first.

    Parameters
    ----------
    target : Target
        The goal made definite.
    options : tuple of Option
        Up to five that differ in kind; where none reaches the goal, the nearest misses.
    tried : int
        How many mixtures were tried.
    p_now : float
        Chance that the hair is inside as it is, with nothing done [-].
    """

    target: Target
    options: tuple[Option, ...]
    tried: int
    p_now: float

    @property
    def reached(self) -> bool:
        """Whether the first option reaches the goal more likely than not."""
        return bool(self.options) and self.options[0].p_met >= REACHED


def best_options(
    hair: Hair,
    goal: Goal,
    curves: CurveSet | None = None,
    *,
    allowed: Allowed | None = None,
    limit_minutes: float = LIMIT_MINUTES,
    members: int = MEMBERS,
    seed: int = SEED,
    latent: ArrayLike | None = None,
) -> Found:
    """Search mixture, developer, carried tone, time and toner for those that meet a goal.

    Ranked by the chance of being inside at a time that hands can meet, then by least exposure:
    of those within `NEAR` of the best, without persulfate first, of one bottle first, then the
    weakest.

    Parameters
    ----------
    hair : Hair
        One strand before today.
    goal : Blend, Lighten, Match or Tone
        Not open.
    allowed : Allowed, optional
        What may be chosen.
    limit_minutes : float
        Longest processing time considered [min]; never past what is usual for a mixture.
    members, seed, latent
        As in `lift.practice.preview.preview`.

    Raises
    ------
    LiftError
        For an open goal, and where nothing may be chosen.
    LimitError
        Where the client's answers refuse all that could be.
    """
    curves, allowed = curves or default_curves(), allowed or Allowed()
    plain = resolve_goal(goal, hair, curves, toned=None if allowed.toner else False)
    deviates = draw_latent(members, seed) if latent is None else check_latent(latent)
    expected = (hair, curves) if latent is None else expected_strand(hair, curves, deviates)
    if isinstance(goal, Tone):
        if (stop := allowed.consulted.toner_refused(allowed.along)) is not None:
            raise LimitError(stop.note)
        return _toning_only(goal, plain, strands_of(hair, curves, deviates), *expected)
    targets = _targets(goal, hair, plain, curves) if allowed.toner else (plain,)
    chances = Chances(strands_of(hair, curves, deviates), limit_minutes)
    few = Chances(strands_of(hair, curves, deviates[::SCREENED]), limit_minutes)
    tried: list[tuple[Chance, Developer]] = []
    for of in allowed.classes(plain, curves):
        for developer in allowed.developers(of, curves):
            for target in targets:
                mixture = mixture_of(of, developer, {} if target.toned else None)
                tried.append((chances.chance(mixture, target), developer))
                if not target.toned:
                    tones = _worth(few, mixture, allowed.carried(of), target)
                    more = chances.carried(mixture, tones, target)
                    tried += [(one, developer) for one in more]
    if not tried:
        raise LiftError("choose.none_left")
    options = [_option(one, developer, *expected) for one, developer in _ranked(tried)]
    # A toner that has nothing to tone is none: its way is told without it.
    bare = {o.mixture.kind for o in options if o.mixture is not None and not o.toner}
    told = [o for o in options if not (o.follows and not o.toner and _kind(o) in bare)]
    p_now = float(tried[0][0].p_inside[0])
    return Found(plain, tuple(told[:MOST_OPTIONS]), len(tried), p_now)


def _kind(option: Option) -> str:
    return "" if option.mixture is None else str(option.mixture.kind)


def _targets(goal: Goal, hair: Hair, plain: Target, curves: CurveSet) -> tuple[Target, ...]:
    """The goal as lightened and with a toner, where either may meet it."""
    if plain.wanted is None or isinstance(goal, Lighten):
        return (plain,)
    other = resolve_goal(goal, hair, curves, toned=not plain.toned)
    return tuple(sorted((plain, other), key=lambda each: each.toned))


def _worth(
    few: Chances, mixture: Mixture, tones: list[dict[str, float]], target: Target
) -> list[dict[str, float]]:
    """Carried tones that all strands are asked about: the likeliest, and the least of them."""
    if not tones:
        return []
    found = few.carried(mixture, tones, target)
    chance = np.array([one.p_best for one in found])
    order = np.argsort(-chance, kind="stable")[:KEPT]
    least = [i for i in range(len(tones)) if chance[i] >= chance.max() - 2.0 * NEAR]
    lightest = min(least, key=lambda i: (sum(tones[i].values()), i))
    return [tones[i] for i in dict.fromkeys([*order.tolist(), lightest])]


def _ranked(tried: Iterable[tuple[Chance, Developer]]) -> list[tuple[Chance, Developer]]:
    """The best of each kind, the best kind first."""
    kinds: dict[tuple[str, bool, bool], list[tuple[Chance, Developer]]] = {}
    for one, developer in tried:
        if one.p_best > 0.0:
            carries = any(dose > 0.0 for dose in one.carried.values())
            kinds.setdefault((one.mixture.kind, one.toned, carries), []).append((one, developer))
    best = [first_of(each, _likely, _asks, NEAR) for each in kinds.values()]
    return ranked(best, _likely, _asks, NEAR)


def _likely(way: tuple[Chance, Developer]) -> float:
    return way[0].p_best


def _asks(way: tuple[Chance, Developer]) -> tuple[float, ...]:
    return _burden(*way)


def _burden(one: Chance, developer: Developer) -> tuple[float, ...]:
    """What a way asks of hair and hands, to be compared: the least is best."""
    persulfate = one.mixture.chemistry.oxidant == "persulfate"
    dose = float(one.mixture.on_head_volume) * one.rinse[1]
    carried = sum(one.carried.values())
    return float(persulfate), float(developer.mixed), round(dose, 6), carried


def _option(one: Chance, developer: Developer, hair: Hair, curves: CurveSet) -> Option:
    first, best, last = one.rinse
    mixture, target = one.mixture, one.target
    course = simulate(hair.replace(grey_percent=0.0), mixture, best, curves)
    before, after = course.pigmented, course.pigmented
    toner: dict[str, float] = {}
    if target.toned and target.wanted is not None:
        found = toned(
            course.pigment,
            curves.values,
            target.wanted,
            carried=course.tone,
            least_lightness=target.least_lightness,
        )
        after, toner = found.lab, found.named()
    path = path_of(hair, curves)
    at = one.best
    risk, p_risk = _risk(one, float(one.minutes[at]))
    looked = np.flatnonzero(one.p_inside[: at + 1] >= FIRST)
    return Option(
        mixture=mixture,
        developer=developer,
        tone={dye: float(dose) for dye, dose in one.carried.items() if dose > 0.0},
        rinse_from=first,
        best=best,
        rinse_until=last,
        p_inside=float(one.p_inside[at]),
        p_met=one.p_best,
        before=lab_tuple(before),
        after=lab_tuple(after),
        level=float(path.level_of_lightness(before[0])),
        level_after=float(path.level_of_lightness(after[0])),
        follows=target.toned,
        toner=toner,
        risk=risk,
        p_risk=p_risk,
        look_at=float(one.minutes[looked[0]]) if looked.size else best,
        cautions=(
            *overprocessed(hair, mixture, one.level[1:, at]),
            *curves.extrapolations(hair, mixture, [best]),
            *cautions(mixture, best, hair, curves),
        ),
    )


def _risk(one: Chance, minutes: float) -> tuple[str, float]:
    """What goes wrong first, and how likely, at a time [min]."""
    each = one.each
    reached, warm, light = (t[1:] for t in (each.reached, each.too_warm, each.too_light))
    past = minutes >= np.minimum(warm, light)
    shares = {
        "not_lifted": float(np.mean(~past & (minutes < reached))),
        "too_warm": float(np.mean(past & (warm <= light))),
        "too_light": float(np.mean(past & (light < warm))),
    }
    first = max(shares, key=shares.__getitem__)
    return first, shares[first]


def _toning_only(
    goal: Tone, target: Target, strands: Strands, hair: Hair, curves: CurveSet
) -> Found:
    """Tone as the hair is, towards the goal's colour or natural hair."""
    path = path_of(hair, curves)
    wanted = goal.lab if goal.level is None else lab_tuple(path.lab_of_level(goal.level))
    now = simulate(hair.replace(grey_percent=0.0), Mixture(volume=0.0), 0.0, curves)
    found = toned(now.pigment, curves.values, path if wanted is None else wanted)
    natural = hair_pigment(strands.hair, strands.values)
    each = lightened(natural, strands.prior, strands.values)
    # What is seen is toned: each strand gets the dose that suits it.
    lab = toned(each, strands.values, path if wanted is None else wanted).lab[1:]
    bare = strand_lab(each, strands.values)[1:]
    p_inside, p_now = (
        float(np.mean(_off(shown, wanted, path) <= target.tolerance)) for shown in (lab, bare)
    )
    option = Option(
        mixture=None,
        developer=None,
        tone={},
        rinse_from=0.0,
        best=0.0,
        rinse_until=0.0,
        p_inside=p_inside,
        p_met=p_inside,
        before=lab_tuple(now.pigmented),
        after=lab_tuple(found.lab),
        level=float(path.level_of_lightness(now.pigmented[0])),
        level_after=float(path.level_of_lightness(found.lab[0])),
        follows=True,
        toner=found.named(),
        risk="not_lifted",
        p_risk=1.0 - p_inside,
        look_at=0.0,
        cautions=cautions(),
    )
    return Found(target, (option,), len(found.dyes), p_now)


def _off(lab: Floats, wanted: Lab | None, path: NaturalPath) -> Floats:
    """Distance of CIELAB, shape (..., 3), from the wanted colour or natural hair as light."""
    goal = path.lab_of_lightness(lab[..., 0]) if wanted is None else np.asarray(wanted)
    return delta_e_2000(lab, goal)
