"""How often a mistake in a swatch file is caught, and how often one is seen where there is none.

Run as ``python -m lift.make.suspects_study``: invented laboratories, each with one seeded mistake
or with none. It says how good the search for suspects is, and nothing about hair.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats
from lift.model.curves import default_curves
from lift.optics.colorimetry import delta_e_2000
from lift.research.swatches.generate import design, synthetic_laboratory
from lift.research.swatches.table import Swatches
from lift.research.tuning.tune import tune

CLEAN = "clean"
KINDS = ("volume", "mixture", "level", "reading", "hours", "fraction", "swapped")
"""Mistakes, by the explanation that finds them (``suspect.NAME``)."""

LABORATORIES = 200
FIRST_SEED = 11000
"""Of laboratories on which nothing in the search was chosen."""

SWATCHES = 12
OFF_LEVEL = 4.0
OFF_READING = 6.7
"""Levels [-] and dE00 by which the mistakes of these kinds are off."""

TRUTH_LOG_SD = 0.3
"""Spread of the logarithm of the true rates from one laboratory to another [-]; assumed."""


def laboratory(seed: int, swatches: int = SWATCHES) -> Swatches:
    """Invent a laboratory without a mistake; its true rates are its own."""
    curves = default_curves()
    random = np.random.default_rng((seed, 1))
    rates: dict[str, Any] = {
        name: float(curves.values[name] * np.exp(TRUTH_LOG_SD * random.standard_normal()))
        for name in ("lightening_rate", "persulfate_rate")
    }
    return synthetic_laboratory(design(swatches), curves.replace(**rates), seed=seed).swatches


def spoilt(table: Swatches, kind: str, seed: int) -> tuple[Swatches, str]:
    """Make one mistake with one swatch, and tell with which."""
    random = np.random.default_rng((seed, 2))
    swatch = int(random.integers(len(table.names)))
    own = table.swatch == swatch
    changed: dict[str, object] = {}
    if kind == "volume":
        written = 10.0 if table.volume[own][0] >= 25.0 else 40.0
        changed["volume"] = np.where(own, written, table.volume)
    elif kind == "mixture":
        other = {"cream": "powder", "powder": "cream"}
        pairs = zip(table.kind, own, strict=True)
        changed["kind"] = tuple(other[name] if mine else name for name, mine in pairs)
    elif kind == "level":
        up = OFF_LEVEL if table.level[swatch] < 5.5 else -OFF_LEVEL
        changed["level"] = table.level + up * (np.arange(len(table.names)) == swatch)
    elif kind == "hours":
        changed["minutes"] = np.where(own, table.minutes / 60.0, table.minutes)
    else:
        changed["lab"] = _misread(table, kind, np.flatnonzero(own), random)
    return table.replace(**changed), table.names[swatch]


def _misread(
    table: Swatches, kind: str, own: NDArray[np.intp], random: np.random.Generator
) -> Floats:
    lab = np.array(table.lab)
    if kind == "fraction":
        lab[own, 0] /= 100.0
    elif kind == "swapped":
        lab[own] = lab[own][:, [0, 2, 1]]
    else:
        row = random.choice(own)
        way = random.standard_normal(3)
        way *= np.sign(way[0]) * OFF_READING / np.linalg.norm(way)
        lengths = np.linspace(0.2, 4.0, 400)[:, None]
        off = delta_e_2000(lab[row] + lengths * way, lab[row])
        lab[row] += lengths[np.argmin(np.abs(off - OFF_READING))] * way
    return lab


def outcome(kind: str, seed: int, swatches: int = SWATCHES) -> str:
    """What comes of one laboratory when it is first fitted, with all its swatches.

    ``nothing``; ``named`` and explained by the mistake; ``caught``, otherwise explained; ``other``
    where only swatches without a mistake are suspected.
    """
    table, name = laboratory(seed, swatches), ""
    if kind != CLEAN:
        table, name = spoilt(table, kind, seed)
    found = tune(table, starts=1, seed=1, keep_suspects=True).suspects
    if not found:
        return "nothing"
    codes = [each.code for s in found if s.name == name for each in s.might_be]
    if f"suspect.{kind}" in codes:
        return "named"
    return "caught" if codes else "other"


def study(runs: Iterable[tuple[str, int]]) -> dict[str, dict[str, int]]:
    """Count the outcomes of laboratories, each a kind of mistake and a seed."""
    counts: dict[str, dict[str, int]] = {}
    for kind, seed in runs:
        came = counts.setdefault(kind, dict.fromkeys(("named", "caught", "other", "nothing"), 0))
        came[outcome(kind, seed)] += 1
    return counts


def runs_of(laboratories: int, first: int = FIRST_SEED) -> list[tuple[str, int]]:
    """Laboratories with a mistake, kinds in turn, and half as many without."""
    spoiled = [(KINDS[i % len(KINDS)], first + i) for i in range(laboratories)]
    return spoiled + [(CLEAN, first + laboratories + i) for i in range(laboratories // 2)]


if __name__ == "__main__":
    for kind, came in study(runs_of(LABORATORIES)).items():
        print(f"{kind:10} {came}")
