"""What in a swatch file is odd but allowed, and what looks like a mistake of a whole column.

Mistakes of single swatches are found by the fit (`lift.research.tuning.suspects`).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lift.chemistry.strength import percent_to_volume
from lift.errors import Floats
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.research.swatches.table import PHOTOGRAPH_BIAS, Swatches
from lift.words import Note, note

FALL = 4.0
"""Standard deviations by which L* may fall between readings before it is remarked: assumed."""

HAIR_LAB = ((8.0, 92.0), (-4.0, 35.0), (-6.0, 55.0))
"""L*, a*, b* between which hair that was not dyed reads, widely: assumed; what was measured of
brown hair and of bleached (``reference/hair_colour_measured.csv``) lies well within."""

LIGHT = 40.0
"""L* from which b* of hair that was not dyed exceeds a*, as it does in every measured and every
natural colour here: assumed for single readings, of which most must tell otherwise."""

PERCENT = (1.5, 1.8, 1.9, 2.0, 3.0, 4.0, 6.0, 9.0, 12.0)
"""Strengths that developers have in % H2O2; common practice (no source)."""

SHORT_MIN = 2.0
"""Longest time [min] in a file that may hold hours: assumed; no series is read within it."""

LEVELS_OFF = 2.5
"""Levels by which hair before lightening may read off the judged one: assumed; half a level or one
is what judging by eye is off."""


def remarks(table: Swatches, lines: Any) -> tuple[Note, ...]:
    """What is odd but allowed; `lines` are those of the rows, shape (rows,)."""
    told = []
    if table.invented:
        told.append(note("remark.invented"))
    if count := int(table.photograph.sum()):
        bias = dict(zip("Lab", PHOTOGRAPH_BIAS, strict=True))
        told.append(note("remark.photographs", count=count, **bias))
    count_of = np.bincount(table.swatch)
    told += [
        note("remark.one_reading", name=name)
        for name, count in zip(table.names, count_of, strict=True)
        if count == 1
    ]
    before, after = _steps(table)
    variance = table.sd[:, 0] ** 2
    fall = table.lab[before, 0] - table.lab[after, 0]
    fallen = fall > FALL * np.sqrt(variance[before] + variance[after])
    for earlier, later, by in zip(before[fallen], after[fallen], fall[fallen], strict=True):
        name, minutes = table.names[table.swatch[later]], table.minutes
        told.append(
            note(
                "remark.darker",
                name=name,
                fall=float(by),
                earlier=minutes[earlier],
                later=minutes[later],
                line=lines[later],
            )
        )
    return (*told, *_odd_colours(table, lines), *_odd_levels(table, lines))


def _steps(table: Swatches) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Rows of one swatch that follow each other in time under one mixture, (n,) and (n,)."""
    _, kind = np.unique(table.kind, return_inverse=True)
    order = np.lexsort((table.minutes, table.volume, kind, table.swatch))
    keys = np.stack([table.swatch, kind, table.volume])[:, order]
    same = (keys[:, 1:] == keys[:, :-1]).all(axis=0)
    return order[:-1][same], order[1:][same]


def doubts(table: Swatches) -> tuple[Note, ...]:
    """What looks like a mistake of a whole column, and what it might be.

    A fit to such readings means nothing, so that one is made only when asked for all the same.
    """
    lightness = table.lab[:, 0]
    if (lightness <= 1.0).all():
        return (note("doubt.lightness", most=float(lightness.max())),)
    return (*_time_doubts(table), *_strength_doubts(table), *_colour_doubts(table))


def _time_doubts(table: Swatches) -> Iterator[Note]:
    longest = float(table.minutes.max())
    if longest == 0.0:
        yield note("doubt.no_time")
    elif longest <= SHORT_MIN:
        yield note("doubt.hours", most=longest)


def _strength_doubts(table: Swatches) -> Iterator[Note]:
    used = np.unique(table.volume[table.volume > 0.0])
    if used.size and used.max() <= max(PERCENT) and np.isin(used, PERCENT).all():
        most = float(used.max())
        yield note("doubt.per_cent", most=most, volume=float(percent_to_volume(most)))


def _colour_doubts(table: Swatches) -> Iterator[Note]:
    lab = table.lab
    light = ~table.photograph & (lab[:, 0] >= LIGHT)
    redder = lab[light, 1] > lab[light, 2]
    if redder.size > 1 and redder.mean() > 0.5:
        yield note("doubt.swapped", count=int(redder.sum()), light=redder.size, lightness=LIGHT)


def _odd_colours(table: Swatches, lines: Any) -> Iterator[Note]:
    lab = table.lab
    for axis, (name, (low, high)) in enumerate(zip(("L", "a", "b"), HAIR_LAB, strict=True)):
        odd = ~table.photograph & ((lab[:, axis] < low) | (lab[:, axis] > high))
        if odd.any():
            first = int(np.argmax(odd))
            value = float(lab[first, axis])
            where = {"line": lines[first], "more": int(odd.sum()) - 1}
            yield note("remark.no_hair", column=name, value=value, low=low, high=high, **where)


def _odd_levels(table: Swatches, lines: Any) -> Iterator[Note]:
    """Hair before lightening that reads far from the natural level that was judged."""
    judged: Floats = table.level[table.swatch]
    at_start = (table.minutes == 0.0) & ~np.isnan(judged) & ~table.photograph
    if not at_start.any():
        return
    path = natural_path(default_curves())
    rows = np.flatnonzero(at_start)
    reads = np.asarray(path.level_of_lightness(table.lab[rows, 0]))
    for row, level in zip(rows, reads, strict=True):
        if abs(level - judged[row]) > LEVELS_OFF:
            yield note(
                "remark.level",
                name=table.names[table.swatch[row]],
                line=lines[row],
                lightness=float(table.lab[row, 0]),
                reads=float(level),
                judged=float(judged[row]),
            )
