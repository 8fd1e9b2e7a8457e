"""Cautions that stand beside every mixture and every time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lift.words import Note, note

if TYPE_CHECKING:
    from lift.model.hair import Hair
    from lift.model.mixture import Mixture

ALWAYS = tuple(
    note(f"caution.{what}") for what in ("allergy", "maker", "pain", "gloves", "estimate")
)
"""Sources: hair-dye labels; Regulation (EC) 1223/2009 Annex III entry 12; Maguina 2007 and
Bouschon 2018 on scalp burns (pain comes first, heat is often involved)."""

LONGEST_MINUTES = 50.0
"""Lighteners are not left past 50 to 60 minutes: common practice (no source)."""

HOT_C = 38.0


def cautions(
    mixture: Mixture | None = None, minutes: float | None = None, hair: Hair | None = None
) -> tuple[Note, ...]:
    """Cautions for a mixture left on for a time [min]; what is special comes first.

    Examples
    --------
    >>> str(cautions()[0])[:12]
    'Allergy test'
    """
    special = []
    if minutes is not None and minutes > LONGEST_MINUTES:
        special.append(note("caution.too_long", minutes=minutes))
    if mixture is not None and np.max(mixture.temperature_c) > HOT_C:
        special.append(note("caution.heat"))
    if mixture is not None:
        special += [note(f"caution.{code}") for code in mixture.chemistry.cautions]
    if hair is not None and hair.lightened_to is not None:
        special.append(note("caution.lightened"))
    return (*special, *ALWAYS)
