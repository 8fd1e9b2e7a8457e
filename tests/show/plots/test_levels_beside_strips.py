"""A strip lies beside the natural levels between which it goes, drawn like it and named."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.figure import Figure
from oracles.screen import alike, seen

from lift import lab, teach
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.practice.preview import preview
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import plan
from lift.practice.toning.tone_report import tone_report
from lift.research.tuning.curve_files import compare
from lift.show.lock.beside import levels_around
from lift.show.plots.curves_plots import plot_comparison
from lift.show.plots.lightening_plots import plot_cases, plot_phases
from lift.show.plots.lock import draw_levels
from lift.show.plots.plan_plots import plot_timeline
from lift.show.plots.preview_plots import plot_preview, plot_strip, strips_of
from lift.show.plots.tone_plots import plot_dose_response
from lift.words import say

CURVES = default_curves()
PATH = natural_path(CURVES)
BROWN, CREAM = Hair(level=6.0), Mixture("cream", 20.0)
HAIR = st.tuples(st.floats(0.0, 100.0), st.floats(-10.0, 20.0), st.floats(-5.0, 40.0))


@given(st.lists(HAIR, min_size=1, max_size=6))
def test_levels_around_are_the_nearest_darker_and_lighter_ones(along):
    (low, high), natural = levels_around(along, CURVES)
    assert 1.0 <= low < high <= 10.0
    assert low % 1.0 == high % 1.0 == 0.0
    np.testing.assert_allclose(natural, PATH.lab_of_level([low, high]))
    lightness = np.array(along)[:, 0]
    scale = PATH.lab_of_level(np.arange(1.0, 11.0))[:, 0]
    inside = np.clip(lightness, scale[0], scale[-1])
    assert natural[0, 0] <= inside.min() + 1e-3
    assert natural[1, 0] >= inside.max()
    # No other level is nearer; at the light end of the scale there are two all the same.
    if low < 9.0:
        assert not any(natural[0, 0] + 1e-3 < one <= inside.min() for one in scale)
    if high < 10.0:
        assert not any(inside.max() < one < natural[1, 0] - 1e-3 for one in scale)


def test_hair_of_one_colour_has_the_two_levels_that_a_lock_of_it_has():
    for lab_now in PATH.lab_of_level([1.0, 4.4, 7.0, 10.0]) + np.array([0.0, 6.0, 12.0]):
        np.testing.assert_array_equal(
            levels_around(lab_now, CURVES)[0], PATH.levels_beside(lab_now)[0]
        )


def strip():
    central = preview(BROWN, CREAM, 20.0, members=10).drawn.central
    return plot_strip(**strips_of(central, slice(0, -1)))


def grey_strip():
    hair = BROWN.replace(grey_percent=40.0)
    central = preview(hair, CREAM, 20.0, members=10).drawn.central
    return plot_strip(**strips_of(central, slice(0, -1)))


def sheet():
    return plot_preview(preview(BROWN, CREAM, 20.0, members=10)).axes[0]


def timeline():
    return plot_timeline(plan(load_scenario("shared/blonde_refresh.toml"), members=10))


def series():
    few = lab.read_swatches("shared/invented_swatches.csv").rows(range(18))
    tuning = lab.tune(few, free=("lightening_rate",), starts=1, leave_swatches_out=False)
    return lab.plot_series(tuning)


def cases():
    strands = (BROWN, BROWN.replace(level=3.0), BROWN.replace(level=8.0))
    return plot_cases([(f"level {hair.level:g}", hair, CREAM) for hair in strands])


def handout():
    return next(a for a in teach.plot_handout().axes if len(beside(a)) > 2)


def phases():
    (found,) = plot_phases(BROWN, CREAM).child_axes
    return found


def dose():
    return plot_dose_response(tone_report((60, 10, 30)))


def comparison():
    stronger = CURVES.replace(lightening_rate=1.3 * CURVES["lightening_rate"].value)
    return next(a for a in plot_comparison(compare(CURVES, stronger)).axes if a.images)


PICTURES = (strip, grey_strip, sheet, timeline, series, cases, handout, phases, dose, comparison)


def beside(axes):
    """What is drawn of natural levels, beside the axes."""
    return [image for image in axes.images if not image.get_clip_on()]


@pytest.fixture(scope="module")
def drawn():
    """Each picture, drawn once."""
    made = {}

    def draw(picture):
        if picture not in made:
            axes = made[picture] = picture()
            axes.figure.draw_without_rendering()
        return made[picture]

    return draw


@pytest.mark.parametrize("picture", PICTURES)
def test_each_strip_lies_beside_natural_levels_that_are_drawn_like_it_and_named(drawn, picture):
    axes = drawn(picture)
    levels = beside(axes)
    strips = [image for image in axes.images if image.get_clip_on()]
    named = [text.get_text() for text in axes.texts if text.get_text().isdigit()]
    assert len(levels) == len(named) >= 2
    found = np.array([seen(np.asarray(i.get_array()).reshape(-1, 3)) for i in levels])
    assert alike(found, PATH.lab_of_level(np.array(named, dtype=float)))
    assert [text.get_text() for text in axes.texts].count(say("axis.natural_level")) == 1
    assert all(int(low) < int(high) for low, high in zip(named[::2], named[1::2], strict=True))
    # As tall as the strip whose row it lies on.
    tall = [strip.get_window_extent().height for strip in strips]
    for level in levels:
        assert min(abs(level.get_window_extent().height - one) for one in tall) < 1.0


@pytest.mark.parametrize("picture", PICTURES)
def test_nothing_beside_a_strip_lies_over_anything(drawn, picture):
    axes = drawn(picture)
    figure = axes.figure
    levels = [image.get_window_extent() for image in beside(axes)]
    words = [t for t in axes.texts if t.get_text().isdigit()]
    words += [t for t in axes.texts if t.get_text() == say("axis.natural_level")]
    boxes = [t.get_window_extent() for t in words]
    ticks = [t.get_window_extent() for t in axes.get_xticklabels() if t.get_text()]
    assert not any(one.overlaps(other) for one, other in combinations(levels + boxes, 2))
    assert not any(box.overlaps(tick) for box in boxes for tick in ticks)
    for box in levels + boxes:
        assert box.x0 > axes.bbox.x1
        assert figure.bbox.x1 >= box.x1
        assert box.y0 >= figure.bbox.y0
    others = [a for a in figure.get_axes() if a is not axes]
    shown = [a.get_tightbbox() for a in others]
    if picture is not phases:  # which lies inside its own figure's axes
        assert not any(box.overlaps(other) for box in levels + boxes for other in shown if other)


def test_levels_beside_a_strip_move_no_limits():
    axes = Figure().add_subplot()
    axes.plot([0.0, 4.0], [1.0, 2.0])
    axes.set(xlim=(0.0, 5.0), ylim=(0.0, 3.0))
    draw_levels(axes, [(PATH.lab_of_level([4.0, 6.0]), 2.0, 3.0)], CURVES)
    axes.figure.draw_without_rendering()
    assert (axes.get_xlim(), axes.get_ylim()) == ((0.0, 5.0), (0.0, 3.0))


def test_levels_of_grey_hair_are_those_of_its_pigmented_fibres(drawn):
    central = preview(BROWN.replace(grey_percent=40.0), CREAM, 20.0, members=10).drawn.central
    named = [int(t.get_text()) for t in drawn(grey_strip).texts if t.get_text().isdigit()]
    assert named == levels_around(central.pigmented[:-1], CURVES)[0].tolist()
    assert named != levels_around(central.lab[:-1], CURVES)[0].tolist()


def test_rows_go_from_dark_to_light_as_their_strips_do(drawn):
    named = [int(t.get_text()) for t in drawn(cases).texts if t.get_text().isdigit()]
    assert [named[i] for i in (2, 0, 4)] == [3, 6, 8]
    assert all(low < high for low, high in pairwise(named[i] for i in (2, 0, 4)))
