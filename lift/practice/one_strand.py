"""Checks shared by what is asked of one strand and its tone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from lift.errors import LiftError, check_choice, check_number
from lift.model.strand import Pigment
from lift.optics.dyes import MAX_DOSE, palette

# More than the blackest hair by far: a slip of units, not hair.
MOST_PIGMENT = 100.0


def check_strand(pigment: Pigment) -> Pigment:
    """Return the pigment of one strand, each amount checked to be a number of 0 or more.

    Raises
    ------
    LiftError
        When it holds several strands, or an amount is not finite or negative.
    """
    amounts = [
        check_number(f"amount of {name}", np.asarray(value).tolist(), 0.0, MOST_PIGMENT)
        for name, value in (
            ("eumelanin", pigment.eumelanin),
            ("pheomelanin", pigment.pheomelanin),
            ("half-oxidised melanin", pigment.half_oxidised),
        )
    ]
    return Pigment(*(np.asarray(amount) for amount in amounts))


def check_tone(tone: Mapping[str, float] | None) -> dict[str, float]:
    """Return doses by dye, each known and 0 to `MAX_DOSE`; None means no tone.

    Raises
    ------
    LiftError
        For an unknown dye or a dose out of range.
    """
    return {
        check_choice("dye", dye, palette()): check_number(f"dose of {dye}", dose, 0.0, MAX_DOSE)
        for dye, dose in (tone or {}).items()
    }


def check_dyes(dyes: Iterable[str] | None) -> tuple[str, ...]:
    """Names of the dyes to choose from, each once; None means all shipped ones.

    Raises
    ------
    LiftError
        For an unknown dye, or none at all.
    """
    known = palette()
    if dyes is None:
        return tuple(known)
    names = [dyes] if isinstance(dyes, str) else list(dyes)
    chosen = tuple(dict.fromkeys(check_choice("dye", dye, known) for dye in names))
    if not chosen:
        raise LiftError(f"no dye to choose from; there are: {', '.join(known)}")
    return chosen
