"""Cautions that stand beside every mixture and every time."""

from __future__ import annotations

import numpy as np

from lift.model.hair import Hair
from lift.model.mixture import Mixture

ALWAYS = (
    "Allergy test 48 h before each use (a negative test is no guarantee), and a strand test first.",
    "Follow the maker's directions and time limits; they come before any figure here.",
    "Rinse at once on pain, burning or swelling. Keep off irritated or broken scalp.",
    "Wear gloves; keep away from eyes, rinse at once on contact. Not under 16.",
    "An estimate from calibrated assumptions: local rules and licensed practice decide.",
)
"""Sources: hair-dye labels; Regulation (EC) 1223/2009 Annex III entry 12; Maguina 2007 and
Bouschon 2018 on scalp burns (pain comes first, heat is often involved)."""

LONGEST_MINUTES = 50.0
"""Lighteners are not left past 50 to 60 minutes: common practice (no source)."""

HOT_C = 38.0


def cautions(
    mixture: Mixture | None = None, minutes: float | None = None, hair: Hair | None = None
) -> tuple[str, ...]:
    """Cautions for a mixture left on for a time; what is special comes first.

    Parameters
    ----------
    mixture : Mixture, optional
        What lies on the hair.
    minutes : float, optional
        Processing time [min].
    hair : Hair, optional
        The hair it lies on.

    Returns
    -------
    tuple of str
        One sentence or two each.
    """
    special = []
    if minutes is not None and minutes > LONGEST_MINUTES:
        special.append(
            f"{minutes:g} min is longer than lighteners are left on (50 to 60 min at most, and "
            "never past the maker's limit)."
        )
    if mixture is not None and np.max(mixture.temperature_c) > HOT_C:
        special.append("Heat: scalp burns are reported with heated lighteners; watch closely.")
    if mixture is not None and mixture.kind == "powder":
        special.append("Persulfate: keep off the scalp, do not breathe the dust; asthma is a no.")
    if hair is not None and hair.lightened_to is not None:
        special.append("Hair lightened before processes faster and breaks sooner; look early.")
    return (*special, *ALWAYS)
