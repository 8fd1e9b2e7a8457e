"""Draws of parameters: what measured swatches leave open, carried by a curve set."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_range
from lift.words import Note, note

DRAW = "draw"
"""Key of a strand's values that says which draw they are of."""

LEAST_DRAWS = 50
SIGNIFICANT = 6
"""Digits kept in a file: far finer than any parameter is known."""


@lru_cache(maxsize=8)
def _bounds(count: int) -> Floats:
    """Deviates between which each of so many draws lies, shape (count - 1,)."""
    from statistics import NormalDist

    return np.array([NormalDist().inv_cdf(k / count) for k in range(1, count)])


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

    def drawn(self, central: Mapping[str, Any], deviates: ArrayLike) -> dict[str, Any]:
        """Parameters of strands, one draw each.

        Parameters
        ----------
        central : mapping
            Values of the curve set.
        deviates : array_like
            Standard normal deviates, any shape: their rank says which draw. A deviate of 0 gets
            the central values.

        Returns
        -------
        dict
            All drawn parameters, and under `DRAW` which row of `table`, each of the shape of the
            deviates.
        """
        deviates = np.asarray(deviates, dtype=np.float64)
        bounds = _bounds(len(self))
        row = np.where(deviates == 0.0, len(self), np.searchsorted(bounds, deviates))
        table = self.table(central)
        return {name: table[name][row, 0] for name in self.names} | {DRAW: row}

    def table(self, central: Mapping[str, Any]) -> dict[str, Floats]:
        """All draws and, last, the central values: arrays of shape (draws + 1, 1).

        A misfit is no parameter; that of the central values is 0.
        """
        return {
            name: np.append(column, central.get(name, 0.0))[:, None]
            for name, column in zip(self.names, self.array.T, strict=True)
        }

    def all_values(self, central: Mapping[str, Any]) -> dict[str, Any]:
        """Values of the curve set with `table` in the place of what was drawn."""
        return {**central, **self.table(central)}

    def without(self, names: Collection[str]) -> ParameterDraws | None:
        """Return the draws of the other parameters; None when there are no others."""
        keep = [i for i, name in enumerate(self.names) if name not in names]
        if not keep:
            return None
        rows = tuple(tuple(row[i] for i in keep) for row in self.rows)
        return ParameterDraws(tuple(self.names[i] for i in keep), rows)

    def scaled(self, factors: Mapping[str, float]) -> ParameterDraws:
        """Return the draws with some parameters multiplied, where they were drawn."""
        by = [factors.get(name, 1.0) for name in self.names]
        return ParameterDraws(self.names, tuple(map(tuple, (self.array * by).tolist())))

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
