"""Wheel and dye: what the painter's wheel says of a warm colour, and which dye does it on hair.

The wheel says how paints darken one another on white. Hair is not white: it keeps back blue light
already. So a dye is judged by what it does to hair, and where that is not what the wheel says, the
reason is told with it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import NaturalPath, natural_path
from lift.model.strand import Pigment, strand_lab
from lift.optics.colorimetry import NOTICEABLE, chroma, hue_deg
from lift.optics.dyes import add_doses, palette
from lift.practice.dose_search import (
    Alone,
    Found,
    best_doses,
    each_alone,
    one_or_two,
    residual_to,
)
from lift.practice.tone import NATURAL, ToneDirection, tone_direction
from lift.quantities import Lab
from lift.results import Result
from lift.words import Note, note

VERDICTS = ("none", "agree", "as_well", "differ", "unsaid")
"""What may be said of the wheel: no tone is needed; its dye is the one that does it; its dye would
do as well; another does it better, noticeably; no dye of its family is offered."""

LITTLE = 0.2
"""Share of the larger dose below which a second dye is a little of it: for telling, assumed."""


@dataclass(frozen=True, eq=False, repr=False)
class WheelAndDye(Result):
    """The direction needed, the wheel's answer and what each of n dyes does; arrays (...).

    Parameters
    ----------
    direction : ToneDirection
        The change needed: CIELAB hue, Munsell hue, family of the wheel.
    dyes : tuple of str
        Dyes to choose from.
    alone : Alone
        Best dose of each dye by itself and the dE00 it leaves, shape (..., n).
    darker : numpy.ndarray
        L* that each takes with that dose [CIELAB units], shape (..., n).
    aside : numpy.ndarray
        How far it leaves the hair to the side of what is wanted, across the direction of warmth
        [CIELAB units]: towards green above 0, towards red below; shape (..., n).
    cast : numpy.ndarray of str
        Family of what is then too much, ``natural`` where nothing is noticed; shape (..., n).
    best : Found
        The dye or pair that does it.
    best_darker : numpy.ndarray
        L* that it takes [CIELAB units].

    Examples
    --------
    >>> from lift import default_curves
    >>> from lift.practice.toning.tone_report import underpigment_state
    >>> orange = wheel_and_dye(underpigment_state(6, default_curves()), default_curves())
    >>> orange.direction.wheel, orange.verdict, list(orange.best.named())
    ('blue', 'differ', ['blue-violet'])
    >>> orange.reason
    'greens'
    """

    direction: ToneDirection
    dyes: tuple[str, ...]
    alone: Alone
    darker: Floats
    aside: Floats
    cast: Any
    best: Found
    best_darker: Floats

    def __getitem__(self, index: int) -> WheelAndDye:
        """Return one strand of an array of them."""
        return WheelAndDye(
            self.direction[index],
            self.dyes,
            self.alone[index],
            self.darker[index],
            self.aside[index],
            self.cast[index],
            self.best[index],
            self.best_darker[index],
        )

    @property
    def place(self) -> int | None:
        """Place of the wheel's dye among `dyes`, of a single strand; None where it is not there."""
        family = str(self.direction.wheel)
        return self.dyes.index(family) if family in self.dyes else None

    @property
    def told(self) -> tuple[str, ...]:
        """Dyes that do it, of a single strand, the larger dose first."""
        return tuple(self.best.named())

    @property
    def reaches(self) -> bool:
        """Whether what does it, of a single strand, leaves nothing that is noticed."""
        return float(self.best.residual) <= NOTICEABLE

    @property
    def verdict(self) -> str:
        """What may be said of the wheel for a single strand, one of `VERDICTS`."""
        if not self.direction.needed or not self.told:
            return "none"
        if self.place is None:
            return "unsaid"
        left = float(self.alone.residual[self.place])
        if left > NOTICEABLE and left - float(self.best.residual) >= NOTICEABLE:
            return "differ"
        return "agree" if self.told[0] == self.direction.wheel else "as_well"

    @property
    def reason(self) -> str:
        """Why the wheel's dye falls short on a single strand: ``greens``, ``reddens``, ``short``.

        Empty where it does not.
        """
        place = self.place
        if self.verdict != "differ" or place is None:
            return ""
        aside = float(self.aside[place])
        return "greens" if aside >= NOTICEABLE else "reddens" if aside <= -NOTICEABLE else "short"

    @property
    def words(self) -> Note:
        """The direction in numbers, what the wheel says, and what does it; of a single strand."""
        way = self.direction
        if self.verdict == "none":
            return note("tone.none_needed", amount=float(way.amount))
        return note(
            "tone.answer",
            excess=str(way.excess_wheel),
            amount=float(way.amount),
            hue=float(way.hue_deg),
            munsell=str(way.munsell),
            said=note(f"wheel_dye.{self.verdict}", **self._names),
        )

    @property
    def short(self) -> Note:
        """What does it, and why the wheel's dye does not, without numbers; of a single strand."""
        if self.verdict == "none":
            return note("tone.none_needed.short")
        turns = note(f"wheel_dye.turns.{self.reason}") if self.reason else ""
        return note(f"wheel_dye.{self.verdict}.short", turns=turns, **self._names)

    @property
    def why(self) -> Note | None:
        """Why the wheel's dye falls short on a single strand; None where it does not."""
        place = self.place
        if not self.reason or place is None:
            return None
        return note(
            f"wheel_dye.why.{self.reason}",
            left=float(self.alone.residual[place]),
            cast=note("wheel_dye.no_cast")
            if self.cast[place] == NATURAL
            else note("wheel_dye.cast", cast=str(self.cast[place])),
            darker=float(self.darker[place]),
            best=float(self.best.residual),
            best_darker=float(self.best_darker),
            **self._names,
        )

    @property
    def _names(self) -> dict[str, Any]:
        """The wheel's family, and the dyes that do it, named as they are mixed."""
        verb = note("wheel_dye.does" if self.reaches else "wheel_dye.nearest")
        return {
            "wheel": note(f"wheel.{self.direction.wheel}"),
            "does": self.dyes_note,
            "verb": verb,
        }

    @property
    def dyes_note(self) -> Note:
        """The dye or pair that does it on a single strand, by name."""
        return dyes_note(self.best.named())


def dyes_note(doses: Mapping[str, float]) -> Note:
    """One dye or two by name, the larger dose first.

    Examples
    --------
    >>> str(dyes_note({"violet": 0.4, "blue-violet": 5.0}))
    'blue-violet with a little violet'
    """
    (dye, most), *rest = sorted(doses.items(), key=lambda item: -item[1])
    if not rest or rest[0][1] <= 0.001:
        return note("toner.one", dye=dye)
    second, dose = rest[0]
    code = "wheel_dye.little" if dose < LITTLE * most else "wheel_dye.two"
    return note(code, dye=dye, second=second)


def wheel_and_dye(
    pigment: Pigment,
    curves: CurveSet,
    goal: Lab | Floats | None = None,
    *,
    direction: ToneDirection | None = None,
    dyes: tuple[str, ...] | None = None,
    laid: Mapping[str, float] | None = None,
    path: NaturalPath | None = None,
    in_hair: Mapping[str, Any] | None = None,
) -> WheelAndDye:
    """Hold the painter's wheel against every dye, on hair of some pigment.

    Parameters
    ----------
    pigment : Pigment
        Strands of shape (...).
    curves : CurveSet
        Curve set.
    goal : array_like, optional
        CIELAB wanted, shape (3,); default: natural hair of whatever lightness the strand ends with.
    direction : ToneDirection, optional
        The change needed where it is known from a measured colour; default: of the pigment's.
    dyes : tuple of str, optional
        Dyes to choose from; default: all.
    laid : mapping of str to float, optional
        What is laid on a single strand, by dye, and so is told as what does it; default: the dye
        or pair that does it best.
    path : NaturalPath, optional
        Natural hair of this kind; default: brown and blond.
    in_hair : mapping of str to float, optional
        Dose of each dye that is in the hair already [0.01 absorption per fibre radius].
    """
    names, natural, values = dyes or tuple(palette()), path or natural_path(curves), curves.values
    residual = residual_to(goal, curves, natural)
    # Amounts that are the same in all strands have no axis of their own yet.
    shape = np.broadcast_shapes(*map(np.shape, pigment.amounts))
    strands = pigment.map(lambda p: np.broadcast_to(p, shape))
    alone = each_alone(strands, names, residual, values, in_hair=in_hair)
    if laid is not None:
        best = _found(names, laid)
    elif len(names) > 1:
        best = one_or_two(alone.best, best_doses(strands, names, 2, residual, values,
                                                 in_hair=in_hair))  # fmt: skip
    else:
        best = alone.best
    return compare(strands, alone, best, curves, goal, natural, direction, in_hair)


def compare(
    pigment: Pigment,
    alone: Alone,
    best: Found,
    curves: CurveSet,
    goal: Lab | Floats | None,
    path: NaturalPath,
    direction: ToneDirection | None = None,
    in_hair: Mapping[str, Any] | None = None,
) -> WheelAndDye:
    """Hold the wheel against doses that were found already; see `wheel_and_dye`."""
    already, values = dict(in_hair or {}), curves.values
    single = pigment.map(lambda p: np.asarray(p)[..., None])
    laid = alone.doses[..., None] * np.eye(len(alone.dyes))
    shown = strand_lab(single, values, tone=_with(already, alone.dyes, laid))
    start = strand_lab(pigment, values, tone=already)
    done = strand_lab(pigment, values, tone=_with(already, best.dyes, best.doses))
    wanted = _wanted(shown, goal, path)
    turn = np.radians(hue_deg(shown) - hue_deg(wanted))
    left = tone_direction(shown, wanted, curves)
    return WheelAndDye(
        direction=direction or tone_direction(start, _wanted(start, goal, path), curves),
        dyes=alone.dyes,
        alone=alone,
        darker=start[..., None, 0] - shown[..., 0],
        aside=chroma(shown) * np.sin(turn),
        cast=np.where(left.needed, left.excess_wheel, NATURAL),
        best=replace(best, residual=residual_to(goal, curves, path)(done)),
        best_darker=start[..., 0] - done[..., 0],
    )


def _found(dyes: tuple[str, ...], laid: Mapping[str, float]) -> Found:
    """Doses that were laid on, as if they had been found; what they leave is yet to be counted."""
    every = tuple(dict.fromkeys((*dyes, *laid)))
    doses = np.array([laid.get(dye, 0.0) for dye in every])
    return Found(every, doses, np.asarray(np.nan), np.asarray(np.nan))


def _with(already: Mapping[Any, Any], dyes: tuple[Any, ...], doses: Floats) -> dict[Any, Any]:
    return add_doses({dye: doses[..., i] for i, dye in enumerate(dyes)}, already)


def _wanted(lab: Floats, goal: Lab | Floats | None, path: NaturalPath) -> Floats:
    if goal is None:
        return path.lab_of_lightness(lab[..., 0])
    return np.broadcast_to(np.asarray(goal), lab.shape)
