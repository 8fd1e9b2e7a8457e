"""Toner step: what a toner's doses mean at the bowl - its own mixture, minutes, grams and rinse.

Doses are absorption, not grams: how much colour is in a gram is the maker's to say. So grams are
left open, and how much clear goes to a pure tone stands on an assumed depth of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from lift.chemistry.tone_kinds import TONE_KINDS, ToneDeveloper
from lift.errors import check_choice
from lift.model.mixture import check_doses
from lift.results import Result
from lift.words import Note, note

FORMED = 0.9
"""Share of a dose that counts as nearly all of it: a number to round off with, no threshold."""

HALVES = 3.0
"""Parts of clear below which half a part is told."""

MOST_PARTS = 12
"""Parts that a toner is shared out into at the most."""

NEAR_SHARE = 0.02
"""How far the share of a dye may be from what its parts make of it [-]: nobody weighs finer."""


@dataclass(frozen=True, eq=False, repr=False)
class TonerStep(Result):
    """One toner, as a step of its own.

    Parameters
    ----------
    kind : str
        Kind of tone, one of ``TONE_KINDS``.
    parts : mapping of str to int
        Whole parts of each dye, the deepest first, of toners that are equally deep.
    levels : tuple of float or None
        Levels of natural hair that is as light as the pigmented fibres before and after [-].
    formed_minutes : float
        Time after which `FORMED` of a dose has formed [min], assumed.
    grams : float or None
        Mixture that covers the hair [g]; None: left open.
    clear : float or None
        Parts of clear to one of pure tone [-], 0 for undiluted; None: left open.

    Examples
    --------
    >>> from lift.model.curves import default_curves
    >>> step = toner_step({"blue-violet": 3.9, "violet": 0.8}, "direct", default_curves().values)
    >>> dict(step.parts), step.developer is None
    ({'blue-violet': 5, 'violet': 1}, True)
    """

    kind: str
    parts: Mapping[str, int]
    levels: tuple[float, float] | None
    formed_minutes: float
    grams: float | None
    clear: float | None = None

    @property
    def developer(self) -> ToneDeveloper | None:
        """Developer that it is mixed with; None: it is used as it is."""
        return TONE_KINDS[self.kind].developer

    @property
    def toner_grams(self) -> tuple[float, float] | None:
        """Toner without developer in those grams, least and most [g]; None: left open."""
        if self.grams is None:
            return None
        least, most = (0.0, 0.0) if self.developer is None else self.developer.parts
        return self.grams / (1.0 + most), self.grams / (1.0 + least)

    @property
    def lines(self) -> Mapping[str, Note]:
        """What is to be known of it, in the order of doing it."""
        return {
            "mix": self.mix,
            "kind": TONE_KINDS[self.kind].words,
            "ratio": self.ratio,
            "strength": self._strength,
            "developer": self._developer,
            "grams": self._grams,
            "minutes": note("toner.minutes", percent=100.0 * FORMED, formed=self.formed_minutes),
            "rinse": note("toner.rinse"),
        }

    @property
    def mix(self) -> Note:
        """Tones by name; of several, parts of each."""
        if len(self.parts) == 1:
            return note("toner.one", dye=next(iter(self.parts)))
        parts = [note("toner.part", dye=dye, count=count) for dye, count in self.parts.items()]
        return note("toner.parts", parts=parts)

    @property
    def ratio(self) -> Note:
        """How far a pure tone is thinned, in whole parts where they are many."""
        if self.clear is None:
            return note("toner.ratio.open")
        if self.clear == 0.0:
            return note("toner.ratio.undiluted")
        return note("toner.ratio", clear=self.clear)

    @property
    def bowl(self) -> Note:
        """What is in the bowl, in a few words."""
        return note(
            "toner.bowl",
            mix=self.mix,
            developer=note("toner.with" if self.developer else "toner.without"),
            grams="" if self.grams is None else note("toner.bowl_grams", grams=self.grams),
        )

    @property
    def words(self) -> Note:
        """The step in one line."""
        return note("toner.words", bowl=self.bowl)

    @property
    def _strength(self) -> Note:
        if self.levels is None:
            return note("toner.strength.open")
        before, after = self.levels
        code = "down" if round(after, 1) < round(before, 1) else "hardly"
        return note(f"toner.strength.{code}", before=before, after=after)

    @property
    def _developer(self) -> Note:
        found = self.developer
        if found is None:
            return note("toner.developer.none")
        (low, high), (few, many) = found.volumes, found.parts
        return note("toner.developer", low=low, high=high, few=few, many=many)

    @property
    def _grams(self) -> Note:
        toner = self.toner_grams
        if toner is None:
            return note("toner.grams.open")
        if self.developer is None:
            return note("toner.grams", grams=self.grams)
        return note("toner.grams.mixed", grams=self.grams, least=toner[0], most=toner[1])


def toner_step(
    doses: Mapping[str, float],
    kind: str,
    values: Mapping[str, float],
    *,
    levels: tuple[float, float] | None = None,
    grams: float | None = None,
    pure: float | None = None,
) -> TonerStep | None:
    """Tell a toner as a step; None where nothing is laid on.

    Parameters
    ----------
    doses : mapping of str to float
        Dose of each dye [0.01 absorption per fibre radius].
    kind : str
        Kind of tone, one of ``TONE_KINDS``.
    values : mapping of str to float
        Values of a curve set; its ``tone_minutes`` [min] and ``swelling_gain`` [-] are used.
    levels : tuple of float, optional
        Levels of natural hair that is as light as the hair before and after [-].
    grams : float, optional
        Mixture that covers the hair [g].
    pure : float, optional
        Dose that a pure tone leaves undiluted [0.01 absorption per fibre radius].
    """
    check_choice("fade.kind", kind, TONE_KINDS)
    laid = {dye: dose for dye, dose in check_doses(doses).items() if dose > 0.0}
    if not laid:
        return None
    formed = -float(np.log1p(-FORMED)) * TONE_KINDS[kind].minutes(values)
    clear = None if pure is None else clear_parts(sum(laid.values()), pure)
    return TonerStep(kind, parts_of(laid), levels, formed, grams, clear)


def clear_parts(dose: float, pure: float) -> float:
    """Parts of clear to one of a pure tone, as they are weighed: halves below `HALVES`, else whole.

    Examples
    --------
    >>> clear_parts(3.2, 60.0), clear_parts(24.0, 60.0), clear_parts(70.0, 60.0)
    (18.0, 1.5, 0.0)
    """
    clear = max(pure / dose - 1.0, 0.0)
    return float(np.rint(clear) if clear >= HALVES else np.rint(2.0 * clear) / 2.0)


def parts_of(doses: Mapping[str, float]) -> Mapping[str, int]:
    """Share doses out into whole parts, as few as come near them; the largest dose first.

    Examples
    --------
    >>> dict(parts_of({"violet": 1.0, "blue": 2.1}))
    {'blue': 2, 'violet': 1}
    """
    order = sorted(doses, key=lambda dye: -doses[dye])
    shares = np.array([doses[dye] for dye in order])
    shares = shares / shares.sum()
    tried = [np.maximum(np.rint(shares * total), 1.0) for total in range(1, MOST_PARTS + 1)]
    off = [float(np.max(np.abs(parts / parts.sum() - shares))) for parts in tried]
    near = [index for index, each in enumerate(off) if each <= NEAR_SHARE]
    best = tried[near[0] if near else int(np.argmin(off))]
    return MappingProxyType(dict(zip(order, best.astype(int).tolist(), strict=True)))
