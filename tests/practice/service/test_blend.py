"""Blend: shares, edges, and who breaks it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.answers.encode import plain
from lift.answers.what_comes import blend_part
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.optics.colorimetry import delta_e_2000, lab_to_xyz, mean_lab, white, xyz_to_lab
from lift.practice.goal import Match
from lift.practice.scenario.scenario import Scenario, Zone, ZoneGoal
from lift.practice.schedule.solve import colour_now
from lift.practice.service.outcome import blend, neighbours, part_lab

CURVES = default_curves()
DARK, BRIGHT = np.array([35.0, 8.0, 16.0]), np.array([62.0, 6.0, 24.0])


def zones(share=0.4, rest=0.6):
    return (
        Zone("woven", Hair(5), part="top", share=share, mixture="m", beside=("ends",)),
        Zone("base", Hair(5), part="top", share=rest, mixture="m"),
        Zone("ends", Hair(5), colour=(58.0, 6.0, 23.0)),
    )


def scenario(*some, **assumptions):
    return Scenario("t", some or zones(), {"m": Mixture("powder", 20)}, assumptions=assumptions)


def test_mean_is_linear_in_xyz():
    mean = mean_lab(np.stack([DARK, BRIGHT]), weights=np.array([0.25, 0.75]))
    xyz = 0.25 * lab_to_xyz(DARK, white()) + 0.75 * lab_to_xyz(BRIGHT, white())
    assert mean == pytest.approx(xyz_to_lab(xyz, white()))


def test_mean_over_any_axis():
    lab = np.stack([DARK, BRIGHT])
    many = np.broadcast_to(lab[:, None], (2, 5, 3))
    assert mean_lab(many, axis=0) == pytest.approx(np.tile(mean_lab(lab), (5, 1)))
    assert mean_lab(np.moveaxis(many, 0, 1), axis=1) == pytest.approx(
        np.tile(mean_lab(lab), (5, 1))
    )
    weights = np.array([[0.2, 0.5], [0.8, 0.5]])
    per_column = mean_lab(many[:, :2], weights=weights)
    for column in range(2):
        assert per_column[column] == pytest.approx(mean_lab(lab, weights=weights[:, column]))


@given(share=st.floats(0.0, 1.0))
def test_mean_lies_between(share):
    """Light mixes: the mean is never darker than the darker nor lighter than the lighter."""
    mean = mean_lab(np.stack([DARK, BRIGHT]), weights=np.array([share, 1.0 - share]))
    assert DARK[0] - 1e-9 <= mean[0] <= BRIGHT[0] + 1e-9
    # More of the bright one is always lighter than the mean of L*: the eye sees light, not L*.
    assert mean[0] >= share * DARK[0] + (1.0 - share) * BRIGHT[0] - 1e-9


def test_what_is_left_out_of_the_weave_stays_as_it_was():
    some = scenario(zones()[0], zones()[2])
    before = {z.name: np.array(colour_now(z, CURVES)) for z in some.zones}
    seen = part_lab(some, "top", {**before, "woven": BRIGHT}, before)
    wanted = mean_lab(np.stack([BRIGHT, before["woven"]]), weights=np.array([0.4, 0.6]))
    assert seen == pytest.approx(wanted)


def test_edges_and_differences():
    some = scenario()
    after = {"woven": np.stack([BRIGHT] * 3), "base": np.stack([DARK, DARK, BRIGHT])}
    result = blend(some, after, {"woven": (60.0, 6.0, 24.0)}, CURVES)
    top = mean_lab(np.stack([BRIGHT, DARK]), weights=np.array([0.4, 0.6]))
    assert result.parts["top"] == pytest.approx(tuple(top))
    (edge,) = result.edges
    assert edge.parts == ("top", "ends")
    assert edge.after == pytest.approx(float(delta_e_2000(top, [58.0, 6.0, 23.0])))
    # Of the two members one is all bright and blends.
    assert edge.p_seen == 0.5
    assert result.to_match["woven"] == pytest.approx(float(delta_e_2000(BRIGHT, [60.0, 6.0, 24.0])))


def test_the_dark_base_breaks_the_blend():
    after = {"woven": BRIGHT[None], "base": DARK[None]}
    result = blend(scenario(), after, {}, CURVES)
    assert result.breaks == "base"
    assert str(result.finding).startswith("base breaks the blend: top and ends differ by") or (
        "base breaks the blend: top to ends differ by" in str(result.finding)
    )


def test_the_woven_zone_breaks_the_blend():
    lighter = np.array([90.0, 2.0, 12.0])
    after = {"woven": lighter[None], "base": np.array([[57.0, 6.0, 22.0]])}
    result = blend(scenario(), after, {"woven": (60.0, 6.0, 24.0)}, CURVES)
    assert result.breaks == "woven"


def test_nothing_breaks_what_blends():
    near = np.array([[57.5, 6.0, 22.5]])
    result = blend(scenario(), {"woven": near, "base": near}, {}, CURVES)
    assert result.breaks is None
    assert str(result.finding).startswith("The parts blend")


def test_the_limit_decides():
    near = np.array([[55.0, 6.0, 22.0]])
    after = {"woven": near, "base": near}
    assert blend(scenario(blend_limit=5.0), after, {}, CURVES).breaks is None
    assert blend(scenario(blend_limit=1.0), after, {}, CURVES).breaks is not None


def test_hair_left_alone_never_breaks_the_blend_of_itself():
    alone = (
        Zone("a", Hair(5), mixture="m"),
        Zone("b", Hair(5), colour=3.0, beside=("c",)),
        Zone("c", Hair(5), colour=9.0),
    )
    result = blend(scenario(*alone), {"a": DARK[None]}, {}, CURVES)
    assert result.edges[0].after > 20.0
    assert result.breaks is None


def test_no_neighbours_no_judgement():
    result = blend(scenario(Zone("a", Hair(5), mixture="m")), {"a": DARK[None]}, {}, CURVES)
    assert result.edges == ()
    assert "no edge is judged" in str(result.finding)


def test_neighbours_are_named_once():
    some = (
        Zone("a", Hair(5), mixture="m", beside=("b",)),
        Zone("b", Hair(5), beside=("a", "c")),
        Zone("c", Hair(5)),
    )
    assert neighbours(scenario(*some)) == (("a", "b"), ("b", "c"))


def test_declared_and_natural_colours():
    level = Zone("l", Hair(5), colour=7.0)
    lab = Zone("c", Hair(5), colour=(50.0, 6.0, 20.0))
    hair = Zone("h", Hair(7))
    assert colour_now(lab, CURVES) == (50.0, 6.0, 20.0)
    assert colour_now(level, CURVES) == pytest.approx(colour_now(hair, CURVES), abs=0.1)
    lighter = Zone("g", Hair(7, grey_percent=50))
    assert colour_now(lighter, CURVES)[0] > colour_now(hair, CURVES)[0] + 5.0


def test_json_form():
    after = {"woven": BRIGHT[None], "base": DARK[None]}
    form = plain(blend_part(blend(scenario(), after, {"woven": (60.0, 6.0, 24.0)}, CURVES)))
    assert form["breaks"] == "base"
    assert form["edges"][0]["parts"] == ["top", "ends"]
    assert len(form["zones"]["ends"]) == 3


def test_a_goal_of_a_colour_is_where_its_zone_is_moved():
    """With its target still dark, the base cannot close the gap, so the woven zone is named."""
    goal = ZoneGoal(Match((60.0, 6.0, 24.0)))
    some = (
        Zone("woven", Hair(5), part="top", share=0.5, mixture="m", beside=("ends",), goal=goal),
        Zone("base", Hair(5), part="top", share=0.5, mixture="m"),
        Zone("ends", Hair(5), colour=(58.0, 6.0, 23.0)),
    )
    after = {"woven": DARK[None], "base": DARK[None]}
    targets = {"woven": (60.0, 6.0, 24.0), "base": (36.0, 8.0, 16.0)}
    assert blend(scenario(*some), after, targets, CURVES).breaks == "woven"
