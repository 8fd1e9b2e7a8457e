"""Picture of the next measurement: what every swatch would leave of the interval."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.errors import Floats
from lift.research.planning.next_swatch import QUANTITIES, Plan
from lift.show import style
from lift.show.plots.figure import new_figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


def plot_plan(plan: Plan) -> Figure:
    """One map of level and time for each mixture and strength; dark is worth most."""
    from matplotlib import rc_context

    kinds = list(dict.fromkeys(c.kind for c in plan.choices))
    volumes = sorted({c.volume for c in plan.choices})
    unit = QUANTITIES[plan.asked.quantity]
    shrink = 100.0 * (1.0 - plan.widths / plan.width)
    with rc_context({**style.RC, "font.size": 9.5, "axes.titlesize": 10.5, "axes.grid": False}):
        figure = new_figure(2.5 * len(volumes) + 1.6, 2.5 * len(kinds) + 1.2)
        grid = figure.subplots(len(kinds), len(volumes), squeeze=False, sharex=True, sharey=True)
        image: Any = None
        for i, kind in enumerate(kinds):
            for j, volume in enumerate(volumes):
                own = [
                    k for k, c in enumerate(plan.choices) if c.kind == kind and c.volume == volume
                ]
                axes = grid[i, j]
                axes.set_title(f"{kind} {volume:g} vol")
                if own:
                    image = _map(axes, plan, own, shrink)
                if i == len(kinds) - 1:
                    axes.set_xlabel("time [min]")
                if j == 0:
                    axes.set_ylabel("natural level")
        if image is not None:
            figure.colorbar(image, ax=grid, label="interval shrinks by [%]", shrink=0.8)
        best = plan.choices[plan.taken[0]]
        figure.suptitle(
            f"Next: {best.words}\n90 % interval of the {plan.asked.words}: {plan.width:.2f} now, "
            f"{plan.taken_widths[0]:.2f} {unit} expected",
            x=0.01,
            ha="left",
            fontsize=11,
        )
    return figure


def _map(axes: Axes, plan: Plan, own: list[int], shrink: Floats) -> Any:
    levels = sorted({plan.choices[k].level for k in own})
    minutes = sorted({plan.choices[k].minutes for k in own})
    table = np.full((len(levels), len(minutes)), np.nan)
    for k in own:
        c = plan.choices[k]
        table[levels.index(c.level), minutes.index(c.minutes)] = shrink[k]
    image = axes.imshow(
        table,
        origin="lower",
        aspect="auto",
        cmap="Greys",
        vmin=0.0,
        vmax=max(float(shrink.max()), 1e-6),
    )
    axes.set_xticks(range(len(minutes)), [f"{m:g}" for m in minutes])
    axes.set_yticks(range(len(levels)), [f"{n:g}" for n in levels])
    places: dict[int, list[str]] = {}
    for number, k in enumerate(plan.taken):
        places.setdefault(k, []).append(str(number + 1))
    for k, numbers in places.items():
        c = plan.choices[k]
        if k in own:
            axes.text(
                minutes.index(c.minutes),
                levels.index(c.level),
                ",".join(numbers),
                ha="center",
                va="center",
                color=style.PAPER,
                fontweight="bold",
                fontsize=9,
                bbox={"boxstyle": "round", "facecolor": style.WARM, "edgecolor": "none"},
            )
    return image
