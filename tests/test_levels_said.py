"""No level past the end of the scale is shown, wherever one is said."""

import io
import json
import re

import numpy as np
import pytest
from click.testing import CliRunner
from rich.console import Console

import lift
from lift import Hair, Mixture, Observation, preview, strand_test
from lift.answers import to_dict
from lift.cli import app as command_line
from lift.practice.goal import Blend, Lighten
from lift.practice.scenario.scenario import Placement, Salon, Scenario, Zone, ZoneGoal
from lift.show.card.html import card_html
from lift.show.lesson.live import moment
from lift.show.lesson.tables import plan_table, preview_table
from lift.show.plots.figure import alt_text
from lift.show.plots.strand_plots import plot_moved
from lift.show.said import level_note
from lift.show.terminal.plan import print_plan
from lift.show.terminal.preview import print_preview
from lift.show.terminal.strand import print_strand
from lift.words import LAST_LEVEL, note, say

PALE = Hair(9.0, lightened_to=10.0)
STRONG = Mixture("powder", 30.0, temperature_c=45.0)
PAST = re.compile(r"(?i)level:? *(1[0-9]\.[1-9]|1[1-9])|lift:? *(at least )?(1[0-9]|[2-9])\.")


@pytest.fixture(scope="module")
def result():
    """Hair already lightened to 10, lightened again: the model has no pigment left to count."""
    found = preview(PALE, STRONG, 45.0, members=40)
    assert found.band_at("level")[1] > 11.0
    return found


def printed(show, *what):
    to = Console(width=300, record=True, file=io.StringIO())
    show(*what, to)
    return to.export_text()


@pytest.mark.parametrize(
    ("template", "values"),
    [
        ("level", {9.96: "10.0", 10.0: "10.0", 10.04: "10.0"}),
        ("level", {10.06: "10+, past the scale", 16.0: "10+, past the scale"}),
        ("level.short", {3.14: "3.1", 10.06: "10+"}),
        ("goal.level", {8.0: "level 8", 7.25: "level 7.25", 10.0: "level 10"}),
    ],
)
def test_a_level_is_a_number_to_the_end_of_the_scale(template, values):
    assert [say(template, level=level) for level in values] == list(values.values())


def test_a_preview_says_what_is_known(result):
    assert str(level_note(result)) == "10+, past the scale (10+ to 10+), lift at least 1.0 levels"


def test_a_level_at_the_end_of_a_band_is_a_sign():
    result = preview(Hair(7.0), Mixture("cream", 40.0), 30.0, members=40)
    low, median, high = result.band_at("level")
    assert median < LAST_LEVEL < high
    assert str(level_note(result)).startswith(f"{median:.1f} ({low:.1f} to 10+), lift ")


def test_json_keeps_the_number_beside_the_words(result):
    at = json.loads(json.dumps(to_dict(result)))["at"]
    assert at["level"]["median"] > 11.0
    assert at["level_words"] == "10+, past the scale"
    assert at["level_words_code"]["level"] == pytest.approx(at["level"]["median"], abs=1e-4)


def plan_of_pale_hair():
    goal = ZoneGoal(Lighten(level=10.0, warmth=60.0))
    zone = Zone("ends", PALE, mixture="light", goal=goal, placement=Placement(20, 60), heat_c=15.0)
    return lift.plan(Scenario("test", (zone,), {"light": STRONG}, Salon()), members=10)


def test_nobody_is_shown_one(result):
    """Terminal, table, card, notebook, picture and strand test, of hair past the scale."""
    visit = plan_of_pale_hair()
    assert visit.zones[0].level > LAST_LEVEL
    seen = [Observation(10.0, level=10.0)]
    test = strand_test(PALE, STRONG, seen, Lighten(level=10.0), rinse_minutes=40.0)
    by_lift = strand_test(PALE, STRONG, seen, Blend(), rinse_minutes=40.0)
    assert "at least +1.00" in printed(print_strand, by_lift)
    shown = {
        "terminal": printed(print_preview, result),
        "table": preview_table(result).text,
        "plan": printed(print_plan, visit),
        "plan table": plan_table(visit).text,
        "card": card_html(visit),
        "moment": moment(PALE, STRONG, 45.0).words,
        "strand": printed(print_strand, test),
        "picture": alt_text(plot_moved(test, "level").figure),
    }
    for where, text in shown.items():
        assert not PAST.search(text), (where, PAST.search(text)[0])
        assert "10+" in text, where


def test_an_axis_of_levels_ends_where_the_scale_does():
    test = strand_test(PALE, STRONG, goal=Lighten(10.0), rinse_minutes=40.0)
    axes = plot_moved(test, "level")
    axes.figure.canvas.draw()
    assert axes.get_ylim()[1] <= LAST_LEVEL + 0.2
    told = [t.get_text() for t in axes.get_yticklabels()]
    assert all(text == "10+" or float(text) <= LAST_LEVEL for text in told if text)


def test_nobody_is_asked_for_one():
    """Neither the command line, nor the page, nor the library takes one."""
    for words in (
        ["preview", "--level", "5", "--volume", "20", "--minutes", "20", "--goal", "11"],
        ["preview", "--level", "5", "--volume", "20", "--minutes", "20", "--lightened-to", "12"],
        ["tone", "--level", "10.5"],
    ):
        done = CliRunner().invoke(command_line, words)
        assert done.exit_code != 0
        assert "is outside 1 to 10; nearest: 10" in str(done.output) + str(done.exception)
    help_ = CliRunner().invoke(command_line, ["preview", "--help"]).output
    assert "12" not in re.findall(r"to (\d+)", help_)


def test_goals_and_starts_that_lie_past_it_are_refused():
    from lift.errors import LiftError

    for make in (lambda: Hair(5.0, lightened_to=10.5), lambda: Lighten(level=12.0)):
        with pytest.raises(LiftError, match="nearest: 10"):
            make()


def test_measured_hair_paler_than_the_scale():
    from lift.practice.toning.tone_report import tone_report

    report = tone_report((92.0, 0.0, 10.0))
    assert report.level > LAST_LEVEL
    told = to_dict(report)["at"]
    assert told["level_words"] == "10+, past the scale"
    assert np.isfinite(told["level"])


def test_scale_ends_where_hair_does():
    from lift.model.hair import LEVEL_RANGE

    assert LEVEL_RANGE[1] == LAST_LEVEL
    assert str(note("level", level=LAST_LEVEL)) == "10.0"
