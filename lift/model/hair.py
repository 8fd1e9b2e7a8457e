"""The hair a mixture is laid on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.doors import checked
from lift.errors import LiftError
from lift.model.curves import RED_SHARE
from lift.model.frozen import changed, store
from lift.quantities import check_fields, quantities_of, quantity
from lift.words import LAST_LEVEL

FIBRES_UM = {"fine": 50.0, "medium": 70.0, "coarse": 90.0}


@checked
@dataclass(frozen=True, eq=False)
class Hair:
    """Hair with one history; numbers may be arrays that broadcast.

    Raises
    ------
    LiftError
        For a value outside its range, naming the nearest valid one.

    Examples
    --------
    >>> Hair(7, "fine", damp=True).fibre_um
    50.0
    """

    level: Any = quantity(
        low=1.0,
        high=LAST_LEVEL,
        required=True,
        typed="level",
        file="natural_level",
        several=True,
        step=0.1,
        start=6.0,
        standing="common practice",
        source="1 black to 10 lightest blond, fractions allowed: common practice (no source)",
    )
    fibre_um: Any = quantity(
        low=30.0,
        high=130.0,
        unit="um",
        default=70.0,
        typed="fibre",
        always=True,
        file="fibre",
        words=FIBRES_UM,
        several=True,
        standing="published",
        source="fine < 60, medium 60-80, coarse >= 80 um (Wolfram 2003)",
    )
    damp: bool = quantity(
        default=False, typed="damp", flag=True, source="damp hair dilutes the mixture"
    )
    pheomelanin_share: Any = quantity(
        low=0.0,
        high=1.0,
        typed="red",
        file="red",
        flag=RED_SHARE,
        several=True,
        standing="published",
        source="67/33 in red hair (Borges et al. 2001); default: the curve set's, brown and blond",
    )
    grey_percent: Any = quantity(
        low=0.0, high=100.0, unit="%", default=0.0, typed="grey", several=True, source="a share"
    )
    resistant_percent: Any = quantity(
        low=0.0,
        high=100.0,
        unit="%",
        default=0.0,
        typed="resistant",
        several=True,
        step=5.0,
        standing="assumed",
        source="that some grey takes no colour: common practice (no source); how much is not "
        "known, so none unless it is given",
    )
    lightened_to: Any = quantity(
        low=1.0,
        high=LAST_LEVEL,
        typed="lightened_to",
        several=True,
        step=0.1,
        source="the scale ends at 10, which stands for 10 or lighter",
    )

    def __post_init__(self) -> None:
        check_fields(self, store)
        if self.lightened_to is not None and np.any(self.lightened_to < self.level):
            raise LiftError(
                "hair.lightened_darker",
                to=float(np.min(self.lightened_to)),
                level=float(np.max(self.level)),
            )

    @property
    def level_now(self) -> float:
        """Level of a single strand before the service: what it was lightened to, or as it grew."""
        return float(self.level if self.lightened_to is None else self.lightened_to)

    def replace(self, **changes: Any) -> Hair:
        """Return the hair with some fields changed; unknown names are refused."""
        return changed(self, "hair.field", changes)


LEVEL_RANGE, FIBRE_RANGE = (quantities_of(Hair)[name].range for name in ("level", "fibre_um"))
