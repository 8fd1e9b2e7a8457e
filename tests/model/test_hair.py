"""Hair: what is accepted, kept and refused."""

from dataclasses import FrozenInstanceError

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.hair import FIBRES_UM, RED_SHARE, Hair


def test_defaults():
    hair = Hair(6)
    assert (hair.level, hair.fibre_um, hair.damp, hair.grey_percent) == (6.0, 70.0, False, 0.0)
    assert hair.pheomelanin_share is None
    assert hair.lightened_to is None
    assert isinstance(hair.level, float)


@pytest.mark.parametrize(("word", "low", "high"), [("fine", 0, 60), ("coarse", 80, 999)])
def test_words_for_fibres_fall_in_the_published_classes(word, low, high):
    """Fine < 60, medium 60 to 80, coarse >= 80 um (Wolfram 2003)."""
    assert low <= Hair(5, word).fibre_um <= high
    assert 60 <= Hair(5, "medium").fibre_um <= 80
    assert Hair(5, word).fibre_um == FIBRES_UM[word]


def test_red_share_is_the_published_one():
    """From 67/33 (Borges et al. 2001) to about equal (Ito & Wakamatsu 2011)."""
    assert 33.0 / (67.0 + 33.0) <= RED_SHARE <= 0.5


def test_arrays_are_kept_read_only():
    levels = np.array([3.0, 7.0])
    hair = Hair(levels, fibre_um=[[50.0], [90.0]])
    levels[0] = 1.0
    assert hair.level.tolist() == [3.0, 7.0]
    assert hair.fibre_um.shape == (2, 1)
    with pytest.raises(ValueError, match="read-only"):
        hair.level[0] = 1.0


def test_is_frozen():
    with pytest.raises(FrozenInstanceError):
        Hair(5).level = 6.0


@pytest.mark.parametrize(
    ("field", "low", "high"),
    [
        ("level", 1.0, 10.0),
        ("fibre_um", 30.0, 130.0),
        ("pheomelanin_share", 0.0, 1.0),
        ("grey_percent", 0.0, 100.0),
    ],
)
def test_ranges_are_closed_and_errors_name_the_nearest(field, low, high):
    for value in (low, high):
        assert getattr(Hair(**{"level": 5.0, field: value}), field) == value
    for value, nearest in ((low - 0.01, low), (high + 0.01, high), (np.inf, high), (-np.inf, low)):
        with pytest.raises(LiftError, match=rf"outside {low:g} to {high:g}.*nearest: {nearest:g}"):
            Hair(**{"level": 5.0, field: value})
    for value in (np.nan, [low, np.nan]):
        with pytest.raises(LiftError, match="nan"):
            Hair(**{"level": 5.0, field: value})
    with pytest.raises(LiftError, match="not a number"):
        Hair(**{"level": 5.0, field: [None, "x"]})


def test_one_bad_element_of_an_array_is_named():
    with pytest.raises(LiftError, match="natural level 11 is outside 1 to 10; nearest: 10"):
        Hair([3.0, 11.0, 5.0])


@pytest.mark.parametrize("bad", [0, 1, "yes", None])
def test_damp_is_true_or_false(bad):
    with pytest.raises(LiftError, match="not true or false"):
        Hair(5, damp=bad)
    assert Hair(5, damp=np.bool_(True)).damp


def test_unknown_word_suggests_the_nearest():
    with pytest.raises(LiftError, match=r"'fin' is not one of fine, medium, coarse.*mean fine"):
        Hair(5, "fin")


def test_earlier_lightening_cannot_darken():
    assert Hair(5, lightened_to=5).lightened_to == 5.0
    assert Hair(5, lightened_to=10).lightened_to == 10.0
    with pytest.raises(LiftError, match=r"level 4 is darker than the natural level 5; nearest: 5"):
        Hair(5, lightened_to=4)
    with pytest.raises(LiftError, match="darker"):
        Hair([5.0, 7.0], lightened_to=6.0)
    for bad in (12.1, np.nan, np.inf):
        with pytest.raises(LiftError, match="earlier lightening"):
            Hair(5, lightened_to=bad)


def test_replace():
    hair = Hair(5, "fine", damp=True)
    assert hair.replace(level=6).level == 6.0
    assert hair.replace(level=6).fibre_um == 50.0
    assert hair.level == 5.0
    with pytest.raises(LiftError, match=r"hair field 'levl'.*did you mean level"):
        hair.replace(levl=6)
    with pytest.raises(LiftError, match="natural level"):
        hair.replace(level=0)
