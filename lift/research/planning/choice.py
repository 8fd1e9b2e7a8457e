"""Swatches that could be measured, as a table that the forward model reads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from lift.errors import Floats, LiftError, check_number
from lift.model.frozen import store
from lift.model.mixtures import MixtureClasses, mixture_classes
from lift.research.swatches.columns import OF_THE_SWATCH
from lift.research.swatches.table import ROW_ARRAYS, SCATTER, Swatches
from lift.words import Note, note

LEVELS = (2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0)
VOLUMES = (10.0, 20.0, 30.0, 40.0)
MINUTES = (5.0, 10.0, 20.0, 35.0, 50.0)


@dataclass(frozen=True)
class Choice:
    """One swatch that could be measured: its start, and its colour after one time.

    Parameters
    ----------
    level : float
        Natural level as judged [-].
    kind : str
        Mixture.
    volume, minutes : float
        Developer [vol] and time [min].
    """

    level: float
    kind: str
    volume: float
    minutes: float

    @property
    def words(self) -> Note:
        """As a person would say it."""
        return note("next.choice", **vars(self))


@dataclass(frozen=True)
class Costs:
    """What measuring costs, in any unit that is the same of all.

    Parameters
    ----------
    tress, minute, reading : float
        Of a tress made ready, of a minute of processing and of a reading [any], 0 to 1e6.

    Raises
    ------
    LiftError
        For a value out of range, or when nothing costs anything.

    Examples
    --------
    >>> Costs(tress=5.0, reading=1.0).of((Choice(5.0, "cream", 20.0, 30.0),), 3.0).tolist()
    [11.0]
    """

    tress: float = 0.0
    minute: float = 0.0
    reading: float = 0.0

    def __post_init__(self) -> None:
        for key, cost in [*vars(self).items()]:
            store(self, key, check_number(f"name.cost.{key}", cost, 0.0, 1e6))
        if not any(vars(self).values()):
            raise LiftError("next.no_cost")

    def of(self, chosen: Sequence[Choice], repeats: float) -> Floats:
        """Cost of each choice, which is read at 0 min and at its time, shape (choices,)."""
        minutes = np.array([choice.minutes for choice in chosen])
        return self.tress + self.minute * minutes + self.reading * 2.0 * repeats


def choices(
    kinds: Sequence[str] = ("cream", "powder"),
    levels: Sequence[float] = LEVELS,
    volumes: Sequence[float] = VOLUMES,
    minutes: Sequence[float] = MINUTES,
) -> tuple[Choice, ...]:
    """Every combination of kind, level [-], volume [vol] and time [min]."""
    return tuple(Choice(n, k, v, t) for k, v, n, t in product(kinds, volumes, levels, minutes))


def as_swatches(
    chosen: Sequence[Choice],
    *,
    repeats: float = 3.0,
    scatter: tuple[float, float, float] = SCATTER,
    prefix: str = "next",
    classes: MixtureClasses | None = None,
) -> Swatches:
    """Lay choices out as a table of swatches, each read at 0 min and at its time; no colours yet.

    Parameters
    ----------
    chosen : sequence of Choice
        At least one.
    repeats : float
        Readings averaged in each row [-], 1 to 1000.
    scatter : tuple of float
        Standard deviation of one reading in L*, a*, b*.
    prefix : str
        Of the swatches' names.
    classes : MixtureClasses, optional
        Classes of mixture known; default: the shipped ones.

    Raises
    ------
    LiftError
        For a value out of range, or no choice.
    LimitError
        When a strength on the hair exceeds 12 % H2O2.
    """
    if not chosen:
        raise LiftError("next.no_choice")
    twice = [c for c in chosen for _ in range(2)]
    number = np.arange(len(chosen))
    return Swatches(
        names=tuple(f"{prefix}-{i + 1:02d}" for i in number),
        level=[c.level for c in chosen],
        swatch=np.repeat(number, 2),
        kind=tuple(c.kind for c in twice),
        volume=[c.volume for c in twice],
        minutes=[t for c in chosen for t in (0.0, c.minutes)],
        lab=np.tile([50.0, 0.0, 0.0], (len(twice), 1)),
        repeats=repeats,
        scatter=scatter,
        source=str(note("next.not_measured")),
        invented=True,
        classes=classes or mixture_classes(),
    )


def join(first: Swatches, second: Swatches) -> Swatches:
    """Put two tables into one; conditions of reading and scatter are those of the first.

    Raises
    ------
    LiftError
        When a swatch is named in both, or their light or observer differ.
    """
    if (first.illuminant, first.observer) != (second.illuminant, second.observer):
        raise LiftError("next.other_light")
    both = {
        name: np.concatenate([getattr(first, name), getattr(second, name)])
        for name in (*ROW_ARRAYS, *OF_THE_SWATCH)
    }
    return first.replace(
        names=(*first.names, *second.names),
        swatch=np.concatenate([first.swatch, second.swatch + len(first.names)]),
        kind=(*first.kind, *second.kind),
        invented=first.invented or second.invented,
        carried={
            name: (
                *first.carried.get(name, ("",) * len(first)),
                *second.carried.get(name, ("",) * len(second)),
            )
            for name in dict.fromkeys((*first.carried, *second.carried))
        },
        **both,
    )
