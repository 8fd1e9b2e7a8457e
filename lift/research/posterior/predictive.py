"""Posterior predictive bands: where the readings of a swatch should lie."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.practice.preview import rounded
from lift.research.posterior.bayes import COVERAGE, Posterior
from lift.research.posterior.strands import SCATTER_FREEDOM, Strands
from lift.research.swatches.table import Swatches

FINE = 41
USED = 500


@dataclass(frozen=True, eq=False)
class Band:
    """One swatch under one mixture: its readings, and where they should lie.

    Parameters
    ----------
    label : str
        Swatch, mixture and strength.
    minutes, lab : numpy.ndarray
        Readings: times [min], shape (n,), and CIELAB, shape (n, 3).
    reading : numpy.ndarray
        Low, median and high of each reading with its scatter, shape (3, n, 3).
    fine_minutes, curve : numpy.ndarray
        Times between [min], shape (41,), and low, median and high of the colour itself, shape
        (3, 41, 3).
    """

    label: str
    minutes: Floats
    lab: Floats
    reading: Floats
    fine_minutes: Floats
    curve: Floats


@dataclass(frozen=True, eq=False)
class Predictive:
    """Bands of all swatches, and how many readings lie inside theirs.

    Parameters
    ----------
    bands : tuple of Band
        In the order of the file.
    inside : numpy.ndarray
        Share of readings inside their 90 % band, for L*, a*, b* [-], shape (3,).
    readings : int
        How many readings.
    """

    bands: tuple[Band, ...]
    inside: Floats
    readings: int

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        names = ("L*", "a*", "b*")
        return {
            "coverage": COVERAGE,
            "readings": self.readings,
            "inside": dict(zip(names, rounded(self.inside), strict=True)),
        }


def predictive(posterior: Posterior, *, seed: int = 1) -> Predictive:
    """Predict the readings of the measured swatches from the posterior.

    Parameters
    ----------
    posterior : Posterior
        Draws.
    seed : int
        Seed of the scatter.

    Returns
    -------
    Predictive
        A band should hold 90 % of its readings, or more, as it has seen them.
    """
    model = posterior.model
    table = model.problem.swatches
    drawn = some(posterior.strands, USED)
    random = np.random.default_rng(seed)
    factor = _scatter(posterior, drawn, random)
    groups = _groups(table)
    fine = np.concatenate(
        [np.linspace(0.0, max(table.minutes[g].max(), 1.0), FINE) for g in groups]
    )
    first = np.repeat([g[0] for g in groups], FINE)
    dense = table.rows(first).replace(minutes=fine)
    ends = [(1.0 - COVERAGE) / 2.0, 0.5, (1.0 + COVERAGE) / 2.0]
    curve = np.quantile(model.predict(drawn, dense), ends, axis=0)
    sd = table.sd * factor[:, table.swatch, None]
    seen = model.predict(drawn) + sd * random.standard_normal(sd.shape)
    reading = np.quantile(seen, ends, axis=0)
    bands = []
    for i, group in enumerate(groups):
        own = slice(i * FINE, (i + 1) * FINE)
        at = group[0]
        bands.append(
            Band(
                f"{table.names[table.swatch[at]]}: {table.kind[at]} {table.volume[at]:g} vol",
                table.minutes[group],
                table.lab[group],
                reading[:, group],
                fine[own],
                curve[:, own],
            )
        )
    inside = ((table.lab >= reading[0]) & (table.lab <= reading[2])).mean(axis=0)
    return Predictive(tuple(bands), np.asarray(inside), len(table))


def some(drawn: Strands, count: int) -> Strands:
    """Evenly picked draws."""
    total = len(drawn.theta)
    pick = np.linspace(0, total - 1, min(count, total)).round().astype(int)
    return Strands(*(getattr(drawn, n)[pick] for n in ("theta", "spread", "starts", "rates")))


def _scatter(posterior: Posterior, drawn: Strands, random: np.random.Generator) -> Floats:
    """Factor on the scatter of each swatch given its readings, shape (draws, swatches)."""
    table = posterior.model.problem.swatches
    own = np.eye(len(table.names))[table.swatch]
    squares = np.sum(((posterior.model.predict(drawn) - table.lab) / table.sd) ** 2, axis=-1) @ own
    half = 0.5 * (SCATTER_FREEDOM + 3.0 * own.sum(axis=0))
    return np.asarray(
        np.sqrt(0.5 * (SCATTER_FREEDOM + squares) / random.gamma(half, size=squares.shape))
    )


def _groups(table: Swatches) -> list[Any]:
    """Rows of each swatch under one mixture and strength, by time."""
    keys = [
        (int(s), k, float(v), float(p), float(t), float(h))
        for s, k, v, p, t, h in zip(
            table.swatch,
            table.kind,
            table.volume,
            table.developer_parts,
            table.temperature_c,
            np.nan_to_num(table.ph, nan=-1.0),
            strict=True,
        )
    ]
    groups = []
    for key in dict.fromkeys(keys):
        rows = np.flatnonzero([k == key for k in keys])
        groups.append(rows[np.argsort(table.minutes[rows], kind="stable")])
    return groups
