"""Pictures of curve sets."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.model.trajectory import simulate
from lift.research.tuning.curve_files import COMPARED, MINUTES, Comparison
from lift.show import style
from lift.show.plots.figure import new_figure, own_axes, rgb

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

STATUS_COLOURS = {
    "published": style.COOL,
    "tuned": style.INK,
    "common practice": style.SOFT,
    "calibrated": style.WARM,
    "assumed": "#c9a227",
}


@style.house
def plot_parameters(curves: CurveSet, axes: Axes | None = None) -> Axes:
    """Every parameter within its range, coloured by what it rests on."""
    parameters = curves.parameters
    axes = own_axes(axes, 7.5, 1.2 + 0.2 * len(parameters))
    for row, p in enumerate(parameters):
        share = (p.value - p.low) / (p.high - p.low) if p.high > p.low else 0.5
        axes.plot([0.0, 1.0], [row, row], color=style.FAINT, linewidth=3.0, zorder=1)
        axes.plot(share, row, "o", color=STATUS_COLOURS[p.status], markersize=5.5, zorder=2)
        axes.text(1.03, row, _words(p), va="center", fontsize=7.5, color=style.SOFT)
    axes.set_yticks(range(len(parameters)), [p.name for p in parameters], fontsize=8)
    axes.set_ylim(len(parameters) - 0.3, -0.7)
    axes.set_xlim(-0.02, 1.5)
    axes.set_xticks([0.0, 0.5, 1.0], ["low", "middle", "high"])
    axes.set_xlabel("Value within its range", loc="left")
    axes.grid(visible=False)
    present = [s for s in STATUS_COLOURS if any(p.status == s for p in parameters)]
    handles = [_dot(STATUS_COLOURS[s]) for s in present]
    counts = [sum(p.status == s for p in parameters) for s in present]
    labels = [f"{s} ({n})" for s, n in zip(present, counts, strict=True)]
    axes.legend(
        handles, labels, loc="upper center", bbox_to_anchor=(0.4, -0.06), ncols=3, fontsize=8
    )
    measured = sum(n for s, n in zip(present, counts, strict=True) if s in ("published", "tuned"))
    invented = " (INVENTED swatches)" if curves.invented else ""
    axes.set_title(
        f"Set {curves.name}: {measured} of {len(parameters)} numbers published or tuned{invented}"
    )
    return axes


def _words(parameter: Any) -> str:
    unit = "" if parameter.unit == "-" else f" {parameter.unit}"
    return f"{parameter.value:.4g}{unit}  ({parameter.low:g} to {parameter.high:g})"


def _dot(colour: str) -> Any:
    from matplotlib.lines import Line2D

    return Line2D([], [], marker="o", linestyle="none", color=colour, markersize=5.5)


@style.house
def plot_ladder(curves: CurveSet, axes: Axes | None = None) -> Axes:
    """Natural hair and exposed underpigment by level."""
    axes = own_axes(axes, 6.0, 2.2)
    ladder = underpigment_ladder(curves)
    natural = natural_path(curves).lab_of_level(ladder.levels)
    for row, (lab, name) in enumerate(((natural, "natural"), (ladder.lab, "underpigment"))):
        axes.imshow(
            rgb(lab)[None, :, :],
            aspect="auto",
            extent=(0.5, ladder.levels.size + 0.5, row + 0.95, row + 0.05),
        )
        axes.text(0.4, row + 0.5, name, ha="right", va="center", fontsize=9)
    axes.set_ylim(2.0, 0.0)
    axes.set_xlim(0.5, ladder.levels.size + 0.5)
    axes.set_xticks(ladder.levels)
    axes.set_yticks([])
    axes.grid(visible=False)
    axes.set_xlabel("Level [-]")
    axes.set_title("Natural hair and underpigment by level")
    return axes


def plot_curves(curves: CurveSet) -> Figure:
    """One sheet: parameters, ladder, lift and warmth of the compared strands."""
    from matplotlib import rc_context

    with rc_context(style.RC):
        figure = new_figure(13.0, 1.6 + 0.2 * len(curves.parameters))
        halves: Any = figure.subfigures(1, 2, width_ratios=(1.25, 1.0))
        left, right = halves
        plot_parameters(curves, left.add_subplot())
        grid = right.add_gridspec(3, 1, height_ratios=(0.8, 1.2, 1.2))
        plot_ladder(curves, right.add_subplot(grid[0]))
        lift, warmth = right.add_subplot(grid[1]), right.add_subplot(grid[2])
        for (hair, mixture), colour in zip(COMPARED, _LINES, strict=True):
            trajectory = simulate(hair, mixture, MINUTES, curves)
            label = f"level {hair.level:g}, {mixture.kind} {mixture.volume:g} vol"
            lift.plot(MINUTES, trajectory.lift, color=colour, label=label)
            warmth.plot(MINUTES, trajectory.warmth, color=colour)
        lift.set_ylabel("Lift [levels]")
        lift.set_title("Lift through time")
        lift.legend(fontsize=8)
        warmth.set_ylabel("Warmth [dC*]")
        warmth.set_xlabel("Processing time [min]")
        warmth.set_title("Warmth through time")
    return figure


_LINES = (style.COOL, style.WARM, style.INK, "#7a9a3a")


def plot_comparison(comparison: Comparison) -> Figure:
    """One sheet: what differs in numbers, and what that does to four strands."""
    from matplotlib import rc_context

    with rc_context(style.RC):
        figure = new_figure(13.0, 8.4)
        grid = figure.add_gridspec(3, 4, height_ratios=(1.3, 1.0, 1.0))
        _plot_changed(comparison, figure.add_subplot(grid[0, :]))
        differences = comparison.differences()
        for column, ((hair, mixture), (a, b)) in enumerate(
            zip(COMPARED, comparison.trajectories, strict=True)
        ):
            axes = figure.add_subplot(grid[1, column])
            for row, one in enumerate((a, b)):
                extent = (0.0, float(MINUTES[-1]), row + 0.95, row + 0.05)
                axes.imshow(rgb(one.lab)[None, :, :], aspect="auto", extent=extent)
            axes.set_ylim(2.0, 0.0)
            axes.set_yticks([0.5, 1.5], ["first", "second"])
            axes.grid(visible=False)
            axes.set_title(f"level {hair.level:g}, {mixture.kind} {mixture.volume:g}", fontsize=10)
            axes = figure.add_subplot(grid[2, column])
            axes.plot(MINUTES, a.warmth, color=style.SOFT, linestyle="--", label="first")
            axes.plot(MINUTES, b.warmth, color=style.WARM, label="second")
            axes.set_xlabel("Processing time [min]")
            if column == 0:
                axes.set_ylabel("Warmth [dC*]")
                axes.legend(fontsize=8)
            axes.set_title(f"up to dE00 {differences[column].max():.1f} apart", fontsize=10)
        figure.suptitle(
            f"First: {comparison.first.name}, {comparison.first.standing}.    "
            f"Second: {comparison.second.name}, {comparison.second.standing}.",
            x=0.01,
            ha="left",
            fontsize=12,
        )
    return figure


def _plot_changed(comparison: Comparison, axes: Axes) -> None:
    """Values of the second set over those of the first."""
    changed = comparison.changed
    if not changed:
        axes.set_title("No parameter differs")
        axes.set_axis_off()
        return
    ratio = np.array([b.value / a.value if a.value else np.nan for a, b in changed])
    axes.bar(range(len(changed)), ratio - 1.0, bottom=1.0, color=style.WARM, width=0.5, zorder=2)
    axes.axhline(1.0, color=style.INK, linewidth=1.0)
    for x, (value, (a, b)) in enumerate(zip(ratio, changed, strict=True)):
        above = not value < 1.0
        axes.annotate(
            f"{a.value:.4g} \u2192 {b.value:.4g}",
            (x, value if np.isfinite(value) else 1.0),
            xytext=(0, 4 if above else -4),
            textcoords="offset points",
            ha="center",
            va="bottom" if above else "top",
            fontsize=8,
        )
    axes.margins(y=0.25)
    axes.set_xticks(range(len(changed)), [a.name for a, _ in changed], rotation=12, fontsize=8.5)
    axes.set_ylabel("Second over first [-]")
    axes.set_title(f"{len(changed)} parameters differ")
