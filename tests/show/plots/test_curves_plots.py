"""Pictures of curve sets and of what two of them differ in."""

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from oracles.screen import alike, locks

from lift import default_curves
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.research.tuning.curve_files import compare, tuned_curves
from lift.show.plots.curves_plots import (
    STATUS_COLOURS,
    plot_comparison,
    plot_curves,
    plot_ladder,
    plot_parameters,
)
from lift.show.plots.figure import new_figure


def title(axes):
    return axes.get_title(loc="left") or axes.get_title()


def test_every_parameter_has_its_place(tuning):
    curves = tuned_curves(tuning, "mine")
    axes = plot_parameters(curves, new_figure(7.0, 9.0).add_subplot())
    dots = [line for line in axes.lines if line.get_marker() == "o"]
    assert len(dots) == len(curves.parameters)
    for dot, p in zip(dots, curves.parameters, strict=True):
        assert dot.get_xdata()[0] == pytest.approx((p.value - p.low) / (p.high - p.low))
        assert dot.get_color() == STATUS_COLOURS[p.status]
    known = sum(p.status in ("published", "tuned") for p in curves.parameters)
    assert title(axes) == (
        f"Set mine: {known} of {len(curves.parameters)} numbers published or tuned "
        "(INVENTED swatches)"
    )


def test_ladder_shows_the_underpigment():
    curves = default_curves()
    axes = plot_ladder(curves)
    ladder = underpigment_ladder(curves)
    natural = natural_path(curves).lab_of_level(ladder.levels)
    assert alike(locks(axes), np.concatenate((natural, ladder.lab)))


def test_sheets_are_drawn(tuning):
    curves = tuned_curves(tuning, "mine")
    found = compare(default_curves(), curves)
    for figure in (plot_curves(curves), plot_comparison(found)):
        FigureCanvasAgg(figure).draw()
    figure = plot_comparison(found)
    assert title(figure.axes[0]) == "6 parameters differ"
    largest = found.differences().max(axis=1)
    titles = [title(axes) for axes in figure.axes]
    for off in largest:
        assert any(text.startswith(f"up to dE00 {off:.1f} apart,\nL* by ") for text in titles)


def test_equal_sets_say_so():
    figure = plot_comparison(compare(default_curves(), default_curves()))
    assert title(figure.axes[0]) == "No parameter differs"
    FigureCanvasAgg(figure).draw()


def test_a_value_of_nothing_has_no_ratio():
    none = default_curves().replace(base_break_violet_dose=0.0)
    FigureCanvasAgg(plot_comparison(compare(none, default_curves()))).draw()
