"""Bounds: within what a class of mixture is used, each with what it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lift.errors import LiftError, check_choice, check_number

DOMAIN = ("minutes", "volume", "ph", "temperature_c", "level")
"""What a domain bounds, in the order in which it is refused."""

EDGE = 1.0 / 6.0
"""Share of a range, at its upper end, that is its edge where nothing is said of what is usual: of
60 min the last ten, as lighteners are left on for 50 to 60 min at most (assumed)."""

TEXTS = ("standing", "source", "usual_standing")

MOST = 1e3
"""No bound is beyond this, in any unit: a slip, not a range."""


@dataclass(frozen=True)
class Bound:
    """Range of one property within which a class of mixture is used.

    Outside `low` to `high` nothing is predicted. Inside, but outside `usual_low` to `usual_high`,
    is its edge: there an answer comes with a warning.

    Parameters
    ----------
    name : str
        One of `DOMAIN`.
    low, high : float
        What is answered, in the unit of the property.
    usual_low, usual_high : float
        What is answered without a warning, in the same unit.
    standing, source : str
        What the range rests on.
    usual_standing : str
        What that it is usual rests on, where that is another; empty: `standing`.

    Raises
    ------
    LiftError
        For an unknown name, a range upside down, or one without a source.

    Examples
    --------
    >>> Bound("minutes", 0, 15, 0, 10, "assumed", "made up for this example").at_edge(12.0)
    True
    """

    name: str
    low: float
    high: float
    usual_low: float
    usual_high: float
    standing: str
    source: str
    usual_standing: str = ""

    def __post_init__(self) -> None:
        check_choice("mixtures.domain", self.name, DOMAIN)
        if not self.source.strip():
            raise LiftError("mixtures.no_source")
        object.__setattr__(self, "usual_standing", self.usual_standing or self.standing)
        self._store("low", 0.0, MOST)
        self._store("high", self.low, MOST)
        self._store("usual_low", self.low, self.high)
        self._store("usual_high", self.usual_low, self.high)

    def _store(self, name: str, low: float, high: float) -> None:
        number = check_number("mixtures.domain", getattr(self, name), low, high)
        object.__setattr__(self, name, number)

    def at_edge(self, value: float) -> bool:
        """Whether a value inside is past what is usual."""
        return not self.usual_low <= value <= self.usual_high


def read_bounds(table: Mapping[str, Any], standing: str, source: str) -> tuple[Bound, ...]:
    """Read a domain: by name a table of ``range``, ``usual`` and what they rest on.

    A plain pair of numbers is a range that rests on what its class rests on, with the last
    `EDGE` of it as its edge; so is a table that does not say what is usual.
    """
    return tuple(_bound(name, row, standing, source) for name, row in table.items())


def _bound(name: str, row: Any, standing: str, source: str) -> Bound:
    rest = {"standing": standing, "source": source}
    if isinstance(row, Mapping):
        for key in row:
            check_choice("mixtures.key", key, ("range", "usual", *TEXTS))
        if "range" not in row:
            raise LiftError("mixtures.lacks", key="range")
        rest |= {key: row[key] for key in TEXTS if key in row}
        low, high = row["range"]
        usual_low, usual_high = row.get("usual", (low, high - EDGE * (high - low)))
    else:
        low, high = row
        usual_low, usual_high = low, high - EDGE * (high - low)
    return Bound(name, low, high, usual_low, usual_high, **rest)
