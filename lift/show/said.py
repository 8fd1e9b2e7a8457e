"""What is said of one strand: notes that terminal, page, pictures and notebooks share."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from lift.model.mixture import Mixture
from lift.model.natural import path_of
from lift.model.stages import NATURAL
from lift.optics.colorimetry import delta_e_2000, hue_deg, lab_tuple
from lift.practice.passages import Passage
from lift.practice.preview import Preview
from lift.practice.why import Why
from lift.practice.window import Window
from lift.show.said_warmth import counted
from lift.words import LAST_LEVEL, Note, note, past_scale


def risk(result: Preview) -> str:
    """Code of the risk of being past the goal, ``open`` where there is none to be past.

    A low one is told only where the numbers hold: inside the domain and what the curve set is good
    for, on the scale of levels, and while a strand can still be inside the window.
    """
    if result.target is None:
        return "open"
    places, warm = result.places, result.p_too_warm or 0.0
    p = warm + places["too_light"]
    if p >= 0.1:
        past = "too_warm" if warm >= places["too_light"] else "too_light"
        return "watch" if p < 0.35 else "high" if p < 0.75 else past
    if not result.can_be_inside:
        return "missed"
    if result.target.wanted is not None and places["not_lifted"] >= 0.5:
        return "early"
    past_end = past_scale(float(result.band_at("level")[1]))
    return "unsure" if past_end or result.edges or result.extrapolates else "low"


def risk_note(result: Preview) -> Note:
    """Risk in words, with its probability and the goal it is a risk for."""
    code = risk(result)
    if result.target is None:
        return note("preview.risk.open")
    why = note(f"preview.risk.{code}") if code in ("missed", "unsure") else ""
    goal = result.target.name
    if result.target.wanted is None and result.places["too_light"] < 0.005:
        return note("preview.risk", risk=code, p=result.p_too_warm, goal=goal, why=why)
    places = result.places
    inside = places.pop("inside")
    # What fewer than one strand in two hundred is need not be said.
    parts = [note("preview.risk.part", place=n, p=p) for n, p in places.items() if p >= 0.005]
    rest = note("preview.risk.rest", parts=parts) if parts else ""
    return note("preview.risk.near", risk=code, goal=goal, p_inside=inside, rest=rest, why=why)


def first_notes(result: Preview) -> dict[str, Note]:
    """What to do, in the order of doing it, and how it may end, under the names of first lines."""
    return {
        "mix": mix_note(result.mixture),
        "rinse": rinse_note(result),
        "tone": then_tone_note(result),
        "risk": risk_note(result),
    }


def mix_note(mixture: Mixture) -> Note:
    """What to mix."""
    return note(
        "preview.mix",
        kind=mixture.kind,
        parts=float(mixture.developer_parts),
        volume=float(mixture.developer_volume),
    )


def rinse_note(result: Preview) -> Note:
    """When to rinse: best, from when, and by when."""
    window = result.window
    if window is None:
        return note("preview.rinse.open")
    if window.p_best <= 0.0:
        return note("preview.rinse.never", goal=window.target.name)
    first, best, last = window.rinse
    numbers = {"best": best, "first": first, "last": last}
    return note("preview.rinse", goal=window.target.name, p=window.p_best, **numbers)


def then_tone_note(result: Preview) -> Note:
    """What tones it after the rinse at the asked time."""
    found = result.toned
    if found is None:
        return result.wheel_and_dye.short
    dose, side = float(found.dose), side_note(result)
    if side is not None and side.code == "preview.side.early":
        # A toner for hair that it cannot bring to the goal yet is no advice.
        return note("preview.toned.early")
    if dose <= 0.0:
        return note("preview.toned.none")
    level = float(path_of(result.hair, result.curves).level_of_lightness(found.lab[0]))
    dye = found.dyes[int(found.dye)]
    return note("preview.toned", dye=dye, dose=dose, level=level, lab=lab_tuple(found.lab))


def passage_notes(each: Passage) -> dict[str, Note]:
    """What is said of a level that lightening passes, by column of its table."""
    low, high = map(time_note, each.between)
    dyes = dose_notes(each.tone)
    lab = {"lab": each.after, "level": each.level_after}
    return {
        "level": note("level", level=each.level),
        "stage": note(f"stage.{each.stage}"),
        "from": note("window.later")
        if each.minutes is None
        else note("window.time", minutes=each.minutes),
        "between": note("window.pair", low=low, high=high),
        "reached": note("chance", p=each.p_reached),
        "toner": note("preview.passes.doses", doses=dyes) if dyes else note("preview.toned.none"),
        "after": note("preview.passes.toned", **lab),
    }


def side_note(result: Preview) -> Note | None:
    """On which side of the goal the expected strand is at the asked time, and how far.

    None where no colour is wanted.
    """
    target = result.target
    if target is None or target.wanted is None:
        return None
    now = result.drawn.central
    found = result.toned
    shown = now.pigmented[-1] if found is None else found.lab
    off = float(delta_e_2000(shown, np.array(target.wanted)))
    level = float(path_of(result.hair, result.curves).level_of_lightness(shown[0]))
    near = off <= target.tolerance and shown[0] >= target.least_lightness
    if near:
        side = "inside"
    elif shown[0] > target.wanted[0]:
        side = "past"
    else:
        side = "early"
    stage = result.stage
    return note(
        f"preview.side.{side}", level=level, off=off, tolerance=target.tolerance, stage=stage
    )


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
    numbers = {"low": low, "median": median, "high": high}
    if result.warmth_limit is None:
        return counted(note("preview.warmth.free", **numbers), result.hair)
    told = note("preview.warmth", limit=result.warmth_limit, **numbers)
    return counted(told, result.hair)


def why_note(found: Why) -> Note:
    """How much of the spread in warmth is this head."""
    share = found.warmth.head_share
    return note("preview.why", head=share, rest=1.0 - share)


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
