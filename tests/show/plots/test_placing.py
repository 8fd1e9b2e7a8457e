"""Names of points touch neither a curve, a mark, the legend nor one another."""

from itertools import combinations

import numpy as np
import pytest

from lift.model.curves import default_curves
from lift.practice.toning.tone_report import tone_report, underpigment_state
from lift.show.plots.figure import new_figure
from lift.show.plots.placing import write_apart
from lift.show.plots.tone_plots import plot_partial

CURVES = default_curves()


def boxes(axes):
    axes.get_figure().draw_without_rendering()
    names = [text for text in axes.texts if text.get_text()]
    return {text.get_text(): text.get_window_extent() for text in names}


@pytest.mark.parametrize("level", [4.0, 6.0, 8.0, 10.0])
def test_names_on_the_picture_of_partial_toning_touch_nothing(level):
    axes = plot_partial(tone_report(underpigment_state(level, CURVES)))
    found = boxes(axes)
    assert len(found) >= 6
    assert not any(a.overlaps(b) for a, b in combinations(found.values(), 2))
    legend = axes.get_legend().get_window_extent()
    curve = axes.lines[0]
    x = np.linspace(*curve.get_xdata()[[0, -1]], 2000)
    y = np.interp(x, curve.get_xdata(), curve.get_ydata())
    line = axes.transData.transform(np.stack([x, y], axis=-1))
    for name, box in found.items():
        assert not box.overlaps(legend), name
        inside = (line > [box.x0, box.y0]).all(axis=1) & (line < [box.x1, box.y1]).all(axis=1)
        assert not inside.any(), name


def test_many_names_in_one_place_are_told_apart_or_stand_beside_it():
    axes = new_figure(6.0, 4.0).add_subplot()
    axes.set(xlim=(0.0, 1.0), ylim=(0.0, 1.0))
    write_apart(axes, [(f"name {i}", (0.5, 0.5)) for i in range(8)], [([0.0, 1.0], [0.5, 0.5])])
    found = boxes(axes)
    assert len(found) == 8
    assert not any(a.overlaps(b) for a, b in combinations(found.values(), 2))


def test_without_names_nothing_is_written():
    axes = new_figure(6.0, 4.0).add_subplot()
    write_apart(axes, [], [])
    assert not axes.texts
