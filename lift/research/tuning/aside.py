"""Robust fit: what a mistake explains far better than the file does has no say in it.

A suspect swatch is left out of the fit, or only its reading that is off where nothing else explains
the swatch as well. All swatches are then judged anew by those that are left, and so until the same
are suspect. Where none is, the fit is the plain one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lift.research.posterior.bayes import Posterior
from lift.research.posterior.problem import Problem
from lift.research.swatches.table import Swatches
from lift.research.tuning.left_out import DRAWS, HeldOut, leave_out
from lift.research.tuning.suspects import Suspicion, suspicions
from lift.words import Note, note

MOST_ASIDE = 1.0 / 3.0
"""Share of the swatches beyond which the fault is looked for in all of them; assumed."""

FEWEST_LEFT = 3
"""Swatches without which none can be judged by the others."""

ROUNDS = 3


@dataclass(frozen=True, eq=False)
class Judged:
    """What was fitted to which readings, and what speaks against each swatch.

    Parameters
    ----------
    posterior : Posterior
        What the readings that count leave open.
    held_out : HeldOut
        Prediction of each swatch that counts by the others.
    suspicions : tuple of Suspicion
        One a swatch of the file.
    counts : numpy.ndarray of bool
        Whether each reading of the file had a say in the fit, shape (rows,).
    """

    posterior: Posterior
    held_out: HeldOut
    suspicions: tuple[Suspicion, ...]
    counts: NDArray[np.bool_]


def judged(problem: Problem, posterior: Posterior, counts: NDArray[np.bool_]) -> Judged:
    """Judge every swatch of a file by a fit to some of its readings.

    Parameters
    ----------
    problem : Problem
        With all readings of the file.
    posterior : Posterior
        Of those that count.
    counts : numpy.ndarray of bool
        See `Judged`.
    """
    held_out = leave_out(posterior)
    without = dict(zip(posterior.model.problem.swatches.names, held_out.draws, strict=True))
    told = np.stack([without.get(n, posterior.kept[:DRAWS]) for n in problem.swatches.names])
    return Judged(posterior, held_out, suspicions(problem, told), counts)


def robust(first: Judged, problem: Problem, fit: Callable[[Problem], Posterior]) -> Judged:
    """Fit without what is suspect, until the same is; the first fit where nothing is or too much.

    Parameters
    ----------
    first : Judged
        With all readings.
    problem : Problem
        What they are asked.
    fit : callable
        Posterior of other readings.
    """
    found = first
    for _ in range(ROUNDS):
        counts = without_suspects(problem.swatches, found.suspicions)
        if counts is None:
            return first
        if np.array_equal(counts, found.counts):
            break
        kept = replace(problem, swatches=problem.swatches.rows(counts))
        found = first if counts.all() else judged(problem, fit(kept), counts)
    return found


def without_suspects(table: Swatches, suspected: tuple[Suspicion, ...]) -> NDArray[np.bool_] | None:
    """Which readings count, shape (rows,); None where too few swatches would be left."""
    counts = np.ones(len(table), bool)
    count = 0
    for swatch, each in enumerate(suspected):
        if each.suspect:
            count += 1
            counts[table.swatch == swatch if each.row is None else each.row] = False
    whole = sum(not counts[table.swatch == i].any() for i in range(len(table.names)))
    enough = len(table.names) - whole >= FEWEST_LEFT
    return counts if enough and count <= max(MOST_ASIDE * len(table.names), 1.0) else None


def aside_notes(table: Swatches, counts: NDArray[np.bool_]) -> tuple[Note, ...]:
    """What has no say, one note a swatch: all of it, or single readings."""
    said = []
    for swatch, name in enumerate(table.names):
        own = table.swatch == swatch
        if not counts[own].any():
            said.append(note("aside.swatch", name=name))
        elif not counts[own].all():
            minutes = [f"{m:g}" for m in np.sort(table.minutes[own & ~counts])]
            said.append(note("aside.readings", name=name, minutes=minutes))
    return tuple(said)
