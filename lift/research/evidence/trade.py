"""Checks against trade practice: no sources, so agreement is plausibility and not proof."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from lift.errors import LiftError
from lift.model.curves import RED_SHARE, CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.model.strand import hair_pigment, lightened, strand_lab
from lift.model.trajectory import MAX_PRIOR_EXPOSURE, simulate
from lift.optics.colorimetry import NOTICEABLE, chroma, hue_deg
from lift.practice.cautions import cautions
from lift.practice.stage_table import stage_table
from lift.practice.tone import tone_direction
from lift.practice.wheel_and_dye import WheelAndDye
from lift.practice.window import find_window
from lift.reference import load
from lift.research.evidence.checks import PRACTICE, Check, built_in, check
from lift.research.planning.narrowing import LIGHTNESS
from lift.words import Note, note

BASE_BREAK = Hair(level=7.0, fibre_um="fine", damp=True)

RED_LIGHTNESS = 30.0
"""L* from which red and brown hair start."""

HAS_A_HUE = 5.0
"""C*ab from which a colour's hue is judged: nearly black hair has none (assumed)."""

ANSWERS = {
    "red": "green",
    "red-orange": "blue-green",
    "orange": "blue",
    "yellow-orange": "blue-violet",
    "yellow": "violet",
    "pale yellow": "violet",
    "palest yellow": "violet",
}
"""Green answers red, blue answers orange, violet answers yellow; in-betweens in-betweens."""


def trade_checks(curves: CurveSet) -> Iterator[Check]:
    """Every row of ``reference/trade_practice.csv``."""
    yield from _lifts(curves)
    yield from _mixtures(curves)
    yield from _red(curves)
    yield from _regions(curves)
    yield from _stages(curves)
    yield from _wheel_rules(curves)
    yield from _windows(curves)
    yield from _service(curves)


def _lifts(curves: CurveSet) -> Iterator[Check]:
    """Lifts of ``reference/trade_lifts.csv``, levels of one rule and one use together."""
    table = load("trade_lifts")
    named = zip(*(table.words(n) for n in ("row", "mixture", "use")), strict=True)
    numbers = table.numbers("volume", "minutes", "fibre_um", "damp", "low", "high")
    levels: dict[tuple[Any, ...], list[float]] = {}
    for words, row, level in zip(named, numbers, table.numbers("level"), strict=True):
        levels.setdefault((*words, *row.tolist()), []).append(float(level))
    for (row, kind, use, volume, minutes, fibre, damp, low, high), of in levels.items():
        hair = Hair(level=of, fibre_um=fibre, damp=bool(damp))
        lift = simulate(hair, Mixture(kind, volume), minutes, curves).lift
        told = {"row": row, "mixture": kind, "volume": volume, "minutes": minutes}
        told["levels"] = [f"{level:g}" for level in of]
        ends = {"low": low, "high": high, "least": lift.min(), "most": lift.max()}
        passed = np.all((lift >= low) & (lift <= high))
        yield check("lift", PRACTICE, passed, fitted=use == "fitted", **told, **ends)


def _mixtures(curves: CurveSet) -> Iterator[Check]:
    """Which mixture lifts further, and how far black hair comes."""

    def lift(kind: str, volume: float, minutes: float) -> float:
        return float(simulate(Hair(level=7.0), Mixture(kind, volume), minutes, curves).lift)

    for volume in (10.0, 20.0):
        found = {
            kind.replace("-", "_"): lift(kind, volume, 15.0) for kind in ("powder", "base-break")
        }
        passed = found["powder"] > found["base_break"]
        yield check("order", PRACTICE, passed, fitted=volume == 20.0, volume=volume, **found)
    first, cream = lift("base-break", 20.0, 5.0), lift("cream", 20.0, 5.0)
    yield check("first_minutes", PRACTICE, first > cream, base_break=first, cream=cream)
    for level in (1.0, 2.0):
        strongest = Mixture("powder", 40.0)
        reached = float(simulate(Hair(level=level), strongest, 50.0, curves).level)
        told = {"level": level, "reached": reached}
        yield check("black", PRACTICE, reached < 10.0, fitted=True, **told)


def _red(curves: CurveSet) -> Iterator[Check]:
    """Red hair against brown of one L*: exposure to leave orange, and colour as it lightens."""
    ladder = underpigment_ladder(curves)
    beyond = float(ladder.lab[ladder.stages.index("orange") + 1, 0])
    exposures = np.linspace(0.0, MAX_PRIOR_EXPOSURE, 4001)
    needed, at_lightness = [], []
    for share in (RED_SHARE, None):
        level = float(natural_path(curves, share).level_of_lightness(RED_LIGHTNESS))
        natural = hair_pigment(Hair(level=level, pheomelanin_share=share), curves.values)
        lab = strand_lab(lightened(natural, exposures, curves.values), curves.values)
        needed.append(float(np.interp(beyond, lab[:, 0], exposures)))
        at_lightness.append([np.interp(LIGHTNESS, lab[:, 0], axis) for axis in lab.T])
    ratio = needed[0] / max(needed[1], 1e-9)
    yield check("red", PRACTICE, ratio >= 1.5, fitted=True, lightness=RED_LIGHTNESS, ratio=ratio)
    red, brown = np.array(at_lightness)
    found = {"red": chroma(red), "brown": chroma(brown)}
    found |= {"red_hue": hue_deg(red), "brown_hue": hue_deg(brown)}
    passed = found["red"] > found["brown"] or found["red_hue"] < found["brown_hue"]
    yield check("red_colour", PRACTICE, passed, fitted=True, lightness=LIGHTNESS, **found)


def _regions(curves: CurveSet) -> Iterator[Check]:
    """Rungs of the ladder in the regions of their words; the last one was fitted to its own."""
    table, ladder = load("stage_regions"), underpigment_ladder(curves)
    stages = table.words("stage")
    low, high = (
        table.numbers(*(f"{axis}_{end}" for axis in ("lightness", "chroma", "hue")))
        for end in ("low", "high")
    )
    seen = np.stack([ladder.lab[:, 0], chroma(ladder.lab), hue_deg(ladder.lab)], axis=-1)
    row = np.array([stages.index(stage) for stage in ladder.stages])
    inside = (seen >= low[row]) & (seen <= high[row])
    inside[:, 2] |= seen[:, 1] < HAS_A_HUE
    for fitted, names in ((False, stages[:-1]), (True, stages[-1:])):
        mine = np.array([stage in names for stage in ladder.stages])
        out = [s for s, fine in zip(ladder.stages, inside.all(axis=1), strict=True) if not fine]
        found = {"stages": list(names), "out": [s for s in names if s in out]}
        yield check("regions", PRACTICE, inside[mine].all(), fitted=fitted, **found)


def _stages(curves: CurveSet) -> Iterator[Check]:
    ladder = underpigment_ladder(curves)
    hues = np.degrees(np.unwrap(np.radians(hue_deg(ladder.lab))))
    shown = " ".join(f"{h:.0f}" for h in np.mod(hues + 90.0, 360.0) - 90.0)
    yield check("hue_rises", PRACTICE, np.all(np.diff(hues) > 0.0), hues=shown)
    # Named from a strand on its way up from dark brown, not from the ladder itself; by exposure,
    # for no mixture takes it all the way in one sitting.
    exposure = np.linspace(0.0, ladder.exposure[-1], 961)
    strand = simulate(Hair(level=2.0), Mixture(), 0.0, curves, prior_exposure=exposure)
    wanted = list(range(3, 11))
    at = [int(np.argmin(np.abs(strand.level - each))) for each in wanted]
    named = strand.stage[at]
    expected = [ladder.stages[each - 1] for each in wanted]
    passed = list(named) == expected
    yield built_in("stage_names", PRACTICE, passed, wanted=expected, named=list(named))
    tone = tone_direction(ladder.lab, None, curves)
    answers = {
        stage: tone.wheel[i] for i, stage in enumerate(ladder.stages) if bool(tone.needed[i])
    }
    pairs = {
        "wanted": [note("evidence.answered", stage=s, wheel=a) for s, a in ANSWERS.items()],
        "named": [note("evidence.answered", stage=s, wheel=a) for s, a in answers.items()],
    }
    yield built_in("wheel", PRACTICE, answers == ANSWERS, **pairs)


def _wheel_rules(curves: CurveSet) -> Iterator[Check]:
    """Each rule of the wheel against what its dye does to hair, on all levels of that colour.

    A rule holds where its dye alone does as well as any dye or pair, to what is noticed.
    """
    table = stage_table(curves)
    found = [table.wheel_and_dye[i] for i in range(table.levels.size)]
    for rule, answer in dict.fromkeys(
        (str(each.direction.excess_wheel), str(each.direction.wheel)) for each in found
    ):
        of = [
            (float(level), each)
            for level, each in zip(table.levels, found, strict=True)
            if each.direction.excess_wheel == rule and each.place is not None and each.told
        ]
        of = [(level, each) for level, each in of if each.direction.needed]
        if not of:
            continue
        told: dict[str, Any] = {"excess": rule, "answer": answer, "limit": NOTICEABLE}
        told["each"] = [_of_rule(level, each) for level, each in of]
        short = [each.reason for _, each in of if each.reason]
        told["why"] = note(f"evidence.wheel_rule.{short[-1]}") if short else ""
        passed = not short
        yield check("wheel_rule", PRACTICE, passed, **told)


def _of_rule(level: float, found: WheelAndDye) -> Note:
    """What the wheel's dye alone leaves at a level, and what is left by what does it."""
    return note(
        "evidence.wheel_rule.level",
        level=level,
        left=float(found.alone.residual[found.place]),
        turns=note(f"stages.turns.{found.reason}") if found.reason else "",
        does=found.dyes_note,
        best=float(found.best.residual),
    )


def _windows(curves: CurveSet) -> Iterator[Check]:
    mixture = Mixture("base-break", 10.0)
    usual = find_window(BASE_BREAK, mixture, None, curves)
    closes = usual.closes or np.inf
    times = {"opens": usual.opens or np.nan, "closes": closes}
    yield check("base_break", PRACTICE, 4.0 <= closes <= 8.0, fitted=True, **times)
    coarse = find_window(BASE_BREAK.replace(fibre_um=90.0), mixture, None, curves)
    late = coarse.closes or np.inf
    yield check("fine_hair", PRACTICE, closes < late, fine=closes, coarse=late)
    dry = find_window(BASE_BREAK.replace(damp=False), mixture.replace(volume=20.0), None, curves)
    widths: dict[str, Any] = {"damp": usual.width, "dry": dry.width}
    yield check("damp", PRACTICE, usual.width > dry.width, **widths)


def _service(curves: CurveSet) -> Iterator[Check]:
    powder = Mixture("powder", 20.0)
    warned = any(said.code == "domain.edge" for said in cautions(powder, 51.0, None, curves))
    refused = False
    try:
        simulate(Hair(level=7.0), powder, 61.0, curves)
    except LiftError:
        refused = True
    told = {"warned": warned, "refused": refused}
    yield built_in("limit", PRACTICE, warned and refused, **told)
