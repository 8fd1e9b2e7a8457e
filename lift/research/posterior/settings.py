"""Who measured, and how: each has its own pace and its own scale of colour.

Where a file names several laboratories or operators, each may lighten faster or slower than the
common rate; where it names several laboratories, instruments, geometries, lights or backings, each
may read lighter, redder or yellower. All of a file that says none of it, or one, is of one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats, LiftError
from lift.model.parameter import Parameter
from lift.research.posterior.priors import Prior
from lift.research.swatches.table import Swatches

HANDS = ("laboratory", "operator")
"""Columns of those whose rate is their own."""

EYES = ("laboratory", "instrument", "geometry", "uv", "backing")
"""Columns of those whose scale of colour is their own."""

RATE_RANGE = 0.6
"""Ends of the logarithm of a rate over the common one [-], six standard deviations apart: assumed,
one laboratory in three is 20 % off."""

LAB_RANGES = (4.5, 1.5, 1.5)
"""The same of L*, a*, b* [CIELAB units]: assumed, of two instruments and geometries; the specular
component alone makes 0.4 L* on black hair (``reference/hair_colour_measured.csv``)."""

MOST = 8
"""Of either that are told apart: assumed, more can hardly be told from strands."""

AXES = ("rate", "L", "a", "b")

Rows = tuple[NDArray[np.intp] | None, NDArray[np.intp] | None]
"""Of each row of a table, which hands and which eyes, shape (rows,) each; None where not told."""


@dataclass(frozen=True)
class Settings:
    """Those that a file tells apart.

    Parameters
    ----------
    hands, eyes : tuple of str
        Names of those with their own rate, and of those with their own scale of colour; empty
        where there is one.
    """

    hands: tuple[str, ...] = ()
    eyes: tuple[str, ...] = ()

    @classmethod
    def of(cls, table: Swatches) -> Settings:
        """Those of a table.

        Raises
        ------
        LiftError
            When there are more than `MOST` of either.
        """
        found = []
        for columns in (HANDS, EYES):
            names = tuple(dict.fromkeys(_named(table, columns)))
            if len(names) > MOST:
                raise LiftError("settings.many", columns=columns, count=len(names), most=MOST)
            found.append(names if len(names) > 1 else ())
        return cls(*found)

    @cached_property
    def priors(self) -> tuple[Prior, ...]:
        """Prior of each rate, then of L*, a*, b* of each scale."""
        source = "lift.research.posterior.settings"
        rates = [(f"rate: {name}", RATE_RANGE) for name in self.hands]
        scales = [
            (f"{axis}: {name}", wide)
            for name in self.eyes
            for axis, wide in zip(AXES[1:], LAB_RANGES, strict=True)
        ]
        return tuple(
            Prior(Parameter(name, 0.0, "-", -wide, wide, "assumed", source))
            for name, wide in (*rates, *scales)
        )

    def rows(self, table: Swatches) -> Rows:
        """Which of `hands` and of `eyes` each row of a table is of; None where there is one."""
        return _places(table, HANDS, self.hands), _places(table, EYES, self.eyes)

    def log_rate(self, values: Floats, rows: Rows) -> Floats | float:
        """Logarithm of each row's rate over the common one, shape (points, rows)."""
        return 0.0 if rows[0] is None else np.asarray(values[..., rows[0]])

    def colour(self, values: Floats, rows: Rows) -> Floats | float:
        """What each row reads above the common scale, shape (points, rows, 3)."""
        if rows[1] is None:
            return 0.0
        scales = values[..., len(self.hands) :].reshape(*values.shape[:-1], len(self.eyes), 3)
        return np.asarray(scales[..., rows[1], :])


def _places(
    table: Swatches, columns: Sequence[str], known: tuple[str, ...]
) -> NDArray[np.intp] | None:
    if not known:
        return None
    number = {name: i for i, name in enumerate(known)}
    return np.array([number[name] for name in _named(table, columns)], dtype=np.intp)


def _named(table: Swatches, columns: Sequence[str]) -> list[str]:
    """Name of each row's, from the columns that a table has, shape (rows,)."""
    used = [table.carried[name] for name in columns if name in table.carried]
    if not used:
        return [""] * len(table)
    return [", ".join(filter(None, words)) for words in zip(*used, strict=True)]
