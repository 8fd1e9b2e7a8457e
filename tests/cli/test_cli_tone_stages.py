"""`lift stages`, and that `lift tone` answers."""

import json

import pytest

from lift.answers import to_dict
from lift.answers.encode import plain
from lift.answers.parts import tone_part
from lift.model.curves import default_curves
from lift.practice.cautions import UNMIXED
from lift.practice.stage_table import stage_table
from lift.practice.toning.tone_report import tone_report


def test_stages_as_a_table(answered):
    out = answered("stages")
    assert "\x1b[" not in out
    for stage in ("red", "red-orange", "orange", "yellow-orange", "yellow", "pale yellow"):
        assert stage in out
    for line in map(str, UNMIXED):
        assert line in out


def test_stages_as_json(answered):
    out = answered("stages", "--json")
    assert json.loads(out) == to_dict(stage_table(default_curves()))


def test_stages_of_another_curve_set(answered, tmp_path):
    path = tmp_path / "other.toml"
    other = default_curves().replace(name="other", half_oxidised_yield=0.2)
    other.save(path)
    shown = json.loads(answered("stages", "--json", "--curves", str(path)))
    assert shown["curve_set"]["name"] == "other"
    assert shown["stages"] == to_dict(stage_table(other))["stages"]


@pytest.mark.parametrize("words", [("--curves", "missing.toml"), ("--level", "7"), ("7",)])
def test_stages_with_bad_input(refused, words):
    refused("stages", *words)


def test_tone_has_the_same_object_as_a_preview(answered):
    out = answered("tone", "--lab", "45,17,35", "--json")
    shown = json.loads(out)["tone"]
    found = tone_report([45.0, 17.0, 35.0]).wheel_and_dye
    assert shown == json.loads(json.dumps(plain(tone_part(found))))


@pytest.mark.parametrize("lab", ["45,17", "45,17,nan", "inf,17,35", "45,x,35", "101,0,0"])
def test_tone_with_bad_colours(refused, lab):
    refused("tone", "--lab", lab)
