"""Terminal output of what each swatch and reading does to a fit."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from lift.research.tuning.influence import Influence
from lift.research.tuning.tune import Tuning
from lift.show.terminal.bayes import grid
from lift.words import say

SHOWN = 5
"""Swatches, and readings, that are shown where none is suspect."""


def print_influence(tuning: Tuning, to: Console) -> None:
    """Print the swatches and readings that the fit leans on most, and every suspect."""
    swatches = [each for each in tuning.influences if each.minutes is None]
    readings = [each for each in tuning.influences if each.minutes is not None]
    if not swatches:
        return
    to.print(say("influence.title"))
    right = ("minutes", "left_out_dE00", "level_read", "rate", "moved")
    table = grid("swatch", *right, "most", "might_be", right=right)
    for group in (swatches, readings):
        suspect = sum(bool(each.might_be) for each in group)
        for each in group[: max(SHOWN, suspect)]:
            table.add_row(*map(Text, influence_cells(each)))
    to.print(table)


def influence_cells(each: Influence) -> tuple[str, ...]:
    """What a table says of one swatch or reading, in the order of its heads."""
    level = f"{each.level:.1f}"
    if each.judged == each.judged:
        level = say("influence.level", level=each.level, judged=each.judged)
    return (
        each.name,
        "" if each.minutes is None else f"{each.minutes:g}",
        "" if each.left_out != each.left_out else f"{each.left_out:.1f}",
        level,
        f"{each.rate:.2f}",
        f"{each.moves[each.most]:+.1f}" if each.moves.size else "",
        each.free[each.most] if each.moves.size else "",
        say("influence.might_be", might_be=each.might_be, counts=each.counts)
        if each.might_be
        else "",
    )
