"""What the default curve set is good for: the conditions that rows of common practice speak of.

Rows of ``reference/trade_practice.csv`` and ``trade_lifts.csv`` name mixtures, times, developers,
levels and fibres; where they name none, as of temperature, what is usual in the domain is taken
(assumed). Zero minutes and zero volumes belong to it, as nothing is lifted then whatever the
numbers.
"""

from __future__ import annotations

from lift.chemistry.strength import on_head_volume
from lift.model.curves import CurveSet
from lift.model.hair import FIBRES_UM
from lift.model.mixtures import mixture_classes
from lift.model.validity import Validity

LONGEST_MINUTES = {"cream": 60.0, "base-break": 15.0, "powder": 50.0}
"""Longest processing time that a row names, by class of mixture [min]: a cream however long, read
as an hour; a base break against powder and cream at 15; powder and black hair at 50."""

LEVELS = (1.0, 8.0)
"""Natural levels that rows name: black hair in one sitting to a base break on level 8."""

STRONGEST = ("powder", 40.0)
"""Mixture and developer [vol] that lie strongest on the hair, by the rows."""


def valid_for(curves: CurveSet) -> Validity:
    """Conditions of the rows, for values of a curve set."""
    classes = mixture_classes()
    ph = [classes[kind].properties(curves.values)["ph"] for kind in LONGEST_MINUTES]
    kind, volume = STRONGEST
    on_head = float(on_head_volume(volume, classes[kind].developer_parts))
    warm = classes[kind].bound("temperature_c")
    return Validity(
        spans=(
            ("level", *LEVELS),
            ("on_head_volume", 0.0, on_head),
            ("minutes", 0.0, max(LONGEST_MINUTES.values())),
            ("ph", min(ph), max(ph)),
            ("temperature_c", warm.usual_low, warm.usual_high),
            ("fibre_um", min(FIBRES_UM.values()), max(FIBRES_UM.values())),
        ),
        mixtures=tuple(LONGEST_MINUTES),
        longest=tuple(LONGEST_MINUTES.items()),
        measured=False,
        damp=True,
    )
