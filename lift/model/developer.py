"""Developers: the strengths that can be bought, and what two of them make, poured together.

Whoever recommends a strength takes it from here, so that nobody is told of a bottle that is on no
shelf. Peroxide is conserved when two developers are poured together, and their volumes add up but
for the difference of their densities, 1 in 100 between 10 and 40 vol (from memory): so strengths
mix linearly by parts of volume, which is `lift.chemistry.strength.mix_developers`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, overload

from lift.chemistry.strength import LIMIT_VOLUME
from lift.errors import LiftError, check_choice, check_number
from lift.model.curves import STATUSES

LEAST_VOLUME = 1.0
"""Weakest developer that a list may name [vol]: a slip below it, not a bottle (assumed)."""

MOST_DEVELOPERS = 20
"""Longest list (assumed): what is chosen among is every one, and every two of them mixed."""


@dataclass(frozen=True)
class Developers(Sequence[float]):
    """Developers that can be bought; a sequence of their strengths [vol].

    Parameters
    ----------
    volumes : tuple of float
        Strength of each [vol], rising, 1 to 40.
    standing, source : str
        What it rests on that they can be bought.

    Raises
    ------
    LiftError
        For a strength outside the range, one that is there twice or out of order, or a list that
        is empty, too long, or of no known standing or source.

    Examples
    --------
    >>> sold = Developers((10, 20), "assumed", "made up for this example")
    >>> list(sold), max(sold)
    ([10.0, 20.0], 20.0)
    """

    volumes: tuple[float, ...]
    standing: str
    source: str

    def __post_init__(self) -> None:
        check_choice("mixtures.standing", self.standing, STATUSES)
        if not isinstance(self.source, str) or not self.source.strip():
            raise LiftError("mixtures.no_source")
        given: Any = self.volumes
        if not isinstance(given, tuple | list):
            raise LiftError("developers.no_list", value=given)
        if not 1 <= len(given) <= MOST_DEVELOPERS:
            raise LiftError("developers.count", count=len(given), most=MOST_DEVELOPERS)
        volumes = tuple(
            check_number("developers.volume", each, LEAST_VOLUME, LIMIT_VOLUME, "vol")
            for each in given
        )
        for before, volume in pairwise(volumes):
            if not volume > before:
                raise LiftError("developers.order", volume=volume, before=before, high=LIMIT_VOLUME)
        object.__setattr__(self, "volumes", volumes)

    @overload
    def __getitem__(self, index: int) -> float: ...

    @overload
    def __getitem__(self, index: slice) -> tuple[float, ...]: ...

    def __getitem__(self, index: int | slice) -> float | tuple[float, ...]:
        return self.volumes[index]

    def __len__(self) -> int:
        return len(self.volumes)
