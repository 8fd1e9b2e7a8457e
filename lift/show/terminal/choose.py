"""Choice in the terminal: the best way first, the others beside it."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.practice.choosing.choose import Choice
from lift.practice.choosing.options import Option
from lift.quantities import described
from lift.show.said_choose import (
    first_notes,
    head_note,
    now_notes,
    step_of,
    way_note,
    why_notes,
)
from lift.show.terminal.foot import console, facts, patch, print_first, print_foot
from lift.words import Note, note, say

COLUMNS = ("mix", "rinse", "inside", "slack", "look", "before", "toner", "after", "wrong")


def print_choice(choice: Choice, to: Console | None = None, *, brief: bool = False) -> None:
    """Print what to do; then the other ways, and what each gives, unless it is to be brief."""
    to = to or console()
    to.print(say("choose.hair", hair=described(choice.hair), goal=choice.target.name))
    if choice.options and (choice.reached or not choice.sittings):
        print_first(to, first_notes(choice.options[0], choice.target.name, choice))
    for said in (*now_notes(choice), *why_notes(choice)):
        to.print(Text(say(said), style="bold"))
    for number, sitting in enumerate(choice.sittings, 1):
        goal = sitting.target.name
        to.print(say("choose.sitting", number=number, hair=described(sitting.hair), goal=goal))
        print_first(to, first_notes(sitting.option, goal, choice), indent=2)
    if not brief:
        _print_table(choice, to)
        _print_toner(choice, to)
    print_foot(to, choice.cautions, choice.curves, brief=brief)


def _print_table(choice: Choice, to: Console) -> None:
    if not any(option.mixture is not None for option in choice.options):
        return
    to.print()
    to.print(say(head_note(choice)))
    table = Table(box=None, padding=(0, 2, 0, 0))
    for name in COLUMNS:
        table.add_column(say(f"choose.column.{name}"))
    for option in choice.options:
        table.add_row(*_cells(option, to))
    to.print(table)


def _cells(option: Option, to: Console) -> list[str | Text]:
    before, after = patch(option.before, 2, to), patch(option.after, 2, to)
    before.append(say("choose.colour", level=option.level, lab=option.before))
    after.append(say("choose.colour", level=option.level_after, lab=option.after))
    toner = say("choose.doses", doses=_doses(option)) if option.toner else say("choose.none")
    times = {"first": option.rinse_from, "best": option.best, "last": option.rinse_until}
    return [
        say(way_note(option)),
        say("choose.times", **times),
        say("chance", p=option.p_inside),
        say("choose.minutes", minutes=option.slack),
        say("choose.minutes", minutes=option.look_at),
        before,
        toner,
        after,
        say("choose.wrong", risk=option.risk, p=option.p_risk),
    ]


def _doses(option: Option) -> list[Note]:
    return [note("dose", dye=dye, dose=dose) for dye, dose in option.toner.items()]


def _print_toner(choice: Choice, to: Console) -> None:
    """The first way's toner, step by step."""
    if not choice.options or (step := step_of(choice.options[0], choice)) is None:
        return
    to.print()
    to.print(say("choose.toner.title"))
    table = facts()
    for name, line in step.lines.items():
        table.add_row(say(f"toned.{name}.label"), say(line))
    to.print(table)
