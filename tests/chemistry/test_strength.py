"""Developer strength: units, mixing, the limit, and what drives the rate."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.chemistry.strength import (
    LIMIT_VOLUME,
    arrhenius_factor,
    check_on_head,
    hydroperoxide_fraction,
    mix_developers,
    molar_to_volume,
    on_head_volume,
    percent_to_volume,
    volume_to_molar,
    volume_to_percent,
)
from lift.errors import LiftError, LimitError

VOLUMES = st.floats(0.0, 500.0)
PARTS = st.floats(0.01, 1000.0)
NOT_NUMBERS = (np.nan, np.inf, -np.inf, [1.0, np.nan], "strong", None)


def test_values():
    assert volume_to_molar(11.207) == pytest.approx(1.0, rel=1e-12)
    assert volume_to_percent(11.207) == pytest.approx(3.40147, rel=1e-12)
    assert volume_to_molar(0.0) == 0.0
    assert mix_developers([10, 20], [2, 1]) == pytest.approx(40 / 3)
    assert mix_developers(20.0, 3.0) == 20.0
    assert on_head_volume(20.0, 1.0) == 10.0
    assert on_head_volume(30.0, 2.0) == 20.0
    assert on_head_volume(30.0, 0.0) == 0.0
    assert on_head_volume(30.0, 2.0, 0.0) == 30.0
    assert arrhenius_factor(25.0, 25.0, 60.0) == 1.0
    # exp(50000 / 8.314462618 * (1/298.15 - 1/308.15)), worked by hand
    assert arrhenius_factor(35.0, 25.0, 50.0) == pytest.approx(1.9242, abs=2e-4)
    assert arrhenius_factor(35.0, 25.0, 0.0) == 1.0


@pytest.mark.parametrize(
    ("there", "back"),
    [(volume_to_molar, molar_to_volume), (volume_to_percent, percent_to_volume)],
)
def test_conversions_undo_each_other(there, back):
    volumes = np.linspace(0.0, 500.0, 101)
    np.testing.assert_allclose(back(there(volumes)), volumes, rtol=1e-14)


def test_units_percent_is_grams_in_100_ml():
    np.testing.assert_allclose(
        volume_to_percent([10.0, 40.0]), volume_to_molar([10.0, 40.0]) * 34.0147 * 0.1
    )


def test_scale_of_parts_does_not_matter():
    assert on_head_volume(30.0, 2.0, 1.0) == pytest.approx(float(on_head_volume(30.0, 60.0, 30.0)))
    assert mix_developers([10, 40], [1, 3]) == pytest.approx(mix_developers([10, 40], [5, 15]))


def test_broadcasting():
    assert volume_to_molar(np.ones((2, 3))).shape == (2, 3)
    assert volume_to_molar(10.0).shape == ()
    assert on_head_volume([[10.0], [20.0]], [1.0, 2.0, 3.0]).shape == (2, 3)
    assert on_head_volume(20.0, 1.0, [1.0, 3.0]).tolist() == [10.0, 5.0]
    assert hydroperoxide_fraction([[9.0], [10.0]], [11.6, 11.75]).shape == (2, 2)
    assert arrhenius_factor([[20.0], [30.0]], 25.0, [40.0, 60.0, 80.0]).shape == (2, 3)
    assert check_on_head(np.full((2, 2), 10.0)).shape == (2, 2)


@pytest.mark.parametrize(
    "call",
    [
        volume_to_molar,
        molar_to_volume,
        volume_to_percent,
        percent_to_volume,
        hydroperoxide_fraction,
        lambda x: hydroperoxide_fraction(10.0, x),
        lambda x: on_head_volume(x, 1.0),
        lambda x: on_head_volume(20.0, x),
        lambda x: on_head_volume(20.0, 1.0, x),
        lambda x: arrhenius_factor(x, 25.0, 60.0),
        lambda x: arrhenius_factor(25.0, x, 60.0),
        lambda x: arrhenius_factor(25.0, 25.0, x),
    ],
)
def test_nan_stays_where_it_is(call):
    """Ranges are held where a mixture is made; here nothing is swallowed."""
    assert np.isnan(call([1.0, np.nan])).tolist() == [False, True]


@pytest.mark.parametrize("bad", NOT_NUMBERS)
def test_what_is_no_number_is_not_let_onto_a_head(bad):
    with pytest.raises(LiftError, match="strength on the head") as caught:
        check_on_head(bad)
    assert "\n" not in str(caught.value)


def test_out_of_range_names_the_nearest():
    with pytest.raises(LiftError, match="nearest"):
        check_on_head(-1.0)


def test_impossible_mixtures_are_refused():
    with pytest.raises(LiftError, match="add up to 0"):
        mix_developers([10.0, 20.0], [np.nan, 1.0])
    with pytest.raises(LiftError, match="add up to 0"):
        mix_developers([10.0, 20.0], [0.0, 0.0])
    with pytest.raises(LiftError, match="add up to 0"):
        mix_developers([], [])
    with pytest.raises(LiftError, match="do not pair up"):
        mix_developers([10.0, 20.0], [1.0])
    with pytest.raises(LiftError, match="do not pair up"):
        mix_developers([[10.0], [20.0]], [[1.0], [2.0]])


def test_limit_is_the_strength_on_the_head():
    assert check_on_head(on_head_volume(60.0, 2.0)) == 40.0
    assert check_on_head([10.0, 40.0]).tolist() == [10.0, 40.0]
    with pytest.raises(LimitError):
        check_on_head([10.0, 40.01])


@given(st.floats(1.0, 500.0), PARTS)
def test_rounding_never_refuses_the_limit_itself(volume, developer):
    """A product that dilutes exactly to the limit is allowed."""
    if volume >= LIMIT_VOLUME:
        product = developer * (volume / LIMIT_VOLUME - 1.0)
        if product <= 1000.0:
            check_on_head(on_head_volume(volume, developer, product))


@given(st.lists(st.tuples(VOLUMES, PARTS), min_size=1, max_size=5))
def test_a_blend_lies_between_its_parts(developers):
    volumes, parts = zip(*developers, strict=True)
    assert min(volumes) <= mix_developers(volumes, parts) <= max(volumes)


@given(VOLUMES, PARTS, PARTS)
def test_mixing_never_strengthens(volume, developer, product):
    assert 0.0 <= on_head_volume(volume, developer, product) <= volume * (1.0 + 1e-15)


@given(VOLUMES, VOLUMES)
def test_more_volume_is_never_less_peroxide(one, other):
    low, high = sorted((one, other))
    assert volume_to_molar(low) <= volume_to_molar(high)
    assert volume_to_percent(low) <= volume_to_percent(high)
    assert on_head_volume(low, 2.0) <= on_head_volume(high, 2.0)


@given(st.floats(0.0, 14.0), st.floats(0.0, 14.0))
def test_more_alkaline_is_never_less_anion(one, other):
    low, high = sorted((one, other))
    assert 0.0 < hydroperoxide_fraction(low) <= hydroperoxide_fraction(high) < 1.0


@given(st.floats(0.0, 100.0), st.floats(0.0, 100.0), st.floats(0.0, 200.0))
def test_more_heat_is_never_slower(one, other, energy):
    low, high = sorted((one, other))
    assert arrhenius_factor(low, 25.0, energy) <= arrhenius_factor(high, 25.0, energy)


@given(st.floats(0.0, 100.0), st.floats(0.0, 100.0), st.floats(0.0, 200.0))
def test_heat_there_and_back_is_one(here, there, energy):
    both = arrhenius_factor(here, there, energy) * arrhenius_factor(there, here, energy)
    assert both == pytest.approx(1.0, rel=1e-12)
