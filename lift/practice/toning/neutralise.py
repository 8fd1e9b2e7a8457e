"""Neutralise: the dose of one or two dyes that answers a colour, and what it looks like."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.doors import checked
from lift.errors import Floats, LiftError, check_range
from lift.model.curves import CurveSet, default_curves
from lift.model.inverse import Inferred, infer_pigment
from lift.model.mixture import check_doses
from lift.model.natural import NaturalPath, natural_path
from lift.model.strand import Fibres, Pigment, strand_fibres
from lift.optics.colorimetry import NOTICEABLE, delta_e_2000
from lift.optics.dyes import add_doses
from lift.practice.dose_search import (
    Alone,
    Found,
    Residual,
    best_doses,
    each_alone,
    one_or_two,
    residual_to,
)
from lift.practice.fibres import GreyLook, grey_look
from lift.practice.goal import Blend, Goal, Lighten, Match, Tone
from lift.practice.one_strand import check_dyes, check_grey, check_strand
from lift.practice.tone import NATURAL, tone_direction
from lift.practice.toned import LIGHTNESS_COST
from lift.practice.toning.dose_look import DoseLook
from lift.practice.toning.verdict import Verdict, further_lift, judge, verdict
from lift.quantities import Quantity, check_labs
from lift.results import Result

COST = Quantity("lightness_cost", 0.0, 2.0, default=LIGHTNESS_COST)

HALF, DOUBLE = 0.5, 2.0
FACTORS = np.linspace(0.0, 4.0, 401)


MOST_TIMES = 100.0
"""Largest multiple of a dose that is predicted."""


@checked
@dataclass(frozen=True, eq=False, repr=False)
class Neutralisation(Result):
    """The tone that answers a colour; CIELAB for D65 and 10 degrees, shape (3,).

    Of grey hair the pigmented fibres are to come near the goal: dose, distances and verdict are
    theirs, and `hair`, `lab` and `band` are what is seen, the blend.

    Parameters
    ----------
    pigment : Pigment
        The strand's, of grey hair that of its pigmented fibres.
    inferred : Inferred or None
        Where the strand was known by its colour alone: that inference.
    hair : numpy.ndarray
        Colour of the strand without tone, as seen.
    goal : numpy.ndarray or None
        Colour asked for; None for natural hair of whatever lightness toning ends with.
    tone : mapping of str to float
        Best dose of each dye [0.01 absorption per fibre radius], one or two dyes, or none.
    lab : numpy.ndarray
        Predicted colour with that tone, as seen.
    before, residual : float
        dE00 of the pigmented fibres from the goal without tone and with it. Natural hair of
        whatever lightness is another colour for each: see `untoned`.
    alone : Alone
        Best dose of each dye by itself, for comparison.
    best : Found
        What the search found, needed or not.
    band : tuple of numpy.ndarray or None
        Central 90 % of the predicted colour over the inferred states.
    factor_band : tuple of float or None
        Central 90 % of the multiple of the dose that the inferred states would want.
    verdict : Verdict
        Whether toning reaches the goal, and what must come first if not.
    grey_percent, resistant_percent : float
        White fibres among all, and those among them that take no tone [%].
    in_hair : mapping of str to float
        Dose of each dye that is in the hair already, to which `tone` is added.
    path : NaturalPath
        Natural hair of this kind, which warmth is counted from.
    curves : CurveSet
        The curve set used.

    Examples
    --------
    >>> neutralise([56, 10, 30]).under.words.code
    'look.warm'
    """

    pigment: Pigment
    inferred: Inferred | None
    hair: Floats
    goal: Floats | None
    tone: Mapping[str, float]
    lab: Floats
    before: float
    residual: float
    alone: Alone
    best: Found
    band: tuple[Floats, Floats] | None
    factor_band: tuple[float, float] | None
    verdict: Verdict
    grey_percent: float
    resistant_percent: float
    in_hair: Mapping[str, float]
    path: NaturalPath
    curves: CurveSet

    def at(self, factor: ArrayLike) -> Floats:
        """Predicted CIELAB as seen at multiples of the dose, shape (..., 3)."""
        return self.fibres_at(factor).blend

    def fibres_at(self, factor: ArrayLike) -> Fibres:
        """Predicted CIELAB of both kinds of fibres at multiples of the dose, shape (..., 3).

        Raises
        ------
        LiftError
            For a multiple outside 0 to `MOST_TIMES`.
        """
        factor = check_range("toning.factor", factor, 0.0, MOST_TIMES)
        grey = self.grey_percent, self.resistant_percent
        return _toned(self.pigment, self.tone, factor, self.curves, grey, self.in_hair)

    def grey_at(self, factor: float) -> GreyLook | None:
        """Both kinds of fibres at a multiple of the dose, described; None where none is white."""
        grey = self.grey_percent, self.resistant_percent
        return grey_look(self.fibres_at(factor), *grey, self.curves, self.path)

    @property
    def amount(self) -> float:
        """Doses added up [0.01 absorption per fibre radius]."""
        return float(sum(self.tone.values()))

    @property
    def lightness_lost(self) -> float:
        """L* that the pigmented fibres lose to the tone [CIELAB units]."""
        before, after = (self.fibres_at(factor).pigmented for factor in (0.0, 1.0))
        return float(before[0] - after[0])

    @property
    def wanted(self) -> Floats:
        """The goal made definite: the colour that `residual` is counted from."""
        if self.goal is not None:
            return self.goal
        return self.path.lab_of_lightness(self.fibres_at(1.0).pigmented[0])

    @property
    def untoned(self) -> float:
        """CIEDE2000 of the pigmented fibres without tone from `wanted`, as `residual` with it."""
        return float(delta_e_2000(self.fibres_at(0.0).pigmented, self.wanted))

    @cached_property
    def under(self) -> DoseLook | None:
        """Look of half the dose, where there is one."""
        return self.look_at(HALF) if self.tone else None

    @cached_property
    def over(self) -> DoseLook | None:
        """Look of double the dose, where there is one."""
        return self.look_at(DOUBLE) if self.tone else None

    @cached_property
    def forgiving(self) -> tuple[float, float] | None:
        """Multiples of the dose, up to 4, that nobody tells from it: within `NOTICEABLE` dE00."""
        if not self.tone:
            return None
        all_, best = (self.fibres_at(factors).pigmented for factors in (FACTORS, 1.0))
        off = delta_e_2000(all_, best) - NOTICEABLE
        one = int(np.argmin(np.abs(FACTORS - 1.0)))
        below, above = np.flatnonzero(off[:one] > 0.0), np.flatnonzero(off[one:] > 0.0)
        low, high = float(FACTORS[0]), float(FACTORS[-1])
        if below.size:
            pair = [int(below[-1]) + 1, int(below[-1])]
            low = float(np.interp(0.0, off[pair], FACTORS[pair]))
        if above.size:
            pair = [one + int(above[0]) - 1, one + int(above[0])]
            high = float(np.interp(0.0, off[pair], FACTORS[pair]))
        return low, high

    def look_at(self, factor: float) -> DoseLook:
        """Look of a multiple of the dose."""
        fibres = self.fibres_at(factor)
        neutral = self.path.lab_of_lightness(fibres.pigmented[0])
        direction = tone_direction(fibres.pigmented, neutral, self.curves)
        cast = direction.excess_wheel if direction.needed else NATURAL
        warmth = float(self.path.warmth(fibres.pigmented))
        return DoseLook(factor, fibres.blend, warmth, cast)


def neutralise(
    hair: Pigment | Inferred | ArrayLike,
    goal: Goal | ArrayLike | None = None,
    palette: str | Iterable[str] | None = None,
    curves: CurveSet | None = None,
    *,
    grey_percent: float = 0.0,
    resistant_percent: float = 0.0,
    lightness_cost: float = LIGHTNESS_COST,
    path: NaturalPath | None = None,
    in_hair: Mapping[str, float] | None = None,
) -> Neutralisation:
    """Find the dose of one or two dyes that brings hair nearest a goal.

    Nearest in CIEDE2000, with the least loss of lightness: see `LIGHTNESS_COST`. The dyes are
    added to the hair's own absorption, so the result is subtractive: lightness falls, and more
    than the best dose goes past neutral.

    Parameters
    ----------
    hair : Pigment, Inferred or array_like
        State of one strand, or its measured CIELAB (D65, 10 degrees), from which
        `lift.model.inverse.infer_pigment` infers the state of its pigmented fibres.
    goal : Goal or array_like, optional
        A goal with a level or CIELAB, or a CIELAB, shape (3,). Default: natural hair of
        whatever lightness the toned strand has.
    palette : str or iterable of str, optional
        Dye bands to choose from; default: all.
    curves : CurveSet, optional
        Default: the shipped set.
    grey_percent, resistant_percent : float
        White fibres among all, and those among them that take no tone [%].
    lightness_cost : float
        dE00 that one unit of L* lost is worth.
    path : NaturalPath, optional
        Natural hair of this kind; default: brown and blond.
    in_hair : mapping of str to float, optional
        Dose of each dye that is in the hair already and stays there, as a mixture has left it.

    Examples
    --------
    >>> found = neutralise([56, 10, 30])
    >>> sorted(found.tone), found.verdict.verdict
    (['blue-violet', 'violet'], 'reached')
    """
    curves = curves or default_curves()
    values = curves.values
    grey = check_grey(grey_percent, resistant_percent)
    cost = COST.number(lightness_cost)
    dyes = check_dyes(palette)
    already = MappingProxyType(dict(check_doses(in_hair or {})))
    pigment, inferred = _state(hair, curves, grey[0])
    path = path or natural_path(curves)
    wanted = goal_colour(goal, curves, path)
    residual = residual_to(wanted, curves, path)
    start = _toned(pigment, {}, 0.0, curves, grey, already)

    search: dict[str, Any] = {"lightness_cost": cost, "in_hair": already}
    alone = each_alone(pigment, dyes, residual, values, **search)
    best = alone.best
    if len(dyes) > 1:
        best = one_or_two(best, best_doses(pigment, dyes, 2, residual, values, **search))
    before = float(residual(start.pigmented))
    unknown = inferred is not None and not inferred.plausible
    tone = MappingProxyType({} if unknown or before <= NOTICEABLE else best.named())
    toned = _toned(pigment, tone, 1.0, curves, grey, already)
    after = float(residual(toned.pigmented))
    if inferred is not None and unknown:
        found = verdict("not_lightened", misfit=inferred.misfit)
    else:
        reached = min(before, after) <= NOTICEABLE
        lift_to = None if reached else further_lift(pigment, dyes, residual, curves, path, already)
        colours = start.pigmented, toned.pigmented, wanted
        found = judge(*colours, residual, lift_to, path, grey=grey[0] > 0.0)
    band, factor_band = _bands_over(inferred, tone, residual, cost, curves, grey, already)
    return Neutralisation(
        pigment=pigment,
        inferred=inferred,
        hair=start.blend,
        goal=wanted,
        tone=tone,
        lab=toned.blend,
        before=before,
        residual=after,
        alone=alone,
        best=best,
        band=band,
        factor_band=factor_band,
        verdict=found,
        grey_percent=grey[0],
        resistant_percent=grey[1],
        in_hair=already,
        path=path,
        curves=curves,
    )


def goal_colour(
    goal: Goal | ArrayLike | None, curves: CurveSet, path: NaturalPath | None = None
) -> Floats | None:
    """CIELAB of a goal, shape (3,): that of natural hair for a level; None stays None."""
    if goal is None:
        return None
    if isinstance(goal, Blend | Lighten | Match | Tone):
        if getattr(goal, "warmth", None) is not None:
            raise LiftError("toning.goal")
        if isinstance(goal, Tone | Blend) and goal.level is None and goal.lab is None:
            return None
        if isinstance(goal, Lighten):
            return (path or natural_path(curves)).lab_of_level(goal.to_level)
        if goal.lab is None:
            assert goal.level is not None
            return (path or natural_path(curves)).lab_of_level(goal.level)
        goal = goal.lab
    return check_labs(np.asarray(goal), "tone.goal", one=True)


def _state(
    hair: Pigment | Inferred | ArrayLike, curves: CurveSet, grey: float
) -> tuple[Pigment, Inferred | None]:
    if isinstance(hair, Inferred):
        return hair.pigment, hair
    if not isinstance(hair, Pigment):
        inferred = infer_pigment(check_labs(hair, "tone.hair"), curves, grey_percent=grey)
        return inferred.pigment, inferred
    return check_strand(hair), None


def _toned(
    pigment: Pigment,
    tone: Mapping[str, float],
    factor: ArrayLike,
    curves: CurveSet,
    grey: tuple[float, float],
    already: Mapping[str, float],
) -> Fibres:
    """CIELAB of one or several strands at multiples of a tone, shape (..., 3)."""
    times = np.asarray(factor, dtype=np.float64)
    found = strand_fibres(
        pigment,
        curves.values,
        tone=add_doses({dye: dose * times for dye, dose in tone.items()}, already),
        grey_percent=grey[0],
        resistant_percent=grey[1],
    )
    shape = np.broadcast_shapes(found.blend.shape, (*times.shape, 3))
    pigmented, blend = (np.broadcast_to(c, shape) for c in (found.pigmented, found.blend))
    white = None if found.white is None else np.broadcast_to(found.white, shape)
    return Fibres(pigmented, white, blend)


def _bands_over(
    inferred: Inferred | None,
    tone: Mapping[str, float],
    residual: Residual,
    cost: float,
    curves: CurveSet,
    grey: tuple[float, float],
    already: Mapping[str, float],
) -> tuple[tuple[Floats, Floats] | None, tuple[float, float] | None]:
    """What the doubt about the state makes of the colour and of the dose."""
    if inferred is None:
        return None, None
    columns = inferred.draws.map(lambda p: p[:, None])
    factors = FACTORS[::5]
    fibres = _toned(columns, tone, factors, curves, grey, already)
    at_one = int(np.argmin(np.abs(factors - 1.0)))
    low, high = np.percentile(fibres.blend[:, at_one], [5.0, 95.0], axis=0)
    if not tone:
        return (low, high), None
    lab = fibres.pigmented
    score = residual(lab) + cost * (lab[:, :1, 0] - lab[..., 0])
    least, most = np.percentile(factors[np.argmin(score, axis=-1)], [5.0, 95.0])
    return (low, high), (float(least), float(most))
