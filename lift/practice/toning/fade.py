"""After the visit: tone washes out, and the warmth it answered comes back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.chemistry.tone_kinds import TONE_KINDS, ToneKind
from lift.errors import Floats, check_choice, check_range
from lift.model.curves import CurveSet, default_curves
from lift.model.mixture import check_doses
from lift.model.natural import NaturalPath, natural_path
from lift.model.strand import Pigment, strand_fibres
from lift.optics.dyes import add_doses
from lift.practice.inside import first_crossing
from lift.practice.one_strand import check_grey, check_strand
from lift.practice.toning.carried import allowance_or_default
from lift.quantities import WASHES_PER_WEEK
from lift.results import Result
from lift.words import Note, note

WEEKS = 52.0
STEP_WASHES = 0.25


@dataclass(frozen=True, eq=False, repr=False)
class Fade(Result):
    """Warmth against washes; arrays of shape (n,).

    Parameters
    ----------
    kind : ToneKind
        Kind of tone.
    washes : numpy.ndarray
        Washes since toning.
    left : numpy.ndarray
        Share of the tone left [-].
    lab : numpy.ndarray
        Predicted CIELAB as seen (D65, 10 degrees), shape (n, 3).
    warmth, warmth_slowest, warmth_fastest : numpy.ndarray
        Warmth of the pigmented fibres [dC*], expected and for the ends of the source's range.
    allowance : float
        Warmth that is still welcome [dC*].
    washes_per_week : float
        Washes a week.
    passes : float or None
        Washes after which warmth passes the allowance; None: not within a year.
    passes_range : tuple of (float or None)
        The same for the fastest and the slowest fading.
    """

    kind: ToneKind
    washes: Floats
    left: Floats
    lab: Floats
    warmth: Floats
    warmth_slowest: Floats
    warmth_fastest: Floats
    allowance: float
    washes_per_week: float
    passes: float | None
    passes_range: tuple[float | None, float | None]

    @property
    def week(self) -> int | None:
        """Week after toning, counted from 1, in which warmth passes the allowance."""
        return None if self.passes is None else int(self.passes / self.washes_per_week) + 1

    @property
    def words(self) -> Note:
        """The outcome in a sentence."""
        said = {"kind": self.kind.name, "limit": note("fade.limit", allowance=self.allowance)}
        if self.passes is None:
            return note("fade.stays", **said)
        if self.passes <= 0.0:
            return note("fade.from_start", **said)
        when = {"wash": float(np.ceil(self.passes)), "week": self.week}
        if self.kind.slowest == 0.0:
            return note("fade.not_above", **said, **when)
        early, late = self.passes_range
        last = note("fade.later") if late is None else note("fade.wash", wash=float(np.ceil(late)))
        return note("fade.above", **said, **when, early=float(np.ceil(early or 0.0)), late=last)


def left_after(washes: ArrayLike, rate: ArrayLike) -> Floats:
    """Share of the tone left [-] after washes at a rate [1/wash], both >= 0; shapes broadcast."""
    count = check_range("fade.washes", washes, 0.0, 1e6)
    return np.asarray(np.exp(-check_range("fade.rate", rate, 0.0, 1e3) * count))


def wash_fade(
    pigment: Pigment,
    tone: Mapping[str, float],
    curves: CurveSet | None = None,
    *,
    kind: str = "permanent",
    washes_per_week: float = WASHES_PER_WEEK.default,
    allowance: float | None = None,
    grey_percent: float = 0.0,
    resistant_percent: float = 0.0,
    path: NaturalPath | None = None,
    in_hair: Mapping[str, float] | None = None,
) -> Fade:
    """Follow a toned strand through a year of washing.

    Only the tone is lost, all dyes alike; the hair's own pigment stays as it is.

    `tone` is the dose of each dye at the start [0.01 absorption per fibre radius], `kind` one of
    `TONE_KINDS`, `allowance` the warmth still welcome [dC*], by default the curve set's. Warmth
    counts from natural hair of the `path`, by default brown and blond. What a mixture has left
    `in_hair` is permanent.

    Examples
    --------
    >>> from lift.lab import infer_pigment
    >>> strand = infer_pigment([56, 10, 30]).pigment
    >>> [wash_fade(strand, {"blue-violet": 7}, kind=kind).week for kind in TONE_KINDS]
    [None, 3, 1]
    """
    curves = curves or default_curves()
    fading = TONE_KINDS[check_choice("fade.kind", kind, TONE_KINDS)]
    often = WASHES_PER_WEEK.number(washes_per_week)
    grey_percent, resistant_percent = check_grey(grey_percent, resistant_percent)
    limit = allowance_or_default(allowance, curves)
    last = WEEKS * often
    washes = np.linspace(0.0, last, int(np.ceil(last / STEP_WASHES)) + 1)
    left, stays = (
        left_after(washes, np.array([[each.rate], [each.slowest], [each.fastest]]))
        for each in (fading, TONE_KINDS["permanent"])
    )
    doses = add_doses(
        {dye: dose * left for dye, dose in check_doses(tone).items()},
        {dye: dose * stays for dye, dose in check_doses(in_hair or {}).items()},
    )
    fibres = strand_fibres(
        check_strand(pigment),
        curves.values,
        tone=doses,
        grey_percent=grey_percent,
        resistant_percent=resistant_percent,
    )
    lab, pigmented = (
        np.broadcast_to(c, (*left.shape, 3)) for c in (fibres.blend, fibres.pigmented)
    )
    warmth = (path or natural_path(curves)).warmth(pigmented)
    ends = first_crossing(washes, warmth - limit)
    passes, late, early = (float(end) if np.isfinite(end) else None for end in ends)
    return Fade(
        kind=fading,
        washes=washes,
        left=left[0],
        lab=lab[0],
        warmth=warmth[0],
        warmth_slowest=warmth[1],
        warmth_fastest=warmth[2],
        allowance=limit,
        washes_per_week=often,
        passes=passes,
        passes_range=(early, late),
    )
