"""A toner as a step: parts, developer, grams and minutes, and what is left to the maker."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.chemistry.tone_kinds import TONE_KINDS
from lift.errors import LiftError
from lift.model.course import tone_formed
from lift.model.curves import default_curves
from lift.optics.dyes import MAX_DOSE, palette
from lift.practice.toning.toner_step import (
    FORMED,
    MOST_PARTS,
    NEAR_SHARE,
    parts_of,
    toner_step,
)
from lift.words import say

VALUES = default_curves().values
DOSES = st.dictionaries(
    st.sampled_from(tuple(palette())), st.floats(0.01, MAX_DOSE), min_size=1, max_size=3
)


def said(step, *names):
    lines = step.lines
    return " ".join(say(lines[name]) for name in names or lines)


# Parts.


@pytest.mark.parametrize(
    ("doses", "parts"),
    [
        ({"blue-violet": 2.2}, {"blue-violet": 1}),
        ({"violet": 2.0, "blue": 2.0}, {"violet": 1, "blue": 1}),
        ({"violet": 0.8, "blue-violet": 3.9}, {"blue-violet": 5, "violet": 1}),
        ({"violet": 3.0, "blue": 2.0}, {"violet": 3, "blue": 2}),
        ({"violet": 4.0, "blue": 2.0, "green": 2.0}, {"violet": 2, "blue": 1, "green": 1}),
    ],
)
def test_values(doses, parts):
    assert list(parts_of(doses).items()) == list(parts.items())


@given(DOSES)
def test_parts_are_whole_few_and_in_order(doses):
    parts = parts_of(doses)
    assert set(parts) == set(doses)
    assert all(isinstance(count, int) and count >= 1 for count in parts.values())
    # A trace gets a part, so that a dye more may add one.
    assert sum(parts.values()) <= MOST_PARTS + len(doses)
    counts = [parts[dye] for dye in sorted(doses, key=lambda dye: -doses[dye])]
    assert counts == sorted(counts, reverse=True)


@given(DOSES)
def test_only_shares_count(doses):
    assert parts_of({dye: dose / 4.0 for dye, dose in doses.items()}) == parts_of(doses)


@given(st.floats(1.0 / MOST_PARTS, 0.5))
def test_two_tones_are_as_near_as_parts_can_be(share):
    parts = parts_of({"violet": share, "blue": 1.0 - share})
    found = parts["violet"] / sum(parts.values())
    halves = np.arange(1, MOST_PARTS) / MOST_PARTS
    assert abs(found - share) <= max(NEAR_SHARE, np.min(np.abs(halves - share))) + 1e-12


# The step.


def test_one_tone_has_no_ratio():
    step = toner_step({"blue-violet": 2.2, "violet": 0.0}, "direct", VALUES)
    assert said(step, "mix") == "blue-violet"
    assert said(step, "developer") == "no developer: it is used as it is"
    assert step.developer is step.grams is step.toner_grams is None
    assert say(step.words).startswith("blue-violet, no developer; the maker's minutes")


def test_an_oxidative_toner_has_the_makers_developer():
    step = toner_step({"blue": 4.0, "violet": 2.0}, "permanent", VALUES, grams=60.0)
    assert said(step, "mix").startswith("2 parts blue + 1 part violet")
    assert "usually 5 to 10 vol, 1 : 1 to 1 : 2 (common practice, no source)" in said(step)
    assert step.developer.status == "common practice"
    assert step.toner_grams == pytest.approx((20.0, 30.0))
    assert "60 g mixed, 20 to 30 g of it toner" in said(step, "grams")
    assert "60 g" in say(step.words)


@pytest.mark.parametrize("kind", TONE_KINDS)
def test_each_kind_says_what_it_is_and_whether_it_needs_a_developer(kind):
    step = toner_step({"blue": 4.0}, kind, VALUES)
    assert (step.developer is None) == (kind == "direct")
    assert said(step, "kind").startswith(f"{kind}: ")
    assert ("deposits only" in said(step, "kind")) == (kind == "demi-permanent")
    formed = tone_formed(step.formed_minutes, 1.0, TONE_KINDS[kind].minutes(VALUES))
    assert formed == pytest.approx(FORMED)


def test_minutes_are_the_makers_and_formation_is_the_curve_sets():
    step = toner_step({"blue": 4.0}, "permanent", VALUES)
    formed = tone_formed(step.formed_minutes, 1.0, VALUES["tone_minutes"])
    assert formed == pytest.approx(FORMED)
    twice = {**VALUES, "tone_minutes": 2.0 * VALUES["tone_minutes"]}
    slower = toner_step({"blue": 4.0}, "permanent", twice)
    assert slower.formed_minutes == pytest.approx(2.0 * step.formed_minutes)
    words = said(step, "minutes")
    assert words.startswith("the maker's")
    assert f"90 % of a dose has taken after {step.formed_minutes:.0f} min (assumed)" in words


@pytest.mark.parametrize(
    ("levels", "words"),
    [
        ((7.6, 6.6), "as light as level 7.6 down to 6.6"),
        ((7.61, 7.59), "hardly darkens a swatch as light as level 7.6"),
        (None, "a swatch of this hair tells which"),
    ],
)
def test_strength_is_what_it_does_and_the_scale_the_makers(levels, words):
    step = toner_step({"blue": 4.0}, "direct", VALUES, levels=levels)
    assert words in said(step, "strength")
    assert "the maker's scale" in said(step, "strength")
    # No dose is told as an amount to weigh.
    assert "4.0" not in said(step)


def test_nothing_laid_is_no_step():
    assert toner_step({}, "direct", VALUES) is None
    assert toner_step({"blue": 0.0}, "direct", VALUES) is None


@pytest.mark.parametrize(
    ("doses", "kind", "message"),
    [
        ({"blue": 4.0}, "direkt", "did you mean direct"),
        ({"pink": 4.0}, "direct", "dye 'pink'"),
        ({"blue": float("nan")}, "direct", "nan"),
        ({"blue": -1.0}, "direct", "-1"),
    ],
)
def test_bad_input_is_refused(doses, kind, message):
    with pytest.raises(LiftError, match=message):
        toner_step(doses, kind, VALUES)
