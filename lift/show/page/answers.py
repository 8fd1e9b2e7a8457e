"""Answers: the engine's one JSON form, and beside it what a screen needs to show it."""

from __future__ import annotations

import json
import pickle
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from lift.answers import to_dict
from lift.model.curves import CurveSet
from lift.practice.preview import Preview, preview
from lift.practice.stage_table import stage_table
from lift.practice.trial.strand_file import StrandFile, load_strand
from lift.show.page.question import Typed, question_of
from lift.show.screen import hex_colours
from lift.show.terminal.preview import chance, risk_words, tone_words, window_words


@dataclass(frozen=True)
class Answer:
    """One answer, ready to be sent.

    Parameters
    ----------
    plain : bytes
        The JSON form, as ``lift preview --json`` prints it but for white space.
    shown : bytes
        ``{"answer": plain, "shown": ...}``: the same with words and screen colours.
    """

    plain: bytes
    shown: bytes


def to_json(payload: Any) -> bytes:
    """JSON without white space; a number that is not finite is a fault of ours."""
    return json.dumps(payload, allow_nan=False, separators=(",", ":")).encode()


@lru_cache(maxsize=4)
def curves_of(packed: bytes) -> CurveSet:
    """Curve set from its pickled form, unpacked once in each process."""
    curves: CurveSet = pickle.loads(packed)
    return curves


@lru_cache(maxsize=32)
def _strand(path: str, digest: str) -> StrandFile:
    """Strand test kept at a path; the digest tells one content from the next."""
    return load_strand(path)


def answer_preview(typed: Typed, strand: tuple[str, str] | None, packed: bytes) -> Answer:
    """Compute one preview; runs in whatever process.

    Parameters
    ----------
    typed : tuple of (str, str or None)
        The question's texts.
    strand : tuple of (str, str) or None
        Path and digest of the strand test to use.
    packed : bytes
        Curve set, pickled.

    Returns
    -------
    Answer
    """
    curves = curves_of(packed)
    question = question_of(typed, curves)
    latent = None if strand is None else _strand(*strand).latent_for(question.hair, curves)
    result = preview(
        question.hair, question.mixture, question.minutes, question.goal, curves, latent=latent
    )
    answer = to_dict(result)
    plain = to_json(answer)
    return Answer(plain, with_shown(plain, shown_preview(result, answer)))


def with_shown(plain: bytes, shown: dict[str, Any]) -> bytes:
    """Put an answer and what is shown of it side by side, without reading it again."""
    return b'{"answer":' + plain + b',"shown":' + to_json(shown) + b"}"


def shown_preview(result: Preview, answer: dict[str, Any]) -> dict[str, Any]:
    """Words and screen colours of a preview, for the numbers of its JSON form."""
    colours = hex_colours([*answer["curve"]["lab"], answer["at"]["lab"]["median"]])
    level_low, level, level_high = result.band_at("level")
    warm_low, warm, warm_high = result.band_at("warmth")
    lift = result.band_at("lift")[1]
    return {
        "risk": risk_words(result.p_too_warm),
        "chance": chance(result.p_too_warm),
        "window": window_words(result),
        "level": f"{level:.1f} ({level_low:.1f} to {level_high:.1f}), lift {lift:.1f} levels",
        "underpigment": f"{result.stage}, hue {result.drawn.central.hue_deg[-1]:.0f} degrees",
        "warmth": f"{warm:+.1f} dC* ({warm_low:+.1f} to {warm_high:+.1f}); "
        f"limit {result.window.target.warmth_limit:+.1f}",
        "tone": tone_words(result.tone),
        "notes": [
            *map(str, result.extrapolates),
            f"Curve set {result.curves.name}: {result.curves.standing}.",
        ],
        "colour_before": colours[0],
        "colour_now": colours[-1],
        "colours": colours[:-1],
    }


def answer_stages(packed: bytes) -> Answer:
    """Table of stages as ``lift stages --json`` has it, and the same with screen colours."""
    table = stage_table(curves_of(packed))
    plain = to_json(table.to_dict())
    shown = {
        "natural": hex_colours(table.natural),
        "underpigment": hex_colours(table.underpigment),
    }
    return Answer(plain, with_shown(plain, shown))
