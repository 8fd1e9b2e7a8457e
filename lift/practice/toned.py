"""Toned: the colour that the nearest single dye makes of many strands at many times, at once.

A stylist tones what she sees after the rinse. So each strand gets its own best dose, of one dye,
and whether that reaches the goal is what a lightening is for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.curves import Values
from lift.model.natural import NaturalPath
from lift.model.strand import Pigment, strand_lab
from lift.optics.dyes import palette
from lift.quantities import Lab

LARGEST = 25.0
"""Largest dose searched [0.01 absorption per fibre radius]: more than any lightened hair that is
not darker than its goal asks for."""

LIGHTNESS_COST = 0.1
"""What one unit of L* lost weighs against one unit of dE00 left: assumed.

Ten units of L*, about a level and a half, weigh as much as one noticeable difference: enough to
choose the dye that darkens least where several do equally well, too little to trade a visible
cast for lightness. Where the goal can be reached the dose is the same for 0.05 and 0.2; where only
an unsuited dye is offered, the cost decides how much of it is worth its darkening (violet alone on
orange hair: 4.9 and 2.3)."""

NODES = 7
FINE = 61
"""Doses that colour is computed for, and doses that it is interpolated to."""

TOO_DARK = 10.0
"""What one L* below the least allowed weighs in the search [dE00]: more than any hue."""


@dataclass(frozen=True, eq=False)
class Toned:
    """Colour after the nearest dye; arrays of the strands' shape (...).

    `lab` is CIELAB, shape (..., 3), `dose` that of the dye [0.01 absorption per fibre radius] and
    `dye` its place in `dyes`.
    """

    lab: Floats
    dose: Floats
    dye: Any
    dyes: tuple[str, ...]

    def named(self) -> dict[str, float]:
        """Dose by dye, of a single strand; empty where none is needed."""
        dose = float(self.dose)
        return {self.dyes[int(self.dye)]: dose} if dose > 0.0 else {}


@cache
def _doses() -> tuple[Floats, Floats, Floats]:
    """Doses of the nodes, fine doses, and the matrix from the one to the other.

    In the root of the dose colour is as good as a polynomial: Chebyshev's nodes, Lagrange's
    weights.
    """
    node = 0.5 - 0.5 * np.cos(np.pi * np.arange(NODES) / (NODES - 1))
    fine = np.linspace(0.0, 1.0, FINE)
    matrix = np.ones((FINE, NODES))
    for i in range(NODES):
        for j in range(NODES):
            if i != j:
                matrix[:, i] *= (fine - node[j]) / (node[i] - node[j])
    return LARGEST * node**2, LARGEST * fine**2, matrix


def toned(
    pigment: Pigment,
    values: Values,
    wanted: Lab | NaturalPath,
    *,
    carried: Mapping[str, Any] | None = None,
    dyes: tuple[str, ...] | None = None,
    least_lightness: float = -np.inf,
    tolerance: float | None = None,
) -> Toned:
    """Colour after the dose of the one dye that brings each strand nearest a colour.

    Nearest by lightness, chroma and hue in the weights that CIEDE2000 has at the wanted colour;
    no darker than `least_lightness` [CIELAB units] where that can be helped. With a `tolerance`
    [dE00] it is the dose that is furthest inside both.

    Parameters
    ----------
    pigment : Pigment
        Strands of shape (...).
    values : mapping
        Parameter values that broadcast with them.
    wanted : tuple of float or NaturalPath
        CIELAB (D65, 10 degrees); or natural hair of whatever lightness the strand ends with.
    carried : mapping of str to array_like, optional
        Dose of each dye that is in the hair already, shape (...).
    dyes : tuple of str, optional
        Dyes to choose from; default: all.
    """
    dyes = dyes or tuple(palette())
    node, fine, matrix = _doses()
    strands = pigment.map(lambda p: np.asarray(p)[..., None])
    own = {name: v[..., None] if np.ndim(v) else v for name, v in values.items()}
    already = {dye: np.asarray(dose)[..., None] for dye, dose in (carried or {}).items()}
    shown = []
    for dye in dyes:
        tone = {**already, dye: already.get(dye, 0.0) + node}
        at_nodes = strand_lab(strands, own, tone=tone)
        shown.append(matrix @ at_nodes)
    lab = np.stack(shown, axis=-3)
    score = _score(lab, wanted)
    spare = lab[..., 0] - least_lightness
    if tolerance is None:
        score = score + TOO_DARK * np.maximum(-spare, 0.0)
    else:
        score = np.maximum(score - tolerance, -spare)
    flat = score.reshape(*score.shape[:-2], -1)
    best = np.argmin(flat, axis=-1)
    picked = np.take_along_axis(
        lab.reshape(*lab.shape[:-3], -1, 3), best[..., None, None], axis=-2
    )[..., 0, :]
    return Toned(picked, fine[best % FINE], best // FINE, dyes)


def _score(lab: Floats, wanted: Lab | NaturalPath) -> Floats:
    if isinstance(wanted, NaturalPath):
        # Natural hair can be had at any lightness: the least that is lost is best.
        cost = LIGHTNESS_COST * (lab[..., :1, :1, 0] - lab[..., 0])
        return _near(lab, wanted.lab_of_lightness(lab[..., 0])) + cost
    return _near(lab, np.asarray(wanted))


def _near(lab: Floats, wanted: Floats) -> Floats:
    """Distance in the weights that CIEDE2000 gives lightness and chroma at a colour."""
    squared = (wanted[..., 0] - 50.0) ** 2
    lightness = 1.0 + 0.015 * squared / np.sqrt(20.0 + squared)
    chroma = 1.0 + 0.045 * np.hypot(wanted[..., 1], wanted[..., 2])
    off = lab - wanted
    return np.asarray(
        np.sqrt((off[..., 0] / lightness) ** 2 + (off[..., 1] ** 2 + off[..., 2] ** 2) / chroma**2)
    )


def suited_dyes(pigment: Pigment, values: Values, wanted: Lab) -> tuple[str, ...]:
    """Dyes of the palette that answer any of some strands best: the others need no search."""
    found = toned(pigment, values, wanted)
    taken = np.unique(np.asarray(found.dye)[np.asarray(found.dose) > 0.0])
    return tuple(found.dyes[i] for i in taken) or found.dyes[:1]
