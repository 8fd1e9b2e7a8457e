"""Draws of parameters: what measured swatches leave open, carried by a curve set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_range
from lift.words import Note, note

RATE = "lightening_rate"
SPREAD = "rate_log_sd"
LEAST_DRAWS = 50
SIGNIFICANT = 6
"""Digits kept in a file: far finer than any parameter is known."""

_SEED = 7


@dataclass(frozen=True)
class ParameterDraws:
    """Draws from the posterior of some parameters, all of a row belonging together.

    Parameters
    ----------
    names : tuple of str
        Parameters, each once.
    rows : tuple of tuple of float
        One value of each, in its unit; at least 50 rows.

    Raises
    ------
    LiftError
        For too few rows, a row of another length, or a number that is not finite.
    """

    names: tuple[str, ...]
    rows: tuple[tuple[float, ...], ...]

    def __post_init__(self) -> None:
        if not self.names or len(set(self.names)) != len(self.names):
            raise LiftError("draws.names")
        if len(self.rows) < LEAST_DRAWS:
            raise LiftError("draws.few", count=len(self.rows), least=LEAST_DRAWS)
        if any(len(row) != len(self.names) for row in self.rows):
            raise LiftError("draws.row", count=len(self.names))
        check_range("draws.draw", self.array, -1e9, 1e9)

    def __len__(self) -> int:
        return len(self.rows)

    @cached_property
    def array(self) -> Floats:
        """Draws, shape (draws, parameters)."""
        return np.array(self.rows, dtype=np.float64)

    def column(self, name: str) -> Floats:
        """Draws of one parameter [its unit], shape (draws,)."""
        return np.asarray(self.array[:, self.names.index(name)])

    def strands(self, central: Mapping[str, Any], rate_deviates: ArrayLike) -> dict[str, Floats]:
        """Parameters of strands, one draw each.

        Each draw is that of one strand: its rate scatters about the drawn rate by the drawn
        spread between strands. The strand's rate deviate says which draw it gets, by the rank
        of the rate, so that what a strand test learns of the rate carries over.

        Parameters
        ----------
        central : mapping
            Values of the curve set, for the rate or the spread where they were not drawn.
        rate_deviates : array_like
            Standard normal deviates, any shape.

        Returns
        -------
        dict
            The rate, and all drawn parameters but the spread, each of the shape of the deviates.
        """
        from scipy.special import ndtr

        drawn, order = self._by_rate(float(central[RATE]), float(central[SPREAD]))
        rank = (ndtr(np.asarray(rate_deviates)) * len(self)).astype(np.intp)
        pick = order[np.minimum(rank, len(self) - 1)]
        return {name: column[pick] for name, column in drawn.items()}

    def _by_rate(self, rate: float, spread: float) -> tuple[dict[str, Floats], Any]:
        from scipy.special import ndtri

        drawn = {name: self.column(name) for name in self.names if name != SPREAD}
        spreads = self.column(SPREAD) if SPREAD in self.names else spread
        # Evenly spaced deviates, shuffled: their spread is right with few draws too.
        even = (np.random.default_rng(_SEED).permutation(len(self)) + 0.5) / len(self)
        drawn[RATE] = drawn.get(RATE, rate) * np.exp(spreads * ndtri(even))
        return drawn, np.argsort(drawn[RATE], kind="stable")

    def to_toml(self) -> list[str]:
        """Lines of the curve-set file."""
        names = ", ".join(f'"{name}"' for name in self.names)
        rows = [
            "  [" + ", ".join(repr(float(f"{v:.{SIGNIFICANT}g}")) for v in row) + "],"
            for row in self.rows
        ]
        return ["[posterior]", f"names = [{names}]", "draws = [", *rows, "]"]


def parse_draws(table: Any, place: Note) -> ParameterDraws:
    """Read the ``[posterior]`` table of a curve-set file; `place` says which, for an error.

    Raises
    ------
    LiftError
        When it is not what `ParameterDraws` holds.
    """
    if not isinstance(table, dict) or set(table) != {"names", "draws"}:
        raise LiftError("draws.table", place=place)
    try:
        rows = tuple(tuple(float(v) for v in row) for row in table["draws"])
        return ParameterDraws(tuple(map(str, table["names"])), rows)
    except LiftError as error:
        raise LiftError("draws.in_table", place=place, reason=error.note) from None
    except (TypeError, ValueError, OverflowError):
        raise LiftError("draws.in_table", place=place, reason=note("draws.no_number")) from None
