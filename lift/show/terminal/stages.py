"""Terminal output of ``lift stages``."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from lift.practice.cautions import UNMIXED
from lift.practice.stage_table import StageTable
from lift.practice.wheel_and_dye import WheelAndDye
from lift.show.terminal.foot import console, patch, print_foot
from lift.words import Note, note, say


def print_stages(table: StageTable, to: Console | None = None) -> None:
    """Print the table of levels."""
    to = to or console()
    grid = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head in ("level", "natural", "underpigment", "stage", "warmth", "wheel", "alone", "dyes"):
        side = "right" if head in ("level", "warmth") else "left"
        grid.add_column(say(f"stages.{head}"), justify=side, no_wrap=True)  # type: ignore[arg-type]
    for i, stage in enumerate(table.stages):
        natural, under = (patch(lab[i], 2, to) for lab in (table.natural, table.underpigment))
        natural.append("{:.0f} {:.0f} {:.0f}".format(*table.natural[i]))
        under.append("{:.0f} {:.0f} {:.0f}".format(*table.underpigment[i]))
        grid.add_row(
            f"{table.levels[i]:.0f}",
            natural,
            under,
            say(f"stage.{stage}"),
            f"{table.warmth[i]:+.1f}",
            *map(say, _answer(table.wheel_and_dye[i])),
        )
    to.print(grid)
    to.print(say("stages.key"))
    to.print(say("stages.key_answer"))
    to.print(say("stages.why"))
    print_foot(to, UNMIXED, table.curves)


def _answer(found: WheelAndDye) -> tuple[Note, Note, Note]:
    """What the wheel says, how far its dye gets alone, and what does it."""
    none, place = note("stages.none_yet"), found.place
    if found.verdict == "none" or place is None:
        return none, none, none
    tone, left = found.direction, float(found.alone.residual[place])
    best = note(
        "stages.left", left=float(found.best.residual), darker=float(found.best_darker), turns=""
    )
    turns = note(f"stages.turns.{found.reason}") if found.reason else ""
    return (
        note("stages.tone", wheel=str(tone.wheel), hue=float(tone.hue_deg)),
        note("stages.left", left=left, darker=float(found.darker[place]), turns=turns),
        note("stages.told", dyes=found.dyes_note, left=best),
    )
