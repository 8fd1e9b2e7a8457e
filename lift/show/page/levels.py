"""Levels and stages as drawn locks: the table, and what a level is picked from."""

from __future__ import annotations

from functools import partial

import numpy as np

from lift import answers
from lift.answers.encode import Part
from lift.errors import Floats
from lift.model.curves import RED_SHARE, CurveSet
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.practice.stage_table import stage_table
from lift.quantities import Lab
from lift.show.lock.shades import shade_texts
from lift.show.page.answer import Answer, Shades, answered, curves_of
from lift.show.page.desk import Asked, Desk
from lift.words import LAST_LEVEL, say

TENTHS: tuple[float, ...] = tuple((np.arange(10, 10 * int(LAST_LEVEL) + 1) / 10.0).tolist())
"""Levels of the locks that one is picked from."""


class Tenths(Part):
    """Locks to pick a level or a colour from, of each tenth from 1 to 10, and their CIELAB.

    Whole ones have `words` that they are called by; `stages` are the codes of stages, on the scale
    of underpigment.
    """

    locks: list[Shades]
    lab: list[Lab]
    words: list[str]
    stages: list[str]


class StagesShown(Part):
    """Drawn locks of the table of stages, and those to pick from.

    `scales` are natural hair, red hair, and what lightening exposes in black hair.
    """

    natural: list[Shades]
    underpigment: list[Shades]
    scales: dict[str, Tenths]


async def stages(desk: Desk, asked: Asked) -> Answer:
    """Table of stages."""
    return await desk.quick.get(("stages",), partial(answer_stages, desk.packed))


def answer_stages(packed: bytes) -> Answer:
    """Table of stages as ``lift stages --json`` has it, with drawn locks."""
    curves = curves_of(packed)
    table = stage_table(curves)
    shown = StagesShown(
        shade_texts(table.natural), shade_texts(table.underpigment), _scales(curves)
    )
    return answered(answers.to_json(table), shown)


def tenths_of(lab: Floats, words: list[str], *stages: str) -> Tenths:
    """Locks of CIELAB of each of `TENTHS`, shape (n, 3), and what the whole ones are called."""
    # A tenth is less than any instrument tells apart.
    typed = np.round(lab, 1).tolist()
    return Tenths(shade_texts(lab), typed, words, list(stages))


def _scales(curves: CurveSet) -> dict[str, Tenths]:
    levels = np.array(TENTHS)
    ladder = underpigment_ladder(curves)
    whole = [f"{level:g}" for level in ladder.levels]

    return {
        "natural": tenths_of(natural_path(curves).lab_of_level(levels), whole),
        "red": tenths_of(natural_path(curves, RED_SHARE).lab_of_level(levels), whole),
        "underpigment": tenths_of(
            ladder.lab_of_level(levels), [say(f"stage.{s}") for s in ladder.stages], *ladder.stages
        ),
    }
