"""Pictures of how far to trust: standing of the numbers, checks, sensitivity, spread."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from lift.model.curves import STATUSES, CurveSet, default_curves
from lift.research.evidence.checks import Check
from lift.research.evidence.sensitivity import Sensitivity
from lift.show import style
from lift.show.plots.figure import own_axes

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
    "passed, not fitted to": ("published", True, False),
    "passed, but fitted to: no evidence": ("calibrated", True, True),
    "failed": ("assumed", False, False),
    "failed, though fitted to": ("assumed", False, True),
}

WORDS = {
    "level": "level read by eye",
    "rate": "rate of lightening",
    "fibre": "fibre diameter",
    "fade": "fading of the mixture",
    "all": "all together",
    "fibre_um": "fibre diameter",
    "volume": "developer volume",
    "temperature_c": "temperature",
}


def _bar(axes: Axes, row: float, start: float, width: float, status: str, **more: Any) -> None:
    colour, hatch = LOOKS[status]
    axes.barh(row, width, 0.62, start, color=colour, hatch=hatch, edgecolor=style.INK, **more)


@style.classroom
def plot_standing(curves: CurveSet | None = None, axes: Axes | None = None) -> Axes:
    """How many numbers of the model are published, and how many are not."""
    curves = curves or default_curves()
    axes = own_axes(axes, 9.0, 3.6, style.CLASSROOM)
    found = [curves[name].status for name in curves]
    shown = [status for status in STATUSES if status in found]
    for row, status in enumerate(shown):
        _bar(axes, row, 0.0, found.count(status), status)
        axes.text(found.count(status) + 0.3, row, f"{found.count(status)}", va="center")
    axes.set_yticks(range(len(shown)), shown)
    axes.invert_yaxis()
    axes.grid(visible=False, axis="y")
    axes.margins(x=0.1)
    axes.set_xlabel("numbers of the curve set")
    axes.set_title(
        f"{found.count('published')} of {len(found)} numbers are published; "
        f"{found.count('calibrated')} are calibrated"
    )
    return axes


@style.classroom
def plot_checks(checks: Sequence[Check], axes: Axes | None = None) -> Axes:
    """How many checks pass, by kind, and how many of them say nothing.

    Parameters
    ----------
    checks : sequence of Check
        From `lift.research.evidence.checks.all_checks`.
    axes : matplotlib Axes, optional
        Where to draw.
    """
    from matplotlib.ticker import MaxNLocator

    axes = own_axes(axes, 9.0, 3.6, style.CLASSROOM)
    kinds = tuple(dict.fromkeys(check.kind for check in checks))
    for row, kind in enumerate(kinds):
        start = 0
        for label, (look, passed, fitted) in OUTCOMES.items():
            count = sum((c.kind, c.passed, c.fitted) == (kind, passed, fitted) for c in checks)
            if count:
                _bar(axes, row, start, count, look, label=label)
            start += count
    handles, names = axes.get_legend_handles_labels()
    once = dict(zip(names, handles, strict=True))
    axes.set_yticks(range(len(kinds)), kinds)
    axes.set_ylim(len(kinds) - 0.4, -0.6)
    axes.set_xlim(0, 1.02 * max(sum(c.kind == k for c in checks) for k in kinds))
    axes.grid(visible=False, axis="y")
    axes.legend(once.values(), once.keys(), loc="upper center", bbox_to_anchor=(0.5, -0.2), ncols=2)
    axes.set_xlabel("checks")
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    met = sum(c.passed for c in checks)
    idle = sum(c.passed and c.fitted for c in checks)
    axes.set_title(f"{met} of {len(checks)} checks pass; {idle} of those were fitted to")
    return axes


def spoken(name: str) -> str:
    """Name of a parameter or a reading as it is said."""
    words = name.replace("half_oxidised", "half-oxidised").replace("_", " ")
    return WORDS.get(name, words.replace(" ph", " pH").replace("pka", "pKa"))


@style.classroom
def plot_tornado(sensitivity: Sensitivity, axes: Axes | None = None, *, count: int = 12) -> Axes:
    """What the closing of the window hangs on, largest first.

    Parameters
    ----------
    sensitivity : Sensitivity
        From `lift.research.evidence.sensitivity`.
    axes : matplotlib Axes, optional
        Where to draw.
    count : int
        How many to show.
    """
    most = sensitivity.largest(count)
    rows = len(most.names)
    axes = own_axes(axes, 9.5, 1.5 + 0.5 * rows, style.CLASSROOM)
    finite = most.closes[np.isfinite(most.closes)]
    edge = 1.25 * float(np.max([*finite, most.base_closes]))
    closes = np.where(np.isfinite(most.closes), most.closes, edge)
    for row, (pair, status) in enumerate(zip(closes, most.statuses, strict=True)):
        low, high = float(pair.min()), float(pair.max())
        label = status if status not in most.statuses[:row] else None
        _bar(axes, row, low, high - low, status, label=label)
        # The mark tells which way the number goes: open where it is lowered.
        axes.plot(pair[0], row, "o", color=style.PAPER, mec=style.INK, ms=9)
        axes.plot(pair[1], row, "o", color=style.INK, ms=9)
    axes.axvline(most.base_closes, color=style.INK, lw=1.5)
    names = [spoken(n) for n in most.names]
    axes.set_yticks(
        range(rows),
        [f"{n}\n{w}" for n, w in zip(names, most.labels, strict=True)],
        fontsize="small",
    )
    axes.invert_yaxis()
    axes.grid(visible=False, axis="y")
    axes.set_xlabel("window closes [min]   (open mark: number lowered)")
    axes.set_xlim(0.0, 1.08 * float(np.max(closes)))
    axes.legend(loc="lower left")
    axes.set_title(f"The closing time hangs most on: {names[0]}")
    return axes


@style.classroom
def plot_spread(
    ranges: Mapping[str, tuple[float, float]], expected: float, axes: Axes | None = None
) -> Axes:
    """How far the closing time is spread by what varies from strand to strand.

    Parameters
    ----------
    ranges : mapping of str to (float, float)
        From `lift.research.evidence.sensitivity.strand_spread` [min].
    expected : float
        Closing time of the expected strand [min].
    axes : matplotlib Axes, optional
        Where to draw.
    """
    axes = own_axes(axes, 9.0, 3.8, style.CLASSROOM)
    for row, (name, (low, high)) in enumerate(ranges.items()):
        _bar(axes, row, low, high - low, "calibrated" if name == "all" else "common practice")
        axes.text(high, row, f"  {low:.1f} to {high:.1f}", va="center")
    axes.axvline(expected, color=style.INK, lw=1.5)
    axes.set_yticks(range(len(ranges)), [WORDS[name] for name in ranges])
    axes.invert_yaxis()
    axes.set_xlim(0.0, 1.3 * max(high for _, high in ranges.values()))
    axes.grid(visible=False, axis="y")
    axes.set_xlabel("window closes, nine strands in ten [min]")
    single = {name: high - low for name, (low, high) in ranges.items() if name != "all"}
    most = max(single, key=single.__getitem__)
    axes.set_title(f"The {WORDS[most]} spreads the closing time most")
    return axes
