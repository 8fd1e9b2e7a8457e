"""Stages and the ladder of underpigment."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.domain import longest_minutes
from lift.model.ensemble import ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.stages import (
    EXPOSED,
    LIGHTEST_NATURAL,
    NATURAL,
    STAGE_OF_LEVEL,
    named_stage,
    nearest_stage,
    stage_names,
    underpigment_ladder,
)
from lift.model.strand import lightened, natural_pigment, strand_lab
from lift.model.trajectory import simulate
from lift.optics.colorimetry import delta_e_2000

CURVES = default_curves()
LADDER = underpigment_ladder(CURVES)


def test_names_from_dark_to_light_each_once():
    names = stage_names()
    assert names[:2] == (NATURAL, "red")
    assert names[-1] == "palest yellow"
    assert len(names) == len(set(names)) == 8
    assert set(names) == {NATURAL, *STAGE_OF_LEVEL}


def test_rungs_have_the_lightness_of_their_level():
    natural = natural_path(CURVES).lab_of_level(LADDER.levels)
    np.testing.assert_allclose(LADDER.lab[:, 0], natural[:, 0], atol=5e-3)
    assert np.all(np.diff(LADDER.exposure) > 0.0)
    assert LADDER.levels.tolist() == list(range(1, 11))


def test_rungs_are_one_lightening():
    natural = natural_pigment(0.0, 0.05, CURVES.values)
    along = strand_lab(lightened(natural, LADDER.exposure, CURVES.values), CURVES.values)
    np.testing.assert_allclose(LADDER.lab, along, atol=1e-9)


def test_rungs_can_be_told_apart():
    """Neighbouring stages differ by more than 1 dE00, or naming the nearest means nothing."""
    assert delta_e_2000(LADDER.lab[1:], LADDER.lab[:-1]).min() > 1.0


def test_each_rung_is_its_own_stage():
    assert tuple(nearest_stage(LADDER.lab, CURVES)) == LADDER.stages
    jitter = np.random.default_rng(1).uniform(-0.3, 0.3, (200, 10, 3))
    assert np.all(nearest_stage(LADDER.lab + jitter, CURVES) == np.array(LADDER.stages))


def test_far_colours_still_have_a_nearest_stage():
    assert nearest_stage([5.0, 0.0, 0.0], CURVES) == "red"
    assert nearest_stage([95.0, 0.0, 20.0], CURVES) == "palest yellow"


def test_broadcasting():
    assert isinstance(nearest_stage([40.0, 18.0, 30.0], CURVES), str)
    assert nearest_stage(np.full((2, 4, 3), 40.0), CURVES).shape == (2, 4)
    assert nearest_stage(np.empty((0, 3)), CURVES).shape == (0,)


def test_colour_that_is_none_is_refused():
    with pytest.raises(LiftError, match="infinite"):
        nearest_stage([np.inf, 0.0, 0.0], CURVES)
    with pytest.raises(LiftError, match="nan has no stage"):
        nearest_stage([[40.0, 18.0, 30.0], [np.nan, 0.0, 0.0]], CURVES)


def test_ladder_follows_its_curve_set_and_is_read_only():
    other = underpigment_ladder(CURVES.replace(half_oxidised_yield=0.2))
    assert not np.allclose(other.lab, LADDER.lab, atol=0.1)
    with pytest.raises(ValueError, match="read-only"):
        LADDER.lab[0] = 0.0


@pytest.mark.parametrize(
    ("exposed", "level", "stage"),
    [
        (0.0, 5.0, NATURAL),
        (EXPOSED - 1e-6, LIGHTEST_NATURAL, NATURAL),
        (EXPOSED, 5.0, "orange"),
        (-3.0, 5.0, NATURAL),
        (0.0, LIGHTEST_NATURAL + 1e-6, "orange"),
    ],
)
def test_a_stage_is_named_once_warmth_is_exposed(exposed, level, stage):
    """And never taken back where bleached hair, lighter than any natural, is pale again."""
    assert named_stage(LADDER.lab[5], exposed, level, CURVES) == stage


def test_named_stages_broadcast():
    names = named_stage(LADDER.lab, np.linspace(0.0, 1.8, 10), 5.0, CURVES)
    assert tuple(names) == (NATURAL,) * 5 + LADDER.stages[5:]


@pytest.mark.parametrize("share", [None, 0.0, 0.33, 0.6])
@pytest.mark.parametrize("level", [1.0, 4.0, 6.0, 8.0, 10.0])
def test_untouched_hair_is_natural(level, share):
    """Red hair too: what it has by nature is not exposed."""
    for mixture, minutes in ((Mixture("powder", 40), 0.0), (Mixture("cream", 0), 40.0)):
        strand = simulate(Hair(level, pheomelanin_share=share, grey_percent=30), mixture, minutes)
        assert strand.exposed == pytest.approx(0.0, abs=1e-9)
        assert strand.stage == NATURAL


def test_hair_lightened_before_has_exposed_warmth():
    """Before anything more is done to it."""
    strand = simulate(Hair(5, lightened_to=8), Mixture("cream", 20), 0.0)
    assert strand.stage == "yellow"
    assert strand.exposed > 10.0
    hardly = simulate(Hair(5, lightened_to=5.1), Mixture("cream", 20), 0.0)
    assert 0.0 < hardly.exposed < EXPOSED
    assert hardly.stage == NATURAL


def test_every_member_has_its_own_nature():
    strands = ensemble(Hair(6, pheomelanin_share=0.33), Mixture("cream", 20), [0.0, 4.0, 40.0])
    assert np.all(strands.members.stage[:, 0] == NATURAL)
    assert 0.1 < np.mean(strands.members.stage[:, 1] == NATURAL) < 0.9
    assert NATURAL not in strands.members.stage[:, 2]


@given(
    st.floats(1.0, 10.0),
    st.sampled_from([None, 0.0, 0.33, 0.6]),
    st.sampled_from(["cream", "base-break", "powder"]),
    st.floats(5.0, 20.0),
)
def test_natural_comes_first_and_never_again(level, share, kind, volume):
    hair = Hair(level, pheomelanin_share=share)
    mixture = Mixture(kind, volume)
    minutes = np.linspace(0.0, longest_minutes(mixture, CURVES), 241)
    strand = simulate(hair, mixture, minutes)
    natural = strand.stage == NATURAL
    assert natural[0]
    assert np.all(np.diff(natural.astype(int)) <= 0)
    assert np.all(strand.exposed[natural] < EXPOSED)
