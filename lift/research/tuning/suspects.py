"""Suspect swatches: those that a mistake explains far better than what the file says.

Each swatch is judged by what the others alone tell of the parameters. Every mistake that may have
been made with it is tried: its readings are computed again as if that were so, with its own level,
rate and scatter integrated out, and what the others leave open of the parameters where that could
matter. The ratio of the two densities of the readings is a Bayes factor. Every kind of mistake
counts as one, however many there are of it, and where nothing is wrong the mean of each is 1: a
swatch is suspect where the sum of its own comes near what all kinds tried, with all swatches,
amount to together. How often that is a false alarm, and what it misses, is counted on invented
laboratories by `lift.make.suspects_study`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.chemistry.strength import check_on_head, on_head_volume
from lift.errors import Floats, LiftError
from lift.optics.colorimetry import delta_e_2000
from lift.research.posterior.problem import START_RANGE, Problem
from lift.research.posterior.strands import StrandModel
from lift.research.swatches.columns import OF_THE_SWATCH
from lift.research.swatches.table import PER_ROW, ROW_ARRAYS, Swatches
from lift.research.tuning.left_out import earliest_rows, errors
from lift.words import Note, note

LIMIT = 0.7
"""Share of that from which a swatch is suspect. Chosen on invented laboratories, 12 swatches each:
6 of 146 without a mistake had a suspect, 291 of 306 mistakes were caught. Of others 3 of 51 had one
and 79 of 86 were caught: all of every kind but a wrong volume or mixture, of which 16 of 23 were,
as a strand that is slow or quick hides what is no more than that."""

ALIKE = 2.0
"""Logarithm of the Bayes factor within which explanations are told beside the best; assumed."""

ASTRAY = 10.0
"""Standard deviation in L*, a*, b* of a reading that tells nothing of the swatch; assumed."""

NEAR = 0.3
"""Share of the limit from which what the others leave open is integrated out, too; assumed."""

LOOKS, FURTHER = 6, 4
_MOST_MINUTES = PER_ROW["minutes"].high


@dataclass(frozen=True, eq=False)
class Suspicion:
    """What speaks against one swatch.

    Parameters
    ----------
    name : str
        Of the swatch.
    might_be : tuple of Note
        Mistakes that explain it, the likeliest first.
    log_factor, limit : float
        Logarithm of the Bayes factors against what the file says, of all mistakes of a kind their
        mean and of all kinds the sum, and beyond what the swatch is suspect [-].
    left_out : float
        Mean dE00 of its readings as the others predict them; nan with but one.
    level, rate : float
        Starting level [-] and rate over the common one [-], as the file has the swatch.
    row : int or None
        The only reading that is off, where nothing else explains the swatch as well.
    """

    name: str
    might_be: tuple[Note, ...]
    log_factor: float
    limit: float
    left_out: float
    level: float
    rate: float
    row: int | None

    @property
    def suspect(self) -> bool:
        """Whether a mistake explains the swatch far better than what the file says."""
        return self.log_factor > self.limit


@dataclass(frozen=True)
class Mistake:
    """One thing that may have been written wrong.

    Parameters
    ----------
    code : str
        Of its words, ``suspect.NAME``.
    told : mapping
        What is said of it.
    changes : mapping
        Fields of the swatch as they would be without it.
    scaled : float
        Logarithm of how much wider the readings then lie, all together [-].
    """

    code: str
    told: dict[str, Any]
    changes: dict[str, Any]
    scaled: float = 0.0


def suspicions(problem: Problem, draws: Floats) -> tuple[Suspicion, ...]:
    """What speaks against each swatch, in the order of the file.

    Parameters
    ----------
    problem : Problem
        What is fitted to what.
    draws : numpy.ndarray
        Coordinates as all swatches but one tell them, shape (swatches, draws, coordinates).
    """
    table = problem.swatches
    tried = [list(mistakes(table.only(i), table)) for i in range(len(table.names))]
    kinds = sum(len({each.code for each in own}) for own in tried)
    limit = float(np.log(LIMIT * kinds))
    off, seen = errors(problem, draws.mean(axis=1)), ~earliest_rows(table)
    found = []
    for i, possible in enumerate(tried):
        own = np.flatnonzero(table.swatch == i)
        left_out = float(off[own][seen[own]].mean()) if seen[own].any() else np.nan
        found.append(_suspicion(problem, i, draws[i], possible, limit, left_out))
    return tuple(found)


def mistakes(one: Swatches, table: Swatches) -> Iterator[Mistake]:
    """Mistakes that may have been made with one swatch of a table."""
    strengths = sorted({*map(float, table.classes.developers), *map(float, table.volume)})
    for volume in strengths:
        if len(set(one.volume)) == 1 and volume != one.volume[0] and _allowed(volume, one):
            yield Mistake("volume", {"volume": volume}, {"volume": np.full(len(one), volume)})
    for kind in dict.fromkeys(table.kind):
        if {*one.kind} != {kind}:
            yield Mistake("mixture", {"kind": kind}, {"kind": (kind,) * len(one)})
    if not np.isnan(one.level[0]):
        yield Mistake("level", {"judged": one.level[0]}, {"level": np.array([np.nan])})
    if 0.0 < 60.0 * one.minutes.max() <= float(_MOST_MINUTES or np.inf):
        yield Mistake("hours", {}, {"minutes": 60.0 * one.minutes})
    if one.lab[:, 0].max() <= 1.0:
        scale = np.array([100.0, 1.0, 1.0])
        yield Mistake("fraction", {}, {"lab": scale * one.lab}, len(one) * np.log(100.0))
    yield Mistake("swapped", {}, {"lab": one.lab[:, [0, 2, 1]]})
    for row in range(len(one)) if len(one) > 1 else ():
        astray = np.where(np.arange(len(one))[:, None] == row, ASTRAY, one.own_sd)
        yield Mistake("reading", {"minutes": one.minutes[row], "row": row}, {"own_sd": astray})


def _allowed(volume: float, one: Swatches) -> bool:
    try:
        check_on_head(on_head_volume(volume, one.developer_parts))
    except LiftError:
        return False
    return True


def _suspicion(
    problem: Problem,
    swatch: int,
    draws: Floats,
    tried: list[Mistake],
    limit: float,
    left_out: float,
) -> Suspicion:
    from scipy.special import logsumexp

    one, z = problem.swatches.only(swatch), draws.mean(axis=0)
    model = StrandModel(replace(problem, swatches=_each_way(one, tried)))
    own = model.from_afar(z[None])[None]
    told, about = model.log_likelihood(z[None], own, LOOKS)
    # Densities of the readings, so that a wide scatter is no free excuse.
    member = np.eye(len(tried) + 1)[model.problem.swatches.swatch]
    wide = np.log(model.problem.swatches.sd).sum(axis=1) @ member
    codes = [each.code for each in tried]
    wide[1:] -= [each.scaled - np.log(codes.count(each.code)) for each in tried]

    def factors_of(told: Floats) -> Floats:
        told = logsumexp(told, axis=0) - wide
        return np.asarray(told[1:] - told[0])

    factors = factors_of(told)
    if logsumexp(factors) > NEAR * limit:
        from_there = np.tile(about.best(), (len(draws), 1, 1))
        factors = factors_of(model.log_likelihood(draws, from_there, 2, FURTHER)[0])
    order = [i for i in np.argsort(-factors) if factors[i] > factors.max() - ALIKE]
    strands = model.strands(z[None], about.best())
    lab = model.predict(strands)[0].reshape(len(tried) + 1, len(one), 3)
    rows = [tried[i].told.get("row") for i in order]
    at = rows[0] if len(rows) == 1 else None
    return Suspicion(
        name=one.names[0],
        might_be=tuple(_words(tried[i], one, strands.starts[0, i + 1], lab[i + 1]) for i in order),
        log_factor=float(logsumexp(factors)),
        limit=limit,
        left_out=left_out,
        level=float(strands.starts[0, 0]),
        rate=float(strands.rates[0, 0]),
        row=None if at is None else int(np.flatnonzero(problem.swatches.swatch == swatch)[at]),
    )


def _words(mistake: Mistake, one: Swatches, level: float, lab: Floats) -> Note:
    told = dict(mistake.told)
    if mistake.code == "level":
        told["level"] = float(np.clip(np.round(2.0 * level) / 2.0, *START_RANGE))
    if mistake.code == "reading":
        row = told.pop("row")
        told["off"] = float(delta_e_2000(lab[row], one.lab[row]))
    return note(f"suspect.{mistake.code}", **told)


def _each_way(one: Swatches, tried: list[Mistake]) -> Swatches:
    """Swatch as it is in the file, then as it would be without each mistake, as one table."""
    many, rows = len(tried) + 1, len(one)
    fields = (*ROW_ARRAYS, *OF_THE_SWATCH)
    ways: list[dict[str, Any]] = [{}, *(each.changes for each in tried)]
    columns = {
        name: np.concatenate([way.get(name, getattr(one, name)) for way in ways]) for name in fields
    }
    return one.replace(
        names=tuple(map(str, range(many))),
        swatch=np.repeat(np.arange(many), rows),
        kind=tuple(kind for way in ways for kind in way.get("kind", one.kind)),
        carried={name: words * many for name, words in one.carried.items()},
        **columns,
    )
