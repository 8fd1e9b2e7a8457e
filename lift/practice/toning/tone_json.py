"""JSON form of a tone report."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.practice.preview import rounded, tone_to_dict
from lift.practice.toning.carried import Carried
from lift.practice.toning.dosing import DoseLook
from lift.practice.toning.fade import Fade
from lift.practice.toning.neutralise import Neutralisation
from lift.practice.toning.other_light import OtherLight

if TYPE_CHECKING:
    from lift.practice.toning.tone_report import ToneReport


def report_to_dict(report: ToneReport) -> dict[str, Any]:
    """JSON form of a report; numbers in the units of the vocabulary."""
    goal = np.array(report.lab) + report.direction.change
    return {
        "inputs": {"lab": rounded(report.lab), "goal": rounded(goal), **_processing(report)},
        "at": {
            "lab": rounded(report.lab),
            "level": rounded(report.level),
            "stage": report.stage,
            "warmth": rounded(report.warmth),
        },
        "tone": tone_to_dict(report.direction),
        "state": _state(report.answer),
        "neutralise": {
            **neutralisation_to_dict(report.answer),
            "to_carry": _doses(report.to_carry) if report.processed else None,
        },
        "carried": None if report.carried is None else _carried(report.carried),
        "other_light": None if report.light is None else light_to_dict(report.light),
        "fade": {
            "kind": report.kind,
            **{name: fade_to_dict(fade) for name, fade in report.fades.items()},
        },
        "cautions": list(map(str, report.cautions)),
        "curve_set": report.curves.to_dict(),
    }


def neutralisation_to_dict(answer: Neutralisation) -> dict[str, Any]:
    """JSON form of a dose and its prediction."""
    low, high = answer.band or (None, None)
    return {
        "verdict": answer.verdict.verdict,
        "text": answer.verdict.text,
        "lift_to": rounded(answer.verdict.lift_to),
        "doses": _doses(answer.tone),
        "dose_unit": "0.01 absorption per fibre radius at the band's peak",
        "lab": {"expected": rounded(answer.lab), "low": rounded(low), "high": rounded(high)},
        "dE00_before": rounded(answer.before),
        "dE00_left": rounded(answer.residual),
        "lightness_lost": rounded(answer.lightness_lost),
        "forgiving": rounded(answer.forgiving),
        "wanted_multiple": rounded(answer.factor_band),
        "half": _look(answer.under),
        "double": _look(answer.over),
        "one_dye": {
            "doses": _doses(answer.one_dye.named()),
            "dE00_left": rounded(answer.one_dye.residual),
        },
    }


def light_to_dict(light: OtherLight) -> dict[str, Any]:
    """JSON form of a strand under other lights."""
    return {
        "text": light.words,
        "adaptation": "CAT16, complete, to D65",
        "turns_warm": list(light.turns_warm),
        "lights": [
            {
                "light": name,
                "cct_k": rounded(light.cct_k[i]),
                "lab": rounded(light.lab[i]),
                "shift": rounded(light.shift[i]),
                "natural_shift": rounded(light.natural_shift[i]),
                "warmth": rounded(light.warmth[i]),
            }
            for i, name in enumerate(light.lights)
        ],
    }


def fade_to_dict(fade: Fade) -> dict[str, Any]:
    """JSON form of a fading tone."""
    return {
        "text": fade.words,
        "status": fade.kind.status,
        "source": fade.kind.source,
        "washes_per_week": fade.washes_per_week,
        "allowance": rounded(fade.allowance),
        "passes_after_washes": rounded(fade.passes),
        "passes_range": [rounded(end) for end in fade.passes_range],
        "week": fade.week,
        "washes": rounded(fade.washes),
        "warmth": rounded(fade.warmth),
    }


def _state(answer: Neutralisation) -> dict[str, Any]:
    pigment, inferred = answer.pigment, answer.inferred
    known = {
        "eumelanin": rounded(pigment.eumelanin),
        "pheomelanin": rounded(pigment.pheomelanin),
        "half_oxidised": rounded(pigment.half_oxidised),
    }
    if inferred is None:
        return known
    return {
        **known,
        "natural_level": rounded(inferred.natural_level),
        "natural_level_range": rounded(inferred.interval("level")),
        "exposure": rounded(inferred.exposure),
        "exposure_range": rounded(inferred.interval("exposure")),
        "pheomelanin_share": rounded(inferred.pheomelanin_share),
        "pheomelanin_share_range": rounded(inferred.interval("share")),
        "misfit": rounded(inferred.misfit),
        "plausible": inferred.plausible,
    }


def _processing(report: ToneReport) -> dict[str, Any]:
    if report.processed is None:
        return {}
    hair, mixture = report.processed.hair, report.processed.mixture
    carried = mixture.properties(report.curves.values)["tone"]
    return {
        "natural_level": hair.level,
        "fibre_um": hair.fibre_um,
        "damp": bool(hair.damp),
        "mixture": mixture.kind,
        "on_head_volume": rounded(mixture.on_head_volume),
        "minutes": report.processed.minutes,
        "carries": _doses({dye: float(dose) for dye, dose in carried.items()}),
    }


def _carried(carried: Carried) -> dict[str, Any]:
    return {
        "text": carried.words,
        "allowance": rounded(carried.allowance),
        "too_warm_at": rounded(carried.too_warm_at),
        "too_warm_at_without_tone": rounded(carried.bare_too_warm_at),
        "minutes": rounded(carried.minutes),
        "warmth": rounded(carried.warmth),
        "warmth_without_tone": rounded(carried.bare),
    }


def _look(look: DoseLook | None) -> dict[str, Any] | None:
    if look is None:
        return None
    return {"lab": rounded(look.lab), "warmth": rounded(look.warmth), "text": look.words}


def _doses(doses: Any) -> dict[str, Any]:
    return {dye: rounded(dose) for dye, dose in doses.items()}
