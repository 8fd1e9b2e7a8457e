"""The table of levels: natural hair, underpigment, stage and tone direction."""

from __future__ import annotations

from dataclasses import dataclass

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.practice.tone import ToneDirection
from lift.practice.wheel_and_dye import WheelAndDye, wheel_and_dye
from lift.results import Result


@dataclass(frozen=True, eq=False, repr=False)
class StageTable(Result):
    """One row for each level 1 to 10.

    Parameters
    ----------
    levels : numpy.ndarray
        Levels [-], shape (10,).
    natural, underpigment : numpy.ndarray
        CIELAB of natural hair and of hair lightened to that level, shape (10, 3).
    warmth : numpy.ndarray
        Warmth of the underpigment [dC*], shape (10,).
    stages : tuple of str
        Stage at each level.
    wheel_and_dye : WheelAndDye
        What the wheel says of the underpigment, and which dye does it; arrays of shape (10,).
    curves : CurveSet
        The curve set used.
    """

    levels: Floats
    natural: Floats
    underpigment: Floats
    warmth: Floats
    stages: tuple[str, ...]
    wheel_and_dye: WheelAndDye
    curves: CurveSet

    @property
    def tone(self) -> ToneDirection:
        """Direction of the change needed, arrays of shape (10,)."""
        return self.wheel_and_dye.direction


def stage_table(curves: CurveSet) -> StageTable:
    """Compute the table of a curve set."""
    ladder, path = underpigment_ladder(curves), natural_path(curves)
    return StageTable(
        ladder.levels,
        path.lab_of_level(ladder.levels),
        ladder.lab,
        path.warmth(ladder.lab),
        ladder.stages,
        wheel_and_dye(ladder.pigment, curves),
        curves,
    )
