"""Developers: the strengths that can be bought, and what two of them make, poured together.

Whoever recommends a strength takes it from here, so that nobody is told of a bottle that is on no
shelf. Peroxide is conserved when two developers are poured together, and weak solutions keep their
volume, so strengths mix linearly by parts of volume: `lift.chemistry.strength.mix_developers`.
Parts by weight make it wrong by as much as densities differ: 10 and 40 vol, 1.01 and 1.04 g/mL
(from memory), come to 24.8 vol in place of 25.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, overload

from lift.chemistry.strength import LIMIT_VOLUME, mix_developers
from lift.errors import LiftError, check_choice, check_number
from lift.model.parameter import STATUSES
from lift.words import Note, note

RATIOS = ((1, 1), (1, 2), (2, 1))
"""Parts of the weaker and the stronger of two developers that anybody measures (assumed)."""

MOST_PARTS = 10
"""Parts of one thing beyond which nobody counts them (assumed)."""

LEAST_VOLUME = 1.0
"""Weakest developer that a list may name [vol]: a slip below it, not a bottle (assumed)."""

MOST_DEVELOPERS = 20
"""Longest list (assumed): each is tried, and so are mixes with its neighbours."""


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


@dataclass(frozen=True)
class Developer:
    """A developer as it is poured: one bottle, or two by parts.

    Parameters
    ----------
    parts : tuple of (float, int)
        Strength [vol], 1 to 40, and parts by volume [-], 1 to 10, of one or two, the weaker first.

    Attributes
    ----------
    volume : float
        Strength of the whole [vol].

    Raises
    ------
    LiftError
        For a number outside its range, or other than one or two developers, the weaker first.

    Examples
    --------
    >>> Developer(((10, 1), (20, 1))).volume
    15.0
    >>> print(Developer(((10, 1), (20, 2))).note)
    16.7 vol (1 part 10 vol + 2 parts 20 vol)
    """

    parts: tuple[tuple[float, int], ...]
    volume: float = field(init=False)

    def __post_init__(self) -> None:
        given: Any = self.parts
        if not _listed(given, 1, 2) or not all(_listed(pair, 2, 2) for pair in given):
            raise LiftError("developer.form", value=given)
        parts = tuple(
            (
                check_number("quantity.volume.label", volume, LEAST_VOLUME, LIMIT_VOLUME, "vol"),
                _whole(share),
            )
            for volume, share in given
        )
        if not all(weaker[0] < stronger[0] for weaker, stronger in pairwise(parts)):
            raise LiftError("developer.form", value=given)
        object.__setattr__(self, "parts", parts)
        object.__setattr__(self, "volume", mix_developers(*zip(*parts, strict=True)))

    @property
    def mixed(self) -> bool:
        """Whether it is poured from two."""
        return len(self.parts) > 1

    @property
    def note(self) -> Note:
        """Its strength, and what it is poured from, to be said."""
        if not self.mixed:
            return note("developer.sold", volume=self.volume)
        poured = [note("developer.part", parts=share, volume=each) for each, share in self.parts]
        return note("developer.mixed", volume=self.volume, poured=poured)


def _listed(value: Any, least: int, most: int) -> bool:
    return isinstance(value, tuple | list) and least <= len(value) <= most


def _whole(share: Any) -> int:
    parts = check_number("mixture.parts_of_developer", share, 1.0, MOST_PARTS)
    if not parts.is_integer():
        name = note("mixture.parts_of_developer")
        raise LiftError("quantity.not_whole", name=name, value=parts)
    return int(parts)


def developer_choices(
    sold: Iterable[float], ratios: Sequence[tuple[int, int]] = RATIOS
) -> tuple[Developer, ...]:
    """Every developer that can be bought, or mixed of two, the weakest first.

    Two are mixed that are neighbours in the list: those further apart make nothing that is not
    near to one of these, and a slip of the hand tells more.

    Parameters
    ----------
    sold : iterable of float
        Strengths that can be bought [vol], rising, as `Developers` are.
    ratios : sequence of (int, int)
        Parts of the weaker and of the stronger [-], each 1 to 10.

    Examples
    --------
    >>> [choice.volume for choice in developer_choices((10, 20, 40), ratios=((1, 1),))]
    [10.0, 15.0, 20.0, 30.0, 40.0]
    """
    single = [Developer(((volume, 1),)) for volume in sold]
    mixed = [
        Developer(((one.volume, few), (two.volume, more)))
        for one, two in pairwise(single)
        for few, more in ratios
    ]
    return tuple(sorted((*single, *mixed), key=lambda made: made.volume))


def _shares(made: Developer) -> int:
    return sum(share for _, share in made.parts)


def nearest_developer(
    volume: float, sold: Iterable[float], ratios: Sequence[tuple[int, int]] = RATIOS
) -> Developer:
    """What can be bought, or mixed, nearest to a strength; of two equally near, the weaker.

    Parameters
    ----------
    volume : float
        Strength wanted [vol], 0 to 40.
    sold, ratios
        As for `developer_choices`.

    Raises
    ------
    LiftError
        For a strength outside the range.

    Examples
    --------
    >>> nearest_developer(7.0, (5, 10)).parts
    ((5.0, 2), (10.0, 1))
    """
    wanted = check_number("quantity.volume.label", volume, 0.0, LIMIT_VOLUME, "vol")
    return min(
        developer_choices(sold, ratios), key=lambda made: round(abs(made.volume - wanted), 9)
    )


def whole_mixture(product: str, developer: Developer, developer_parts: float) -> Note:
    """What goes into the bowl, by parts: the product and each developer, to be said.

    In whole parts where up to `MOST_PARTS` of the product give them, else for one of product.

    Parameters
    ----------
    product : str
        Name of a class of mixture.
    developer : Developer
        What the product is mixed with.
    developer_parts : float
        Parts of developer to one of product [-], 0.1 to 10.

    Examples
    --------
    >>> print(whole_mixture("powder", Developer(((20, 1),)), 2.0))
    1 part powder, 2 parts 20 vol developer, by weight
    >>> print(whole_mixture("cream", Developer(((10, 1), (20, 2))), 1.0))
    3 parts cream, 1 part 10 vol developer, 2 parts 20 vol developer, by weight
    """
    ratio = check_number("quantity.developer_parts.label", developer_parts, 0.1, 10.0)
    each = ratio / _shares(developer)
    one = next((n for n in range(1, MOST_PARTS + 1) if _is_whole(n * each)), 1)
    poured = [
        note("mixture.developer_part", parts=round(one * each * share, 2), volume=volume)
        for volume, share in developer.parts
    ]
    return note("mixture.whole", parts=[note("mixture.part", parts=one, kind=product), *poured])


def _is_whole(parts: float) -> bool:
    return round(parts) >= 1 and abs(parts - round(parts)) < 1e-9
