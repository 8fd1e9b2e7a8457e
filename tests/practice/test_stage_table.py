"""The table of levels."""

import json

import numpy as np
import pytest

from lift.answers import to_dict
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.model.stages import STAGE_OF_LEVEL, underpigment_ladder
from lift.practice.cautions import ALWAYS
from lift.practice.stage_table import stage_table
from lift.practice.tone import tone_direction

CURVES = default_curves()
TABLE = stage_table(CURVES)


def test_one_row_for_each_level():
    assert TABLE.levels.tolist() == list(range(1, 11))
    assert TABLE.stages == STAGE_OF_LEVEL
    assert TABLE.natural.shape == TABLE.underpigment.shape == (10, 3)
    np.testing.assert_array_equal(TABLE.natural, natural_path(CURVES).lab_of_level(TABLE.levels))
    np.testing.assert_array_equal(TABLE.underpigment, underpigment_ladder(CURVES).lab)


def test_underpigment_is_as_light_as_natural_hair_and_warmer():
    np.testing.assert_allclose(TABLE.underpigment[:, 0], TABLE.natural[:, 0], atol=5e-3)
    assert np.all(TABLE.warmth > 0.0)
    np.testing.assert_allclose(TABLE.warmth, natural_path(CURVES).warmth(TABLE.underpigment))


def test_json_form():
    shown = json.loads(json.dumps(to_dict(TABLE), allow_nan=False))
    assert set(shown) == {"stages", "cautions", "cautions_codes", "curve_set"}
    assert shown["cautions"] == list(map(str, ALWAYS))
    assert shown["curve_set"]["name"] == "default"
    rows = shown["stages"]
    assert [row["level"] for row in rows] == list(range(1, 11))
    for i, row in enumerate(rows):
        assert set(row) == {"level", "natural", "underpigment", "warmth", "stage", "tone"}
        assert {"hue_deg", "munsell", "wheel", "amount"} <= set(row["tone"])
        assert row["stage"] == STAGE_OF_LEVEL[i]
        assert row["underpigment"] == pytest.approx(TABLE.underpigment[i], abs=1e-4)
        alone = tone_direction(TABLE.underpigment[i])
        assert row["tone"]["hue_deg"] == pytest.approx(float(alone.hue_deg), abs=1e-4)
        assert row["tone"]["wheel"] == alone.wheel
        assert row["tone"]["needed"] is bool(alone.needed)


def test_follows_the_curve_set():
    other = stage_table(CURVES.replace(half_oxidised_yield=0.2))
    # Half-oxidised melanin is the warmth of dark underpigment; what is lighter has used it up.
    assert np.all(other.warmth[1:6] < TABLE.warmth[1:6])
