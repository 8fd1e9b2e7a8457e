"""Developers: what can be bought, what two of them make, and what goes into the bowl."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift import LiftError, Mixture, default_curves
from lift.chemistry.strength import LIMIT_VOLUME, molar_to_volume, volume_to_molar
from lift.model.developer import (
    LEAST_VOLUME,
    MOST_PARTS,
    RATIOS,
    Developer,
    Developers,
    developer_choices,
    nearest_developer,
    whole_mixture,
)

SHIPPED = default_curves().mixtures.developers
VOLUMES = st.floats(LEAST_VOLUME, LIMIT_VOLUME)
PARTS = st.integers(1, MOST_PARTS)
TWO = st.lists(VOLUMES, min_size=2, max_size=2, unique=True).map(sorted)
LISTS = st.lists(st.integers(1, 40), min_size=1, max_size=8, unique=True).map(sorted)


# Values


@pytest.mark.parametrize(
    ("parts", "volume", "said"),
    [
        (((10, 1),), 10.0, "10 vol"),
        (((7.5, 3),), 7.5, "7.5 vol"),
        (((10, 1), (20, 1)), 15.0, "15 vol (1 part 10 vol + 1 part 20 vol)"),
        (((10, 1), (20, 2)), 50.0 / 3.0, "16.7 vol (1 part 10 vol + 2 parts 20 vol)"),
        (((30, 3), (40, 1)), 32.5, "32.5 vol (3 parts 30 vol + 1 part 40 vol)"),
    ],
)
def test_values(parts, volume, said):
    made = Developer(parts)
    assert made.volume == pytest.approx(volume, rel=1e-15)
    assert made.mixed == (len(parts) > 1)
    assert str(made.note) == said
    # A mixture takes its parts, or its strength alone.
    assert Mixture("cream", made.parts).developer_volume == Mixture("cream", made.volume).volume


def test_choices_are_the_bottles_and_neighbours_mixed():
    assert [round(made.volume, 2) for made in developer_choices((10, 20, 40))] == [
        *(10.0, 13.33, 15.0, 16.67, 20.0, 26.67, 30.0, 33.33, 40.0)
    ]
    assert [made.volume for made in developer_choices(SHIPPED, ((1, 1),))] == [
        *(5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0)
    ]
    assert [made.parts for made in developer_choices((20,))] == [((20.0, 1),)]
    assert [made.volume for made in developer_choices((10, 20), ((3, 1),))] == [10.0, 12.5, 20.0]


@pytest.mark.parametrize(
    ("wanted", "parts"),
    [
        (0.0, ((5.0, 1),)),
        (7.4, ((5.0, 1), (10.0, 1))),
        (10.0, ((10.0, 1),)),
        (18.0, ((10.0, 1), (20.0, 2))),
        (18.4, ((20.0, 1),)),
        (40.0, ((40.0, 1),)),
    ],
)
def test_nearest(wanted, parts):
    assert nearest_developer(wanted, SHIPPED).parts == parts


def test_of_two_equally_near_the_weaker_is_taken():
    assert nearest_developer(15.0, (10, 20), ratios=()).volume == 10.0
    assert nearest_developer(10.0 + 5.0 / 3.0, (10, 20), ((2, 1),)).volume == 10.0


@pytest.mark.parametrize(
    ("product", "parts", "ratio", "said"),
    [
        ("powder", ((20, 1),), 2.0, "1 part powder, 2 parts 20 vol developer"),
        ("cream", ((20, 1),), 1.5, "2 parts cream, 3 parts 20 vol developer"),
        (
            "powder",
            ((10, 1), (20, 1)),
            2.0,
            "1 part powder, 1 part 10 vol developer, 1 part 20 vol developer",
        ),
        (
            "cream",
            ((10, 1), (20, 2)),
            1.0,
            "3 parts cream, 1 part 10 vol developer, 2 parts 20 vol developer",
        ),
        # Nobody counts parts such as these.
        ("cream", ((20, 1),), 1.37, "1 part cream, 1.37 parts 20 vol developer"),
    ],
)
def test_the_whole_mixture_in_parts(product, parts, ratio, said):
    assert str(whole_mixture(product, Developer(parts), ratio)) == f"{said}, by weight"


# Laws


@given(TWO, PARTS, PARTS)
def test_peroxide_is_conserved(two, few, more):
    """Moles in both bottles are moles in the bowl; the strength lies between theirs."""
    made = Developer(((two[0], few), (two[1], more)))
    moles = few * volume_to_molar(two[0]) + more * volume_to_molar(two[1])
    assert made.volume == pytest.approx(float(molar_to_volume(moles / (few + more))), rel=1e-12)
    assert two[0] <= made.volume <= two[1]


@given(LISTS)
def test_choices_rise_and_use_what_is_sold(sold):
    choices = developer_choices(sold)
    volumes = [made.volume for made in choices]
    assert np.all(np.diff(volumes) > 0.0)
    assert len(choices) == len(sold) + len(RATIOS) * (len(sold) - 1)
    assert [made.volume for made in choices if not made.mixed] == sold
    for made in choices:
        at = [sold.index(volume) for volume, _ in made.parts]
        assert at == list(range(at[0], at[0] + len(at)))
        weight = sum(share for _, share in made.parts)
        poured = sum(volume * share for volume, share in made.parts)
        assert made.volume * weight == pytest.approx(poured, rel=1e-14)


@given(st.floats(0.0, LIMIT_VOLUME), LISTS)
def test_nothing_is_nearer_than_the_nearest(wanted, sold):
    found = nearest_developer(wanted, sold)
    choices = developer_choices(sold)
    assert found in choices
    assert all(abs(found.volume - wanted) <= abs(made.volume - wanted) + 1e-9 for made in choices)


@given(TWO, PARTS, PARTS, st.floats(0.1, 10.0))
def test_the_whole_mixture_has_the_ratio_and_the_strength_asked_for(two, few, more, ratio):
    made = Developer(((two[0], few), (two[1], more)))
    product, *poured = whole_mixture("cream", made, ratio)["parts"]
    amounts = np.array([each["parts"] for each in poured])
    # Parts that nobody counts are said to a hundredth.
    assert amounts.sum() == pytest.approx(product["parts"] * ratio, abs=0.011)
    assert amounts == pytest.approx(product["parts"] * ratio * np.array([few, more]) / (few + more),
                                    abs=0.0051)  # fmt: skip
    assert [each["volume"] for each in poured] == two


def test_by_weight_is_as_good_as_by_volume_to_a_quarter_of_a_volume():
    """10 and 40 vol weigh 1.01 and 1.04 g/mL: an equal weight of each is less of the stronger."""
    moles = volume_to_molar([10.0, 40.0]) / [1.01, 1.04]
    by_weight = molar_to_volume(moles.sum() / np.sum(1.0 / np.array([1.01, 1.04])))
    assert by_weight == pytest.approx(24.8, abs=0.05)
    assert Developer(((10, 1), (40, 1))).volume - by_weight < 0.25


# Errors


@pytest.mark.parametrize(
    ("parts", "why"),
    [
        ((), r"developer \(\) is not one or two"),
        (10, "developer 10 is not one or two"),
        (((10, 1, 2),), "is not one or two"),
        (((10, 1), (20, 1), (30, 1)), "is not one or two"),
        (((20, 1), (10, 1)), "the weaker first"),
        (((10, 1), (10, 1)), "the weaker first"),
        (((41, 1),), "developer volume 41 vol is outside 1 to 40 vol; nearest: 40 vol"),
        (((0, 1),), "developer volume 0 vol is outside 1 to 40 vol; nearest: 1 vol"),
        (((np.nan, 1),), "developer volume nan"),
        (((np.inf, 1),), "developer volume inf"),
        (((10, 11),), "parts of developer 11 is outside 1 to 10; nearest: 10"),
        (((10, 0),), "parts of developer 0 is outside 1 to 10"),
        (((10, 1.5),), "parts of developer 1.5 is not a whole number"),
    ],
)
def test_what_is_no_developer_is_refused(parts, why):
    with pytest.raises(LiftError, match=why):
        Developer(parts)


@pytest.mark.parametrize("bad", [-0.1, 40.1, np.nan, np.inf, "strong", [10.0]])
def test_a_strength_outside_the_limit_has_no_nearest(bad):
    with pytest.raises(LiftError, match=r"developer volume .*0 to 40 ?vol"):
        nearest_developer(bad, SHIPPED)


@pytest.mark.parametrize("bad", [0.0, 10.1, np.nan])
def test_parts_outside_the_range_are_refused(bad):
    with pytest.raises(LiftError, match=r"developer parts .*0\.1 to 10"):
        whole_mixture("cream", Developer(((20, 1),)), bad)


def test_a_list_is_a_sequence_that_rises():
    sold = Developers([6, 12, 18], "assumed", "made up for a test")
    assert (len(sold), sold[0], sold[1:], 12.0 in sold) == (3, 6.0, (12.0, 18.0), True)
    assert hash(sold) == hash(Developers((6.0, 12.0, 18.0), "assumed", "made up for a test"))
    with pytest.raises(LiftError, match="12 vol behind 18 vol is not above 18 to 40 vol"):
        Developers((6, 18, 12), "assumed", "made up for a test")
