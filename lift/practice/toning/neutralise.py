"""Neutralise: the dose of one or two dyes that answers a colour, and what it looks like."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_number
from lift.model.curves import CurveSet, default_curves
from lift.model.inverse import Inferred, infer_pigment
from lift.model.natural import natural_path
from lift.model.strand import Pigment, strand_lab
from lift.practice.goal import Goal
from lift.practice.one_strand import check_dyes, check_strand
from lift.practice.tone import as_lab
from lift.practice.toning.dose_search import (
    LIGHTNESS_COST,
    SECOND_DYE_GAIN,
    Found,
    best_doses,
    residual_to,
)
from lift.practice.toning.dosing import (
    DOUBLE,
    HALF,
    DoseLook,
    bands_over,
    forgiving_range,
    look_at,
    toned_lab,
)
from lift.practice.toning.verdict import NOTICED, Verdict, further_lift, judge, unexplained


@dataclass(frozen=True, eq=False)
class Neutralisation:
    """The tone that answers a colour; CIELAB for D65 and 10 degrees, shape (3,).

    Parameters
    ----------
    pigment : Pigment
        The strand.
    inferred : Inferred or None
        Where the strand was known by its colour alone: that inference.
    hair : numpy.ndarray
        Colour of the strand without tone.
    goal : numpy.ndarray or None
        Colour asked for; None for natural hair of whatever lightness toning ends with.
    tone : mapping of str to float
        Best dose of each dye [0.01 absorption per fibre radius], one or two dyes, or none.
    lab : numpy.ndarray
        Predicted colour with that tone.
    wanted : numpy.ndarray
        The goal made definite: the colour that `residual` is counted from.
    before, residual : float
        dE00 from the goal without tone and with it.
    lightness_lost : float
        L* lost to the tone [CIELAB units].
    forgiving : tuple of float or None
        Multiples of the dose whose colour is within `NOTICED` dE00 of the best dose's, up to 4.
    under, over : DoseLook or None
        Half and double the dose.
    one_dye : Found
        Best dose of a single dye, for comparison.
    band : tuple of numpy.ndarray or None
        Central 90 % of the predicted colour over the inferred states.
    factor_band : tuple of float or None
        Central 90 % of the multiple of the dose that the inferred states would want.
    verdict : Verdict
        Whether toning reaches the goal, and what must come first if not.
    grey_percent : float
        Unpigmented fibres [%].
    curves : CurveSet
        The curve set used.
    """

    pigment: Pigment
    inferred: Inferred | None
    hair: Floats
    goal: Floats | None
    tone: Mapping[str, float]
    lab: Floats
    wanted: Floats
    before: float
    residual: float
    lightness_lost: float
    forgiving: tuple[float, float] | None
    under: DoseLook | None
    over: DoseLook | None
    one_dye: Found
    band: tuple[Floats, Floats] | None
    factor_band: tuple[float, float] | None
    verdict: Verdict
    grey_percent: float
    curves: CurveSet

    @property
    def amount(self) -> float:
        """Doses added up [0.01 absorption per fibre radius]."""
        return float(sum(self.tone.values()))

    def at(self, factor: ArrayLike) -> Floats:
        """Predicted CIELAB at multiples of the dose, shape (..., 3)."""
        return toned_lab(self.pigment, self.tone, factor, self.curves, self.grey_percent)


def neutralise(
    hair: Pigment | Inferred | ArrayLike,
    goal: Goal | ArrayLike | None = None,
    palette: Iterable[str] | None = None,
    curves: CurveSet | None = None,
    *,
    grey_percent: float = 0.0,
    lightness_cost: float = LIGHTNESS_COST,
) -> Neutralisation:
    """Find the dose of one or two dyes that brings hair nearest a goal.

    Nearest in CIEDE2000, with the least loss of lightness: see `LIGHTNESS_COST`. The dyes are
    added to the hair's own absorption, so the result is subtractive: lightness falls, and more
    than the best dose goes past neutral.

    Parameters
    ----------
    hair : Pigment, Inferred or array_like
        State of one strand, or its measured CIELAB (D65, 10 degrees), from which
        `lift.model.inverse.infer_pigment` infers the state.
    goal : Goal or array_like, optional
        A goal with a level or CIELAB, or a CIELAB, shape (3,). Default: natural hair of
        whatever lightness the toned strand has.
    palette : iterable of str, optional
        Names of the dye bands to choose from; default: all shipped ones.
    curves : CurveSet, optional
        Default: the shipped set.
    grey_percent : float
        Unpigmented fibres [%], 0 to 100.
    lightness_cost : float
        dE00 that one unit of L* lost is worth, 0 to 2.

    Returns
    -------
    Neutralisation

    Raises
    ------
    LiftError
        For an unknown dye, an empty palette, a goal without a colour, or several strands.
    """
    curves = curves or default_curves()
    values = curves.values
    grey = check_number("grey", grey_percent, 0.0, 100.0, "%")
    cost = check_number("lightness cost", lightness_cost, 0.0, 2.0)
    dyes = check_dyes(palette)
    pigment, inferred = _state(hair, curves)
    wanted = goal_colour(goal, curves)
    residual = residual_to(wanted, curves)
    start = strand_lab(pigment, values, grey_percent=grey)

    options: dict[str, Any] = {"grey_percent": grey, "lightness_cost": cost}
    one = best_doses(pigment, dyes, 1, residual, values, **options)
    best = one
    if len(dyes) > 1:
        two = best_doses(pigment, dyes, 2, residual, values, **options)
        if two.score < one.score - SECOND_DYE_GAIN:
            best = two
    before = float(residual(start))
    unknown = inferred is not None and not inferred.plausible
    tone = MappingProxyType({} if unknown or before <= NOTICED else best.named())
    lab = toned_lab(pigment, tone, 1.0, curves, grey)
    after = float(residual(lab))
    lift_to = (
        None
        if unknown or min(before, after) <= NOTICED
        else further_lift(pigment, dyes, residual, curves, grey_percent=grey)
    )
    band, factor_band = bands_over(inferred, tone, residual, cost, curves, grey)
    return Neutralisation(
        pigment=pigment,
        inferred=inferred,
        hair=start,
        goal=wanted,
        tone=tone,
        lab=lab,
        wanted=natural_path(curves).lab_of_lightness(lab[0]) if wanted is None else wanted,
        before=before,
        residual=after,
        lightness_lost=float(start[0] - lab[0]),
        forgiving=forgiving_range(pigment, tone, curves, grey) if tone else None,
        under=look_at(HALF, pigment, tone, curves, grey) if tone else None,
        over=look_at(DOUBLE, pigment, tone, curves, grey) if tone else None,
        one_dye=one,
        band=band,
        factor_band=factor_band,
        verdict=unexplained(inferred)
        if inferred is not None and unknown
        else judge(start, lab, wanted, residual, lift_to, curves),
        grey_percent=grey,
        curves=curves,
    )


def goal_colour(goal: Goal | ArrayLike | None, curves: CurveSet) -> Floats | None:
    """CIELAB of a goal, shape (3,): that of natural hair for a level; None stays None."""
    if goal is None:
        return None
    if isinstance(goal, Goal):
        if goal.warmth_allowance is not None or (goal.level is None and goal.lab is None):
            raise LiftError("toning needs a goal with a level or a CIELAB, not a warmth allowance")
        if goal.level is not None:
            return natural_path(curves).lab_of_level(goal.level)
        goal = goal.lab
    colour = as_lab("goal colour", np.asarray(goal, dtype=np.float64))
    if colour.shape != (3,):
        raise LiftError(f"goal colour has shape {colour.shape}; allowed: (3,)")
    return colour


def _state(
    hair: Pigment | Inferred | ArrayLike, curves: CurveSet
) -> tuple[Pigment, Inferred | None]:
    if isinstance(hair, Inferred):
        return hair.pigment, hair
    if not isinstance(hair, Pigment):
        inferred = infer_pigment(as_lab("hair colour", hair), curves)
        return inferred.pigment, inferred
    return check_strand(hair), None
