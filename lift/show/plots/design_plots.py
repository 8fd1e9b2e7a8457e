"""Pictures of the next measurement: what every swatch would leave of the interval."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.errors import Floats
from lift.research.planning.next_swatch import QUANTITIES, NextPlan
from lift.show import style
from lift.show.plots.figure import OWN, head, lettered, picture
from lift.words import note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


def _panels(plan: NextPlan) -> tuple[list[str], list[float]]:
    """Mixtures and strengths, one map each."""
    kinds = list(dict.fromkeys(c.kind for c in plan.choices))
    return kinds, sorted({c.volume for c in plan.choices})


@picture(
    lambda plan, **_: 2.5 * len(_panels(plan)[1]) + 1.6,
    lambda plan, **_: 2.5 * len(_panels(plan)[0]) + 1.2,
    {**style.small(9.5, 10.5), "axes.grid": False},
)
def plot_plan(plan: NextPlan, figure: Figure = OWN) -> Figure:
    """One map of level and time for each mixture and strength; dark is worth most."""
    kinds, volumes = _panels(plan)
    shrink = 100.0 * (1.0 - plan.widths / plan.width)
    grid = figure.subplots(len(kinds), len(volumes), squeeze=False, sharex=True, sharey=True)
    image: Any = None
    for (i, j), axes in np.ndenumerate(grid):
        kind, volume = kinds[i], volumes[j]
        own = [k for k, c in enumerate(plan.choices) if c.kind == kind and c.volume == volume]
        if own:
            image = _map(axes, plan, own, shrink)
        alt = note("alt.next_map", most=shrink[own].max()) if own else None
        lettered(axes, note("plot.next.panel", kind=kind, volume=volume), alt=alt)
        if i == len(kinds) - 1:
            axes.set_xlabel(say("axis.time"))
        if j == 0:
            axes.set_ylabel(say("axis.natural_level"))
    if image is not None:
        figure.colorbar(image, ax=grid, label=say("plot.next.shrinks"), shrink=0.8)
    said = note("plot.next", best=plan.choices[plan.taken[0]].words, what=plan.asked.words,
                width=plan.width, taken=plan.taken_widths[0],
                unit=QUANTITIES[plan.asked.quantity])  # fmt: skip
    return head(figure, said, fontsize=11)


def _map(axes: Axes, plan: NextPlan, own: list[int], shrink: Floats) -> Any:
    levels = sorted({plan.choices[k].level for k in own})
    minutes = sorted({plan.choices[k].minutes for k in own})
    place = {
        k: (levels.index(plan.choices[k].level), minutes.index(plan.choices[k].minutes))
        for k in own
    }
    table = np.full((len(levels), len(minutes)), np.nan)
    for k, cell in place.items():
        table[cell] = shrink[k]
    most = max(float(shrink.max()), 1e-6)
    image = axes.imshow(table, origin="lower", aspect="auto", cmap="Greys", vmin=0.0, vmax=most)
    axes.set_xticks(range(len(minutes)), [f"{m:g}" for m in minutes])
    axes.set_yticks(range(len(levels)), [f"{n:g}" for n in levels])
    marks: dict[int, list[str]] = {}
    for number, k in enumerate(plan.taken, 1):
        marks.setdefault(k, []).append(str(number))
    for k in marks.keys() & place.keys():
        axes.text(
            *place[k][::-1], ",".join(marks[k]), ha="center", va="center", color=style.PAPER,
            fontweight="bold", fontsize=9,
            bbox={"boxstyle": "round", "facecolor": style.WARM, "edgecolor": "none"},
        )  # fmt: skip
    return image


@picture(10.0, lambda count, **_: 1.6 + 0.5 * (count + 1), style.CLASSROOM)
def plot_worth(plan: NextPlan, axes: Axes = OWN, *, count: int = 6) -> Axes:
    """What the `count` most useful next swatches, and the least useful, leave of an interval.

    Examples
    --------
    >>> from lift import lab
    >>> tuning = lab.tune(lab.read_swatches("shared/invented_swatches.csv"))  # doctest: +SKIP
    >>> posterior = lab.sample_posterior(tuning.problem)  # doctest: +SKIP
    >>> asked = lab.Asked(lift.Hair(level=6), lift.Mixture("cream", 20), 20)  # doctest: +SKIP
    >>> lab.plot_worth(lab.plan_next(asked, posterior.curves()))  # doctest: +SKIP
    """
    shown = [*plan.order[:count], plan.order[-1]]
    for row, index in enumerate(shown):
        look: Any = {"color": style.COOL} if row < count else {"color": style.PAPER, "hatch": "//"}
        axes.barh(row, plan.widths[index], 0.62, edgecolor=style.INK, **look)
        axes.text(plan.widths[index], row, f" {plan.widths[index]:.2f}", va="center")
    axes.axvline(plan.width, color=style.INK, ls="--")
    axes.text(plan.width, -0.75, say("plot.worth.now", width=plan.width), va="center")
    names = [str(plan.choices[i].words) for i in shown]
    names[-1] = say("plot.worth.least", name=names[-1])
    axes.set_yticks(range(len(shown)), names, fontsize="small")
    axes.set(ylim=(count + 0.6, -1.2), xlim=(0.0, 1.18 * plan.width))
    axes.grid(visible=False, axis="y")
    best = float(np.min(plan.widths))
    label = note("plot.worth.width", unit=QUANTITIES[plan.asked.quantity])
    alt = note("alt.worth", width=plan.width, best=best, least=plan.widths[shown[-1]],
               count=count)  # fmt: skip
    title = note("plot.worth", gain=100.0 * (1.0 - best / plan.width))
    return lettered(axes, title, label, alt=alt)
