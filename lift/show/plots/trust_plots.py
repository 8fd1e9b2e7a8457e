"""Pictures of how far to trust: standing of the numbers, checks, sensitivity, spread."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.parameter import STATUSES
from lift.research.evidence.checks import MEASURED, Check, by_standing
from lift.research.evidence.sensitivity import Sensitivity
from lift.show import style
from lift.show.plots.figure import OWN, SHIPPED, lettered, picture
from lift.show.said import time_note
from lift.words import known, note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LOOKS: Mapping[str, tuple[str, str]] = {
    "published": (style.COOL, ""),
    "tuned": (style.COOL, ".."),
    "common practice": ("#9fb8c2", "oo"),
    "calibrated": ("#d99b6c", "//"),
    "assumed": (style.PAPER, "xx"),
}
"""Fill and hatching of each status: told apart in grey too."""

OUTCOMES = {
    "passed": "published",
    "fitted": "calibrated",
    "built_in": "common practice",
    "failed": "assumed",
    "failed_fitted": "assumed",
}
"""What came of a check, and the status it is drawn like."""


def _outcome(check: Check) -> str:
    if not check.passed:
        return "failed_fitted" if check.fitted or check.built_in else "failed"
    return "built_in" if check.built_in else "fitted" if check.fitted else "passed"


def spoken(name: str) -> str:
    """Name of a parameter or a reading as it is said; of one that a user has added, its own."""
    return say(f"spoken.{name}") if known(f"spoken.{name}") else name.replace("_", " ")


def _bar(axes: Axes, row: float, start: float, width: float, status: str, **more: Any) -> None:
    colour, hatch = LOOKS[status]
    axes.barh(row, width, 0.62, start, color=colour, hatch=hatch, edgecolor=style.INK, **more)


def _rows(axes: Axes, names: Sequence[str], **look: Any) -> None:
    """One named row a bar, the first on top."""
    axes.set_yticks(range(len(names)), names, **look)
    axes.invert_yaxis()
    axes.grid(visible=False, axis="y")


@picture(9.0, 3.6, style.CLASSROOM)
def plot_standing(curves: CurveSet = SHIPPED, axes: Axes = OWN) -> Axes:
    """How many numbers of the model are published, and how many are not.

    Examples
    --------
    >>> from lift.lab import plot_standing
    >>> plot_standing().get_xlabel()
    'numbers of the curve set'
    """
    found = [curves[name].status for name in curves]
    shown = [status for status in STATUSES if status in found]
    for row, status in enumerate(shown):
        count = found.count(status)
        _bar(axes, row, 0.0, count, status)
        axes.text(count + 0.3, row, f"{count}", va="center")
    _rows(axes, [say(f"status.{status}") for status in shown])
    axes.margins(x=0.1)
    counted = {s: found.count(s) for s in ("published", "calibrated", "assumed")}
    numbers = {"count": len(found), **counted}
    alt, title = note("alt.standing", **numbers), note("plot.standing", **numbers)
    return lettered(axes, title, "plot.standing.numbers", alt=alt)


@picture(9.0, 3.6, style.CLASSROOM)
def plot_checks(checks: Sequence[Check], axes: Axes = OWN) -> Axes:
    """How many checks (of `lift.lab.all_checks`) hold, by standing, and how many say nothing.

    Examples
    --------
    >>> from lift.lab import all_checks, plot_checks
    >>> plot_checks(list(all_checks())[:3]).get_xlabel()
    'checks'
    """
    from matplotlib.ticker import MaxNLocator

    groups = by_standing(checks)
    for row, group in enumerate(groups.values()):
        start = 0
        for outcome, status in OUTCOMES.items():
            count = sum(_outcome(c) == outcome for c in group)
            if count:
                _bar(axes, row, start, count, status, label=say(f"plot.checks.{outcome}"))
            start += count
    handles, names = axes.get_legend_handles_labels()
    once = dict(zip(names, handles, strict=True))
    axes.legend(once.values(), once.keys(), loc="upper center", bbox_to_anchor=(0.5, -0.2), ncols=2)
    axes.set_yticks(range(len(groups)), [say(f"plot.checks.row.{each}") for each in groups])
    most = max(map(len, groups.values()), default=0) or 1
    axes.set(ylim=(len(groups) - 0.4, -0.6), xlim=(0, 1.02 * most))
    axes.grid(visible=False, axis="y")
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    counted = [c for c in checks if not c.built_in]
    numbers = {"passed": sum(c.passed for c in counted), "count": len(counted),
               "fitted": sum(c.passed and c.fitted for c in counted),
               "built_in": len(checks) - len(counted),
               "measured": len(groups[MEASURED])}  # fmt: skip
    alt = note("alt.checks", standings=len(groups), **numbers)
    title = note("plot.checks", **numbers)
    return lettered(axes, title, "plot.checks.checks", alt=alt)


@picture(
    9.5, lambda sensitivity, count, **_: 1.5 + 0.5 * min(count, len(sensitivity.names)),
    style.CLASSROOM,
)  # fmt: skip
def plot_tornado(sensitivity: Sensitivity, axes: Axes = OWN, *, count: int = 12) -> Axes:
    """What the closing of the window hangs on: the largest `count`, largest first.

    Examples
    --------
    >>> import lift
    >>> found = lift.lab.reading_sensitivity(lift.Hair(level=7), lift.Mixture("base-break", 10))
    >>> len(lift.lab.plot_tornado(found).get_yticks())
    4
    """
    most = sensitivity.largest(count)
    finite = most.closes[np.isfinite(most.closes)]
    edge = 1.25 * float(np.max([*finite, most.base_closes]))
    closes = np.where(np.isfinite(most.closes), most.closes, edge)
    for row, (pair, status) in enumerate(zip(closes, most.statuses, strict=True)):
        low, high = float(pair.min()), float(pair.max())
        label = None if status in most.statuses[:row] else say(f"status.{status}")
        _bar(axes, row, low, high - low, status, label=label)
        # The mark tells which way the number goes: open where it is lowered.
        axes.plot(pair[0], row, "o", color=style.PAPER, mec=style.INK, ms=9)
        axes.plot(pair[1], row, "o", color=style.INK, ms=9)
    axes.axvline(most.base_closes, color=style.INK, lw=1.5)
    names = [spoken(n) for n in most.names]
    labels = [f"{n}\n{w}" for n, w in zip(names, most.labels, strict=True)]
    _rows(axes, labels, fontsize="small")
    axes.set_xlim(0.0, 1.08 * float(np.max(closes)))
    axes.legend(loc="lower left")
    alt = note("alt.tornado", bars=len(names), closes=most.base_closes, low=closes[0].min(),
               high=closes[0].max())  # fmt: skip
    title = note("plot.tornado", name=names[0])
    return lettered(axes, title, "plot.tornado.closes", alt=alt)


@picture(9.0, 3.8, style.CLASSROOM)
def plot_spread(
    ranges: Mapping[str, tuple[float, float]], expected: float, axes: Axes = OWN
) -> Axes:
    """How far the closing time is spread by what varies from strand to strand.

    Parameters
    ----------
    ranges : mapping of str to (float, float)
        From `lift.lab.strand_spread` [min].
    expected : float
        Closing time of the expected strand [min].

    Examples
    --------
    >>> from lift.lab import plot_spread
    >>> plot_spread({"rate": (4.0, 8.0), "all": (3.5, 8.5)}, 6.0).get_title(loc="left")
    'The rate of lightening spreads the closing time most'
    """
    if not ranges:
        raise LiftError("domain.none", name=note("plot.ranges"))
    # A strand that never is too warm has a bar to beyond all others.
    known = [t for ends in ranges.values() for t in ends if np.isfinite(t)]
    beyond = 1.15 * max(known)
    shown = {name: tuple(np.minimum(ends, beyond)) for name, ends in ranges.items()}
    for row, (name, (low, high)) in enumerate(shown.items()):
        _bar(axes, row, low, high - low, "calibrated" if name == "all" else "common practice")
        first, last = map(time_note, ranges[name])
        axes.text(high, row, say("plot.spread.range", low=first, high=last), va="center")
    axes.axvline(expected, color=style.INK, lw=1.5)
    _rows(axes, [spoken(name) for name in ranges])
    axes.set_xlim(0.0, 1.3 * max(high for _, high in shown.values()))
    single = {name: high - low for name, (low, high) in shown.items() if name != "all"}
    most = max(single, key=single.__getitem__)
    low, high = map(time_note, ranges.get("all", ranges[most]))
    alt = note("alt.spread", bars=len(ranges), expected=expected, low=low, high=high)
    title = note("plot.spread", name=spoken(most))
    return lettered(axes, title, "plot.spread.closes", alt=alt)
