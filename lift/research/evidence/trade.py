"""Checks against trade practice: no sources, so agreement is plausibility and not proof."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.stages import nearest_stage, underpigment_ladder
from lift.model.trajectory import simulate
from lift.optics.colorimetry import hue_deg
from lift.practice.cautions import cautions
from lift.practice.tone import tone_direction
from lift.practice.window import find_window
from lift.research.evidence.checks import Check

SOURCE = "common practice (no source)"
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


def _check(name: str, expected: str, got: str, passed: bool, *, fitted: bool = False) -> Check:
    return Check(name, "common practice", SOURCE, expected, got, bool(passed), fitted)


def _strength(curves: CurveSet) -> Iterator[Check]:
    levels = np.array([3.0, 4.0, 5.0, 6.0, 7.0])
    for volume, (low, high) in LIFT_RANGES.items():
        lift = simulate(Hair(level=levels), Mixture("cream", volume), 35.0, curves).lift
        yield _check(
            f"volumes: {volume:g} vol cream, 35 min, levels 3 to 7",
            f"lift {low - 0.5:g} to {high + 0.5:g} levels",
            f"{lift.min():.2f} to {lift.max():.2f} levels",
            bool(np.all((lift >= low - 0.5) & (lift <= high + 0.5))),
            fitted=True,
        )
    powder = float(simulate(Hair(level=4.0), Mixture("powder", 20.0), 45.0, curves).lift)
    yield _check(
        "powder: persulfate with 20 vol, level 4, 45 min",
        "lift 4 to 7 levels",
        f"{powder:.2f} levels",
        4.0 <= powder <= 7.0,
        fitted=True,
    )


def _stages(curves: CurveSet) -> Iterator[Check]:
    ladder = underpigment_ladder(curves)
    hues = np.degrees(np.unwrap(np.radians(hue_deg(ladder.lab))))
    yield _check(
        "stages: hue of the underpigment over level",
        "rises from red towards yellow",
        " ".join(f"{h:.0f}" for h in np.mod(hues + 90.0, 360.0) - 90.0),
        bool(np.all(np.diff(hues) > 0.0)),
    )
    # Named from strands on their way up from dark brown, not from the ladder itself.
    minutes = np.linspace(0.0, 120.0, 961)
    trajectory = simulate(Hair(level=2.0), Mixture("powder", 30.0), minutes, curves)
    wanted = [level for level in range(3, 11) if level <= trajectory.level[-1]]
    at = [int(np.argmin(np.abs(trajectory.level - level))) for level in wanted]
    named = nearest_stage(trajectory.underpigment[at], curves)
    expected = [ladder.stages[level - 1] for level in wanted]
    yield _check(
        "stages: level 2 lifted by powder, name at levels 3 to 10",
        ", ".join(expected),
        ", ".join(named),
        list(named) == expected and wanted[-1] == 10,
    )
    tone = tone_direction(ladder.lab, None, curves)
    answers = {
        stage: tone.wheel[i] for i, stage in enumerate(ladder.stages) if bool(tone.needed[i])
    }
    yield _check(
        "wheel: what answers each stage",
        ", ".join(f"{s}: {a}" for s, a in ANSWERS.items()),
        ", ".join(f"{s}: {a}" for s, a in answers.items()),
        answers == ANSWERS,
        fitted=True,
    )


def _windows(curves: CurveSet) -> Iterator[Check]:
    mixture = Mixture("base-break", 10.0)
    usual = find_window(BASE_BREAK, mixture, None, curves)
    closes = usual.closes or np.inf
    yield _check(
        "base break: level 7, 10 vol, fine damp hair",
        "window closes between 4 and 8 min",
        f"{usual.opens or np.nan:.1f} to {closes:.1f} min",
        4.0 <= closes <= 8.0,
        fitted=True,
    )
    coarse = find_window(BASE_BREAK.replace(fibre_um=90.0), mixture, None, curves)
    late = coarse.closes or np.inf
    yield _check(
        "fine hair: 50 um against 90 um",
        "the fine window closes first",
        f"{closes:.1f} min against {late:.1f} min",
        closes < late,
    )
    dry = find_window(BASE_BREAK.replace(damp=False), mixture.replace(volume=20.0), None, curves)
    yield _check(
        "damp: damp with 10 vol against dry with 20 vol",
        "the damp window is wider",
        f"{usual.width:.1f} min against {dry.width:.1f} min",
        usual.width > dry.width,
    )


def _service(curves: CurveSet) -> Iterator[Check]:
    warned = cautions(Mixture("powder", 20.0), 61.0)[0].code == "caution.too_long"
    refused = False
    try:
        simulate(Hair(level=7.0), Mixture("powder", 20.0), 121.0, curves)
    except LiftError:
        refused = True
    yield _check(
        "limit: lighteners past 50 to 60 min",
        "warned, and refused past 120 min",
        f"{'warned' if warned else 'silent'} at 61 min, "
        f"{'refused' if refused else 'computed'} at 121 min",
        warned and refused,
    )
