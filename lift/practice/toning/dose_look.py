"""How a dose looks on the hair: still warm, natural, or past it."""

from __future__ import annotations

from dataclasses import dataclass

from lift.errors import Floats
from lift.practice.tone import NATURAL
from lift.words import Note, note

WARM = ("red", "red-orange", "orange", "yellow-orange", "yellow")
COOL = ("blue-green", "blue", "blue-violet", "violet")


@dataclass(frozen=True, eq=False)
class DoseLook:
    """How a dose looks on the hair.

    Parameters
    ----------
    factor : float
        Multiple of the best dose [-].
    lab : numpy.ndarray
        Predicted CIELAB as seen (D65, 10 degrees), shape (3,).
    warmth : float
        C*ab of the pigmented fibres in excess of natural hair of the same L* [dC*].
    cast : str
        Painter's family of what is too much of them beside natural hair of that L*, or
        ``natural``.
    """

    factor: float
    lab: Floats
    warmth: float
    cast: str

    @property
    def words(self) -> Note:
        """The look in a few words."""
        return look_words(self.cast)


def look_words(cast: str) -> Note:
    """Look of hair with a cast, `NATURAL` for none, in a few words."""
    if cast == NATURAL:
        return note("look.natural")
    way = "warm" if cast in WARM else "past" if cast in COOL else "aside"
    return note(f"look.{way}", cast=cast)
