"""Questions for a class on overshoot, with answers that are computed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from lift.model.curves import CurveSet, default_curves
from lift.model.hair import FIBRES_UM, Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.tone import tone_direction
from lift.practice.window import Window, find_window, first_crossing

HAIR = Hair(level=6.0)
WEAK, STRONG = Mixture("cream", 20.0), Mixture("cream", 40.0)
MINUTES = 30.0


@dataclass(frozen=True)
class Question:
    """One question for a class.

    Parameters
    ----------
    text : str
        The question.
    answer : str
        Its answer, computed.
    why : str
        The reason, in one sentence.
    """

    text: str
    answer: str
    why: str


def class_exercise(curves: CurveSet | None = None) -> tuple[Question, ...]:
    """Return the questions with the answers that a curve set gives.

    Parameters
    ----------
    curves : CurveSet, optional
        Default: the shipped set.

    Returns
    -------
    tuple of Question
    """
    curves = curves or default_curves()
    return tuple((*_strength(curves), *_fibre(curves), *_base_break(curves), *_tone(curves)))


def _strength(curves: CurveSet) -> Iterator[Question]:
    first = simulate(HAIR, WEAK, MINUTES, curves)
    yield Question(
        f"Natural level {HAIR.level:g}, medium fibre, lies under a cream with "
        f"{WEAK.volume:g} vol for {MINUTES:g} min. Which level does it reach, at which stage?",
        f"Level {float(first.level):.1f}, {first.stage}; warmth {float(first.warmth):+.1f} dC*.",
        "The level tells how much pigment is left; the stage tells which.",
    )
    minutes = np.linspace(0.0, MINUTES, 601)
    strong = simulate(HAIR, STRONG, minutes, curves)
    when = float(first_crossing(minutes, strong.lift - first.lift))
    yield Question(
        f"A second strand gets {STRONG.volume:g} vol. When is it as light as the first is at "
        f"{MINUTES:g} min?",
        f"After {when:.1f} min.",
        "Twice the strength takes less than half the time off, because the mixture has to soak "
        "in first."
        if when > 0.5 * MINUTES
        else "Twice the strength takes half the time off, and more, because the mixture weakens "
        "as it lies.",
    )
    warmth = float(simulate(HAIR, STRONG, when, curves).warmth)
    gap = abs(warmth - float(first.warmth))
    yield Question(
        "Which of the two strands is warmer at that moment?",
        f"Neither: they differ by {gap:.1f} dC*."
        if gap < 0.5
        else f"They differ by {gap:.1f} dC*.",
        "Strength and time move hair along one stage curve; they do not change the curve.",
    )


def _fibre(curves: CurveSet) -> Iterator[Question]:
    fine, coarse = (
        find_window(HAIR.replace(fibre_um=f), WEAK, None, curves, members=2)
        for f in ("fine", "coarse")
    )
    yield Question(
        f"Fine ({FIBRES_UM['fine']:g} um) and coarse ({FIBRES_UM['coarse']:g} um) hair of the same "
        "level, same mixture. Which becomes too warm first, and by how much?",
        f"The fine hair: at {_end(fine)} against {_end(coarse)}.",
        "Peroxide has less far to go into a thin fibre.",
    )


def _base_break(curves: CurveSet) -> Iterator[Question]:
    hair, mixture = Hair(level=7.0, fibre_um="fine", damp=True), Mixture("base-break", 10.0)
    window = find_window(hair, mixture, None, curves)
    yield Question(
        "Base break: natural level 7, fine, damp, 10 vol. When do you look, when do you rinse?",
        f"Look from {window.opens:.1f} min, rinse before {window.closes:.1f} min."
        if window.opens is not None and window.closes is not None
        else "There is no window: choose a weaker developer or another goal.",
        f"Nine in ten such strands become too warm between {_span(window)}: the clock alone does "
        "not decide, the strand does.",
    )


def _tone(curves: CurveSet) -> Iterator[Question]:
    lab = simulate(HAIR, WEAK, MINUTES, curves).lab
    tone = tone_direction(lab, None, curves)
    yield Question(
        "What answers the warmth of the first strand?",
        f"{str(tone.wheel).capitalize()}, against {tone.excess_wheel}; in CIELAB a change of "
        f"{float(tone.amount):.0f} towards {float(tone.hue_deg):.0f} degrees.",
        "What is too much is measured from natural hair of the same lightness, not from grey.",
    )


def _end(window: Window) -> str:
    return "never" if window.too_warm_at is None else f"{window.too_warm_at:.1f} min"


def _span(window: Window) -> str:
    low, high = (f"{t:.1f}" if np.isfinite(t) else "never" for t in window.closes_range)
    return f"{low} and {high} min"
