"""Evenly spread members give smooth probabilities."""

import numpy as np
import pytest
from scipy.stats import norm

from lift.errors import LiftError
from lift.model.ensemble import LATENT, MEMBERS, draw_latent


@pytest.mark.parametrize("members", [2, 37, MEMBERS, 1000])
def test_one_deviate_in_every_stratum(members):
    strata = np.floor(norm.cdf(draw_latent(members)) * members).astype(int)
    assert draw_latent(members).shape == (members, len(LATENT))
    for column in strata.T:
        assert sorted(column) == list(range(members))


def test_columns_hardly_follow_each_other():
    correlation = np.corrcoef(draw_latent(MEMBERS).T)
    assert np.abs(correlation - np.eye(len(LATENT))).max() < 0.12


@pytest.mark.parametrize("seed", range(5))
def test_shares_of_corners_are_met_better_than_by_chance(seed):
    """Half-spaces of the sum of the deviates: what probabilities of warmth look like."""
    total = draw_latent(MEMBERS, seed).sum(axis=1) / np.sqrt(len(LATENT))
    for at in (-1.5, -0.5, 0.0, 0.5, 1.5):
        by_chance = np.sqrt(norm.cdf(at) * norm.sf(at) / MEMBERS)
        assert abs(np.mean(total < at) - norm.cdf(at)) < 1.5 * by_chance


def test_seed_decides_and_the_draw_cannot_be_written():
    assert np.array_equal(draw_latent(50, 3), draw_latent(50, 3))
    assert not np.array_equal(draw_latent(50, 3), draw_latent(50, 4))
    with pytest.raises(ValueError, match="read-only"):
        draw_latent(50, 3)[0, 0] = 0.0


@pytest.mark.parametrize("members", [1, 100_001, float("nan")])
def test_a_number_of_members_out_of_range_is_refused(members):
    with pytest.raises(LiftError, match="members"):
        draw_latent(members)
