"""Pictures of toning: what is drawn is what was computed, and it says what was found."""

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.patches import Rectangle, Wedge
from matplotlib.text import Text
from oracles.screen import alike, locks

from lift.model.curves import default_curves
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.practice.cautions import UNMIXED
from lift.practice.toning.carried import BASE_BREAK_HAIR, carried_and_outrun, tone_over_level
from lift.practice.toning.other_light import other_light
from lift.practice.toning.tone_report import Processed, tone_report, underpigment_state
from lift.practice.wheel import WHEEL
from lift.show.plots.circle_plots import (
    plot_cielab_circle,
    plot_dye_paths,
    plot_painters_wheel,
    plot_tone,
    plot_two_circles,
)
from lift.show.plots.tone_plots import (
    plot_carried,
    plot_depth,
    plot_dose_response,
    plot_fades,
    plot_lights,
    plot_toned,
)
from lift.words import say

CURVES = default_curves()
BASE_BREAK = Mixture("base-break", 10.0)


def title(axes):
    return axes.get_title(loc="left") or axes.get_title()


def words(axes):
    return " ".join(text.get_text() for text in axes.texts)


@pytest.fixture(scope="module")
def yellow():
    return tone_report(underpigment_state(8, CURVES))


@pytest.fixture(scope="module")
def natural():
    return tone_report((45.0, 7.0, 18.0))


@pytest.fixture(scope="module")
def out_of_reach():
    return tone_report(underpigment_state(6, CURVES), (51.0, 6.6, 18.5))


@pytest.fixture(scope="module")
def base_break():
    return tone_report(Processed(BASE_BREAK_HAIR, BASE_BREAK, 8.0))


def test_cielab_circle_marks_the_change_and_its_opposite(yellow):
    axes = plot_cielab_circle(yellow)
    hue = float(yellow.direction.hue_deg)
    assert f"{hue:.0f}\u00b0" in title(axes)
    marks = {line.get_marker(): line.get_xydata()[0] for line in axes.lines if line.get_marker()}
    for marker, degrees in (("^", hue), ("s", float(yellow.direction.excess_hue_deg))):
        x, y = marks[marker]
        assert np.degrees(np.arctan2(y, x)) % 360.0 == pytest.approx(degrees)
    assert "hair" in words(axes)
    assert "goal" in words(axes)


@pytest.mark.parametrize("level", [4, 5, 6, 7, 8])
def test_wheel_marks_two_opposite_families(level):
    report = tone_report(underpigment_state(level, CURVES))
    axes = plot_painters_wheel(report)
    wedges = [patch for patch in axes.patches if isinstance(patch, Wedge)]
    assert len(wedges) == len(WHEEL)
    bold = [
        text.get_text().replace("-\n", "-") for text in axes.texts if text.get_weight() == "bold"
    ]
    assert bold.pop().replace("\n", " ") == say(report.wheel_and_dye.short).capitalize()
    assert sorted(bold) == sorted(
        [f"{report.direction.excess_wheel}\ntoo much", f"{report.direction.wheel}\nthe wheel's"]
    )
    thick = [i for i, wedge in enumerate(wedges) if wedge.get_linewidth() > 2.0]
    assert (thick[1] - thick[0]) % 12 == 6
    assert f"says {report.direction.wheel} against {report.direction.excess_wheel}" in title(axes)


def test_circles_say_when_nothing_is_needed(natural):
    assert "no noticeable change" in title(plot_cielab_circle(natural))
    assert "nothing to answer" in title(plot_painters_wheel(natural))


def test_dye_paths_start_at_the_hair_and_end_at_the_best_dose(yellow):
    axes = plot_dye_paths(yellow)
    best = next(line for line in axes.lines if line.get_label() == "best dose")
    np.testing.assert_allclose(best.get_xydata()[0], yellow.answer.hair[1:], atol=1e-4)
    np.testing.assert_allclose(best.get_xydata()[-1], yellow.answer.lab[1:], atol=1e-4)
    labels = [text.get_text() for text in axes.get_legend().get_texts()]
    assert {"violet", "blue-violet", "blue", "blue-green", "green", "natural hair"} < set(labels)
    markers = {line.get_marker() for line in axes.lines}
    assert len(markers & set("ovsD^")) == 5  # told apart without colour


def test_dose_response_crosses_neutral_at_the_best_dose(yellow):
    axes = plot_dose_response(yellow)
    warmth = next(line for line in axes.lines if "warmth" in str(line.get_label()))
    x, y = warmth.get_xydata().T
    assert np.interp(1.0, x, y) == pytest.approx(0.0, abs=0.1)
    assert np.interp(2.0, x, y) == pytest.approx(yellow.answer.over.warmth, abs=0.01)
    assert "past neutral" in title(axes)
    assert "dC*" in axes.get_ylabel()


def test_dose_response_does_not_claim_what_is_not_so(out_of_reach):
    axes = plot_dose_response(out_of_reach)
    assert f"leaves dE00 {out_of_reach.answer.residual:.1f}" in title(axes)


def test_locks_have_the_adapted_colour(yellow):
    # Toned to what just passes for natural by daylight, some lamps are too much for it.
    less = {dye: 0.76 * dose for dye, dose in yellow.answer.tone.items()}
    light = other_light(yellow.answer.pigment, less)
    axes = plot_lights(light)
    assert alike(locks(axes), light.lab)
    frames = [patch for patch in axes.patches if isinstance(patch, Rectangle)]
    marked = [round(3 * frame.get_y() + frame.get_x()) for frame in frames]
    assert tuple(light.lights[i] for i in marked) == light.turns_warm
    assert words(axes).count("TURNS WARM") == len(marked) > 0
    assert f"too warm under {light.turns_warm[0]}" in title(axes)
    for name in light.lights:
        assert f"{name}, " in words(axes)


def test_toned_hair_lies_beside_what_it_was_its_goal_and_natural_hair(yellow):
    axes = plot_toned(yellow)
    found = locks(axes)
    assert alike(found[:3], [yellow.wanted, yellow.lab, yellow.answer.lab])
    path = natural_path(CURVES)
    level = float(path.level_of_lightness(yellow.answer.lab[0]))
    beside = np.array([np.floor(level), np.floor(level) + 1.0])
    assert alike(found[3:], path.lab_of_level(beside))
    labels = [tick.get_text().replace("\n", " ") for tick in axes.get_xticklabels()]
    assert labels == ["goal", "before", "toned", *(f"natural {n:.0f}" for n in beside)]
    assert f"{yellow.answer.residual:.1f} dE00" in title(axes)


def test_light_titles(natural, out_of_reach, yellow):
    passes = "Passes for natural by daylight and under every lamp"
    assert title(plot_lights(natural.light)) == title(plot_lights(yellow.light)) == passes
    assert title(plot_lights(out_of_reach.light)) == "Warm by daylight already"


def test_fades_mark_where_the_allowance_is_passed(yellow):
    axes = plot_fades(yellow.fades)
    for name, marker in (("permanent", "o"), ("demi-permanent", "D"), ("direct", "s")):
        fade = yellow.fades[name]
        mark = next(line for line in axes.lines if line.get_marker() == marker)
        assert mark.get_xydata()[0].tolist() == [fade.passes, fade.allowance]
        assert f"{name}: week {fade.week}" in words(axes)
    styles = {line.get_linestyle() for line in axes.lines if line.get_label() in yellow.fades}
    assert styles == {"-", "-.", "--"}
    assert "washes" in axes.get_xlabel()


def test_fades_that_start_too_warm(out_of_reach):
    assert "from the start" in title(plot_fades(out_of_reach.fades))


@pytest.mark.parametrize(
    ("tone", "said"),
    [
        ({"violet": 1.0}, "then lift outruns it"),
        ({"violet": 3.0, "blue": 3.0}, "to the end"),
        ({}, "No tone in the mixture"),
    ],
)
def test_carried(tone, said):
    carried = carried_and_outrun(BASE_BREAK_HAIR, BASE_BREAK.replace(tone=tone))
    axes = plot_carried(carried)
    assert said in title(axes)
    lines = {line.get_label(): line.get_ydata() for line in axes.lines}
    np.testing.assert_array_equal(lines["with the tone carried"], carried.warmth)
    np.testing.assert_array_equal(lines["without tone"], carried.bare)
    assert "[min]" in axes.get_xlabel()


def test_depth_bars_add_up():
    depth = tone_over_level(np.arange(5.0, 8.1, 1.0))
    axes = plot_depth(depth)
    tops = [bar.get_y() + bar.get_height() for bar in axes.containers[-1]]
    np.testing.assert_allclose(tops, depth.amount)
    assert title(axes) == "Deeper hair needs more tone, and more blue in it"
    hatches = {bars[0].get_hatch() or "" for bars in axes.containers}
    assert len(hatches) == 2
    assert plot_depth(tone_over_level([7.0], palette=("violet",))).containers


@pytest.mark.parametrize(
    ("report", "panels"),
    [("yellow", 8), ("base_break", 8), ("natural", 5), ("out_of_reach", 7)],
)
def test_sheet(report, panels, request):
    report = request.getfixturevalue(report)
    figure = plot_tone(report)
    shown = [axes for axes in figure.axes if axes.axison and title(axes)]
    assert len(shown) == panels
    assert str(report.answer.verdict.text).split(":")[0][:20] in figure.get_suptitle()
    assert say(UNMIXED[0])[:60] in figure.get_supxlabel()


def test_sheet_of_unknown_hair():
    figure = plot_tone(tone_report((60.0, -3.0, -8.0)))
    assert len([axes for axes in figure.axes if axes.axison]) == 3
    assert "no dose can be told" in figure.get_suptitle().replace("\n", " ")


def overlaps(figure):
    """Pairs of texts whose boxes overlap by more than a pixel, once drawn."""
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    renderer = canvas.get_renderer()
    boxes = []
    for axes in figure.axes:
        for text in [*axes.texts, axes.title, axes._left_title, axes.xaxis.label, axes.yaxis.label]:
            if text.get_text().strip() and text.get_visible():
                boxes.append((text.get_text(), Text.get_window_extent(text, renderer)))
    pairs = []
    for index, (one, box) in enumerate(boxes):
        for other, second in boxes[index + 1 :]:
            width = min(box.x1, second.x1) - max(box.x0, second.x0)
            height = min(box.y1, second.y1) - max(box.y0, second.y0)
            if width > 1.0 and height > 1.0:
                pairs.append((one, other))
    return pairs


@pytest.mark.parametrize("level", [3, 4, 5, 6, 7, 8, 9, 10])
def test_no_text_overlaps_on_the_teaching_sheet(level):
    assert overlaps(plot_two_circles(tone_report(underpigment_state(level, CURVES)))) == []


@pytest.mark.parametrize("report", ["yellow", "base_break", "natural"])
def test_no_text_overlaps_on_the_sheet(report, request):
    assert overlaps(plot_tone(request.getfixturevalue(report))) == []


# Grey hair


@pytest.fixture(scope="module")
def grey():
    return tone_report(underpigment_state(8, CURVES), grey_percent=30.0, resistant_percent=40.0)


def test_toned_grey_hair_is_seen_and_told_as_both_kinds(grey, yellow):
    found = locks(plot_toned(grey))
    look = grey.toned
    wanted = [grey.wanted, grey.lab, grey.answer.lab, look.white, look.pigmented]
    assert alike(found[:5], wanted)
    assert alike(found[[0, 4]], locks(plot_toned(yellow))[[0, 2]])


def test_pictures_of_a_dose_are_of_the_pigmented_fibres(grey, yellow):
    ours, plain = (
        {line.get_label(): line.get_ydata() for line in plot_dose_response(r).lines}
        for r in (grey, yellow)
    )
    for label in ("warmth [dC*]", "from the goal [dE00]"):
        np.testing.assert_allclose(ours[label], plain[label])
    assert {"pigmented fibres", "white fibres"} <= {
        t.get_text() for t in plot_dose_response(grey).texts
    }
    ends = [plot_dye_paths(r).lines[-1].get_xydata() for r in (grey, yellow)]
    np.testing.assert_allclose(*ends)
    spots = [plot_cielab_circle(r).lines[-1].get_xydata() for r in (grey, yellow)]
    np.testing.assert_allclose(*spots)
