"""Checks of toning: dyes, adaptation, fading, and the base break."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from lift.model.curves import CurveSet
from lift.model.mixture import Mixture
from lift.model.strand import strand_reflectance
from lift.optics import adapter
from lift.optics.adaptation import lab_under
from lift.optics.colorimetry import delta_e_2000, reflectance_to_xyz, white, xyz_to_lab
from lift.optics.dyes import dye_band
from lift.optics.weights import PREPARED
from lift.practice.toning.carried import BASE_BREAK_HAIR, carried_and_outrun, tone_over_level
from lift.practice.toning.fade import FADE_KINDS, left_after
from lift.practice.toning.neutralise import neutralise
from lift.practice.toning.tone_report import underpigment_state
from lift.reference import load
from lift.research.evidence.checks import Check

TRADE = "common practice (no source)"


def toning_checks(curves: CurveSet) -> Iterator[Check]:
    """Every check of toning against the outside."""
    yield from _dyes()
    yield from _fading()
    yield _adaptation(curves)
    yield from _base_break(curves)


def _dyes() -> Iterator[Check]:
    table = load("indo_dyes_corbett1973")
    centres = dict(zip(table.words("dye"), table.numbers("centre_nm"), strict=True))
    for band, dye in (("violet", "indoaniline"), ("blue-green", "indamine")):
        got = dye_band(band).centres_nm[0]
        yield Check(
            f"dye band {band}: {dye}",
            "published",
            table.source,
            f"maximum at {centres[dye]:g} nm",
            f"{got:g} nm",
            bool(got == centres[dye]),
        )


def _fading() -> Iterator[Check]:
    table = load("wash_fade")
    figures = dict(
        zip(table.words("kind"), table.numbers("washes_low", "washes_high", "left"), strict=True)
    )
    washes, _, left = figures["permanent"]
    got = float(left_after(washes, FADE_KINDS["permanent"].rate))
    yield Check(
        "fading: permanent colour after 30 washes",
        "published",
        table.source,
        f"{100 * left:.0f} % left or more",
        f"{100 * got:.1f} %",
        bool(got >= left - 1e-9),
        fitted=True,
    )
    low, high, _ = figures["direct"]
    direct = FADE_KINDS["direct"]
    ends = [float(-np.log(0.1) / rate) for rate in (direct.fastest, direct.slowest)]
    yield Check(
        "fading: direct dye is faded (10 % left, assumed)",
        "published",
        table.source,
        f"after {low:g} to {high:g} washes",
        f"{ends[0]:.1f} to {ends[1]:.1f} washes",
        bool(np.allclose(ends, (low, high))),
        fitted=True,
    )


def _adaptation(curves: CurveSet) -> Check:
    colour = adapter.colour_science()
    state = underpigment_state(9.0, curves)
    tone = neutralise(state, None, None, curves).tone
    reflectance = strand_reflectance(state, curves.values, tone=tone)
    day, worst = white("D65"), 0.0
    for light in PREPARED:
        lamp = white(light)
        adapted = colour.chromatic_adaptation(
            reflectance_to_xyz(reflectance, light), lamp, day, method="Von Kries", transform="CAT16"
        )
        off = delta_e_2000(lab_under(reflectance, light), xyz_to_lab(adapted, day))
        worst = max(worst, float(off))
    return Check(
        f"adaptation: toned hair under {len(PREPARED)} lights, CAT16",
        "library",
        f"colour-science {colour.__version__}, CAT16 by its own call",
        "dE00 below 0.0001",
        f"at most {worst:.1e}",
        worst < 1e-4,
    )


def _base_break(curves: CurveSet) -> Iterator[Check]:
    carried = carried_and_outrun(BASE_BREAK_HAIR, Mixture("base-break", 10.0), curves)
    bare, end = (t or np.inf for t in (carried.bare_too_warm_at, carried.too_warm_at))
    yield Check(
        "base break: tone carried, then outrun",
        "common practice",
        TRADE,
        "too warm between 4 and 8 min, later than without tone",
        f"{end:.1f} min, without tone {bare:.1f} min",
        bool(4.0 <= end <= 8.0 and bare < end),
        fitted=True,
    )
    depth = tone_over_level([5.5, 7.5], curves=curves)
    share = 100.0 * depth.doses[:, depth.dyes.index("blue")] / depth.amount
    yield Check(
        "base break depth: tone that answers 8 min of 10 vol, fine damp hair",
        "common practice",
        TRADE,
        "more at level 5.5 than at 7.5, and more of it blue beside violet",
        f"{depth.amount[0]:.1f} ({share[0]:.0f} % blue) against {depth.amount[1]:.1f} "
        f"({share[1]:.0f} % blue)",
        bool(depth.amount[0] > depth.amount[1] and share[0] > share[1]),
    )
