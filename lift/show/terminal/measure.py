"""Terminal output of ``lift measure``."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from lift.photo.measured import Difference, Measured
from lift.show.terminal.foot import console, facts, patch, print_foot
from lift.words import Note, note, say


def print_measured(
    found: Measured | Difference, seconds: float, to: Console | None = None, *, brief: bool = False
) -> None:
    """Print what was measured, what is to be said of it, and the `seconds` it took."""
    to = to or console()
    one = isinstance(found, Measured)
    regions = [found] if isinstance(found, Measured) else [found.first, found.second]
    table = facts()
    for number, region in enumerate(regions):
        name = "hair" if one else ("first", "second")[number]
        for code, told in _rows(region, to, brief=brief):
            label = say(f"measured.{code or name}.label")
            table.add_row(label, told if isinstance(told, Text) else say(told))
    if isinstance(found, Difference):
        differs = note("measured.difference", lab=found.lab, sd=found.sd, de00=found.de00)
        table.add_row(say("measured.difference.label"), say(differs))
    if not brief:
        left = regions[0].left_out
        chart = note(
            "measured.chart",
            median=left.median,
            worst=left.worst,
            method=left.method,
            edition=regions[0].edition,
        )
        table.add_row(say("measured.chart.label"), say(chart))
        table.add_row(say("measured.time.label"), say("measured.time", seconds=seconds))
    to.print(table)
    for each in dict.fromkeys(told for region in regions for told in region.warnings):
        to.print()
        to.print(Text(say(each), style="bold" if to.color_system else ""))
    print_foot(to, regions[0].cautions, regions[0].curves, brief=brief)


def _rows(found: Measured, to: Console, *, brief: bool) -> Iterator[tuple[str, Note | Text]]:
    """Code of each row, empty for the colour itself, and what it says."""
    colour = patch(found.lab, 6, to)
    colour.append(say("measured.colour", lab=found.lab, sd=found.sd))
    yield "", colour
    low, high = found.level_interval
    yield "level", note("measured.level", level=found.level, low=low, high=high)
    if brief:
        return
    like = found.pigment
    second = patch(like.lab, 6, to)
    second.append(say("measured.colour", lab=like.lab, sd=like.sd))
    yield "like", second
    melanin = [float(amount) for amount in like.pigment.amounts]
    yield "pigment", note("measured.pigment", stage=like.stage, amounts=melanin, apart=found.apart)
    yield "taken", note("measured.taken", pixels=found.taken.pixels, share=found.taken.share)
