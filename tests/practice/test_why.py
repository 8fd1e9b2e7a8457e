"""Bands taken apart: this head, and what nobody has measured."""

from dataclasses import replace

import numpy as np
import pytest

from lift import Hair, Mixture, default_curves, preview
from lift.model.ensemble import ensemble
from lift.practice.why import LEAST_SHARE, MOST_CAUSES, why

CURVES = default_curves()
SEEN = preview(Hair(5.0), Mixture("cream", 30.0), 30.0)
FOUND = why(SEEN)


@pytest.mark.parametrize("name", ["level", "warmth"])
def test_parts_are_ensembles_of_their_own(name):
    part = getattr(FOUND, name)
    latent = SEEN.drawn.latent
    head, rest = latent.copy(), np.tile(latent.mean(axis=0), (len(latent), 1))
    head[:, -1], rest[:, -1] = 0.0, latent[:, -1]
    for deviates, ends in ((head, part.of_head), (rest, part.unmeasured)):
        drawn = ensemble(SEEN.hair, SEEN.mixture, [30.0], CURVES, latent=deviates)
        values = getattr(drawn.members, name)[:, 0]
        assert ends == pytest.approx(np.percentile(values, [5.0, 95.0]))
    low, _, high = SEEN.band_at(name)
    assert part.whole == pytest.approx((low, high))
    assert 0.0 < part.head_share < 1.0


def test_without_a_posterior_all_of_it_is_this_head():
    known = replace(CURVES, posterior=None)
    found = why(preview(Hair(5.0), Mixture("cream", 30.0), 30.0, curves=known))
    assert found.warmth.head_share == found.level.head_share == 1.0
    assert found.warmth.of_head == pytest.approx(found.warmth.whole)
    assert found.warmth.unmeasured[0] == pytest.approx(found.warmth.unmeasured[1])
    assert found.causes == ()


def test_causes_are_drawn_numbers_the_largest_first():
    names, shares = zip(*FOUND.causes, strict=True)
    assert set(names) <= set(CURVES.posterior.names)
    assert len(names) <= MOST_CAUSES
    assert list(shares) == sorted(shares, reverse=True)
    assert all(LEAST_SHARE <= share <= 1.0 for share in shares)


def test_what_is_known_by_hand_is_no_cause():
    (first, _), *_ = FOUND.causes
    known = CURVES.replace(**{first: CURVES.values[first]})
    found = why(preview(Hair(5.0), Mixture("cream", 30.0), 30.0, curves=known))
    assert first not in dict(found.causes)
