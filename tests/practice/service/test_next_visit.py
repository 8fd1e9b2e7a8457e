"""Next visit: growth, how a band shows, tone that washes out."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.answers.encode import plain
from lift.answers.what_comes import visit_part
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.optics.colorimetry import delta_e_2000, mean_lab
from lift.practice.goal import Lighten
from lift.practice.scenario.scenario import Placement, Scenario, Toner, Zone, ZoneGoal
from lift.practice.service.next_visit import (
    demarcation,
    first_week,
    regrowth_mm,
    viewing_field_mm,
    weeks_of_regrowth,
)
from lift.practice.service.plan import plan
from lift.words import says

CURVES = default_curves()
WEEKS = np.arange(0.0, 12.01, 0.5)
NATURAL, TREATED = np.array([38.0, 7.0, 16.0]), np.array([52.0, 7.0, 24.0])
FIELD = 35.0


def line(treated=TREATED, limit=5.0, field=FIELD):
    return demarcation("top", treated, NATURAL, WEEKS, regrowth_mm(WEEKS), field, limit)


def test_growth_values():
    assert regrowth_mm(0.0) == 0.0
    assert regrowth_mm(1.0) == pytest.approx(2.45)
    assert regrowth_mm(10.0, 0.4) == pytest.approx(28.0)


def test_growth_broadcasts():
    assert regrowth_mm(np.ones((3, 2))).shape == (3, 2)


@given(weeks=st.floats(0.0, 200.0), growth=st.floats(0.05, 1.0))
def test_growth_and_back(weeks, growth):
    assert weeks_of_regrowth(regrowth_mm(weeks, growth), growth) == pytest.approx(weeks, abs=1e-9)


@pytest.mark.parametrize("bad", [np.nan, np.inf, -1.0, 1000.0])
def test_growth_refuses(bad):
    with pytest.raises(LiftError, match="outside 0 to 520 weeks"):
        regrowth_mm(bad)
    with pytest.raises(LiftError, match="growth"):
        regrowth_mm(1.0, bad)


def test_field_of_two_degrees_at_a_metre():
    """Twice the tangent of a degree: 34.9 mm."""
    assert viewing_field_mm(1000.0, 2.0) == pytest.approx(34.910, abs=1e-3)
    assert viewing_field_mm(2000.0, 2.0) == pytest.approx(2 * viewing_field_mm(1000.0, 2.0))


def test_no_band_shows_nothing_and_a_wide_one_everything():
    shown = line()
    assert shown.seen[0] == pytest.approx(0.0, abs=1e-9)
    full = 2.0 * shown.band_mm >= FIELD
    assert full.any()
    assert not full.all()
    assert shown.seen[full] == pytest.approx(shown.side_by_side[full])
    assert shown.side_by_side == pytest.approx(float(delta_e_2000(NATURAL, TREATED)))


def test_a_half_filled_field_is_the_mean_of_light():
    shown = line()
    at = 4
    share = 2.0 * shown.band_mm[at] / FIELD
    both = mean_lab(np.stack([NATURAL, TREATED]), weights=np.array([share, 1.0 - share]))
    assert shown.seen[at] == pytest.approx(float(delta_e_2000(both, TREATED)))


@given(lightness=st.floats(40.0, 80.0))
def test_a_wider_band_never_shows_less(lightness):
    shown = line(np.array([lightness, 7.0, 22.0]))
    assert np.all(np.diff(shown.seen) >= -1e-9)


def test_due_where_the_limit_is_met():
    shown = line()
    assert np.interp(shown.due_weeks, shown.weeks, shown.seen) == pytest.approx(5.0, abs=0.05)
    assert shown.due_mm == pytest.approx(float(regrowth_mm(shown.due_weeks)))
    assert "break the base again after about" in str(shown.finding)


def test_a_stricter_limit_is_due_sooner_and_a_far_eye_later():
    assert line(limit=2.0).due_weeks < line(limit=5.0).due_weeks
    assert line(field=70.0).due_weeks > line().due_weeks


def test_nothing_due_where_little_was_lightened():
    shown = line(NATURAL + np.array([1.0, 0.0, 0.5]))
    assert shown.due_weeks is None
    assert shown.due_mm is None
    assert "no visit is due" in str(shown.finding)


def test_first_week():
    weeks = np.array([0.0, 1.0, 2.0])
    assert first_week(weeks, np.array([-1.0, 1.0, 3.0])) == pytest.approx(0.5)
    assert first_week(weeks, np.array([1.0, 1.0, 1.0])) == 0.0
    assert first_week(weeks, np.array([-1.0, -1.0, -1.0])) is None


def service(**changes):
    usual = {
        "mixture": "m",
        "regrowth_mm": 15.0,
        "goal": ZoneGoal(Lighten(level=8, warmth=25)),
        "placement": Placement(4, 30, 2),
    }
    zone = Zone("base", Hair(6), **{**usual, **changes})
    return Scenario("t", (zone,), {"m": Mixture("powder", 20)})


@pytest.fixture(scope="module")
def bare():
    return plan(service(), members=10)


@pytest.fixture(scope="module")
def toned():
    return plan(service(toner=Toner("direct", {"violet": 3.0})), members=10)


def test_direct_tone_is_gone_sooner_than_permanent(toned):
    direct = toned.next_visit
    permanent = plan(service(toner=Toner("permanent", {"violet": 3.0})), members=10).next_visit
    assert direct.tone_warmth["base"][0] == pytest.approx(permanent.tone_warmth["base"][0])
    assert direct.tone_warmth["base"][4] > permanent.tone_warmth["base"][4] + 0.5


def test_tone_that_is_gone_leaves_the_untoned_warmth(bare, toned):
    assert bare.next_visit.tone_warmth == {}
    assert toned.next_visit.tone_warmth["base"][-1] == pytest.approx(bare.zones[0].warmth, abs=0.2)


def test_more_washing_fades_faster(toned):
    often = toned.scenario.replace(assumptions={"washes_per_week": 7.0})
    first, second = (p.next_visit.tone_warmth["base"] for p in (plan(often, members=10), toned))
    assert first[2] > second[2]


def test_only_hair_at_the_scalp_has_a_line(bare):
    assert plan(service(regrowth_mm=None), members=10).next_visit.demarcations == ()
    visit = bare.next_visit
    assert [d.part for d in visit.demarcations] == ["base"]
    assert visit.due_weeks == visit.demarcations[0].due_weeks


def test_the_natural_hair_grows_not_the_lightened(bare):
    """Right after the service the band to come is as dark as the hair was before."""
    result = bare
    line = result.next_visit.demarcations[0]
    natural = result.blend.parts_before["base"]
    assert line.side_by_side[0] == pytest.approx(
        float(delta_e_2000(natural, result.blend.parts["base"])), abs=0.1
    )


def test_usual_regrowth_is_told_as_common_practice(bare):
    words = says(bare.next_visit.findings)
    assert words[-1].startswith("Usual regrowth of a refresh client, 12 to 25 mm")
    assert "5 to 10 weeks (common practice)" in words[-1]


def test_json_form():
    form = plain(visit_part(plan(service(toner=Toner()), members=10).next_visit))
    assert form["demarcations"][0]["weeks"][0] == 0.0
    assert len(form["tone"]["base"]["warmth"]) == len(form["tone"]["base"]["weeks"])
    assert form["usual_weeks"] == pytest.approx([4.898, 10.2041])
