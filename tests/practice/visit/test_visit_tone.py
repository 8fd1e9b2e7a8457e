"""The tone of a zone: what it looks like now, what it is toned towards, and what answers it."""

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.trajectory import simulate
from lift.practice.schedule.solve import colour_now
from lift.practice.visit.marks import marked_minutes
from lift.practice.visit.tone import FACTORS, zone_tone
from lift.practice.visit.visit_table import visit_of

CURVES = default_curves()
FOILS = {"name": "foils", "natural_level": 6, "mixture": "light", "goal": "lighten 9"}
ENDS = {"name": "ends", "natural_level": 6, "lightened_to": 8}


def a_visit(*zones, **more):
    powder = {"kind": "powder", "volume": 20}
    return visit_of(
        {"visit": {"name": "a"}, "mixtures": {"light": powder}, "zones": [*zones], **more}
    )


def tone_of(zone, *others, seen=None, light=None, **more):
    return zone_tone(a_visit(zone, *others, **more), zone["name"], CURVES, seen=seen, light=light)


def test_what_was_seen_goes_before_what_came_out_and_that_before_the_prediction():
    came_out = [{"zone": "foils", "minutes": 25, "seen": "9.2"}]
    zone = {**FOILS, "minutes": 25}
    for seen, came, known_by, level in (
        ("8.4", came_out, "level", 8.4),
        (None, came_out, "level", 9.2),
        (None, [], "predicted", None),
    ):
        report = tone_of(zone, seen=seen, came_out=came).report
        assert report.rinsed.known_by == known_by
        predicted = float(simulate(Hair(6), Mixture("powder", 20), 25, CURVES).level)
        assert report.level == pytest.approx(level or predicted, abs=0.03)
    assert tone_of(FOILS).report.rinsed.known_by == "before"
    assert tone_of(zone, seen="60,5,25").report.lab == pytest.approx((60.0, 5.0, 25.0))


def test_minutes_are_those_on_the_middle_of_the_zone_by_the_clock():
    placement = {"sections": 3, "seconds_per_section": 60, "rinse_seconds_per_section": 30}
    marks = {"zone": "foils", "begun": 0.0, "laid": [1.0, 2.0, 3.0], "rinsed": 27.0}
    visit = a_visit({**FOILS, "placement": placement}, clock={"zones": [marks]})
    # Its middle section was laid at 1.5 min, halfway, and rinsed half a minute after the first.
    assert marked_minutes(visit, visit.scenario.zones[0]) == pytest.approx(27.5 - 1.5)
    found = zone_tone(visit, "foils", CURVES)
    assert found.report.rinsed.minutes == pytest.approx(26.0)
    # A clock left running counts as the end of what is predicted.
    late = a_visit(FOILS, clock={"zones": [{**marks, "laid": [1.0], "rinsed": 600.0}]})
    assert zone_tone(late, "foils", CURVES).report.rinsed.minutes == 60.0
    # What the plan is yet to choose predicts nothing.
    left_open = {"mixtures": {"light": {"kind": "powder"}}}
    assert tone_of({**FOILS, "minutes": 25}, **left_open).report.rinsed.known_by == "before"


@pytest.mark.parametrize(
    ("goal", "seen", "code", "level"),
    [
        ("lighten 9", "9.6", "tone.towards.level", 9.0),
        ("lighten 9", "8.2", "tone.towards.natural", None),
        ("tone", "9", "tone.towards.natural", None),
        ("tone 7", "9", "tone.towards.level", 7.0),
        ("blend", "9", "tone.towards.natural", None),
    ],
)
def test_goals_say_what_hair_is_toned_towards(goal, seen, code, level):
    found = tone_of({**FOILS, "goal": goal}, seen=seen)
    assert found.wanted.name.code == code
    if level is None:
        assert found.wanted.lab is None
    else:
        assert found.wanted.lab == pytest.approx(tuple(natural_path(CURVES).lab_of_level(level)))
    short = goal == "lighten 9" and seen == "8.2"
    assert (found.wanted.instead_of is not None) == short
    assert found.answer == "tone"


def test_a_blend_is_toned_towards_the_hair_it_blends_with_as_that_is_toned():
    foils = {**FOILS, "goal": "blend lightest blonde of ends"}
    bare = tone_of(foils, ENDS, seen="9")
    ends = a_visit(foils, ENDS).scenario.zone("ends")
    assert bare.wanted.lab == pytest.approx(colour_now(ends, CURVES, pigmented=True), abs=1e-6)
    toner = {"kind": "direct", "doses": {"blue-violet": 3.0}}
    toned = tone_of(foils, {**ENDS, "goal": "tone", "toner": toner}, seen="9")
    assert toned.wanted.lab[2] < bare.wanted.lab[2] - 4.0
    declared = tone_of(foils, {**ENDS, "lightest_blonde": [61, 6, 22]}, seen="9")
    assert declared.wanted.lab == (61.0, 6.0, 22.0)


def test_hair_whose_edge_hardly_shows_needs_no_toner_and_hair_as_wanted_none_either():
    foils = {**FOILS, "goal": "blend lightest blonde of ends"}
    near = {**ENDS, "lightest_blonde": [62, 9, 33]}
    found = tone_of(foils, near, seen="8.5")
    assert (found.answer, found.chosen) == ("blends", 0.0)
    same = {**ENDS, "lightest_blonde": list(np.round(found.report.lab, 2))}
    assert tone_of(foils, same, seen="8.5").answer == "none"


def test_a_toner_that_was_chosen_is_found_again_and_half_of_it_is_thinned_twice_as_far():
    best = tone_of(FOILS, seen="9.6")
    assert best.chosen == 1.0
    for factor in (0.5, 1.25):
        toner = {"kind": "permanent", "doses": best.doses(factor)}
        again = tone_of({**FOILS, "toner": toner}, seen="9.6")
        assert (again.chosen, again.report.kind) == (factor, "permanent")
    assert tone_of({**FOILS, "toner": "none"}, seen="9.6").chosen == 0.0
    whole, half = best.step(1.0).clear, best.step(0.5).clear
    assert half + 1.0 == pytest.approx(2.0 * (whole + 1.0), abs=2.0)
    deeper = tone_of(FOILS, seen="9.6", assumptions={"pure_tone_dose": 120.0})
    assert deeper.step(1.0).clear == pytest.approx(2.0 * (whole + 1.0) - 1.0, abs=1.0)


def test_the_salon_s_light_is_that_of_the_visit_unless_another_is_asked_for():
    found = tone_of(FOILS, seen="9.6", salon={"light": "bulb"})
    assert (found.light, tone_of(FOILS, seen="9.6").light) == ("bulb", "daylight")
    assert tone_of(FOILS, seen="9.6", salon={"light": "bulb"}, light="tube").light == "tube"
    by_day, by_bulb = found.labs("daylight"), found.labs("bulb")
    best = FACTORS.index(1.0)
    np.testing.assert_allclose(by_day[best], found.report.answer.lab, atol=1e-4)
    np.testing.assert_allclose(by_bulb[best], found.under("bulb", 1.0).lab[0], atol=1e-9)
    assert np.ptp([by_day[best], by_bulb[best]], axis=0).max() > 1.0


def test_a_level_darker_than_the_hair_was_is_refused():
    with pytest.raises(LiftError, match="darker than the hair was before"):
        tone_of(FOILS, seen="5")
