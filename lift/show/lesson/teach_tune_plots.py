"""Tuning for a lesson: the swatch file, what was found, and what to measure next."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.research.planning.next_swatch import QUANTITIES, Plan
from lift.research.swatches.swatch_file import table_rows
from lift.research.swatches.table import Swatches
from lift.research.tuning.tune import Tuning
from lift.show import style
from lift.show.lesson.notebook import Shown, table
from lift.show.plots.figure import own_axes

if TYPE_CHECKING:
    from matplotlib.axes import Axes

COLUMNS = ("swatch", "level", "mixture", "volume", "minutes", "L", "a", "b")


def swatch_table(swatches: Swatches, rows: int = 6) -> Shown:
    """First rows of a swatch file, as it is written.

    Parameters
    ----------
    swatches : Swatches
        Readings.
    rows : int
        How many to show.
    """
    shown = table_rows(swatches, COLUMNS[:-3])[:rows]
    marked = "INVENTED, nothing was measured: " if swatches.invented else ""
    return table(
        COLUMNS,
        [[row[name] for name in COLUMNS] for row in shown],
        f"{marked}first {len(shown)} of {len(swatches)} readings of {len(swatches.names)} swatches",
    )


def estimate_table(tuning: Tuning) -> Shown:
    """Each fitted number with its interval, and what the data say of it."""
    rows = [
        (
            e.name.replace("_", " "),
            f"{e.before:.4g}",
            f"{e.value:.4g} {e.unit}".removesuffix(" -"),
            f"{e.low:.4g} to {e.high:.4g}",
            e.verdict,
        )
        for e in tuning.estimates
    ]
    known = sum(e.determined for e in tuning.estimates)
    return table(
        ("number", "before", "tuned", f"{tuning.coverage:.0%} interval", "verdict"),
        rows,
        f"{known} of {len(rows)} numbers are determined by these data",
    )


@style.classroom
def plot_worth(plan: Plan, axes: Axes | None = None, *, count: int = 6) -> Axes:
    """What the most useful next swatches, and the least useful one, would leave of an interval.

    Parameters
    ----------
    plan : Plan
        From `lift.research.planning.next_swatch.plan_next`.
    axes : matplotlib Axes, optional
        Where to draw.
    count : int
        How many of the best to show.
    """
    axes = own_axes(axes, 10.0, 1.6 + 0.5 * (count + 1), style.CLASSROOM)
    shown = [*plan.order[:count], plan.order[-1]]
    for row, index in enumerate(shown):
        look: Any = {"color": style.COOL} if row < count else {"color": style.PAPER, "hatch": "//"}
        axes.barh(row, plan.widths[index], 0.62, edgecolor=style.INK, **look)
        axes.text(plan.widths[index], row, f" {plan.widths[index]:.2f}", va="center")
    axes.axvline(plan.width, color=style.INK, ls="--")
    axes.text(plan.width, -0.75, f" now {plan.width:.2f}", va="center")
    names = [plan.choices[i].words for i in shown]
    names[-1] = f"least useful: {names[-1]}"
    axes.set_yticks(range(len(shown)), names, fontsize="small")
    axes.set(ylim=(count + 0.6, -1.2), xlim=(0.0, 1.18 * plan.width))
    axes.grid(visible=False, axis="y")
    unit = QUANTITIES[plan.asked.quantity]
    axes.set_xlabel(f"expected width of the 90 % interval [{unit}]")
    best = int(np.argmin(plan.widths))
    gain = 100.0 * (1.0 - float(plan.widths[best]) / plan.width)
    axes.set_title(f"The best next swatch takes {gain:.0f} % off the interval")
    return axes
