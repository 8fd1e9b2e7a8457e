"""Partial neutralising: how much of the warmth goes for how little darkening, dose by dose.

Toning costs lightness. Not all of the warmth need go: what passes for natural is enough, and in
deep hair a dye that stops short of the goal may take most of the warmth for little.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.strand import strand_lab
from lift.optics.dyes import add_doses
from lift.practice.dose_search import SECOND_DYE_GAIN, residual_to
from lift.practice.toning.carried import allowance_or_default
from lift.practice.toning.neutralise import Neutralisation
from lift.practice.wheel_and_dye import dyes_note
from lift.results import Result
from lift.words import Note, note

KNEE = 0.15
"""How much more of the difference than of the darkening [-] is gone at a knee: less is none. To
tell a bend from a line, assumed."""

BUDGETS = 41
PER_DYE = 21
"""Darkenings that are told, and doses tried of each dye of a pair."""


@dataclass(frozen=True, eq=False, repr=False)
class Partial(Result):
    """The least difference that is left for every darkening; arrays of shape (n,).

    Parameters
    ----------
    darker : numpy.ndarray
        L* given for it [CIELAB units], from 0 to what the whole answer takes.
    left : numpy.ndarray
        dE00 left to natural hair of the L* that it ends with.
    warmth : numpy.ndarray
        Warmth left [dC*].
    doses : tuple of mapping of str to float
        What is laid on for it, by dye [0.01 absorption per fibre radius].
    allowance : float
        Warmth that passes for natural [dC*].

    Examples
    --------
    >>> from lift import default_curves
    >>> from lift.practice.toning.neutralise import neutralise
    >>> from lift.practice.toning.tone_report import underpigment_state
    >>> red, orange = (underpigment_state(n, default_curves()) for n in (4, 6))
    >>> [partial(neutralise(hair)).knee is None for hair in (red, orange)]
    [False, True]
    """

    darker: Floats
    left: Floats
    warmth: Floats
    doses: tuple[dict[str, float], ...]
    allowance: float

    @property
    def gone(self) -> Floats:
        """Share of the difference that is gone [-], shape (n,)."""
        return np.asarray((self.left[0] - self.left) / (self.left[0] - self.left[-1]))

    @property
    def knee(self) -> int | None:
        """Place from which every L* takes much less than before; None where there is none.

        It is the point furthest above the straight line from nothing to the whole answer.
        """
        above = self.gone - self.darker / self.darker[-1]
        best = int(np.argmax(above))
        return best if above[best] >= KNEE else None

    @property
    def enough(self) -> int | None:
        """First place whose warmth passes for natural; None where that is so untoned, or never."""
        within = np.flatnonzero(self.warmth <= self.allowance)
        return int(within[0]) if within.size and within[0] > 0 else None

    @property
    def words(self) -> Note:
        """What a part of it buys, in a sentence or two."""
        whole, knee = float(self.darker[-1]), self.knee
        if knee is None:
            half = 100.0 * float(np.interp(0.5 * whole, self.darker, self.gone))
            first = note("partial.even", share=half, whole=whole)
        else:
            first = note("partial.knee", whole=whole, **self._at(knee))
        return note("partial.words", first=first, enough=self.enough_note or "")

    @property
    def short(self) -> Note | None:
        """The part that is worth a thought: at a knee, else what passes for natural."""
        if self.knee is not None:
            return note("partial.knee.short", whole=float(self.darker[-1]), **self._at(self.knee))
        enough = self.enough_note
        return None if enough is None else note("partial.enough.short", **dict(enough.values))

    @property
    def enough_note(self) -> Note | None:
        """What is enough for it to pass for natural; None where nothing less than all of it is."""
        if self.enough is None:
            return None
        spared = float(self.darker[-1] - self.darker[self.enough])
        return note("partial.enough", allowance=self.allowance, spared=spared,
                    **self._at(self.enough))  # fmt: skip

    def _at(self, place: int) -> dict[str, Any]:
        return {
            "dyes": dyes_note(self.doses[place]),
            "dose": sum(self.doses[place].values()),
            "share": 100.0 * float(self.gone[place]),
            "darker": float(self.darker[place]),
            "left": float(self.left[place]),
        }


def partial(answer: Neutralisation, allowance: float | None = None) -> Partial | None:
    """Find the least difference that is left for every darkening up to that of an answer.

    None where nothing is toned, and where a colour is the goal: what darkens towards that is no
    loss. `allowance` is the warmth that passes for natural [dC*], by default the curve set's.
    """
    if not answer.tone or answer.goal is not None:
        return None
    curves, path = answer.curves, answer.path
    dyes = answer.alone.dyes
    most = {dye: max(float(x), answer.tone.get(dye, 0.0))
            for dye, x in zip(dyes, answer.alone.doses, strict=True)}  # fmt: skip
    # Even in the root of the dose, as the search is; the answer itself is among what is tried.
    root = np.linspace(0.0, 1.0, PER_DYE) ** 2
    tried = [{dye: most[dye] * root} for dye in dyes]
    for first, second in combinations(dyes, 2):
        grids = np.meshgrid(most[first] * root, most[second] * root)
        tried.append({first: grids[0].ravel(), second: grids[1].ravel()})
    tried.append({dye: dose * np.linspace(0.0, 1.0, BUDGETS) for dye, dose in answer.tone.items()})
    labs = [strand_lab(answer.pigment, curves.values, tone=add_doses(tone, answer.in_hair))
            for tone in tried]  # fmt: skip
    lab = np.concatenate(labs)
    which = np.repeat(np.arange(len(tried)), [len(each) for each in labs])
    within = np.concatenate([np.arange(len(each)) for each in labs])
    left = residual_to(None, curves, path)(lab)
    darker = float(answer.fibres_at(0.0).pigmented[0]) - lab[:, 0]
    budgets = np.linspace(0.0, float(darker[-1]), BUDGETS)
    # What a dye lifts by a rounding error costs nothing.
    allowed = darker <= budgets[:, None] + 1e-9
    every = np.where(allowed, left, np.inf)
    one = np.where(which < len(dyes), every, np.inf)
    alone = one.min(axis=1) <= every.min(axis=1) + SECOND_DYE_GAIN
    best = np.where(alone, np.argmin(one, axis=1), np.argmin(every, axis=1))
    return Partial(
        darker=np.maximum(darker[best], 0.0),
        left=left[best],
        warmth=path.warmth(lab[best]),
        doses=tuple(
            {dye: float(dose[within[i]]) for dye, dose in tried[which[i]].items()} for i in best
        ),
        allowance=allowance_or_default(allowance, curves),
    )
