"""What warmth of red hair counts from: natural red hair, and it is said where warmth is."""

from __future__ import annotations

from typing import Any, Protocol

from lift.words import Note, note


class Kind(Protocol):
    """Whatever knows which kind of hair its warmth is of: hair, or a tone report."""

    @property
    def pheomelanin_share(self) -> Any:
        """Share of pheomelanin of red hair [-], None of other hair."""


def red_note(hair: Kind) -> Note | None:
    """What the warmth of one red strand counts from; None of other hair."""
    share = hair.pheomelanin_share
    return None if share is None else note("warmth.red", share=float(share))


def counted(told: Note, hair: Kind) -> Note:
    """What is told of the warmth of a strand, of red hair with what it counts from behind it.

    Examples
    --------
    >>> from lift import Hair
    >>> red = Hair(level=7, pheomelanin_share=0.42)
    >>> str(counted(note("live.warmth", warmth=4.0), red))
    'warmth +4.0 dC*, counted from natural red hair as light (pheomelanin 42%)'
    """
    red = red_note(hair)
    return told if red is None else note("warmth.counted", told=told, red=red)


def warmth_axis(hair: Kind) -> str:
    """Code of what an axis of a strand's warmth is called."""
    return "axis.warmth" if hair.pheomelanin_share is None else "axis.warmth.red"
