"""Answer of a toner as a step, as terminal, page and files of a plan share it."""

from __future__ import annotations

from lift.answers.encode import Code, Part
from lift.answers.parts import Ends, rounded, said
from lift.practice.toning.toner_step import TonerStep


class TonerPart(Part):
    """A toner: whole parts of each dye, what is the maker's told in words.

    `levels` are of natural hair as light as the pigmented fibres before and after. Developer is
    None for a tone that needs none: else usual strengths [vol], parts to one of toner, and their
    standing. To one part of a pure tone go `clear_parts`, 0 for undiluted, its depth assumed. Grams
    are of the whole mixture, and of the toner in it; None where left open. Minutes are those after
    which nearly all of a dose has formed, assumed.
    """

    kind: str
    parts: dict[str, int]
    clear_parts: float | None
    levels: Ends | None
    developer_volumes: Ends | None
    developer_parts: Ends | None
    developer_status: str | None
    grams: float | None
    toner_grams: Ends | None
    formed_minutes: float
    text: str
    text_code: Code
    words: list[str]
    words_codes: list[Code]


def toner_part(step: TonerStep | None) -> TonerPart | None:
    """Describe a toner; None stays None."""
    if step is None:
        return None
    developer = step.developer
    return TonerPart(
        kind=step.kind,
        parts=dict(step.parts),
        clear_parts=step.clear,
        levels=rounded(step.levels),
        developer_volumes=None if developer is None else rounded(developer.volumes),
        developer_parts=None if developer is None else rounded(developer.parts),
        developer_status=None if developer is None else developer.status,
        grams=rounded(step.grams),
        toner_grams=rounded(step.toner_grams),
        formed_minutes=rounded(step.formed_minutes),
        **said(text=step.words, words=step.lines.values()),
    )
