"""Cautions that stand beside every mixture and every time, and in what order they are told."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lift.model.curves import default_curves
from lift.model.domain import edges
from lift.practice.consulted import STOP
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


UNMIXED = (note("caution.standing"),)
"""The standing ones in one sentence, for what shows levels, records or curves: nothing is mixed."""

KNOWN_ONLY = "overprocessed.known"
"""Code of what is known besides, too long to stand before what is to be done."""

ASKED = "consultation.caution."
"""Beginning of codes of what a client's answers warn of."""

BOUNDS = ("domain.edge", "plan.past_domain", "extrapolates.")
"""Beginnings of codes of what tells how far a prediction holds; what may hurt stands before it."""


@dataclass(frozen=True)
class Apart:
    """Cautions in three kinds, in the order in which they are told.

    Those for this mixture and hair (`special`), those that always hold (`standing`), and what is
    known besides (`background`).
    """

    special: tuple[Note, ...]
    standing: tuple[Note, ...]
    background: tuple[Note, ...]


def apart(said: Iterable[Note]) -> Apart:
    """Tell special cautions from standing ones, each once.

    Of the special, what a client's answers stop is first, then what they warn of, then what may
    hurt.

    Examples
    --------
    >>> from lift import Mixture
    >>> found = apart(cautions(Mixture("powder"), 55.0))
    >>> [each.code for each in found.special], len(found.standing)
    (['caution.persulfate', 'domain.edge'], 5)
    """
    order = ("stops", "asked", "hurts", "bounds", "standing", "known")
    kinds: dict[str, list[Note]] = {name: [] for name in order}
    for each in dict.fromkeys(said):
        kinds[_kind(each)].append(each)
    special = tuple(said for name in order[:4] for said in kinds[name])
    return Apart(special, tuple(kinds["standing"]), tuple(kinds["known"]))


def in_order(said: Iterable[Note]) -> tuple[Note, ...]:
    """Cautions as they are told: special ones, standing ones, then what is known besides."""
    told = apart(said)
    return (*told.special, *told.standing, *told.background)


def _kind(said: Note) -> str:
    if said in ALWAYS or said in UNMIXED:
        return "standing"
    if said.code == KNOWN_ONLY:
        return "known"
    if said.code == STOP:
        return "stops"
    if said.code.startswith(ASKED):
        return "asked"
    return "bounds" if said.code.startswith(BOUNDS) else "hurts"


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
    return in_order((*special, *ALWAYS))
