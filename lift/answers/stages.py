"""Answer of the table of levels."""

from __future__ import annotations

from lift.answers.encode import Code, Part
from lift.answers.parts import CurveSetPart, TonePart, curve_set_part, rounded, said, tone_part
from lift.practice.cautions import ALWAYS
from lift.practice.stage_table import StageTable
from lift.quantities import Lab


class StageRow(Part):
    """One level: natural hair of it, and the underpigment of black hair lightened to it."""

    level: float
    natural: Lab
    underpigment: Lab
    warmth: float
    stage: str
    tone: TonePart


class StagesAnswer(Part):
    """One row for each level 1 to 10."""

    stages: list[StageRow]
    cautions: list[str]
    cautions_codes: list[Code]
    curve_set: CurveSetPart


def answer(table: StageTable) -> StagesAnswer:
    """Answer of a table of levels."""
    columns = zip(
        rounded(table.levels),
        rounded(table.natural),
        rounded(table.underpigment),
        rounded(table.warmth),
        table.stages,
        (tone_part(table.wheel_and_dye[i]) for i in range(table.levels.size)),
        strict=True,
    )
    return StagesAnswer(
        stages=[StageRow(*row) for row in columns],
        **said(cautions=ALWAYS),
        curve_set=curve_set_part(table.curves),
    )
