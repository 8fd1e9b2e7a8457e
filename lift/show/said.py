"""What is said of one strand: notes that terminal, page, pictures and notebooks share."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from lift.model.stages import NATURAL
from lift.optics.colorimetry import hue_deg
from lift.practice.preview import Preview
from lift.practice.tone import ToneDirection
from lift.practice.why import Why
from lift.practice.window import Window
from lift.show.said_warmth import counted
from lift.words import LAST_LEVEL, Note, note, past_scale


def risk(result: Preview) -> str:
    """Code of the risk of being too warm.

    A low one is told only where the numbers hold: inside the domain and what the curve set is good
    for, on the scale of levels, and while a strand can still be inside the window.
    """
    p = result.p_too_warm
    if p >= 0.1:
        return "watch" if p < 0.35 else "high" if p < 0.75 else "too_warm"
    if not result.can_be_inside:
        return "missed"
    past = past_scale(float(result.band_at("level")[1]))
    return "unsure" if past or result.edges or result.extrapolates else "low"


def risk_note(result: Preview) -> Note:
    """Risk in words, with its probability."""
    code = risk(result)
    why = note(f"preview.risk.{code}") if code in ("missed", "unsure") else ""
    return note("preview.risk", risk=code, p=result.p_too_warm, why=why)


def lift_note(lift: float, level: float, start: float, *, fine: bool = False) -> Note:
    """Lift from a natural level in words [levels]; past the scale, what it is at least."""
    if past_scale(level):
        return note("lift.least.fine" if fine else "lift.least", lift=LAST_LEVEL - start)
    return note("lift.gained.fine" if fine else "lift.gained", lift=lift)


def level_note(result: Preview) -> Note:
    """Level and lift at the asked time."""
    low, median, high = result.band_at("level")
    return note(
        "preview.level",
        low=float(low),
        median=float(median),
        high=float(high),
        lift=lift_note(float(result.band_at("lift")[1]), float(median), float(result.hair.level)),
    )


def underpigment_note(result: Preview) -> Note:
    """Stage of the expected strand, how many strands share it, and its hue."""
    stage = result.stage
    p = result.stage_chances.get(stage, 0.0)
    if stage == NATURAL:
        return note("preview.underpigment.none", stage=stage, p=p)
    hue = float(hue_deg(result.drawn.central.pigmented[-1]))
    return note("preview.underpigment", stage=stage, p=p, hue=hue)


def warmth_note(result: Preview) -> Note:
    """Warmth at the asked time, and its limit."""
    low, median, high = map(float, result.band_at("warmth"))
    limit = result.window.target.warmth_limit
    told = note("preview.warmth", low=low, median=median, high=high, limit=limit)
    return counted(told, result.hair)


def why_note(found: Why) -> Note:
    """How much of the spread in warmth is this head."""
    share = found.warmth.head_share
    return note("preview.why", head=share, rest=1.0 - share)


def tone_note(tone: ToneDirection) -> Note:
    """Tone direction in words."""
    if not tone.needed:
        return note("tone.none_needed", amount=float(tone.amount))
    return note(
        "tone.answer",
        wheel=str(tone.wheel),
        excess=str(tone.excess_wheel),
        amount=float(tone.amount),
        hue=float(tone.hue_deg),
        munsell=str(tone.munsell),
    )


def short_tone_note(tone: ToneDirection) -> Note:
    """Tone direction in two words, without its numbers."""
    if not tone.needed:
        return note("tone.none_needed.short")
    return note("tone.answer.short", wheel=str(tone.wheel), excess=str(tone.excess_wheel))


def window_note(window: Window) -> Note:
    """Window, and the best time in it, in words."""
    if window.opens is None or window.closes is None:
        reached, warm, light = window.reached_at, window.too_warm_at, window.too_light_at
        never = (
            note("window.never_warm") if light is None else note("window.light_from", minutes=light)
        )
        return note(
            "window.none",
            goal=window.target.name,
            reached=note("window.not_reached")
            if reached is None
            else note("window.reached", minutes=reached),
            warm=never if warm is None else note("window.warm_from", minutes=warm),
        )
    late: Note | str = ""
    if np.isfinite(window.closes_range[0]):
        low, high = map(time_note, window.closes_range)
        late = note("window.late", low=low, high=high)
    return note(
        "window.between",
        opens=window.opens,
        closes=window.closes,
        late=late,
        end=note(_ENDS[window.closes_by]),
        best=window.best_minutes,
        p=window.p_best,
    )


_ENDS = {
    "warmth": "window.ends_warm",
    "lightness": "window.ends_light",
    "time limit": "window.ends_limit",
}


def time_note(minutes: float) -> Note:
    """A time [min], or that it comes later than is looked at where it is infinite."""
    return note("window.time", minutes=minutes) if np.isfinite(minutes) else note("window.later")


def dose_notes(doses: Mapping[str, float]) -> list[Note]:
    """Each dye with its dose [0.01 absorption per fibre radius]."""
    return [note("dose", dye=dye, dose=float(dose)) for dye, dose in doses.items()]
