"""Consulted: what a client's answers refuse, warn of and leave open, whoever mixes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lift.errors import LimitError
from lift.words import Note, note

if TYPE_CHECKING:
    from lift.model.mixture import Mixture

REFUSED = ("all", "lightening", "colour", "scalp", "persulfate")
"""What a stop may refuse, the most first."""

AWAY = ("mid-lengths", "ends", "foils")
"""Places along the hair that do not touch the scalp; what is not said is taken to."""

STOP = "consultation.stop"
"""Code of the sentence of a stop; it stands before every caution."""


@dataclass(frozen=True)
class Stop:
    """One answer that refuses something.

    Parameters
    ----------
    question : str
        Field of the consultation that was answered.
    refuses : str
        One of `REFUSED`.
    why, until : Note
        Why, and what would change it.
    standing, source : str
        What the rule rests on.
    """

    question: str
    refuses: str
    why: Note
    until: Note
    standing: str
    source: str

    @property
    def note(self) -> Note:
        """The whole of it in a sentence."""
        return note(STOP, refuses=self.refuses, why=self.why, until=self.until)

    def of_mixture(self, mixture: Mixture, *, at_scalp: bool = True) -> bool:
        """Whether it refuses a mixture."""
        if self.refuses == "persulfate":
            return mixture.chemistry.oxidant == "persulfate"
        if self.refuses == "colour":
            return colours(mixture)
        return at_scalp if self.refuses == "scalp" else True

    def of_toner(self, *, at_scalp: bool = True) -> bool:
        """Whether it refuses a toner."""
        return at_scalp if self.refuses == "scalp" else self.refuses in ("all", "colour")


def colours(mixture: Mixture) -> bool:
    """Whether a mixture is hair colour as a label means it: a cream may hold dye, powder does not.

    Examples
    --------
    >>> from lift.model.mixture import Mixture
    >>> colours(Mixture("cream")), colours(Mixture("powder"))
    (True, False)
    """
    if mixture.chemistry.oxidant != "persulfate" or mixture.tone is None:
        return mixture.chemistry.oxidant != "persulfate" or bool(mixture.chemistry.tone)
    return any(np.any(np.asarray(dose) > 0.0) for dose in mixture.tone.values())


@dataclass(frozen=True)
class Consulted:
    """What comes of a consultation.

    Parameters
    ----------
    stops : tuple of Stop
        What refuses something, the most first.
    cautions : tuple of Note
        What stands before other cautions.
    open : tuple of str
        Questions that were not answered yet; nothing is concluded from them.

    Examples
    --------
    >>> from lift.model.mixture import Mixture
    >>> Consulted().refused(Mixture("powder"), "regrowth") is None
    True
    """

    stops: tuple[Stop, ...] = ()
    cautions: tuple[Note, ...] = ()
    open: tuple[str, ...] = ()

    def refused(self, mixture: Mixture, along: str | None = None) -> Stop | None:
        """The first stop that refuses a mixture along the hair; None: it may go on."""
        touches = along not in AWAY
        return next((s for s in self.stops if s.of_mixture(mixture, at_scalp=touches)), None)

    def toner_refused(self, along: str | None = None) -> Stop | None:
        """The first stop that refuses a toner along the hair; None: it may go on."""
        touches = along not in AWAY
        return next((s for s in self.stops if s.of_toner(at_scalp=touches)), None)

    def check(self, mixture: Mixture, along: str | None = None) -> None:
        """Refuse a mixture that a stop refuses.

        Raises
        ------
        LimitError
            Saying why, and what would change it.
        """
        if found := self.refused(mixture, along):
            raise LimitError(found.note)

    @property
    def notes(self) -> tuple[Note, ...]:
        """Stops and cautions as they are told before all others."""
        return (*(stop.note for stop in self.stops), *self.cautions)
