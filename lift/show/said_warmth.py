"""What warmth of red hair counts from: natural red hair, and it is said where warmth is."""

from __future__ import annotations

from lift.model.hair import Hair
from lift.words import Note, note


def red_note(hair: Hair) -> Note | None:
    """What the warmth of one red strand counts from; None of other hair."""
    share = hair.pheomelanin_share
    return None if share is None else note("warmth.red", share=float(share))


def counted(told: Note, hair: Hair) -> Note:
    """What is told of the warmth of a strand, of red hair with what it counts from behind it.

    Examples
    --------
    >>> red = Hair(level=7, pheomelanin_share=0.42)
    >>> str(counted(note("live.warmth", warmth=4.0), red))
    'warmth +4.0 dC*, counted from natural red hair as light (pheomelanin 42%)'
    """
    red = red_note(hair)
    return told if red is None else note("warmth.counted", told=told, red=red)


def warmth_axis(hair: Hair) -> str:
    """Code of what an axis of a strand's warmth is called."""
    return "axis.warmth" if hair.pheomelanin_share is None else "axis.warmth.red"
