"""Public names: where each lives, and that the old flat ones still work."""

import re
import subprocess
import sys
import warnings
from pathlib import Path

import pytest

import lift

ROOT = Path(lift.__file__).parents[1]
PLACES = {"lift": lift, "lift.teach": lift.teach, "lift.lab": lift.lab}

FLAT = re.findall(
    r"\w+",
    """
Asked CurveSet Ensemble Explorer Goal Hair LiftError LimitError Mixture Neutralisation Observation
Parameter Plan Processed Record RecordStore Scenario ToneDirection Trajectory Window all_checks
animate_lightening carried_and_outrun cautions change_lines class_exercise curve_table
default_curves ensemble estimate_table evidence_table exercise figure_with_alt find_window
foldable infer_pigment items load_curves load_scenario moved_table natural_path neutralise
other_light plan plan_next plan_table plot_answers plot_beliefs plot_carried plot_cases
plot_causes plot_checks plot_colours plot_correlations plot_departure plot_depth plot_differences
plot_dose_response plot_dye_bands plot_dye_paths plot_estimates plot_fades plot_held_out
plot_ladder plot_levels plot_lights plot_looks plot_melanin plot_moved plot_next_visit
plot_one_curve plot_opposition plot_phases plot_preview plot_reflectance plot_remaining
plot_series plot_spread plot_standing plot_timeline plot_toned_light plot_tornado plot_warmth
plot_worth preview preview_table read_swatches reading_sensitivity sample_posterior scenario_table
simulate stage_names strand_spread strand_test swatch_table table tone_direction tone_over_level
tone_report tune tuned_curves underpigment_ladder wash_fade window_sensitivity
""",
)
"""All that was public before lessons and research had names of their own."""


def home(name):
    found = [place for place, module in PLACES.items() if name in module.__all__]
    assert len(found) == 1, (name, found)
    return found[0]


@pytest.mark.parametrize("place", PLACES)
def test_every_name_is_there_and_stands_once(place):
    module = PLACES[place]
    assert dir(module) == sorted(module.__all__) == module.__all__
    for name in module.__all__:
        assert getattr(module, name) is not None
        assert home(name) == place


@pytest.mark.parametrize("name", FLAT)
def test_old_names_work_and_say_where_they_are_now(name):
    place = home(name)
    with warnings.catch_warnings(record=True) as heard:
        warnings.simplefilter("always")
        found = getattr(lift, name)
    assert found is getattr(PLACES[place], name)
    assert [str(w.message) for w in heard] == (
        []
        if place == "lift"
        else [f"lift.{name} is now {place}.{name}; the old name goes with the next version"]
    )
    assert all(w.category is DeprecationWarning and w.filename == __file__ for w in heard)


def test_what_never_was_public_is_refused():
    for module in PLACES.values():
        with pytest.raises(AttributeError, match=f"module '{module.__name__}' has no attribute"):
            module.__getattr__("nonsense")
    with pytest.raises(AttributeError):
        lift.__getattr__("_private")


def test_the_table_of_names_is_true():
    """DEVELOPERS.md says what became of each; its rows are made by `python -m lift.make.names`."""
    from lift.make.names import table

    assert len(FLAT) == 104
    assert table() in (ROOT / "DEVELOPERS.md").read_text("utf-8")


def test_lessons_and_research_load_nothing_heavy():
    code = (
        "import sys, lift, lift.teach, lift.lab\n"
        "dir(lift), dir(lift.teach), dir(lift.lab)\n"
        "print(sorted({'numpy', 'scipy', 'matplotlib', 'colour', 'IPython'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_name_that_was_changed_works_and_says_what_it_is_now():
    """What records teach is learned; calibration is whether intervals are as wide as they say."""
    with pytest.warns(DeprecationWarning, match=r"lift\.learn_from_records; the old name goes"):
        assert lift.calibrate is lift.learn_from_records
    assert "calibrate" not in dir(lift)
