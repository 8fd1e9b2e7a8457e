"""What every answer in the terminal shares: console, patches, first lines and foot."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import ArrayLike
from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.model.curves import CurveSet
from lift.optics.colorimetry import lab_to_srgb, srgb_to_hex
from lift.practice.cautions import apart
from lift.words import Note, say


def console() -> Console:
    """Console on stdout; NO_COLOR, a pipe or a dumb terminal leaves plain words.

    A pipe has no width of its own; lines are then as long as they need to be.
    """
    to = Console(highlight=False, emoji=False)
    return to if to.is_terminal else Console(highlight=False, emoji=False, width=200)


def patch(lab: ArrayLike, width: int, to: Console) -> Text:
    """Block of a CIELAB colour, shape (3,), or nothing where colour cannot be shown."""
    if to.color_system is None or to.no_color:
        return Text("")
    colour = srgb_to_hex(lab_to_srgb(np.asarray(lab))[0])
    return Text("\u2588" * width + " ", style=str(colour))


def facts() -> Table:
    """Empty table of a bold name and what goes with it."""
    table = Table.grid(padding=(0, 2, 0, 0))
    table.add_column(style="bold", no_wrap=True)
    table.add_column()
    return table


def print_first(to: Console, lines: Mapping[str, Note], indent: int = 0) -> None:
    """Print first lines, each behind its name, ``first.NAME``; the risk stands out."""
    table = Table.grid(padding=(0, 2, 0, 0))
    table.add_column(style="bold", no_wrap=True)
    table.add_column()
    for name, said in lines.items():
        text = Text(say(said), style="bold" if name == "risk" else "")
        table.add_row(f"{' ' * indent}{say(f'first.{name}')}", text)
    to.print(table)


def print_foot(
    to: Console, cautions: Iterable[Note], curves: CurveSet | None = None, *, brief: bool = False
) -> None:
    """Print the cautions, what is special to this mixture and hair first and apart.

    Then what is known besides and what the figures rest on, where there is a curve set, unless the
    answer is to be `brief`.
    """
    told, soft = apart(cautions), "dim" if to.color_system else ""
    for kind, style in ((told.special, "bold"), (told.standing, soft)):
        if kind:
            to.print()
            to.print(_cautions(kind, style))
    if brief:
        return
    for each in told.background:
        to.print(Text(str(each), style=soft))
    if curves is not None:
        standing = say("standing.line", name=curves.name, standing=curves.standing)
        to.print(Text(standing, style=soft))


def _cautions(said: Iterable[Note], style: str) -> Table:
    """Cautions, each behind its mark, and long ones in lines of their own."""
    table = Table.grid(padding=(0, 1, 0, 0))
    table.add_column(no_wrap=True)
    table.add_column()
    for each in said:
        table.add_row(Text(say("terminal.mark"), style=style), Text(str(each), style=style))
    return table
