"""The report behind `lift tone`: what it starts from, and its JSON."""

import json

import numpy as np
import pytest

from lift.answers import to_dict
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path, path_of
from lift.model.stages import underpigment_ladder
from lift.model.strand import ABSORBERS, strand_lab
from lift.model.trajectory import simulate
from lift.practice.cautions import ALWAYS
from lift.practice.preview import preview
from lift.practice.tone import tone_direction
from lift.practice.toning.tone_report import (
    Processed,
    goal_lab,
    tone_report,
    underpigment_state,
)

CURVES = default_curves()
HAIR = Hair(level=7.0, fibre_um="fine", damp=True)
BASE_BREAK = Mixture("base-break", 10.0)


def test_same_tone_object_as_a_preview():
    """One and the same direction, whether asked through preview or through tone."""
    shown = to_dict(preview(HAIR, BASE_BREAK, 8.0))["tone"]
    report = to_dict(tone_report(Processed(HAIR, BASE_BREAK, 8.0)))
    # What is said is the same; numbers behind it differ in their last digit.
    assert report["tone"].pop("text_code").keys() == shown.pop("text_code").keys()
    assert report["tone"].pop("why_codes") == [] == shown.pop("why_codes")
    assert report["tone"] == shown
    assert {"text_code", "why_codes"} | set(shown) == set(
        to_dict(tone_report((51.0, 15.0, 37.0)))["tone"]
    )


def test_measured_colour_keeps_its_numbers():
    report = tone_report((56.0, 10.0, 30.0), (50.0, 6.0, 18.0))
    assert report.lab == (56.0, 10.0, 30.0)
    assert report.goal == (50.0, 6.0, 18.0)
    expected = tone_direction((56.0, 10.0, 30.0), (50.0, 6.0, 18.0))
    assert report.direction.hue_deg == expected.hue_deg
    state = to_dict(report)["state"]
    low, high = state["natural_level_range"]
    assert low < state["natural_level"] < high
    assert state["plausible"] is True


def test_ladder_state_has_the_ladder_colour():
    ladder = underpigment_ladder(CURVES)
    for level, lab in zip(ladder.levels, ladder.lab, strict=True):
        np.testing.assert_allclose(
            strand_lab(underpigment_state(level, CURVES), CURVES.values), lab, atol=1e-6
        )
    with pytest.raises(LiftError, match="level 11"):
        underpigment_state(11.0, CURVES)


def test_what_a_mixture_must_carry():
    """Carried in the mixture from the start, the answer makes the strand neutral by then."""
    report = tone_report(Processed(HAIR, BASE_BREAK, 8.0))
    assert report.formed == pytest.approx(1.0 - np.exp(-1.0))
    again = tone_report(Processed(HAIR, BASE_BREAK.replace(tone=report.to_carry), 8.0))
    assert abs(again.warmth) < 0.1
    assert not again.direction.needed
    assert again.carried.too_warm_at is None or again.carried.too_warm_at > 8.0
    assert tone_report((51.0, 15.0, 37.0)).formed == 1.0


def test_grey_hair_is_told_as_two_kinds():
    """Level, stage, warmth, direction and dose are the pigmented fibres'; what is seen is told."""
    mixed = HAIR.replace(grey_percent=40.0, resistant_percent=25.0)
    grey = tone_report(Processed(mixed, BASE_BREAK, 8.0))
    none = tone_report(Processed(HAIR, BASE_BREAK, 8.0))
    assert none.grey is none.toned is None
    assert none.lab == none.pigmented
    for name in ("pigmented", "level", "stage", "warmth", "to_carry"):
        assert getattr(grey, name) == pytest.approx(getattr(none, name)), name
    assert grey.direction.wheel == none.direction.wheel
    assert grey.light.warmth == pytest.approx(none.light.warmth)
    for kind, fade in grey.fades.items():
        assert fade.warmth == pytest.approx(none.fades[kind].warmth)
        assert fade.passes == pytest.approx(none.fades[kind].passes)
        assert fade.lab[0] == pytest.approx(grey.answer.lab)
    assert grey.lab[0] > none.lab[0] + 2.0
    for look in (grey.grey, grey.toned):
        assert (look.grey_percent, look.resistant_percent) == (40.0, 25.0)
        assert look.blend_warmth < look.warmth + 1e-9
    assert tuple(grey.grey.blend) == pytest.approx(grey.lab)
    assert tuple(grey.toned.blend) == pytest.approx(tuple(grey.answer.lab))


def test_grey_of_a_state_and_of_a_reading():
    state = underpigment_state(8.0, CURVES)
    known = tone_report(state, grey_percent=30.0, resistant_percent=50.0)
    read = tone_report(known.lab, grey_percent=30.0, resistant_percent=50.0)
    assert read.lab == pytest.approx(known.lab)
    assert read.pigmented == pytest.approx(known.pigmented, abs=1e-4)
    assert read.warmth == pytest.approx(known.warmth, abs=1e-3)
    assert read.grey.white == pytest.approx(known.grey.white)
    assert known.toned.tint == "blue-violet"
    with pytest.raises(LiftError, match="has its own share of grey"):
        tone_report(Processed(HAIR, BASE_BREAK, 8.0), grey_percent=30.0)


def test_cautions_follow_the_mixture():
    assert tone_report((51.0, 15.0, 37.0)).cautions == ALWAYS
    hot = Processed(Hair(5.0), Mixture("powder", 20.0, temperature_c=40.0), 55.0)
    special = tone_report(hot).cautions
    assert special[-len(ALWAYS) - 1 : -1] == ALWAYS
    assert special[-1].code == "overprocessed.known"
    assert any("Persulfate" in str(line) for line in special)
    assert any("At the edge: processing time 55 min" in str(line) for line in special)


@pytest.mark.parametrize(
    "hair",
    [
        (51.0, 15.0, 37.0),
        (60.0, -3.0, -8.0),
        (45.0, 7.0, 18.0),
        Processed(HAIR, BASE_BREAK, 8.0),
        Processed(Hair(4.0), Mixture("powder", 40.0), 50.0),
    ],
    ids=["yellow", "blue", "natural", "base break", "powder"],
)
def test_json_is_whole_and_finite(hair):
    found = json.loads(json.dumps(to_dict(tone_report(hair)), allow_nan=False))
    assert set(found) == {
        *("inputs", "at", "tone", "state", "neutralise", "toner", "carried", "other_light"),
        *("fade", "partial", "shows"),
        *("cautions", "cautions_codes", "curve_set"),
    }
    assert found["cautions"]
    answer = found["neutralise"]
    assert answer["verdict"]
    if answer["doses"]:
        assert {"permanent", "direct"} < set(found["fade"])
        assert len(found["other_light"]["lights"]) == 13
        assert answer["dE00_left"] <= answer["dE00_before"]
    else:
        assert set(found["fade"]) == {"kind"}
    assert (found["carried"] is None) == (not isinstance(hair, Processed))


@pytest.mark.parametrize("hair", [(56.0, 10.0, 30.0), Processed(HAIR, BASE_BREAK, 8.0)])
def test_json_holds_the_numbers_of_the_report(hair):
    report = tone_report(hair, (50.0, 6.0, 18.0), kind="direct", washes_per_week=2.0)
    answer, fade, light = report.answer, report.fades["direct"], report.light
    found = to_dict(report)
    expected = {
        "at": {"lab": report.lab, "level": report.level, "warmth": report.warmth},
        "inputs": {"lab": report.lab, "goal": report.goal},
        "state": dict(zip(ABSORBERS, answer.pigment.amounts, strict=True)),
        "neutralise": {
            "doses": dict(answer.tone),
            "dE00_before": answer.before,
            "dE00_left": answer.residual,
            "lightness_lost": answer.lightness_lost,
            "forgiving": answer.forgiving,
        },
    }
    if report.carried is None:
        expected["neutralise"]["wanted_multiple"] = answer.factor_band
        expected["state"] = expected["state"] | {
            "natural_level": answer.inferred.natural_level,
            "natural_level_range": answer.inferred.interval("level"),
            "exposure": answer.inferred.exposure,
            "exposure_range": answer.inferred.interval("exposure"),
            "pheomelanin_share": answer.inferred.pheomelanin_share,
            "pheomelanin_share_range": answer.inferred.interval("share"),
            "misfit": answer.inferred.misfit,
        }
        low, high = answer.band
        np.testing.assert_allclose(found["neutralise"]["lab"]["low"], low, atol=6e-5)
        np.testing.assert_allclose(found["neutralise"]["lab"]["high"], high, atol=6e-5)
    else:
        expected["neutralise"]["to_carry"] = report.to_carry
        expected["carried"] = {
            "allowance": report.carried.allowance,
            "too_warm_at": report.carried.too_warm_at,
            "too_warm_at_without_tone": report.carried.bare_too_warm_at,
            "minutes": report.carried.minutes,
            "warmth": report.carried.warmth,
            "warmth_without_tone": report.carried.bare,
        }
    for part, numbers in expected.items():
        for key, value in numbers.items():
            assert found[part][key] == pytest.approx(value, abs=6e-5), (part, key)
    for part, look in (("half", answer.under), ("double", answer.over)):
        assert found["neutralise"][part]["lab"] == pytest.approx(look.lab, abs=6e-5)
        assert found["neutralise"][part]["warmth"] == pytest.approx(look.warmth, abs=6e-5)
    assert found["neutralise"]["lab"]["expected"] == pytest.approx(answer.lab, abs=6e-5)
    one = found["neutralise"]["one_dye"]
    assert one["doses"] == pytest.approx(answer.alone.best.named(), abs=6e-5)
    assert one["dE00_left"] == pytest.approx(float(answer.alone.best.residual), abs=6e-5)
    assert found["fade"]["kind"] == "direct"
    shown = found["fade"]["direct"]
    for key, value in (
        ("washes", fade.washes),
        ("warmth", fade.warmth),
        ("allowance", fade.allowance),
        ("washes_per_week", 2.0),
        ("passes_after_washes", fade.passes),
        ("passes_range", list(fade.passes_range)),
        ("week", fade.week),
    ):
        assert shown[key] == pytest.approx(value, abs=6e-5), key
    assert found["other_light"]["turns_warm"] == list(light.turns_warm)
    for key in ("cct_k", "lab", "shift", "natural_shift", "warmth"):
        rows = [row[key] for row in found["other_light"]["lights"]]
        np.testing.assert_allclose(rows, getattr(light, key), atol=6e-5)


def test_what_is_wanted():
    """The goal; natural hair of the L* that toning ends with; without a tone, of the hair's L*."""
    asked = tone_report((56.0, 10.0, 30.0), (50.0, 6.0, 18.0))
    assert asked.wanted == asked.goal
    none = tone_report((56.0, 10.0, 30.0))
    assert none.wanted[0] == pytest.approx(none.answer.lab[0])
    assert natural_path(CURVES).warmth(np.array(none.wanted)) == pytest.approx(0.0, abs=1e-4)
    assert tone_report((45.0, 7.0, 18.0)).wanted[0] == pytest.approx(45.0)


def test_a_toner_is_told_where_it_reaches_the_goal():
    report = tone_report((56.0, 10.0, 30.0), kind="direct")
    assert report.toner.kind == "direct"
    assert set(report.toner.parts) == set(report.answer.tone)
    path, toned = natural_path(CURVES), report.answer.fibres_at(1.0).pigmented
    levels = report.level, float(path.level_of_lightness(toned[0]))
    # What a reading infers is as light as the reading, to what it leaves open.
    assert report.toner.levels == pytest.approx(levels, abs=0.05)
    for hair, goal in (((45.0, 7.0, 18.0), None), ((60.0, -3.0, -8.0), None), ((56, 10, 30), 7.0)):
        lab = None if goal is None else natural_path(CURVES).lab_of_level(goal)
        assert tone_report(hair, lab).toner is None


def test_a_mixture_that_carries_tone_is_not_toned_twice():
    under = Processed(HAIR, BASE_BREAK, 8.0)
    assert tone_report(under).toner is None
    bare = Processed(HAIR, BASE_BREAK.replace(tone={}), 8.0)
    state = simulate(bare.hair, bare.mixture, bare.minutes, CURVES).pigment
    assert tone_report(bare).toner.parts == tone_report(state).toner.parts


def test_json_tells_the_toner():
    report = tone_report((56.0, 10.0, 30.0))
    found = to_dict(report)["toner"]
    assert found["parts"] == dict(report.toner.parts)
    assert found["levels"] == pytest.approx(report.toner.levels, abs=6e-5)
    assert (found["developer_volumes"], found["developer_parts"]) == ([5.0, 10.0], [1.0, 2.0])
    assert found["developer_status"] == "common practice"
    assert found["grams"] is found["toner_grams"] is None
    assert found["words"] == [str(line) for line in report.toner.lines.values()]
    direct = to_dict(tone_report((56.0, 10.0, 30.0), kind="direct"))["toner"]
    assert direct["developer_volumes"] is direct["developer_status"] is None
    assert to_dict(tone_report((45.0, 7.0, 18.0)))["toner"] is None


def test_unknown_hair_gets_a_direction_and_no_promise():
    report = tone_report((60.0, -3.0, -8.0))
    assert report.wanted[0] == 60.0
    assert report.direction.needed
    assert report.light is None
    assert not report.fades


def test_goals_as_typed():
    np.testing.assert_allclose(goal_lab("8", CURVES), natural_path(CURVES).lab_of_level(8.0))
    assert goal_lab("60,5,20", CURVES) == (60.0, 5.0, 20.0)
    with pytest.raises(LiftError, match="toning needs a level"):
        goal_lab("warmth=4", CURVES)


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"kind": "direkt"}, "did you mean direct"),
        ({"washes_per_week": 50.0}, "washes per week 50"),
        ({"palette": ("pink",)}, "dye 'pink'"),
        ({"goal": (200.0, 0.0, 0.0)}, "goal colour L"),
    ],
)
def test_bad_input_is_refused(options, message):
    with pytest.raises(LiftError, match=message):
        tone_report((60.0, -3.0, -8.0), **options)
    with pytest.raises(LiftError, match="processing time 0"):
        Processed(HAIR, BASE_BREAK, 0.0)


def test_red_hair_is_toned_towards_natural_red_hair():
    """Warmth, goal and answer count from natural hair of its own share, as in a preview."""
    red, mixture = Hair(6.0, pheomelanin_share=0.42), Mixture("cream", 20.0)
    report = tone_report(Processed(red, mixture, 25.0))
    strand = simulate(red, mixture, 25.0)
    assert report.warmth == pytest.approx(float(strand.warmth))
    own = path_of(red, report.curves)
    toned = report.answer.fibres_at(1.0).pigmented
    np.testing.assert_allclose(report.wanted, own.lab_of_lightness(toned[0]))
    assert report.warmth < float(natural_path(report.curves).warmth(strand.pigmented)) - 1.0
