"""Checks of toning: dyes, adaptation, fading, and the base break."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from lift.chemistry.tone_kinds import FADED_LEFT, TONE_KINDS
from lift.model.curves import CurveSet
from lift.model.mixture import Mixture
from lift.model.strand import strand_reflectance
from lift.optics import adapter
from lift.optics.adaptation import lab_under
from lift.optics.colorimetry import delta_e_2000, reflectance_to_xyz, white, xyz_to_lab
from lift.optics.dyes import dye_band
from lift.optics.weights import PREPARED
from lift.practice.toning.carried import BASE_BREAK_HAIR, carried_and_outrun, tone_over_level
from lift.practice.toning.fade import left_after
from lift.practice.toning.neutralise import neutralise
from lift.practice.toning.tone_report import underpigment_state
from lift.reference import load
from lift.research.evidence.checks import PRACTICE, Check, built_in, check


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
        nm = {"centre_nm": centres[dye], "got_nm": got}
        passed = got == centres[dye]
        named = {"source": table.source, "band": band, "dye": dye}
        yield built_in("dye", "measured", passed, **named, **nm)


def _fading() -> Iterator[Check]:
    table = load("wash_fade")
    figures = dict(
        zip(table.words("kind"), table.numbers("washes_low", "washes_high", "left"), strict=True)
    )
    washes, _, left = figures["permanent"]
    got = float(left_after(washes, TONE_KINDS["permanent"].rate))
    shares = {"left": 100.0 * left, "share": 100.0 * got}
    passed = got >= left - 1e-9
    yield built_in("fading", "measured", passed, source=table.source, **shares)
    for name in ("demi-permanent", "direct"):
        (low, high, _), kind = figures[name], TONE_KINDS[name]
        ends = [float(-np.log(FADED_LEFT) / rate) for rate in (kind.fastest, kind.slowest)]
        spans = {"faded": name, "low": low, "high": high, "first": ends[0], "last": ends[1]}
        outside = "measured" if kind.status == "published" else PRACTICE
        passed = np.allclose(ends, (low, high))
        yield built_in("fading_direct", outside, passed, source=table.source, **spans)


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
    found = {"lights": len(PREPARED), "version": colour.__version__, "worst": worst}
    return check("adaptation", "library", worst < 1e-4, **found)


def _base_break(curves: CurveSet) -> Iterator[Check]:
    carried = carried_and_outrun(BASE_BREAK_HAIR, Mixture("base-break", 10.0), curves)
    bare, end = (t or np.inf for t in (carried.bare_too_warm_at, carried.too_warm_at))
    passed = 4.0 <= end <= 8.0 and bare < end
    yield check("carried", PRACTICE, passed, fitted=True, minutes=end, bare=bare)
    depth = tone_over_level([5.5, 7.5], curves=curves)
    # Where nothing is needed nothing is blue.
    share = 100.0 * depth.doses[:, depth.dyes.index("blue")] / np.maximum(depth.amount, 1e-9)
    dark, light = depth.amount[0], depth.amount[1]
    found = {"dark": dark, "light": light, "dark_blue": share[0], "light_blue": share[1]}
    yield check("depth", PRACTICE, dark > light + 0.1 and share[0] > share[1], **found)
