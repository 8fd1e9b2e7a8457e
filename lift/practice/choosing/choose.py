"""Choose: this hair, that goal - what to mix, when to rinse, which tone after."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.doors import checked
from lift.model.curves import CurveSet, default_curves
from lift.model.ensemble import MEMBERS, SEED
from lift.model.hair import Hair
from lift.practice.allowed import Allowed
from lift.practice.cautions import cautions, in_order
from lift.practice.choosing.options import REACHED, Found, Option, best_options
from lift.practice.consulted import Consulted
from lift.practice.goal import Goal, Lighten
from lift.practice.target import Target
from lift.practice.window import LIMIT_MINUTES
from lift.results import Result
from lift.words import Note, note

MOST_SITTINGS = 4
"""Beyond as many nobody plans (assumed)."""

ANY_WARMTH = 60.0
"""Between two sittings hair may be as warm as it gets [dC*]."""


@dataclass(frozen=True, eq=False, repr=False)
class Sitting(Result):
    """One of several sittings.

    Parameters
    ----------
    hair : Hair
        Before it, as far as it went as planned.
    target : Target
        What it is to reach, made definite.
    option : Option
        How.
    """

    hair: Hair
    target: Target
    option: Option


@checked
@dataclass(frozen=True, eq=False, repr=False)
class Choice(Result):
    """Ways to meet a goal, the best first.

    Parameters
    ----------
    hair : Hair
        Before today.
    goal : Goal
        As asked.
    target : Target
        The goal made definite.
    allowed : Allowed
        What could be chosen.
    options : tuple of Option
        Up to five that differ in kind; where none reaches the goal, the nearest misses.
    sittings : tuple of Sitting
        Where no option reaches the goal: the sittings that do; empty where none are found.
    tried : int
        How many mixtures were tried.
    p_now : float
        Chance that the hair is inside as it is, with nothing done [-].
    curves : CurveSet
        The curve set used.

    Examples
    --------
    >>> from lift import Hair, Lighten
    >>> choose(Hair(2), Lighten(9), members=40).reached
    False
    """

    hair: Hair
    goal: Goal
    target: Target
    allowed: Allowed
    options: tuple[Option, ...]
    sittings: tuple[Sitting, ...]
    tried: int
    p_now: float
    curves: CurveSet

    @property
    def reached(self) -> bool:
        """Whether the first option reaches the goal more likely than not."""
        return bool(self.options) and self.options[0].p_met >= REACHED

    @property
    def cautions(self) -> tuple[Note, ...]:
        """To be shown with it: each kind of every mixture told, what is special first."""
        told = [each.option for each in self.sittings] or [*self.options]
        found: list[Note] = []
        for option in told:
            # Each kind with the numbers of the way that is told first.
            known = {said.code for said in found}
            found += [said for said in option.cautions if said.code not in known]
        return in_order((*self.allowed.consulted.notes, *(found or cautions())))


def choose(
    hair: Hair,
    goal: Goal,
    curves: CurveSet | None = None,
    *,
    mixtures: Iterable[str] = (),
    max_volume: float | None = None,
    powder: bool | None = None,
    limit_minutes: float = LIMIT_MINUTES,
    members: int = MEMBERS,
    seed: int = SEED,
    latent: ArrayLike | None = None,
    consulted: Consulted | None = None,
    along: str | None = None,
) -> Choice:
    """Find what to mix, when to rinse and which tone meets a goal.

    Mixtures are of developers that can be bought, or of two of them half and half. Options are
    ranked by the chance of being inside the goal at a time that hands can meet, then by least
    exposure. Where none reaches it in one sitting, sittings that do are told.

    Parameters
    ----------
    hair : Hair
        One strand before today.
    goal : Blend, Lighten, Match or Tone
        Not open: a lightening names a level or a stage.
    curves : CurveSet, optional
        Default: the shipped set.
    mixtures : iterable of str
        Classes of mixture that may be chosen; default: those that suit the goal.
    max_volume : float, optional
        Strongest developer [vol], 1 to 40; default: 40, which is 12 % H2O2.
    powder : bool, optional
        Whether mixtures with persulfate may be chosen; default: for lightening and matching, not
        for blending, which is done at the scalp.
    limit_minutes : float
        Longest processing time [min], 1 to 120; never past what is usual for a mixture.
    members, seed : int
        Size and seed of the ensemble.
    latent : array_like, optional
        Deviates to use in place of a draw (a strand test's posterior), shape (members, 5).
    consulted : Consulted, optional
        What the client's answers refuse, and warn of.
    along : str, optional
        Where along the hair it goes on; default: at the scalp, too.

    Returns
    -------
    Choice

    Raises
    ------
    LiftError
        For an open goal, one that the hair cannot reach by lightening, or nothing to choose from.
    LimitError
        Where answers of the client refuse all that could be chosen.

    Examples
    --------
    >>> from lift import Blend, Hair
    >>> found = choose(Hair(7, "fine", damp=True), Blend())
    >>> best = found.options[0]
    >>> best.mixture.kind, best.developer.volume, found.reached
    ('base-break', 10.0, True)
    """
    curves = curves or default_curves()
    given: dict[str, Any] = {} if max_volume is None else {"max_volume": max_volume}
    if consulted is not None:
        given |= {"consulted": consulted, "along": along}
    allowed = Allowed(tuple(mixtures), powder=powder, **given)
    asked: dict[str, Any] = {
        "allowed": allowed,
        "limit_minutes": limit_minutes,
        "members": members,
        "seed": seed,
        "latent": latent,
    }
    found = best_options(hair, goal, curves, **asked)
    sittings = () if found.reached else _sittings(hair, goal, found, curves, asked)
    return Choice(
        hair=hair,
        goal=goal,
        target=found.target,
        allowed=allowed,
        options=found.options,
        sittings=sittings,
        tried=found.tried,
        p_now=found.p_now,
        curves=curves,
    )


def _sittings(
    hair: Hair, goal: Goal, found: Found, curves: CurveSet, asked: dict[str, Any]
) -> tuple[Sitting, ...]:
    """The fewest sittings whose steps are all more likely reached than not, of equal lift."""
    target = found.target
    start = hair.level_now
    if target.lift is not None or target.level <= start:
        return ()
    for count in range(2, MOST_SITTINGS + 1):
        made: list[Sitting] = []
        steps = np.linspace(start, target.level, count + 1)[1:]
        now = hair
        for level in steps[:-1]:
            step = Lighten(round(float(level), 1), warmth=ANY_WARMTH)
            made += _sitting(now, step, curves, asked)
            now = now.replace(lightened_to=step.level)
            if not made or made[-1].target.level != step.level:
                break
        else:
            made += _sitting(now, goal, curves, asked)
        if len(made) == count:
            return tuple(made)
    return ()


def _sitting(hair: Hair, goal: Goal, curves: CurveSet, asked: dict[str, Any]) -> list[Sitting]:
    found = best_options(hair, goal, curves, **asked)
    if not found.reached:
        return []
    target = found.target
    if isinstance(goal, Lighten) and goal.warmth == ANY_WARMTH:
        target = replace(target, name=note("goal.level", level=target.level))
    return [Sitting(hair, target, found.options[0])]
