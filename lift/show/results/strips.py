"""Hair at given minutes, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError
from lift.model.trajectory import Trajectory, simulate
from lift.practice.cautions import UNMIXED
from lift.show.plots.figure import OWN, bare, foot, lab_note, lettered, picture
from lift.show.plots.lock import draw_lock
from lift.words import note, say

COUNT = 5
"""Locks where no minutes are given."""


@picture(8.0, 2.4)
def plot_times(strand: Trajectory, axes: Any = OWN) -> Any:
    """Locks of one strand at each of its times, with minutes, level and warmth.

    Examples
    --------
    >>> import lift
    >>> strand = lift.simulate(lift.Hair(6), lift.Mixture("cream", 20), [0, 15, 30])
    >>> len(plot_times(strand).get_xticks())
    3
    """
    one = _one(strand)
    if one.minutes.size > 2 * COUNT:
        one = _some(one, np.linspace(0, one.minutes.size - 1, COUNT).round().astype(int))
    labels, told = [], []
    for i, lab in enumerate(one.lab):
        draw_lock(axes, lab, (i, i + 1.0, 0.0, 1.0))
        # Rounded first, so that nothing is not told as less than nothing.
        warmth = round(float(one.warmth[i]), 1) + 0.0
        numbers = {"minutes": one.minutes[i], "level": one.level[i], "warmth": warmth}
        labels.append(say("results.strip.label", **numbers))
        told.append(note("results.strip.one", lab=lab_note(lab), **numbers))
    axes.set(xlim=(0.0, len(labels)), ylim=(0.0, 1.0), yticks=[])
    axes.set_xticks(np.arange(len(labels)) + 0.5, labels)
    bare(axes)
    foot(axes.get_figure(root=True), UNMIXED)
    return lettered(axes, alt=note("results.strip.alt", locks=told))


def strip_of(result: Any, minutes: Sequence[float]) -> Any:
    """Draw hair of a result at processing times [min]; see `lift.results.Result.strip`."""
    after = getattr(result, "after", None)
    found: Any = after if hasattr(after, "mixture") else result
    if hasattr(found, "mixture") and hasattr(found, "hair") and hasattr(found, "curves"):
        until = float(np.max(found.minutes)) if hasattr(found, "minutes") else 30.0
        times = np.array(minutes or np.linspace(0.0, until, COUNT), dtype=np.float64)
        return plot_times(simulate(found.hair, found.mixture, times, found.curves))
    if isinstance(found, Trajectory):
        one = _one(found)
        return plot_times(one if not minutes else _some(one, _places(one.minutes, minutes)))
    raise LiftError("results.no_strip", kind=type(result).__name__)


def _one(strand: Trajectory) -> Trajectory:
    if strand.lab.ndim == 1:
        raise LiftError("results.one_time")
    if strand.lab.ndim != 2:
        raise LiftError("results.many_strands", shape=strand.lab.shape[:-1])
    return strand


def _some(strand: Trajectory, places: Any) -> Trajectory:
    from dataclasses import replace

    names = ("minutes", "lab", "level", "warmth")
    return replace(strand, **{name: getattr(strand, name)[places] for name in names})


def _places(computed: Floats, minutes: Sequence[float]) -> list[int]:
    places = []
    for each in minutes:
        near = int(np.argmin(np.abs(computed - each)))
        if abs(float(computed[near]) - each) > 1e-6:
            raise LiftError("results.no_time", minutes=float(each), nearest=float(computed[near]))
        places.append(near)
    return places
