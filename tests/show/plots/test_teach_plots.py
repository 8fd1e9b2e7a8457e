"""Pictures that teach: axes given and returned, findings computed, hair in its colours."""

import matplotlib
import numpy as np
import pytest
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from oracles.screen import alike, locks, marks

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.model.trajectory import simulate
from lift.practice.window import find_window
from lift.show import style
from lift.show.lock.beside import with_levels
from lift.show.plots import lightening_plots, teach_plots
from lift.show.plots.lock import draw_marks, draw_strip, plot_beside, plot_lock
from lift.words import say

CURVES = default_curves()
HAIR, MIXTURE = Hair(level=6.0), Mixture("cream", 20.0)
CASES = [("plain", HAIR, MIXTURE), ("strong", HAIR, MIXTURE.replace(volume=40.0))]
PLOTS = {
    "melanin": teach_plots.plot_melanin,
    "levels": teach_plots.plot_levels,
    "reflectance": teach_plots.plot_reflectance,
    "ladder": teach_plots.plot_ladder,
    "remaining": lambda: lightening_plots.plot_remaining(HAIR, MIXTURE),
    "departure": lambda: lightening_plots.plot_departure(HAIR, MIXTURE),
    "causes": lambda: lightening_plots.plot_causes(HAIR, MIXTURE),
    "phases": lambda: lightening_plots.plot_phases(HAIR, MIXTURE),
    "one curve": lambda: lightening_plots.plot_one_curve(
        HAIR, [MIXTURE, MIXTURE.replace(volume=40.0)]
    ),
    "cases": lambda: lightening_plots.plot_cases(CASES),
}


@pytest.mark.parametrize("name", PLOTS)
def test_classroom_letters_that_fit_whatever_the_caller_has_set(name):
    with matplotlib.rc_context({"font.size": 4.0, "axes.titlesize": 4.0}):
        axes = PLOTS[name]()
    title = axes._left_title
    assert title.get_fontsize() == style.CLASSROOM["axes.titlesize"]
    assert axes.xaxis.label.get_fontsize() == style.CLASSROOM["axes.labelsize"]
    axes.figure.draw_without_rendering()
    box = title.get_window_extent()
    assert box.x0 >= 0
    assert 0 < box.x1 <= axes.figure.bbox.x1
    assert axes.get_xlabel()
    words = axes.get_xlabel() + axes.get_ylabel()
    assert any(unit in words for unit in ("[min]", "[nm]", "[dC*]", "a*", "[level 10 = 1]"))


def test_letters_are_scaled_only_meanwhile():
    with style.letters(0.5):
        small = teach_plots.plot_levels(axes=Figure().add_subplot())
    usual = teach_plots.plot_levels(axes=Figure().add_subplot())
    assert small._left_title.get_fontsize() == 0.5 * usual._left_title.get_fontsize()


def test_no_plot_touches_pyplot():
    import subprocess
    import sys

    code = (
        "import sys\n"
        "from lift.show.plots.lightening_plots import plot_phases\n"
        "from lift.model.hair import Hair\n"
        "from lift.model.mixture import Mixture\n"
        "plot_phases(Hair(level=6.0), Mixture('cream', 20.0))\n"
        "sys.exit('matplotlib.pyplot' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_levels_are_shown_in_hair_colours_on_a_falling_line():
    axes = teach_plots.plot_levels()
    places, found = marks(axes)
    assert np.allclose(places[:-1, 1] / places[1:, 1], np.exp(CURVES.values["level_ratio"]))
    assert alike(found, natural_path(CURVES).lab_of_level(np.arange(1.0, 11.0)))


def test_ladder_shows_natural_and_lightened_hair_with_its_warmth():
    axes = teach_plots.plot_ladder()
    ladder, path = underpigment_ladder(CURVES), natural_path(CURVES)
    assert alike(locks(axes), np.concatenate((path.lab_of_level(ladder.levels), ladder.lab)))
    words = [text.get_text() for text in axes.texts]
    assert [w for w in words if w[0] in "+-"] == [f"{w:+.0f}" for w in path.warmth(ladder.lab)]


def test_reflectance_ends_in_locks_of_its_hair():
    axes = teach_plots.plot_reflectance([2.0, 8.0])
    places, found = marks(axes)
    assert alike(found, natural_path(CURVES).lab_of_level([2.0, 8.0]))
    ends = [line.get_ydata()[-1] for line in axes.get_lines()]
    np.testing.assert_allclose(places[:, 1], ends)


def test_melanin_title_follows_the_slopes():
    flat = CURVES.replace(eumelanin_slope=0.004)
    ratio = np.exp(0.004 * 200)
    assert f"eumelanin {ratio:.0f} times" in teach_plots.plot_melanin(flat).get_title("left")


def test_melanin_lines_differ_in_grey_too():
    lines = teach_plots.plot_melanin().get_lines()
    assert len({(line.get_linestyle(), line.get_marker()) for line in lines}) == len(lines)


def test_departure_title_is_the_warmth():
    axes = lightening_plots.plot_departure(HAIR, MIXTURE, 30.0)
    warmth = float(simulate(HAIR, MIXTURE, 30.0).warmth)
    assert f"{warmth:.0f} dC*" in axes.get_title("left")


def test_remaining_bands_add_up_to_what_absorbs_blue():
    axes = lightening_plots.plot_remaining(HAIR, MIXTURE, 20.0)
    tops = [band.get_paths()[0].vertices[:, 1].max() for band in axes.collections]
    pigment = simulate(HAIR, MIXTURE, 0.0).pigment
    values = CURVES.values
    blue = float(pigment.eumelanin * np.exp(100.0 * values["eumelanin_slope"]))
    blue += float(pigment.pheomelanin * np.exp(100.0 * values["pheomelanin_slope"]))
    assert tops[-1] == pytest.approx(blue, rel=1e-9)
    assert len({band.get_hatch() for band in axes.collections}) == 3


def test_causes_lie_in_the_order_of_the_legend():
    axes = lightening_plots.plot_causes(HAIR, MIXTURE)
    model, redder, without = (line.get_ydata()[-1] for line in axes.get_lines())
    assert model > redder > without >= 0.0


@pytest.mark.parametrize("hair", [HAIR, Hair(level=3.0)])
def test_phases_and_cases_name_every_minute(hair):
    spans = find_window(hair, MIXTURE, limit_minutes=30.0, members=2).spans(30.0)
    axes = lightening_plots.plot_phases(hair, MIXTURE)
    said = {text.get_text().strip() for text in axes.texts}
    assert {say(f"place.{span.place}") for span in spans} <= said
    axes = lightening_plots.plot_cases([("case", hair, MIXTURE)])
    key = " ".join(axes.get_xlabel().split())
    assert all(say(f"place.look.{span.place}") in key for span in spans)
    drawn = {(p.get_x(), p.get_x() + p.get_width()) for p in axes.patches}
    assert {(span.starts, span.ends) for span in spans} <= drawn


def test_phases_agree_with_the_window():
    window = find_window(HAIR, MIXTURE)
    title = lightening_plots.plot_phases(HAIR, MIXTURE).get_title("left")
    assert f"{window.opens:.1f} min" in title
    assert f"{window.closes:.1f} min" in title


def test_phases_say_when_there_is_no_window_and_when_it_never_is_too_warm():
    none = lightening_plots.plot_phases(Hair(level=7.0), Mixture("cream", 40.0, tone={}), None, 2.0)
    assert "Never too warm for a natural blend within 2 min" in none.get_title("left")
    from lift.practice.goal import Lighten

    far = lightening_plots.plot_phases(HAIR, MIXTURE, Lighten(9.0, warmth=3.0))
    assert far.get_title("left").startswith("No window for level 9, no warmer than +3 dC*")


def test_phases_of_a_lightening_name_the_side_on_which_it_is_passed():
    """Rinsed early it is not there yet, and late it is past the goal: no warmth is its limit."""
    from lift.practice.goal import Lighten

    powder = Mixture("powder", 20.0)
    window = find_window(HAIR, powder, Lighten(8.0), members=2, limit_minutes=50.0)
    axes = lightening_plots.plot_phases(HAIR, powder, Lighten(8.0), 50.0)
    title = axes.get_title("left")
    assert title.startswith("Inside level 8, toned, from")
    assert f"past it from {window.too_light_at:.1f} min" in title
    assert not any("limit" in text.get_text() for text in axes.texts)


def test_one_curve_reports_strengths_that_part():
    toned = Mixture("cream", 40.0, tone={"violet": 10.0})
    same = lightening_plots.plot_one_curve(HAIR, [MIXTURE, MIXTURE.replace(volume=40.0)])
    apart = lightening_plots.plot_one_curve(HAIR, [MIXTURE, toned])
    assert "same curve" in same.get_title("left")
    assert "part by up to" in apart.get_title("left")


def test_cases_name_the_first_and_the_last():
    title = lightening_plots.plot_cases(CASES).get_title("left")
    assert title.index("strong") < title.index("plain")
    assert "Never" in lightening_plots.plot_cases(CASES, minutes=2.0).get_title("left")


@pytest.mark.parametrize("level", [1.0, 5.0, 10.0])
def test_lock_has_the_colour_it_stands_for(level):
    lab = natural_path(CURVES).lab_of_level(level)
    assert alike(locks(plot_lock(lab)), [lab])


def test_locks_lie_beside_the_two_natural_levels_as_light():
    path = natural_path(CURVES)
    for level, beside in ((6.3, (6, 7)), (1.0, (1, 2)), (5.0, (5, 6)), (12.0, (9, 10))):
        lab = path.lab_of_level(level) + np.array([0.0, 8.0, 15.0])
        axes = plot_beside({"before": (20.0, 2.0, 2.0), "now": lab})
        labels = [tick.get_text().replace("\n", " ") for tick in axes.get_xticklabels()]
        assert labels == ["before", "now", *(f"natural {n}" for n in beside)]
        natural = path.lab_of_level(np.array(beside, dtype=float))
        assert alike(locks(axes), [(20.0, 2.0, 2.0), lab, *natural])


def test_a_clipped_colour_is_called_so_wherever_it_is_drawn():
    beyond = (60.0, 90.0, 80.0)
    assert plot_lock(beyond, label="red").get_xlabel() == "red (clipped)"
    assert next(iter(with_levels({"red": beyond}, CURVES))) == "red (clipped)"
    axes = Figure().add_subplot()
    draw_marks(axes, (0.0, 0.0), beyond)
    draw_strip(axes, [beyond, (50.0, 5.0, 5.0)], (0.0, 1.0, 0.0, 1.0))
    words = [text.get_text() for text in axes.texts]
    assert words[0] == "clipped"
    assert words[1].startswith("partly clipped")
    inside = Figure().add_subplot()
    draw_marks(inside, (0.0, 0.0), (50.0, 5.0, 5.0))
    draw_strip(inside, [(50.0, 5.0, 5.0)] * 2, (0.0, 1.0, 0.0, 1.0))
    assert not inside.texts


def test_plot_lock_labels_it():
    axes = plot_lock((50.0, 8.0, 20.0), label="now")
    assert axes.get_xlabel() == "now"
    assert to_rgb(axes.get_facecolor()) == pytest.approx(to_rgb(style.PAPER), abs=0.01)
