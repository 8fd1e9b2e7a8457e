"""Cautions in order: what is special to a mixture and hair, what always holds, what is known."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import ALWAYS, UNMIXED, apart, cautions, in_order
from lift.practice.overprocessing import overprocessed
from lift.words import note

PALE, HOT = Hair(6.0, lightened_to=9.0), Mixture("powder", 20.0, temperature_c=45.0)
EVERY = (
    *overprocessed(PALE, HOT, [10.4]),
    note("plan.caution", zone="ends", caution=overprocessed(PALE, HOT, [9.0] * 9 + [10.4])[0]),
    note("plan.past_domain", zone="ends", minutes=61.0, longest=60.0, kind="powder"),
    note("extrapolates.mixture", kind="powder"),
    *cautions(HOT, 60.0, PALE, default_curves()),
)


@given(st.permutations(EVERY))
def test_whatever_the_order_they_are_told_in_the_same_kinds(said):
    told = apart(said)
    assert set(told.standing) == set(ALWAYS)
    assert [each.code for each in told.background] == ["overprocessed.known"]
    assert {*told.special, *told.standing, *told.background} == set(EVERY)
    # What may hurt comes before how far a prediction holds.
    bounds = [each.code.startswith(("domain", "extrap", "plan.past")) for each in told.special]
    assert bounds == sorted(bounds)
    assert 3 <= sum(bounds) < len(bounds)


def test_nothing_is_told_twice_and_ordering_again_changes_nothing():
    once = in_order(EVERY + EVERY)
    assert len(once) == len(set(EVERY))
    assert in_order(once) == once
    assert once[0].code == "overprocessed.bare"
    assert once[-1].code == "overprocessed.known"


@pytest.mark.parametrize(
    ("mixture", "minutes", "hair", "first"),
    [
        (Mixture("powder", 20.0), 20.0, None, "caution.persulfate"),
        (Mixture("cream", 20.0, temperature_c=36.0), 20.0, None, "caution.heat"),
        (Mixture("cream", 20.0), 20.0, Hair(5.0, lightened_to=6.0), "caution.lightened"),
        (Mixture("cream", 20.0), 55.0, None, "domain.edge"),
        (Mixture("cream", 20.0), 20.0, None, "caution.allergy"),
    ],
)
def test_the_one_that_applies_comes_first(mixture, minutes, hair, first):
    assert cautions(mixture, minutes, hair)[0].code == first


def test_the_one_sentence_stands_for_the_standing_ones():
    assert apart(UNMIXED).standing == UNMIXED
    for word in ("allergy", "strand", "maker", "pain", "scalp", "gloves", "eyes", "licensed"):
        assert word in str(UNMIXED[0])
