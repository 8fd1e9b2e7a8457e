"""Sheets of toning: one for teaching, one for ``lift tone --plot``."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from lift.practice.toning.tone_report import ToneReport
from lift.show import style
from lift.show.plots.carried_plots import plot_carried
from lift.show.plots.circle_plots import plot_cielab_circle, plot_dye_paths, plot_painters_wheel
from lift.show.plots.figure import new_figure
from lift.show.plots.tone_plots import plot_dose_response, plot_fades, plot_lights

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

CAUTION = "Estimate: allergy test and strand test first; the maker's directions come before this."


def plot_two_circles(report: ToneReport) -> Figure:
    """Sheet for teaching: CIELAB opposition beside the painter's wheel, and the dyes that do it."""
    from matplotlib import rc_context

    with rc_context(style.RC):
        figure = new_figure(13.5, 6.0)
        left, middle, right = figure.subplots(1, 3)
        plot_cielab_circle(report, left)
        plot_painters_wheel(report, middle)
        plot_dye_paths(report, right)
        for axes, text in (
            (left, "Angles are measured: the straight way from this hair to the goal."),
            (middle, "Names are the trade's: paints opposite to each other mix to neutral."),
            (right, "A dye darkens the hair as it turns its hue; marks are equal steps of dose."),
        ):
            _under(axes, text)
        _foot(figure, f"Hair {_lab_words(report.lab)}. {CAUTION}")
    return figure


def plot_tone(report: ToneReport) -> Figure:
    """Sheet of ``lift tone --plot``: direction, dyes, dose, other light, washing, tone carried."""
    from matplotlib import rc_context

    circles = (plot_cielab_circle, plot_painters_wheel, plot_dye_paths)
    panels: list[tuple[Any, Any]] = [(draw, report) for draw in circles]
    if report.light is None:
        panels = panels[:2]
    if report.answer.tone:
        panels.append((plot_dose_response, report))
    if report.light is not None:
        panels.append((plot_lights, report.light))
    if report.carried is not None:
        panels.append((plot_carried, report.carried))
    if report.fades and report.carried is None:
        panels.append((plot_fades, report.fades))
    columns = min(3, len(panels))
    rows = -(-len(panels) // columns)
    with rc_context(style.RC):
        figure = new_figure(5.5 * columns, 5.6 * rows + 0.8)
        spots = np.atleast_1d(figure.subplots(rows, columns)).ravel()
        for axes, (draw, what) in zip(spots, panels, strict=False):
            draw(what, axes)
        for axes in spots[len(panels) :]:
            axes.set_axis_off()
        figure.suptitle(
            fill(f"{_lab_words(report.lab)} \u2014 {report.answer.verdict.text}", 55 * columns),
            x=0.01,
            ha="left",
            fontsize=12,
        )
        _foot(figure, f"{CAUTION} Curve set {report.curves.name}: {report.curves.standing}.")
    return figure


def _lab_words(lab: Any) -> str:
    return "L* {:.0f}, a* {:.0f}, b* {:.0f}".format(*lab)


def _under(axes: Axes, text: str) -> None:
    axes.text(
        0.5, -0.15, fill(text, 42), transform=axes.transAxes, ha="center", va="top",
        color=style.SOFT,
    )  # fmt: skip


def _foot(figure: Figure, text: str) -> None:
    width = int(12 * figure.get_figwidth())
    figure.supxlabel(fill(text, width), x=0.01, ha="left", fontsize=9.5, color=style.SOFT)
