"""Natural path: level, lightness and warmth."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.model.strand import natural_pigment, strand_lab
from lift.optics.colorimetry import chroma

CURVES = default_curves()
PATH = natural_path(CURVES)


def test_lightness_of_each_level():
    """Measured tresses: black (level 1) 18.3 to 21.6, dark brown (level 3) 22 to 24 in L* (J.
    Cosmet. Sci. 51 (2000), Tables III and IV); the lightest is nearly unpigmented, 75 (memory)."""
    lightness = PATH.lab_of_level(np.arange(1.0, 11.0))[:, 0]
    assert 18.0 < lightness[0] < 21.6
    assert 22.0 < lightness[2] < 24.0
    assert 67.0 <= lightness[9] < 75.0
    assert np.all(np.diff(PATH.lab[:, 0]) > 0.0)


def test_table_is_the_model_itself():
    levels = np.array([1.0, 3.33, 6.789, 10.0, 14.2])
    exact = strand_lab(natural_pigment(levels, 0.05, CURVES.values), CURVES.values)
    np.testing.assert_allclose(PATH.lab_of_level(levels), exact, atol=2e-3)


@given(st.floats(-1.0, 16.0))
def test_level_and_lightness_are_inverse(level):
    lightness = PATH.lab_of_level(level)[0]
    assert PATH.level_of_lightness(lightness) == pytest.approx(level, abs=1e-6)
    np.testing.assert_allclose(
        PATH.lab_of_lightness(lightness), PATH.lab_of_level(level), atol=1e-9
    )


@given(st.floats(-1.0, 16.0))
def test_natural_hair_has_no_warmth(level):
    assert PATH.warmth(PATH.lab_of_level(level)) == pytest.approx(0.0, abs=2e-2)


def test_warmth_is_chroma_beyond_natural_hair_of_the_same_lightness():
    natural = PATH.lab_of_level(6.5)
    red, b = natural[1:]
    for factor in (0.0, 0.5, 1.5, 2.0):
        lab = np.array([natural[0], red * factor, b * factor])
        assert PATH.warmth(lab) == pytest.approx(chroma(natural) * (factor - 1.0), abs=2e-3)


@given(st.floats(0.0, 100.0), st.floats(-20.0, 60.0), st.floats(-20.0, 60.0))
def test_the_levels_beside_hair_are_the_two_between_which_it_is_as_light(lightness, a, b):
    (below, above), lab = PATH.levels_beside((lightness, a, b))
    assert above == below + 1.0
    assert 1.0 <= below <= 9.0
    np.testing.assert_allclose(lab, PATH.lab_of_level([below, above]))
    darkest, lightest = PATH.lab_of_level([1.0, 10.0])[:, 0]
    if darkest <= lightness <= lightest:
        assert lab[0, 0] - 1e-3 <= lightness <= lab[1, 0] + 1e-3
    else:
        assert (below, above) == ((1.0, 2.0) if lightness < darkest else (9.0, 10.0))


@pytest.mark.parametrize("level", np.arange(1.0, 11.0))
def test_hair_of_a_whole_level_has_it_beside_it(level):
    assert level in PATH.levels_beside(PATH.lab_of_level(level))[0]


def test_levels_beside_broadcast():
    levels, lab = PATH.levels_beside(np.full((2, 3, 3), 40.0))
    assert (levels.shape, lab.shape) == ((2, 3, 2), (2, 3, 2, 3))


def test_broadcasting():
    assert PATH.lab_of_level(np.ones((2, 3))).shape == (2, 3, 3)
    assert PATH.lab_of_level(5.0).shape == (3,)
    assert PATH.level_of_lightness(np.full((2, 3), 40.0)).shape == (2, 3)
    assert PATH.level_of_lightness(40.0).shape == ()
    assert PATH.lab_of_lightness(np.full((2, 3), 40.0)).shape == (2, 3, 3)
    assert PATH.warmth(np.full((2, 4, 3), 40.0)).shape == (2, 4)
    assert PATH.warmth([40.0, 5.0, 9.0]).shape == ()


def test_beyond_the_ends():
    low, high = PATH.lab[0], PATH.lab[-1]
    assert PATH.level_of_lightness([0.0, 100.0]).tolist() == [-1.0, 16.0]
    beyond = PATH.lab_of_lightness([0.0, 100.0])
    assert beyond[:, 0].tolist() == [0.0, 100.0]
    np.testing.assert_array_equal(beyond[:, 1:], [low[1:], high[1:]])


def test_bad_numbers():
    for bad in (-1.01, 16.01, np.nan, np.inf, [5.0, np.nan]):
        with pytest.raises(LiftError, match="level"):
            PATH.lab_of_level(bad)
    # Colour follows colorimetry's rule: an element that is nan gives nan.
    assert np.isnan(PATH.level_of_lightness(np.nan))
    assert np.isnan(PATH.lab_of_lightness(np.nan)).all()
    warm = PATH.warmth([[np.nan, 1.0, 1.0], [40.0, 1.0, 1.0]])
    assert np.isnan(warm).tolist() == [True, False]
    with pytest.raises(LiftError, match="infinite"):
        PATH.warmth([np.inf, 1.0, 1.0])


def test_one_table_for_equal_curve_sets_and_read_only():
    # Asked for twice here: other tests may have filled the memory since this file was read.
    assert natural_path(CURVES.replace(name=CURVES.name)) is natural_path(CURVES)
    lighter = natural_path(CURVES.replace(melanin_at_level_3=0.5))
    assert np.all(lighter.lab[:, 0] > PATH.lab[:, 0])
    with pytest.raises(ValueError, match="read-only"):
        PATH.lab[0] = 0.0
