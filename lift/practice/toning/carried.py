"""Tone inside the mixture: carried for a while, then outrun by lift."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.course import tone_formed
from lift.model.curves import CurveSet, default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.optics.dyes import dye_band
from lift.practice.dose_search import best_doses, residual_to
from lift.practice.goal import Blend
from lift.practice.inside import first_crossing
from lift.practice.one_strand import check_dyes
from lift.practice.window import LIMIT_MINUTES, limit_within, time_grid
from lift.quantities import PROCESSED, quantities_of
from lift.results import Result
from lift.words import Note, note

BASE_BREAK_HAIR = Hair(level=7.0, fibre_um="fine", damp=True)
BASE_BREAK_MINUTES = 8.0


@dataclass(frozen=True, eq=False, repr=False)
class Carried(Result):
    """Warmth through time with the tone that a mixture carries, and without it.

    Parameters
    ----------
    minutes : numpy.ndarray
        Processing time [min], shape (n,).
    warmth, bare : numpy.ndarray
        Warmth with tone and without [dC*], shape (n,).
    allowance : float
        Warmth that is still welcome [dC*].
    bare_too_warm_at, too_warm_at : float or None
        When warmth passes the allowance, without tone and with it [min]; None: not in time.
    """

    minutes: Floats
    warmth: Floats
    bare: Floats
    allowance: float
    bare_too_warm_at: float | None
    too_warm_at: float | None

    @property
    def held_back(self) -> Floats:
        """Warmth that the tone hides [dC*], shape (n,)."""
        return self.bare - self.warmth

    @property
    def words(self) -> Note:
        """What the tone buys, in a sentence."""
        if self.held_back.max() <= 0.0:
            return note("carried.no_tone")
        if self.bare_too_warm_at is None:
            return note("carried.never", goal=note("goal.natural"))
        if self.too_warm_at is None:
            return note("carried.to_the_end", bare=self.bare_too_warm_at)
        times = {"bare": self.bare_too_warm_at, "end": self.too_warm_at}
        return note("carried.outrun", goal=note("goal.natural"), **times)


def allowance_or_default(allowance: float | None, curves: CurveSet) -> float:
    """Warmth that is still welcome [dC*], checked; None means the curve set's."""
    default = curves.values["warmth_allowance"]
    return quantities_of(Blend)["warmth"].number(default if allowance is None else allowance)


def carried_and_outrun(
    hair: Hair,
    mixture: Mixture,
    curves: CurveSet | None = None,
    *,
    allowance: float | None = None,
    limit_minutes: float = LIMIT_MINUTES,
) -> Carried:
    """Compare a mixture with the same one carrying no tone.

    Tone forms as ``1 - exp(-t / tau)`` and stays; pigment goes on being lost. So warmth is held
    back at first and overtakes the tone later: nothing of this is put in by hand.

    `allowance` is the warmth still welcome [dC*], by default the curve set's; nothing after
    `limit_minutes` [min] is considered.

    Examples
    --------
    >>> found = carried_and_outrun(BASE_BREAK_HAIR, Mixture("base-break", 10))
    >>> found.bare_too_warm_at < found.too_warm_at
    True
    """
    curves = curves or default_curves()
    limit = allowance_or_default(allowance, curves)
    minutes = time_grid(limit_within(mixture, limit_minutes, curves))
    with_tone = simulate(hair, mixture, minutes, curves).warmth
    bare = simulate(hair, mixture.replace(tone={}), minutes, curves).warmth
    ends = [float(first_crossing(minutes, w - limit)) for w in (bare, with_tone)]
    first, second = (end if np.isfinite(end) else None for end in ends)
    return Carried(minutes, with_tone, bare, limit, first, second)


@dataclass(frozen=True, eq=False, repr=False)
class Depth(Result):
    """Tone that answers a base break, over natural level; arrays of shape (n,).

    Parameters
    ----------
    levels : numpy.ndarray
        Natural levels [-].
    dyes : tuple of str
        Palette.
    doses : numpy.ndarray
        Dose of each dye in the hair [0.01 absorption per fibre radius], shape (n, dyes).
    carried : numpy.ndarray
        Dose that the mixture must carry so that this much has formed by then, shape (n, dyes).
    residual : numpy.ndarray
        dE00 left to natural hair.
    """

    levels: Floats
    dyes: tuple[str, ...]
    doses: Floats
    carried: Floats
    residual: Floats

    @property
    def amount(self) -> Floats:
        """Doses added up [0.01 absorption per fibre radius]."""
        return np.asarray(self.doses.sum(axis=-1))

    @property
    def centre_nm(self) -> Floats:
        """Where the dyes absorb, their first bands weighted by dose [nm]: violet 554, blue 607."""
        bands = np.array([dye_band(dye).centres_nm[0] for dye in self.dyes])
        return np.asarray(self.doses @ bands / self.amount)


def tone_over_level(
    levels: ArrayLike,
    hair: Hair = BASE_BREAK_HAIR,
    mixture: Mixture | None = None,
    minutes: float = BASE_BREAK_MINUTES,
    palette: tuple[str, ...] = ("violet", "blue"),
    curves: CurveSet | None = None,
) -> Depth:
    """Tone that brings hair of each natural level back to natural after one processing time.

    Of `hair` fibre and dampness count, its level is replaced by `levels` [-], shape (n,); of
    `mixture`, by default base-break cream with 10 vol, all but its own tone. One or two dyes of
    the `palette` are taken at a time; `minutes` [min] is more than 0.

    Examples
    --------
    >>> deep, light = tone_over_level([5.5, 7.5]).amount
    >>> bool(deep > 1.5 * light)
    True
    """
    curves = curves or default_curves()
    dyes = check_dyes(palette)
    time = PROCESSED.number(minutes)
    natural = np.atleast_1d(quantities_of(Hair)["level"].check(levels))
    mixture = mixture or Mixture("base-break", 10.0)
    strands = simulate(
        hair.replace(level=natural), mixture.replace(tone={}), np.full(natural.shape, time), curves
    )
    found = best_doses(
        strands.pigment.map(lambda p: np.broadcast_to(p, natural.shape)),
        dyes,
        min(2, len(dyes)),
        residual_to(None, curves),
        curves.values,
    )
    tau = mixture.properties(curves.values)["tone_minutes"]
    formed = tone_formed(np.asarray(time), 1.0, tau)
    return Depth(natural, dyes, found.doses, found.doses / formed, found.residual)
