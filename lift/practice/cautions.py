"""Cautions that stand beside every mixture and every time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lift.model.curves import default_curves
from lift.model.domain import edges
from lift.words import Note, note

if TYPE_CHECKING:
    from lift.model.curves import CurveSet
    from lift.model.hair import Hair
    from lift.model.mixture import Mixture

ALWAYS = tuple(
    note(f"caution.{what}") for what in ("allergy", "maker", "pain", "gloves", "estimate")
)
"""Sources: hair-dye labels; Regulation (EC) 1223/2009 Annex III entry 12; Maguina 2007 and
Bouschon 2018 on scalp burns (pain comes first, heat is often involved)."""


def cautions(
    mixture: Mixture | None = None,
    minutes: float | None = None,
    hair: Hair | None = None,
    curves: CurveSet | None = None,
) -> tuple[Note, ...]:
    """Cautions for a mixture left on for a time [min]; what is special comes first.

    At the edge of a mixture's domain (`lift.model.domain`) they say so; the curve set, by default
    the shipped one, gives its pH.

    Examples
    --------
    >>> str(cautions()[0])[:12]
    'Allergy test'
    """
    special: list[Note] = []
    if mixture is not None:
        special += edges(hair, mixture, minutes, curves or default_curves())
        if np.max(mixture.temperature_c) > mixture.chemistry.bound("temperature_c").usual_high:
            special.append(note("caution.heat"))
        special += [note(f"caution.{code}") for code in mixture.chemistry.cautions]
    if hair is not None and hair.lightened_to is not None:
        special.append(note("caution.lightened"))
    return (*special, *ALWAYS)
