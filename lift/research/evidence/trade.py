"""Checks against trade practice: no sources, so agreement is plausibility and not proof."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.stages import underpigment_ladder
from lift.model.trajectory import simulate
from lift.optics.colorimetry import hue_deg
from lift.practice.cautions import cautions
from lift.practice.tone import tone_direction
from lift.practice.window import find_window
from lift.research.evidence.checks import PRACTICE, Check, check
from lift.words import note

BASE_BREAK = Hair(level=7.0, fibre_um="fine", damp=True)

LIFT_RANGES = {10.0: (1.0, 1.0), 20.0: (1.0, 2.0), 30.0: (2.0, 3.0), 40.0: (3.0, 4.0)}
"""Levels lifted in 30 to 45 min by a cream mixed 1:1; each range is widened by half a level."""

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
    yield from _strength(curves)
    yield from _stages(curves)
    yield from _windows(curves)
    yield from _service(curves)


def _strength(curves: CurveSet) -> Iterator[Check]:
    levels = np.array([3.0, 4.0, 5.0, 6.0, 7.0])
    for volume, (low, high) in LIFT_RANGES.items():
        lift = simulate(Hair(level=levels), Mixture("cream", volume), 35.0, curves).lift
        ends = {"low": low - 0.5, "high": high + 0.5, "least": lift.min(), "most": lift.max()}
        passed = np.all((lift >= low - 0.5) & (lift <= high + 0.5))
        yield check("volumes", PRACTICE, passed, fitted=True, volume=volume, **ends)
    powder = float(simulate(Hair(level=4.0), Mixture("powder", 20.0), 45.0, curves).lift)
    yield check("powder", PRACTICE, 4.0 <= powder <= 7.0, fitted=True, lift=powder)


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
    yield check("stage_names", PRACTICE, passed, wanted=expected, named=list(named))
    tone = tone_direction(ladder.lab, None, curves)
    answers = {
        stage: tone.wheel[i] for i, stage in enumerate(ladder.stages) if bool(tone.needed[i])
    }
    pairs = {
        "wanted": [note("evidence.answered", stage=s, wheel=a) for s, a in ANSWERS.items()],
        "named": [note("evidence.answered", stage=s, wheel=a) for s, a in answers.items()],
    }
    yield check("wheel", PRACTICE, answers == ANSWERS, fitted=True, **pairs)


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
    yield check("limit", PRACTICE, warned and refused, fitted=True, **told)
