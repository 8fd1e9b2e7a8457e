"""Preview: the main job in one call, its JSON form and its cautions."""

import json

import numpy as np
import pytest

from lift.answers import to_dict
from lift.answers.encode import encode, plain
from lift.answers.parts import rounded, tone_part
from lift.answers.strand_parts import window_part
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.ensemble import MEMBERS
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.trajectory import simulate
from lift.practice.cautions import ALWAYS, cautions
from lift.practice.goal import Blend, Lighten
from lift.practice.preview import preview
from lift.practice.tone import tone_direction
from lift.practice.window import find_window

CURVES = default_curves()
HAIR = Hair(7.0, "fine", damp=True)
BASE_BREAK = Mixture("base-break", 10.0)

KEYS = {
    "at": {
        *("minutes", "lab", "level", "level_words", "level_words_code", "lift", "stage"),
        *("stage_chances", "warmth", "hue_deg", "p_too_warm", "pigmented", "blend_warmth"),
        *("fibres", "places", "toner"),
    },
    "curve": {
        *("minutes", "lab", "level", "warmth", "warmth_low", "warmth_high", "p_too_warm"),
        *("pigmented", "white", "blend_warmth"),
    },
    "window": {"opens", "closes", "advice"},
    "tone": {"hue_deg", "munsell", "wheel", "amount"},
    "why": {"level", "warmth", "causes"},
    "curve_set": {"name", "status", "provenance"},
}


@pytest.fixture(scope="module")
def result():
    return preview(HAIR, BASE_BREAK, 5.0)


@pytest.fixture(scope="module")
def shown(result):
    return json.loads(json.dumps(to_dict(result), allow_nan=False))


def test_keys(shown):
    assert set(shown) == {"inputs", *KEYS, "passes", "cautions", "cautions_codes"}
    for part, keys in KEYS.items():
        assert keys <= set(shown[part])
    assert set(shown["at"]) == KEYS["at"]
    assert set(shown["curve"]) == KEYS["curve"]
    for banded in ("lab", "level", "lift", "warmth"):
        assert set(shown["at"][banded]) == {"low", "median", "high"}


def test_inputs_are_what_was_asked(shown):
    assert shown["inputs"] == {
        "level": 7.0,
        "fibre_um": 50.0,
        "damp": True,
        "grey_percent": 0.0,
        "resistant_percent": 0.0,
        "pheomelanin_share": 0.05,
        "lightened_to": None,
        "mixture": "base-break",
        "volume": 10.0,
        "developer_parts": 1.0,
        "on_head_volume": 5.0,
        "ph": CURVES["base_break_ph"].value,
        "temperature_c": 30.0,
        "tone": {"violet": CURVES["base_break_violet_dose"].value},
        "minutes": 5.0,
        "goal": "a natural blend",
        "goal_code": {"code": "goal.natural"},
        "intent": "blend",
        "goal_level": 7.25,
        "goal_lab": None,
        "tolerance": None,
        "toned": False,
        "warmth_limit": 3.0,
    }


def test_the_asked_time_is_the_models(result, shown):
    central = simulate(HAIR, BASE_BREAK, 5.0)
    at = shown["at"]
    np.testing.assert_allclose(result.drawn.central.lab[-1], central.lab, atol=1e-9)
    assert at["minutes"] == 5.0
    assert at["stage"] == central.stage
    assert at["hue_deg"] == pytest.approx(float(central.hue_deg), abs=1e-4)
    # The expected strand lies well inside: between the quarters of the strands.
    for quantity in ("level", "lift", "warmth"):
        members = getattr(result.drawn.members, quantity)[:, -1]
        assert at[quantity]["median"] == pytest.approx(np.median(members), abs=1e-4)
        assert 0.25 < np.mean(members < getattr(central, quantity)) < 0.75
    assert np.all((at["lab"]["low"] < central.lab) & (central.lab < at["lab"]["high"]))
    for quantity in ("level", "lift", "warmth"):
        assert at[quantity]["low"] <= at[quantity]["median"] <= at[quantity]["high"]
    assert np.all(np.array(at["lab"]["low"]) <= at["lab"]["high"])
    too_warm = result.drawn.members.warmth[:, -1] > 3.0
    assert at["p_too_warm"] == pytest.approx(too_warm.sum() / MEMBERS, abs=1e-4)
    assert result.p_too_warm == pytest.approx(too_warm.mean())


def test_curve_runs_from_zero_to_the_limit(shown):
    curve = shown["curve"]
    lengths = {len(values) for values in curve.values() if values is not None}
    assert len(lengths) == 1
    minutes = curve["minutes"]
    assert (minutes[0], minutes[-1]) == (0.0, 15.0)
    assert np.all(np.diff(minutes) > 0.0)
    assert np.array(curve["lab"]).shape == (len(minutes), 3)
    low, median, high = (np.array(curve[k]) for k in ("warmth_low", "warmth", "warmth_high"))
    assert np.all(low <= median)
    assert np.all(median <= high)
    assert np.all(np.diff(curve["level"]) >= 0.0)
    shares = np.array(curve["p_too_warm"])
    assert np.all((shares >= 0.0) & (shares <= 1.0))


def test_the_asked_time_lies_on_the_curve(shown):
    """Also between two points of the grid."""
    curve, at = shown["curve"], to_dict(preview(HAIR, BASE_BREAK, 5.25))["at"]
    for name in ("warmth", "level"):
        between = np.interp(5.25, curve["minutes"], curve[name])
        assert at[name]["median"] == pytest.approx(between, abs=0.01)


def test_window_is_that_of_find_window(result, shown):
    alone = find_window(HAIR, BASE_BREAK)
    assert shown["window"]["opens"] == pytest.approx(alone.opens, abs=1e-4)
    assert shown["window"]["closes"] == pytest.approx(alone.closes, abs=1e-4)
    assert shown["window"]["closes_by"] == "warmth"
    np.testing.assert_array_equal(result.window.p_inside, alone.p_inside)
    # A narrow window has advice, a wide one none.
    narrow = preview(HAIR.replace(damp=False), BASE_BREAK.replace(volume=20.0), 3.0)
    assert narrow.advice
    for one in (result, narrow):
        assert to_dict(one)["window"]["advice"] == [str(a.note) for a in one.advice]


def test_tone_is_that_of_the_expected_strand(result, shown):
    direction = tone_direction(result.drawn.central.lab[-1])
    assert shown["tone"] == plain(tone_part(result.wheel_and_dye))
    assert shown["tone"]["amount"] == pytest.approx(float(direction.amount), abs=1e-4)


def test_goal_reaches_every_part():
    goal = Lighten(level=7.5, warmth=8.0)
    shown = to_dict(preview(HAIR, BASE_BREAK, 5.0, goal))
    assert shown["inputs"]["goal"] == "level 7.5, no warmer than +8 dC*"
    assert shown["inputs"]["warmth_limit"] == 8.0
    assert shown["window"]["warmth_limit"] == 8.0
    assert shown["at"]["p_too_warm"] < 0.01


def test_every_input_acts():
    """Each option of hair and mixture moves the colour."""
    base = preview(Hair(6.0), Mixture("cream", 20.0), 30.0).drawn.central.lab[-1]
    changed = [
        (Hair(6.5), Mixture("cream", 20.0)),
        (Hair(6.0, "coarse"), Mixture("cream", 20.0)),
        (Hair(6.0, damp=True), Mixture("cream", 20.0)),
        (Hair(6.0, grey_percent=30.0), Mixture("cream", 20.0)),
        (Hair(6.0, pheomelanin_share=0.33), Mixture("cream", 20.0)),
        (Hair(6.0, lightened_to=8.0), Mixture("cream", 20.0)),
        (Hair(6.0), Mixture("powder", 20.0)),
        (Hair(6.0), Mixture("cream", 30.0)),
        (Hair(6.0), Mixture("cream", 20.0, developer_parts=2.0)),
        (Hair(6.0), Mixture("cream", 20.0, ph=10.2)),
        (Hair(6.0), Mixture("cream", 20.0, temperature_c=36.0)),
        (Hair(6.0), Mixture("cream", 20.0, tone={"blue": 2.0})),
    ]
    for hair, mixture in changed:
        lab = preview(hair, mixture, 30.0, members=2).drawn.central.lab[-1]
        assert np.linalg.norm(lab - base) > 0.5, (hair, mixture)


def test_several_developers_are_one_mixture():
    blend = preview(HAIR, Mixture("cream", ((10, 1), (30, 1))), 5.0)
    plain = preview(HAIR, Mixture("cream", 20.0), 5.0)
    assert to_dict(blend)["inputs"]["volume"] == 20.0
    assert to_dict(blend) == to_dict(plain)


def test_json_of_extremes_has_no_number_that_is_none():
    for hair, mixture, minutes in (
        (Hair(1.0), Mixture("cream", 0.0), 0.0),
        (Hair(10.0, 30.0, grey_percent=100.0), Mixture("powder", 40.0, ph=11.5), 60.0),
        (Hair(7.0, lightened_to=10.0), Mixture("powder", 40.0), 60.0),
        (Hair(3.0, pheomelanin_share=1.0), Mixture("cream", 5.0), 1.0),
    ):
        shown = to_dict(preview(hair, mixture, minutes))
        text = json.dumps(shown, allow_nan=False)
        assert json.dumps(json.loads(text)) == text


def test_a_long_time_widens_the_curve_and_not_the_window():
    goal = Blend(warmth=30.0)
    result = preview(Hair(5.0), Mixture("cream", 10.0), 55.0, goal, limit_minutes=40.0)
    shown = to_dict(result)
    assert shown["curve"]["minutes"][-1] == 55.0
    assert shown["window"]["closes"] == 40.0
    assert shown["window"]["closes_by"] == "time limit"
    assert any("At the edge: processing time 55 min" in line for line in shown["cautions"])


def test_own_time_limit():
    result = preview(HAIR, BASE_BREAK, 2.0, limit_minutes=5.0)
    assert to_dict(result)["curve"]["minutes"][-1] == 5.0
    assert result.window.closes == 5.0
    for bad in (0.5, 121.0, np.nan, np.inf):
        with pytest.raises(LiftError, match="time limit"):
            preview(HAIR, BASE_BREAK, 2.0, limit_minutes=bad)


def test_deviates_of_a_strand_test_are_used():
    fast = np.tile([0.0, 1.5, 0.0, 0.0, 0.0], (8, 1))
    usual, tested = preview(HAIR, BASE_BREAK, 5.0), preview(HAIR, BASE_BREAK, 5.0, latent=fast)
    assert tested.drawn.members.lab.shape[0] == 8
    assert to_dict(tested)["at"]["lift"]["median"] > to_dict(usual)["at"]["lift"]["median"]
    assert tested.window.closes < usual.window.closes


@pytest.mark.parametrize("bad", [np.nan, np.inf, -1.0, 120.5, "soon", [5.0, 6.0]])
def test_bad_times(bad):
    with pytest.raises(LiftError, match="processing time"):
        preview(HAIR, BASE_BREAK, bad)


def test_several_strands_are_refused():
    with pytest.raises(LiftError, match="one strand"):
        preview(Hair([5.0, 6.0]), BASE_BREAK, 5.0)


def test_window_without_edges_is_null_in_json():
    window = find_window(Hair(7.0), Mixture("cream", 0.0), Blend())
    shown = json.loads(encode(window_part(window, ())))
    assert (shown["opens"], shown["closes"], shown["reached_at"]) == (None, None, None)
    assert shown["opens_range"] == [None, None]
    assert shown["advice"] == []


def test_rounding():
    assert rounded(None) is None
    assert rounded(1.00004999) == 1.0
    assert rounded(np.float64(2.0)) == 2.0
    assert isinstance(rounded(np.float64(2.0)), float)
    assert rounded([[1.23456, 2.0]]) == [[1.2346, 2.0]]
    assert np.isnan(rounded(np.nan))


# Cautions.


def test_allergy_and_strand_test_come_first():
    assert "Allergy test 48 h before" in str(ALWAYS[0])
    assert "strand test first" in str(ALWAYS[0])


@pytest.mark.parametrize(
    "word", ["maker", "pain", "scalp", "gloves", "eyes", "licensed", "local rules"]
)
def test_what_is_always_said(word):
    assert word in " ".join(map(str, ALWAYS))
    assert cautions() == ALWAYS
    assert preview(HAIR, BASE_BREAK, 5.0, members=2).cautions == ALWAYS


def test_special_cautions_come_before_the_others():
    assert cautions(Mixture("cream"), 50.0) == cautions(BASE_BREAK, 10.0) == ALWAYS
    for late, minutes in ((Mixture("cream"), 50.5), (BASE_BREAK, 10.5)):
        edge, *rest = cautions(late, minutes)
        assert str(edge).startswith(f"At the edge: processing time {minutes:g} min")
        assert tuple(rest) == ALWAYS
    assert "burns" in str(cautions(Mixture(temperature_c=35.1))[0])
    assert cautions(Mixture(temperature_c=35.0)) == ALWAYS
    assert "burns" in str(cautions(Mixture(temperature_c=[20.0, 45.0]))[0])
    assert "Persulfate" in str(cautions(Mixture("powder"))[0])
    assert "breaks sooner" in str(cautions(hair=Hair(5.0, lightened_to=6.0))[0])
    all_at_once = cautions(Mixture("powder", temperature_c=45.0), 60.0, Hair(5.0, lightened_to=6.0))
    assert len(all_at_once) == 5 + len(ALWAYS)
    assert all_at_once[5:] == ALWAYS


def test_goal_of_natural_hair_of_the_same_lightness():
    """Tone of a preview leads back to natural hair, not to grey."""
    result = preview(Hair(5.0), Mixture("cream", 40.0), 40.0)
    lab = result.drawn.central.lab[-1]
    wanted = natural_path(CURVES).lab_of_lightness(lab[0])
    np.testing.assert_allclose(lab + result.tone.change, wanted, atol=1e-9)
