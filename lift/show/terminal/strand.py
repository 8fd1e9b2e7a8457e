"""Terminal output of a strand test: what was seen, what moved, and when to look next."""

from __future__ import annotations

from rich.console import Console

from lift.practice.trial.strand_test import StrandTest
from lift.quantities import described
from lift.show.said import window_note
from lift.show.said_strand import fibre_notes, first_notes, look_notes, moved_note, seen_notes
from lift.show.terminal.foot import console, facts, print_first, print_foot
from lift.words import Note, say, says


def print_strand(
    test: StrandTest,
    to: Console | None = None,
    *,
    only_when: bool = False,
    brief: bool = False,
) -> None:
    """Print a strand test: what is done first, then the numbers, unless it is to be `brief`.

    Of the numbers, those about when to look alone (`only_when`).
    """
    to = to or console()
    before = test.before
    to.print(
        say(
            "strand.head",
            kind=before.mixture.kind,
            volume=before.mixture.developer_volume,
            hair=described(before.hair),
            minutes=before.minutes,
            goal=test.target.name,
        )
    )
    print_first(to, first_notes(test))
    if brief:
        print_foot(to, test.cautions, brief=True)
        return
    to.print()
    table = facts()

    def row(label: str, what: Note) -> None:
        table.add_row(say(label), say(what))

    seen = bool(test.observations)
    if seen and not only_when:
        for i, words in enumerate(says(seen_notes(test))):
            table.add_row("" if i else say("strand.seen.label"), words)
        for quantity in (test.quantity, "warmth"):
            row(f"strand.{quantity}.label", moved_note(test, quantity))
        row("strand.window_before.label", window_note(test.windows[0]))
        row("strand.window_now.label", window_note(test.windows[1]))
    for i, words in enumerate(says(look_notes(test))):
        table.add_row("" if i else say("strand.look_again" if seen else "strand.look.label"), words)
    for i, words in enumerate(says(fibre_notes(test))):
        table.add_row("" if i else say("strand.fibres.label"), words)
    if test.posterior is not None and not only_when:
        found = test.posterior
        rests = {"draws": found.effective_size, "of": found.weights.size, "rounds": found.rounds}
        table.add_row(say("strand.rests.label"), say("strand.rests", **rests))
    to.print(table)
    print_foot(to, test.cautions, before.curves)
