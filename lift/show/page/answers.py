"""Answers: the engine's one JSON form, and beside it what a screen needs to show it."""

from __future__ import annotations

import json
import pickle
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any

from msgspec import Meta

from lift import answers
from lift.answers.encode import Code, Part, encode
from lift.answers.parts import said
from lift.model.curves import CurveSet
from lift.practice.preview import Preview, preview
from lift.practice.stage_table import stage_table
from lift.practice.trial.strand_file import StrandFile, load_strand
from lift.quantities import described
from lift.show.page.question import Question
from lift.show.said import level_note, risk, tone_note, underpigment_note, warmth_note, window_note
from lift.show.screen import hex_colours
from lift.words import note, say

Colour = Annotated[str, Meta(pattern="^#[0-9a-f]{6}$")]


@dataclass(frozen=True)
class Answer:
    """One answer, ready to be sent.

    Parameters
    ----------
    plain : bytes
        The JSON form, as ``lift preview --json`` prints it but for white space.
    shown : bytes
        ``{"answer": plain, "shown": ...}``: the same with words and screen colours.
    waited : float, optional
        How long it waited for the answers of others [s].
    """

    plain: bytes
    shown: bytes
    waited: float | None = None


def answered(answer: bytes, shown: Part) -> Answer:
    """Put an answer and what is shown of it side by side, without reading it again."""
    return Answer(answer, b'{"answer":' + answer + b',"shown":' + encode(shown) + b"}")


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


class PreviewShown(Part):
    """Words and screen colours of a preview, for the numbers of its JSON form."""

    risk: str
    risk_code: Code
    chance: str
    window: str
    window_code: Code
    level: str
    level_code: Code
    underpigment: str
    underpigment_code: Code
    warmth: str
    warmth_code: Code
    tone: str
    tone_code: Code
    notes: list[str]
    notes_codes: list[Code]
    done: str
    done_code: Code
    title: str
    title_code: Code
    strand: str
    colour_before: Colour
    colour_now: Colour
    colours: list[Colour]


def answer_preview(question: Question, strand: tuple[str, str] | None, packed: bytes) -> Answer:
    """Compute one preview; runs in whatever process.

    Parameters
    ----------
    question : Question
        What is asked.
    strand : tuple of (str, str) or None
        Path and digest of the strand test to use.
    packed : bytes
        Curve set, pickled.
    """
    curves = curves_of(packed)
    latent = None if strand is None else _strand(*strand).latent_for(question.hair, curves)
    result = preview(
        question.hair, question.mixture, question.minutes, question.goal, curves, latent=latent
    )
    answer = answers.answer_of(result)
    colours = hex_colours([*answer.curve.lab, answer.at.lab.median])
    return answered(encode(answer), _preview_shown(result, colours))


def _preview_shown(result: Preview, colours: list[str]) -> PreviewShown:
    curves, mixture = result.curves, result.mixture
    hair = described(result.hair)
    what = {"kind": mixture.kind, "volume": mixture.developer_volume}
    return PreviewShown(
        **said(
            risk=note(f"risk.{risk(result.p_too_warm)}"),
            window=window_note(result.window),
            level=level_note(result),
            underpigment=underpigment_note(result),
            warmth=warmth_note(result),
            tone=tone_note(result.tone),
            notes=(
                *result.extrapolates,
                note("standing.line", name=curves.name, standing=curves.standing),
            ),
            done=note("page.preview.done", hair=hair, **what),
            title=note("page.preview.name", level=hair[0], **what),
        ),
        chance=say("chance", p=result.p_too_warm),
        strand=say("page.preview.strand"),
        colour_before=colours[0],
        colour_now=colours[-1],
        colours=colours[:-1],
    )


class StagesShown(Part):
    """Screen colours of the table of stages."""

    natural: list[Colour]
    underpigment: list[Colour]


def answer_stages(packed: bytes) -> Answer:
    """Table of stages as ``lift stages --json`` has it, and the same with screen colours."""
    table = stage_table(curves_of(packed))
    shown = StagesShown(hex_colours(table.natural), hex_colours(table.underpigment))
    return answered(encode(answers.answer_of(table)), shown)
