"""Checks shared by what is asked of one strand and its tone."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from lift.errors import LiftError, check_choice, check_number
from lift.model.hair import Hair
from lift.model.strand import ABSORBERS, Pigment
from lift.optics.dyes import palette
from lift.quantities import quantities_of
from lift.words import note

GREY, RESISTANT = (quantities_of(Hair)[name] for name in ("grey_percent", "resistant_percent"))

# More than the blackest hair by far: a slip of units, not hair.
MOST_PIGMENT = 100.0


def check_strand(pigment: Pigment) -> Pigment:
    """Return the pigment of one strand, each amount checked to be a number of 0 or more."""
    return Pigment(
        *(
            np.asarray(
                check_number(
                    note(f"pigment.{name}"), np.asarray(amount).tolist(), 0.0, MOST_PIGMENT
                )
            )
            for name, amount in zip(ABSORBERS, pigment.amounts, strict=True)
        )
    )


def check_dyes(dyes: Iterable[str] | None) -> tuple[str, ...]:
    """Names of the dyes to choose from, each once; None means all shipped ones."""
    known = palette()
    if dyes is None:
        return tuple(known)
    names = [dyes] if isinstance(dyes, str) else list(dyes)
    chosen = tuple(dict.fromkeys(check_choice("mixture.dye", dye, known) for dye in names))
    if not chosen:
        raise LiftError("tone.no_dyes", known=[*known])
    return chosen


def check_grey(grey_percent: float, resistant_percent: float) -> tuple[float, float]:
    """White fibres among all, and those among them that take no tone [%], checked, 0 to 100."""
    return GREY.number(grey_percent), RESISTANT.number(resistant_percent)
