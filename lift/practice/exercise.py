"""Questions for a class on overshoot, with answers that are computed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from lift.model.curves import CurveSet, default_curves
from lift.model.hair import FIBRES_UM, Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.goal import Blend
from lift.practice.inside import first_crossing
from lift.practice.wheel_and_dye import wheel_and_dye
from lift.practice.window import find_window
from lift.results import Result
from lift.words import Note, note

HAIR = Hair(level=6.0)
WEAK, STRONG = Mixture("cream", 20.0), Mixture("cream", 40.0)
MINUTES = 30.0


@dataclass(frozen=True, repr=False)
class Question(Result):
    """One question for a class, its answer, computed, and the reason, in one sentence."""

    text: Note
    answer: Note
    why: Note


def class_exercise(curves: CurveSet | None = None) -> tuple[Question, ...]:
    """Return the questions with the answers that a curve set gives; default: the shipped set.

    Examples
    --------
    >>> print(class_exercise()[1].text)
    A second strand gets 40 vol. When is it as light as the first is at 30 min?
    """
    curves = curves or default_curves()
    return tuple((*_strength(curves), *_fibre(curves), *_base_break(curves), *_tone(curves)))


def _strength(curves: CurveSet) -> Iterator[Question]:
    first = simulate(HAIR, WEAK, MINUTES, curves)
    yield Question(
        note("exercise.level", level=HAIR.level, volume=WEAK.volume, minutes=MINUTES),
        note(
            "exercise.level.answer",
            level=float(first.level),
            stage=str(first.stage),
            warmth=float(first.warmth),
        ),
        note("exercise.level.why"),
    )
    minutes = np.linspace(0.0, MINUTES, 601)
    strong = simulate(HAIR, STRONG, minutes, curves)
    when = float(first_crossing(minutes, strong.lift - first.lift))
    yield Question(
        note("exercise.strength", volume=STRONG.volume, minutes=MINUTES),
        note("exercise.strength.answer", minutes=when),
        note(f"exercise.strength.{'less' if when > 0.5 * MINUTES else 'more'}"),
    )
    gap = abs(float(simulate(HAIR, STRONG, when, curves).warmth - first.warmth))
    yield Question(
        note("exercise.warmer"),
        note(f"exercise.warmer.{'neither' if gap < 0.5 else 'one'}", gap=gap),
        note("exercise.warmer.why"),
    )


def _fibre(curves: CurveSet) -> Iterator[Question]:
    ends = {}
    for fibre in ("fine", "coarse"):
        window = find_window(HAIR.replace(fibre_um=fibre), WEAK, Blend(), curves, members=2)
        ends[fibre] = _when("exercise.minutes", window.too_warm_at)
    yield Question(
        note("exercise.fibre", goal=window.target.name, **{f: FIBRES_UM[f] for f in ends}),
        note("exercise.fibre.answer", **ends),
        note("exercise.fibre.why"),
    )


def _base_break(curves: CurveSet) -> Iterator[Question]:
    hair, mixture = Hair(level=7.0, fibre_um="fine", damp=True), Mixture("base-break", 10.0)
    window = find_window(hair, mixture, Blend(), curves)
    low, high = (_when("window.time", end) for end in window.closes_range)
    yield Question(
        note("exercise.window", goal=window.target.name),
        note("exercise.window.none")
        if window.opens is None
        else note("exercise.window.answer", opens=window.opens, closes=window.closes),
        note("exercise.window.why", low=low, high=high),
    )


def _tone(curves: CurveSet) -> Iterator[Question]:
    found = wheel_and_dye(simulate(HAIR, WEAK, MINUTES, curves).pigment, curves)
    yield Question(
        note("exercise.tone"),
        note("exercise.tone.answer", answer=found.words),
        note("exercise.tone.why", reason=found.why or ""),
    )


def _when(code: str, minutes: float | None) -> Note:
    """A time [min] that may never come: None or infinity."""
    if minutes is None or not np.isfinite(minutes):
        return note("exercise.never")
    return note(code, minutes=float(minutes))
