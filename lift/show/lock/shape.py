"""Shape of the lock: which of a few shades lies where, the same for every colour.

A lock is `STRANDS` strands side by side. Along each, at `STOPS` places, stands a shade from the
darkest, 0, to the lightest, and between two places one runs into the next: as a gradient of SVG,
which is why a picture of pixels and a drawing of paths are the same lock.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats

STRANDS, STOPS, SHADES = 16, 9, 9
SEED = 7
"""Of the differences between strands: the same lock every time, or it would twitch."""

# Light on a lock, in shares of the light on its middle; invented, so that it looks like hair.
ROUND, FIBRE, SHINE, FALL = 0.9, 0.22, 1.1, 0.25
SHINE_AT, SHINE_WIDE, SHINE_BENT, SHINE_RAGGED = 0.30, 0.15, 0.08, 0.04

GLOSSY = 0.6
"""From this share of the way to the lightest shade on, shine is white, not of the hair's colour."""

MARGIN, WAVE, TURNS = 0.12, 0.03, 5.0
"""Ground beside the lock and its sway to either side [widths], and the sway's turns [radian]."""

THREADS = 3
"""Into how many threads each shade is split on either side of a strip's shine."""


@dataclass(frozen=True, eq=False)
class Shape:
    """Where the shades lie, and how much of each there is.

    Parameters
    ----------
    table : numpy.ndarray of int
        Shade at each stop of each strand, 0 darkest, shape (STRANDS, STOPS).
    share : numpy.ndarray
        Share of the lock that each shade covers [-], shape (SHADES,), sum 1.
    light : numpy.ndarray
        Light of each shade in excess of the lock's mean [-], its mean over the lock 0.
    gloss : numpy.ndarray
        White shine of each shade in excess of the lock's mean [-], its mean over the lock 0.
    threads : tuple of (int, float)
        Of a strip, from one edge to the other: shade and width [-], as much of each as in a lock.
    """

    table: NDArray[np.intp]
    share: Floats
    light: Floats
    gloss: Floats
    threads: tuple[tuple[int, float], ...]


@lru_cache(maxsize=1)
def shape() -> Shape:
    """Shape of every lock."""
    random = np.random.default_rng(SEED)
    fibre = random.normal(size=STRANDS)
    fibre = (fibre - fibre.mean()) / np.abs(fibre - fibre.mean()).max()
    ragged = random.uniform(-1.0, 1.0, STRANDS)
    across = (2.0 * np.arange(STRANDS) + 1.0) / STRANDS - 1.0
    down = np.linspace(0.0, 1.0, STOPS)
    body = np.sqrt(1.0 - ROUND * across**2)[:, None]
    place = SHINE_AT + SHINE_BENT * across**2 + SHINE_RAGGED * ragged
    shine = np.exp(-(((down - place[:, None]) / SHINE_WIDE) ** 2))
    light = ROUND * body + FIBRE * fibre[:, None] + SHINE * shine * body - FALL * down
    step = (light - light.min()) / np.ptp(light)
    table = np.rint((SHADES - 1) * step).astype(np.intp)

    # A stop counts for half of the stretch to either side of it.
    weight = np.full(STOPS, 1.0 / (STOPS - 1))
    weight[[0, -1]] /= 2.0
    over = np.broadcast_to(weight / STRANDS, table.shape)
    share = np.asarray(np.bincount(table.ravel(), over.ravel(), SHADES), dtype=np.float64)
    level = np.linspace(0.0, 1.0, SHADES)
    gloss = np.maximum(level - GLOSSY, 0.0)
    for array in (table, share):
        array.setflags(write=False)
    return Shape(table, share, level - share @ level, gloss - share @ gloss, _threads(share))


def _threads(share: Floats) -> tuple[tuple[int, float], ...]:
    """Dark edges, and the shine nearer to one of them; neighbours mixed as fibres are."""
    random = np.random.default_rng(SEED)
    found: list[tuple[int, float]] = []
    for part, sign in ((SHINE_AT, 1.0), (1.0 - SHINE_AT, -1.0)):
        pieces = [(s, part * float(share[s]) / THREADS) for s in range(SHADES)] * THREADS
        order = [sign * (s + random.uniform(-1.3, 1.3)) for s, _ in pieces]
        found += [pieces[i] for i in np.argsort(order)]
    return tuple(found)


def sway(down: Floats) -> Floats:
    """How far to the right the lock lies [widths] at so many heights from its top, shape (n,)."""
    return np.asarray(WAVE * np.sin(TURNS * np.asarray(down) + 1.0))
