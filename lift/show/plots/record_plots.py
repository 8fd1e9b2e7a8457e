"""Picture of what records taught: prediction error before and after, record by record."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lift.practice.records.calibration import Calibration
from lift.practice.records.prediction_error import COVERED
from lift.show import style
from lift.show.plots.figure import new_figure, own_axes

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


@style.house
def plot_errors(result: Calibration, axes: Axes | None = None) -> Axes:
    """Seen minus predicted for each record, with the band that should hold nine of ten.

    Parameters
    ----------
    result : Calibration
        What was learned.
    axes : matplotlib Axes, optional
        Where to draw.
    """
    axes = own_axes(axes, 9.0, 4.4)
    place = np.arange(len(result.records))
    for errors, colour, shift, label in (
        (result.before, style.SOFT, -0.15, "before"),
        (result.after, style.COOL, 0.15, f"after, {result.held_out_by} left out"),
    ):
        axes.errorbar(
            place + shift,
            errors.error,
            yerr=COVERED * errors.sd,
            fmt="o",
            color=colour,
            ms=5,
            lw=1.2,
            label=f"{label}: rms {errors.rms:.2f}",
        )
    if result.suspects:
        axes.plot(
            [place[i] for i in result.suspects],
            [result.before.error[i] for i in result.suspects],
            "x",
            color=style.WARM,
            ms=11,
            mew=2,
            label="looks written down wrongly",
        )
    axes.axhline(0.0, color=style.INK, lw=1)
    step = max(1, len(place) // 15)
    axes.set_xticks(
        place[::step], [str(r.number or i + 1) for i, r in enumerate(result.records)][::step]
    )
    axes.set_xlabel("record number")
    axes.set_ylabel("seen minus predicted [levels]")
    before, after = result.before.rms, result.after.rms
    axes.set_title(
        f"Prediction error {before:.2f} levels, {after:.2f} after learning"
        if after < before
        else f"Learning does not lower the error: {before:.2f} levels, then {after:.2f}"
    )
    axes.legend(loc="best")
    return axes


def plot_calibration(result: Calibration) -> Figure:
    """Errors on a sheet that says what they rest on."""
    from matplotlib import rc_context

    with rc_context(style.RC):
        figure = new_figure(10.0, 5.0)
        plot_errors(result, figure.add_subplot())
        figure.suptitle(
            f"Curve set {result.curves.name}: {result.curves.standing} \u2014 estimate; "
            "strand test first",
            x=0.01,
            ha="left",
            color=style.SOFT,
        )
    return figure
