"""Pictures of a plan: what is drawn is what was planned."""

from pathlib import Path

import numpy as np
import pytest
from matplotlib.colors import to_rgb
from oracles.screen import alike, locks, seen

from lift.model.natural import natural_path
from lift.practice.goal import Tone
from lift.practice.scenario.scenario import Toner, ZoneGoal
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import plan
from lift.show import style
from lift.show.plots.plan_plots import (
    PAST_MINUTES,
    plot_colours,
    plot_next_visit,
    plot_plan,
    plot_timeline,
)
from lift.words import say

SHARED = Path(__file__).parents[3] / "shared"


@pytest.fixture(scope="module")
def refresh():
    return plan(load_scenario(SHARED / "blonde_refresh.toml"), members=40)


@pytest.fixture(scope="module")
def darker():
    return plan(load_scenario(SHARED / "darker_base.toml"), members=40)


def title_of(axes):
    return axes.get_title(loc="left") or axes.get_title()


def bars(axes, colour):
    return [p for p in axes.patches if np.allclose(p.get_facecolor()[:3], to_rgb(colour))]


def test_every_section_is_a_bar_from_its_laying_to_its_rinse(refresh):
    axes = plot_timeline(refresh)
    sections = [s for z in refresh.zones for s in z.sections]
    drawn = {(round(p.get_x(), 4), round(p.get_x() + p.get_width(), 4)) for p in axes.patches}
    for section in sections:
        assert (round(section.starts, 4), round(section.rinsed, 4)) in drawn
    windows = bars(axes, style.COOL)
    assert len(windows) == len(sections)
    starts = {round(p.get_x(), 3) for p in windows}
    assert {round(s.starts + s.opens, 3) for s in sections} == starts


def test_no_minute_of_a_row_is_without_a_bar_and_all_places_are_named(refresh, darker):
    for result in (refresh, darker):
        axes = plot_timeline(result)
        end = max(s.rinsed for z in result.zones for s in z.sections) + PAST_MINUTES
        assert axes.get_xlim()[1] >= end
        drawn = {(round(p.get_x(), 4), round(p.get_x() + p.get_width(), 4)) for p in axes.patches}
        spans = [s for z in result.zones for section in z.sections for s in section.spans(end)]
        assert {(round(s.starts, 4), round(s.ends, 4)) for s in spans} <= drawn
        named = {text.get_text() for text in axes.get_legend().get_texts()}
        assert {say(f"place.{s.place}") for s in spans} <= named


def test_every_toner_is_a_bar_in_its_colour_after_the_last_rinse():
    scenario = load_scenario(SHARED / "blonde_refresh.toml")
    scenario = scenario.replace_zone("foils", toner=Toner())
    scenario = scenario.replace_zone("ends", goal=ZoneGoal(Tone()))
    result = plan(scenario, members=10)
    axes = plot_timeline(result)
    names = [label.get_text() for label in axes.get_yticklabels()]
    assert names[-2:] == ["foils, toner", "ends, toner"]
    drawn = {(round(p.get_x(), 4), round(p.get_x() + p.get_width(), 4)) for p in axes.patches}
    rows = axes.get_yticks()[-2:]
    assert rows[0] > max(p.get_y() for p in bars(axes, style.COOL))
    for each in result.toning:
        assert (round(each.starts, 4), round(each.rinsed, 4)) in drawn
        assert each.starts > max(zone.rinsed for zone in result.zones)
    assert axes.get_xlim()[1] == result.total_minutes
    strips = {round(image.get_extent()[0], 4): image.get_array() for image in axes.images}
    found = [seen(np.vstack(strips[round(each.starts, 4)])) for each in result.toning]
    assert alike(found, [result.zone("foils").after, result.toned[0].after])


def test_the_title_tells_the_finding(refresh, darker):
    title = title_of(plot_timeline(refresh))
    assert title.startswith("All expected strands inside")
    assert f"{100 * refresh.p_inside:.0f} in 100" in title
    assert title_of(plot_timeline(darker)).startswith("No order keeps all inside")


def test_axes_have_units(refresh):
    assert "[min]" in plot_timeline(refresh).get_xlabel()
    visit = plot_next_visit(refresh)
    assert "weeks" in visit.get_xlabel()
    assert "[dE00]" in visit.get_ylabel()


def test_colours_are_the_blend_s(refresh):
    axes = plot_colours(refresh)
    texts = [t.get_text() for t in axes.texts]
    for edge in refresh.blend.edges:
        assert f"{edge.after:.1f}" in texts
    assert {"foils", "base", "regrowth", "mid-lengths", "ends"} <= set(texts)
    # The parts before, their zones after (two in the regrowth), the parts after.
    blend, parts = refresh.blend, list(refresh.blend.parts)
    zones = {p: [z.name for z in refresh.scenario.zones if z.part == p] for p in parts}
    expected = []
    for part in parts:
        after = [blend.zones[zone] for zone in zones[part]] or [blend.parts_before[part]]
        expected += [blend.parts_before[part], *after, blend.parts[part]]
    assert len(expected) == 3 + 4 + 3
    # Then the natural levels that the parts as seen lie between, each once.
    path = natural_path(refresh.curves)
    levels = np.unique([path.levels_beside(lab)[0] for lab in blend.parts.values()])
    assert set(levels.astype(int).astype(str)) <= set(texts)
    assert alike(locks(axes), [*expected, *path.lab_of_level(levels)])


def test_next_visit_is_marked_where_it_is_due():
    result = plan(load_scenario(SHARED / "fine_and_coarse.toml"), members=10)
    axes, visit = plot_next_visit(result), result.next_visit
    points = [line for line in axes.lines if line.get_marker() == "o"]
    due = [line.due_weeks for line in visit.demarcations]
    assert len(due) == 2
    assert [p.get_xdata()[0] for p in points] == pytest.approx(due)
    assert visit.due_weeks == min(due)
    assert f"about {visit.due_weeks:.0f} weeks" in title_of(axes)


def test_next_visit_without_regrowth():
    scenario = load_scenario(SHARED / "blonde_refresh.toml")
    for name in ("foils", "base"):
        scenario = scenario.replace_zone(name, regrowth_mm=None)
    axes = plot_next_visit(plan(scenario, members=10))
    assert "no regrowth described" in title_of(axes)


def test_nothing_due_is_told(darker):
    blind = darker.scenario.replace(assumptions={"demarcation_limit": 20.0})
    assert "No line shows" in title_of(plot_next_visit(plan(blind, members=10)))


def test_the_sheet_says_that_it_is_an_estimate_and_invented(refresh):
    figure = plot_plan(refresh)
    figure.draw_without_rendering()
    words = " ".join(t.get_text() for t in figure.texts)
    assert "Invented for demonstration" in words
    assert "allergy and strand test first" in " ".join(words.split())
    assert figure.get_supxlabel().startswith("Persulfate")


def test_grey_zones_are_drawn_as_both_kinds_of_fibres():
    """Side by side by their shares, as woven zones are; the row below is what the eye sees."""
    visit = plan(load_scenario(SHARED / "grey_blending.toml"), members=10)
    axes = plot_colours(visit)
    weaves, between = (visit.zone(name).grey_after for name in ("weaves", "between"))
    found, blend = locks(axes), visit.blend
    kinds = [weaves.pigmented, weaves.white, between.pigmented, between.white]
    assert alike(found[:6], [blend.parts_before["regrowth"], *kinds, blend.parts["regrowth"]])
    widths = [np.ptp(image.get_extent()[:2]) for image in axes.images[1:5]]
    assert widths == pytest.approx([0.3 * 0.65, 0.3 * 0.35, 0.7 * 0.65, 0.7 * 0.35])
