"""Previews, and what the page wants to find again."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache, partial
from typing import Any, Literal

from lift import answers
from lift.answers.encode import Code, Part, encode
from lift.answers.parts import said
from lift.errors import Floats
from lift.model.natural import natural_path
from lift.practice.preview import Preview
from lift.practice.preview import preview as preview_of
from lift.practice.window import Window
from lift.quantities import FLAGS, described
from lift.show.lock.beside import fibre_looks
from lift.show.lock.shades import shade_texts
from lift.show.page.answer import (
    Answer,
    Lock,
    Shades,
    answered,
    curves_of,
    locks_beside,
    natural_scale,
)
from lift.show.page.desk import Asked, Desk
from lift.show.page.question import Question, read_question
from lift.show.page.resource import Parameter
from lift.show.said import (
    first_notes,
    level_note,
    mix_note,
    passage_notes,
    rinse_note,
    risk,
    risk_note,
    side_note,
    then_tone_note,
    underpigment_note,
    warmth_note,
    window_note,
)
from lift.words import note, plainly, say, says

MOVING = Parameter("moving", Literal["false", "true"])
"""Asked while a number moves: without what would help, which takes longer than all else."""


@lru_cache(maxsize=64)
def _found(still: tuple[Any, ...], curves: int) -> list[Window]:
    """Where the window of what is asked at any minute is kept, once it is found in this process."""
    return []


async def preview(desk: Desk, asked: Asked) -> Answer:
    """Preview one strand."""
    moving = asked.query.pop(MOVING.name, FLAGS[0]) == FLAGS[1]
    question = read_question(asked.query, desk.curves)
    job = partial(answer_preview, question, desk.packed, advised=not moving)
    key = ("preview", question.key, moving)
    answer, waited = await desk.quick.get_with_wait(key, job)
    return replace(answer, waited=waited)


class PlainPreview(Part):
    """What is said of a preview without numbers of a laboratory; `passes` is a row a level."""

    mix: str
    rinse: str
    then_tone: str
    risk_words: str
    side: str
    underpigment: str
    passes: list[list[str]]
    advice: list[str]


class PreviewShown(Part):
    """Words and drawn locks of a preview, for the numbers of its JSON form.

    `locks` are the strand before and now, of grey hair both kinds of its fibres, beside natural
    hair; `strip` is it at each time as seen, `pigmented` its pigmented fibres where hair is grey,
    `levels` natural hair of level 1 to 10, and `between` which two of them it is at each time, of
    grey hair its pigmented fibres; `fibres` is what is told of them, and `plain` what is said
    without numbers of a laboratory.
    """

    risk: str
    risk_code: Code
    mix: str
    mix_code: Code
    rinse: str
    rinse_code: Code
    then_tone: str
    then_tone_code: Code
    risk_words: str
    risk_words_code: Code
    side: list[str]
    side_codes: list[Code]
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
    passes: list[list[str]]
    passes_title: str
    passes_title_code: Code
    locks: list[Lock]
    strip: list[Shades]
    pigmented: list[Shades] | None
    levels: list[Lock]
    between: list[tuple[int, int]]
    fibres: list[str]
    fibres_codes: list[Code]
    plain: PlainPreview


def answer_preview(question: Question, packed: bytes, *, advised: bool = True) -> Answer:
    """Compute one preview; runs in any process.

    Where it is not to be `advised`, what would help is not looked for.
    """
    curves = curves_of(packed)
    found = _found(question.still, hash(packed))
    result = preview_of(
        question.hair,
        question.mixture,
        question.minutes,
        question.goal,
        curves,
        window=found[0] if found else None,
        advised=advised,
    )
    if result.window is not None:
        found[:] = [result.window]
    answer = answers.answer_of(result)
    now = say("plot.at_minutes", minutes=result.minutes)
    looks: dict[str, Any] = {say("plot.before"): answer.curve.lab[0], now: answer.at.lab.median}
    locks = locks_beside(looks | fibre_looks(result.grey), curves)
    seen, pigmented = (
        None if course is None else shade_texts(course)
        for course in (answer.curve.lab, answer.curve.pigmented)
    )
    beside, _ = natural_path(curves).levels_beside(answer.curve.pigmented or answer.curve.lab)
    return answered(encode(answer), _preview_shown(result, locks, beside, seen or [], pigmented))


def _preview_shown(
    result: Preview,
    locks: list[Lock],
    beside: Floats,
    strip: list[str],
    pigmented: list[str] | None,
) -> PreviewShown:
    curves, mixture = result.curves, result.mixture
    hair, limit = described(result.hair), result.warmth_limit
    what = {"kind": mixture.kind, "volume": mixture.developer_volume}
    return PreviewShown(
        **said(
            risk=note(f"risk.{risk(result)}"),
            mix=mix_note(mixture),
            rinse=rinse_note(result),
            then_tone=then_tone_note(result),
            risk_words=risk_note(result),
            window=note("preview.rinse.open")
            if result.window is None
            else window_note(result.window),
            level=level_note(result),
            underpigment=underpigment_note(result),
            warmth=warmth_note(result),
            tone=result.wheel_and_dye.words,
            side=() if (side := side_note(result)) is None else (side,),
            fibres=() if result.grey is None else result.grey.notes(limit),
            notes=(
                *result.extrapolates,
                note("standing.line", name=curves.name, standing=curves.standing),
            ),
            done=note("page.preview.done", hair=hair, **what),
            title=note("page.preview.name", level=hair[0], **what),
            passes_title=note("preview.passes.title", limit=result.limit_minutes),
        ),
        passes=[[say(said) for said in passage_notes(p).values()] for p in result.passages],
        locks=locks,
        strip=strip,
        pigmented=pigmented,
        levels=[*natural_scale(curves)],
        between=beside.astype(int).tolist(),
        plain=_plain_preview(result),
    )


def _plain_preview(result: Preview) -> PlainPreview:
    first, side = first_notes(result), side_note(result)
    with plainly():
        return PlainPreview(
            mix=say(first["mix"]),
            rinse=say(first["rinse"]),
            then_tone=say(first["tone"]),
            risk_words=say(first["risk"]),
            side="" if side is None else say(side),
            underpigment=say(underpigment_note(result)),
            passes=[[say(said) for said in passage_notes(p).values()] for p in result.passages],
            advice=says(advice.note for advice in result.advice),
        )
