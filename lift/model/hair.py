"""The hair a mixture is laid on."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from lift.errors import LiftError, check_choice, check_range
from lift.model.frozen import store

FIBRES_UM = {"fine": 50.0, "medium": 70.0, "coarse": 90.0}
"""Diameters [um] behind the words: fine < 60, medium 60-80, coarse >= 80 (Wolfram 2003)."""

RED_SHARE = 0.33
"""Pheomelanin in all melanin of red hair: 67/33 (Borges et al. 2001)."""

LEVEL_RANGE = (1.0, 10.0)
FIBRE_RANGE = (30.0, 130.0)


@dataclass(frozen=True, eq=False)
class Hair:
    """Hair with one history.

    Parameters
    ----------
    level : float or array_like
        Natural level [-], 1 (black) to 10 (lightest blond), fractions allowed.
    fibre_um : float, array_like or str
        Fibre diameter [um], 30 to 130, or ``fine``, ``medium``, ``coarse``.
    damp : bool
        Damp hair dilutes the mixture.
    pheomelanin_share : float or array_like, optional
        Pheomelanin in all melanin [-], 0 to 1; default the curve set's (brown and blond);
        about 0.33 in red hair (Borges et al. 2001).
    grey_percent : float or array_like
        Unpigmented fibres [%], 0 to 100.
    lightened_to : float or array_like, optional
        Level the hair was lightened to before today [-]; default: never lightened.

    Raises
    ------
    LiftError
        For a value outside its range, naming the nearest valid one.
    """

    level: Any
    fibre_um: Any = 70.0
    damp: bool = False
    pheomelanin_share: Any = None
    grey_percent: Any = 0.0
    lightened_to: Any = None

    def __post_init__(self) -> None:
        store(self, "level", check_range("natural level", self.level, *LEVEL_RANGE))
        fibre = self.fibre_um
        if isinstance(fibre, str):
            fibre = FIBRES_UM[check_choice("fibre", fibre, FIBRES_UM)]
        store(self, "fibre_um", check_range("fibre diameter", fibre, *FIBRE_RANGE, "um"))
        if not isinstance(self.damp, bool | np.bool_):
            raise LiftError(f"damp {self.damp!r} is not true or false")
        if self.pheomelanin_share is not None:
            share = check_range("pheomelanin share", self.pheomelanin_share, 0.0, 1.0)
            store(self, "pheomelanin_share", share)
        store(self, "grey_percent", check_range("grey", self.grey_percent, 0.0, 100.0, "%"))
        if self.lightened_to is not None:
            lighter = check_range("earlier lightening, level", self.lightened_to, 1.0, 12.0)
            if np.any(lighter < self.level):
                raise LiftError(
                    f"earlier lightening to level {np.min(lighter):g} is darker than the natural "
                    f"level {np.max(self.level):g}; nearest: {np.max(self.level):g}"
                )
            store(self, "lightened_to", lighter)

    def replace(self, **changes: Any) -> Hair:
        """Return the hair with some fields changed; unknown names are refused."""
        names = [f.name for f in fields(self)]
        for key in changes:
            check_choice("hair field", key, names)
        return replace(self, **changes)
