"""Posterior predictive bands: where the readings of a swatch should lie."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats
from lift.model.misfit import weights
from lift.research.posterior.bayes import COVERAGE, Posterior
from lift.research.swatches.table import Swatches
from lift.words import Note, note

FINE = 41


@dataclass(frozen=True, eq=False)
class Band:
    """One swatch under one mixture: its readings, and where they should lie.

    Parameters
    ----------
    label : Note
        Swatch, mixture and strength.
    minutes, lab : numpy.ndarray
        Readings: times [min], shape (n,), and CIELAB, shape (n, 3).
    reading : numpy.ndarray
        Low, median and high of each reading with its scatter, shape (3, n, 3).
    fine_minutes, curve : numpy.ndarray
        Times between [min], shape (41,), and low, median and high of the colour itself, shape
        (3, 41, 3).
    """

    label: Note
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


def predictive(posterior: Posterior, *, seed: int = 1) -> Predictive:
    """Predict the readings of the measured swatches from the posterior's kept draws.

    A band should hold 90 % of its readings, or more, as it has seen them; `seed` draws the scatter.
    """
    model, drawn = posterior.model, posterior.strands
    table = model.problem.swatches
    random = np.random.default_rng(seed)
    lab = model.predict(drawn)
    groups = groups_of(table)
    fine = np.concatenate(
        [np.linspace(0.0, max(table.minutes[g].max(), 1.0), FINE) for g in groups]
    )
    dense = table.rows(np.repeat([g[0] for g in groups], FINE)).replace(minutes=fine)
    ends = [(1.0 - COVERAGE) / 2.0, 0.5, (1.0 + COVERAGE) / 2.0]
    factor = model.blocks.factor(table.lab - lab, drawn.misfit, model.freedom, random)
    sd = table.sd * np.sqrt(factor)[:, table.swatch, None]
    shown = lab + sd * random.standard_normal(sd.shape)
    colour = model.predict(drawn, dense)
    exposed = model.blocks.exposed
    if exposed is not None:
        own = _misfits(posterior, table.lab - lab, factor, random)
        shown += _at(own, table.swatch, exposed)
        between = [
            np.interp(fine[i * FINE : (i + 1) * FINE], table.minutes[g], exposed[g])
            for i, g in enumerate(groups)
        ]
        colour += _at(own, dense.swatch, np.concatenate(between))
    curve = np.quantile(colour, ends, axis=0)
    reading = np.quantile(shown, ends, axis=0)
    bands = [
        Band(
            label_of(table, group[0]),
            table.minutes[group],
            table.lab[group],
            reading[:, group],
            fine[i * FINE : (i + 1) * FINE],
            curve[:, i * FINE : (i + 1) * FINE],
        )
        for i, group in enumerate(groups)
    ]
    inside = ((table.lab >= reading[0]) & (table.lab <= reading[2])).mean(axis=0)
    return Predictive(tuple(bands), np.asarray(inside), len(table))


def _misfits(
    posterior: Posterior, off: Floats, factor: Floats, random: np.random.Generator
) -> Floats:
    """What each swatch is off by beside its scatter, shape (draws, swatches, 3, nodes)."""
    model, scales = posterior.model, posterior.strands.misfit
    return np.stack(
        [
            model.blocks.found(swatch, off, scales, factor[:, swatch], random)
            for swatch in range(len(model.problem.swatches.names))
        ],
        axis=1,
    )


def _at(misfits: Floats, swatch: NDArray[np.intp], exposed: Floats) -> Floats:
    """What rows are off by, shape (draws, rows, 3)."""
    return np.asarray(np.einsum("rn,drcn->drc", weights(exposed), misfits[:, swatch]))


def groups_of(table: Swatches) -> list[NDArray[np.intp]]:
    """Rows of each swatch under one mixture and strength, by time."""
    keys: list[tuple[Any, ...]] = [
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


def label_of(table: Swatches, row: int) -> Note:
    """Swatch, mixture and strength of a row."""
    name, kind = table.names[table.swatch[row]], table.kind[row]
    return note("swatches.label", swatch=name, mixture=kind, volume=table.volume[row])
