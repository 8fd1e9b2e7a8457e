"""Rinsed: one strand as a toner finds it - as before, as predicted, or as it was seen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from lift.errors import Floats, LiftError
from lift.model.curves import CurveSet
from lift.model.hair import LEVEL_RANGE, Hair
from lift.model.inverse import Inferred, infer_pigment
from lift.model.mixture import Mixture
from lift.model.natural import path_of
from lift.model.strand import Pigment, strand_lab
from lift.model.trajectory import Trajectory, simulate
from lift.practice.target import HALF_LEVEL
from lift.quantities import Lab
from lift.words import Note, note

KNOWN_BY = ("before", "predicted", "level", "colour")
"""How a strand is known: from before the service, predicted, by a level or by a colour seen."""

STEP = 0.1
"""Steps in which a level seen is looked for [levels]: nobody sees finer."""


@dataclass(frozen=True, eq=False)
class Rinsed:
    """One strand once its mixture is rinsed, or before anything was laid on.

    Parameters
    ----------
    hair : Hair
        As it was before.
    state : Pigment or Inferred
        What absorbs in its pigmented fibres now; inferred where a colour was measured.
    in_hair : mapping of str to float
        Dose of each dye that the mixture has left in it [0.01 absorption per fibre radius].
    known_by : str
        One of `KNOWN_BY`.
    minutes : float
        Processing time [min]; 0 where nothing was laid on.

    Examples
    --------
    >>> from lift import Hair, Mixture, default_curves
    >>> after = rinsed(Hair(6), Mixture("powder", 20), 25, default_curves())
    >>> after.known_by
    'predicted'
    >>> rinsed(Hair(6), Mixture("powder", 20), 25, default_curves(), seen=9.0).known_by
    'level'
    """

    hair: Hair
    state: Pigment | Inferred
    in_hair: Mapping[str, float] = field(default_factory=dict)
    known_by: str = KNOWN_BY[0]
    minutes: float = 0.0

    @property
    def words(self) -> Note:
        """How it is known."""
        return note(f"rinsed.{self.known_by}", minutes=self.minutes)


def rinsed(
    hair: Hair,
    mixture: Mixture | None,
    minutes: float,
    curves: CurveSet,
    seen: float | Lab | None = None,
) -> Rinsed:
    """What a strand is after so many minutes [min] of a mixture, or of none.

    What was `seen` of it, a level or a CIELAB, goes before what is predicted. A level is that of
    the pigmented fibres with the mixture's tone on them: this hair was then lightened until it
    looks like that. From a colour the state is inferred, the tone that has formed being known.

    Raises
    ------
    LiftError
        For a level seen that is darker than the hair was before, by more than half a level.
    """
    done = Mixture(volume=0.0) if mixture is None else mixture
    time = 0.0 if mixture is None else minutes
    after = simulate(hair, done, time, curves)
    tone = {dye: float(dose) for dye, dose in after.tone.items() if float(dose) > 0.0}
    if seen is None:
        known_by = "before" if time == 0.0 else "predicted"
        return Rinsed(hair, after.pigment, tone, known_by, time)
    if not isinstance(seen, tuple):
        return Rinsed(hair, _of_level(hair, tone, seen, curves), tone, "level", time)
    share = hair.pheomelanin_share
    found = infer_pigment(
        seen,
        curves,
        grey_percent=float(hair.grey_percent),
        pheomelanin_share=None if share is None else float(share),
        tone=tone,
    )
    return Rinsed(hair, found, tone, "colour", time)


def _of_level(hair: Hair, tone: Mapping[str, float], level: float, curves: CurveSet) -> Pigment:
    start = hair.level_now
    if level < start - HALF_LEVEL:
        raise LiftError("rinsed.darker", seen=level, start=start)
    to = np.append(np.arange(start, LEVEL_RANGE[1], STEP), LEVEL_RANGE[1])
    shown = _lightened(hair, to, curves)
    # Tone makes hair look darker than it was lightened to.
    read = path_of(hair, curves).level_of_lightness
    toned = strand_lab(shown.pigment, curves.values, tone=tone)
    veil = read(toned[..., 0]) - read(shown.underpigment[..., 0])
    reached = float(np.interp(level, to + veil, to))
    return _lightened(hair, np.asarray(reached), curves).pigment


def course_of(hair: Hair, levels: Floats, curves: CurveSet) -> Floats:
    """CIELAB of this hair lightened to each of some levels [-], as seen, shape (levels, 3).

    Natural hair of the same kind stands for those darker than it was before.

    Examples
    --------
    >>> from lift import Hair, default_curves
    >>> course_of(Hair(7), np.array([6.0, 7.0, 9.0]), default_curves()).shape
    (3, 3)
    """
    start = hair.level_now
    seen = _lightened(hair, np.maximum(levels, start), curves).lab
    darker = path_of(hair, curves).lab_of_level(levels)
    return np.where((levels < start)[:, None], darker, seen)


def _lightened(hair: Hair, to: Floats, curves: CurveSet) -> Trajectory:
    return simulate(hair.replace(lightened_to=to), Mixture(volume=0.0), 0.0, curves)
