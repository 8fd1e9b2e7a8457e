"""Over-processing: hair with next to no pigment left to lose, whose fibre goes on being oxidised.

What is known of damage is said with its sources; no score of damage is made up from it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.words import LAST_LEVEL, Note, note

if TYPE_CHECKING:
    from lift.model.hair import Hair
    from lift.model.mixture import Mixture

SEEN_FROM = 0.05
"""Share of strands past the scale from which they are warned of: where the band that nine strands
in ten keep to reaches past its end (assumed)."""

MOST_STRANDS = 0.5
"""Share from which the hair is called over-processed, and not some of its strands (assumed)."""

LIGHT_LEVEL = 8.0
"""Hair lightened to this level or beyond, where its underpigment is yellow, has little pigment left
to take: common practice (no source)."""

STRONG_ON_HEAD = 10.0
"""Strongest mixture without persulfate [vol on the hair] that is no strong one on light hair:
20 vol mixed 1:1, 3 % H2O2 (assumed)."""

KNOWN: dict[str, Any] = {
    "unbleached": (25.0, 40.0),
    "bleached": (200.0, 400.0),
    "severe": 650.0,
    "peroxide": 2.7,
    "creme": 12.6,
}
"""Cysteic acid in hair [umol/g], unbleached, bleached and severely bleached, and how many times
faster than into unbleached hair a dye diffuses, after 1 h of 6 % H2O2 and after half an hour of a
bleach creme: J. Soc. Cosmet. Chem. 44 (1993), p. 358-359, Table III."""


def overprocessed(hair: Hair, mixture: Mixture, level: ArrayLike) -> tuple[Note, ...]:
    """Say where hair is over-processed, and what is known of damage then; else nothing.

    It is where nearly all its pigment is gone: where it is lighter than the lightest natural hair,
    which is the end of the scale of levels (common practice without a source: hair is never
    lightened past palest yellow). And it is where hair that is light by earlier lightening is
    lightened again with a strong mixture.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    level : array_like
        Level of each strand that it could turn out to be [-], at the time that is asked.

    Examples
    --------
    >>> from lift import Hair, Mixture
    >>> pale, strong = Hair(6, lightened_to=9), Mixture("powder", 20)
    >>> [said.code for said in overprocessed(pale, strong, [9.4, 10.2])]
    ['overprocessed.bare', 'overprocessed.again', 'overprocessed.known']
    >>> [said.code for said in overprocessed(Hair(6), strong, [9.1, 9.4, 10.2])]
    ['overprocessed.some']
    >>> overprocessed(Hair(6), strong, [7.4, 8.2])
    ()
    """
    some, said = [], []
    bare = float(np.mean(np.asarray(level) > LAST_LEVEL))
    if SEEN_FROM <= bare < MOST_STRANDS:
        some.append(note("overprocessed.some", p=bare, level=LAST_LEVEL))
    elif bare >= MOST_STRANDS:
        said.append(note("overprocessed.bare", p=bare, level=LAST_LEVEL))
    before: Any = hair.lightened_to
    if before is not None and np.max(before) >= LIGHT_LEVEL and is_strong(mixture):
        what = {"kind": mixture.kind, "volume": float(np.max(mixture.developer_volume))}
        said.append(note("overprocessed.again", level=float(np.max(before)), **what))
    # What is known is long: it is told where hair is over-processed, not where some of it may be.
    return (*some, *said, *([note("overprocessed.known", **KNOWN)] if said else []))


def is_strong(mixture: Mixture) -> bool:
    """Whether a mixture is a strong one for light hair: with persulfate, or of much peroxide."""
    with_persulfate = mixture.chemistry.oxidant == "persulfate"
    some = bool(np.max(mixture.on_head_volume) > 0.0)
    return (with_persulfate and some) or bool(np.max(mixture.on_head_volume) > STRONG_ON_HEAD)
