"""Colours of the stages lie where their words may be used: common practice (no source).

Agreement is plausibility, not proof. Words for colours stand between hues of Munsell's book, an
open standard; lightness and chroma tell the yellows apart, whose hues hardly differ on hair.
"""

import numpy as np
import pytest

from lift.model.curves import default_curves
from lift.model.stages import STAGE_OF_LEVEL, underpigment_ladder
from lift.optics.colorimetry import chroma, delta_e_2000, hue_deg
from lift.optics.hue_names import munsell_hue_degrees
from lift.reference import load

LADDER = underpigment_ladder(default_curves())
REGIONS = load("stage_regions")
ORDER = REGIONS.words("stage")

HAS_A_HUE = 5.0
"""C*ab from which a colour's hue is judged: nearly black hair has none (assumed)."""

EVEN = 2.5
"""Largest step of the ladder, in CIEDE2000, over its smallest (assumed): 1 would be equal steps,
but they must shrink towards black and towards unpigmented hair."""


def outside(stage, lab):
    """How far each colour, shape (n, 3), is outside a word's region in L*, C*ab and degrees."""
    seen = np.stack([lab[:, 0], chroma(lab), hue_deg(lab)], axis=-1)
    low, high = (
        REGIONS.numbers(*(f"{axis}_{end}" for axis in ("lightness", "chroma", "hue")))
        for end in ("low", "high")
    )
    row = ORDER.index(stage)
    off = np.maximum(np.maximum(low[row] - seen, seen - high[row]), 0.0)
    off[seen[:, 1] < HAS_A_HUE, 2] = 0.0
    return off


def rungs(stage):
    return LADDER.lab[[name == stage for name in LADDER.stages]]


def test_every_stage_has_a_region_between_hues_of_munsells_book():
    assert tuple(dict.fromkeys(STAGE_OF_LEVEL)) == ORDER
    lows, highs = REGIONS.numbers("hue_low"), REGIONS.numbers("hue_high")
    for words, low, high in zip(REGIONS.words("munsell"), lows, highs, strict=True):
        if words:
            said = [munsell_hue_degrees(hue) for hue in words.split(" to ")]
            assert [low, high] == pytest.approx(said, abs=1.0)


def test_regions_follow_one_another():
    for axis in ("lightness", "hue"):
        low, high = REGIONS.numbers(f"{axis}_low"), REGIONS.numbers(f"{axis}_high")
        assert np.all(low < high)
        assert np.all(np.diff(low) >= 0.0)
    assert np.all(REGIONS.numbers("chroma_low") < REGIONS.numbers("chroma_high"))


@pytest.mark.parametrize("stage", ORDER)
def test_a_stage_has_a_colour_that_its_word_may_name(stage):
    np.testing.assert_array_equal(outside(stage, rungs(stage)), 0.0)


@pytest.mark.parametrize("stage", ORDER)
def test_a_word_names_no_stage_beyond_its_neighbours(stage):
    """A region that held every colour would be no test."""
    for other in ORDER:
        if abs(ORDER.index(other) - ORDER.index(stage)) > 1:
            assert np.all(outside(stage, rungs(other)).max(axis=1) > 0.0)


def test_yellow_is_clearly_lighter_than_orange():
    orange, yellow = (rungs(stage)[0] for stage in ("orange", "yellow"))
    assert yellow[0] > orange[0] + 10.0


def test_steps_are_even_to_the_eye():
    steps = delta_e_2000(LADDER.lab[1:], LADDER.lab[:-1])
    assert steps.max() < EVEN * steps.min()
