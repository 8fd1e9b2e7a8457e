"""Curve set: its parameters, its file, and what a bad one is told."""

from dataclasses import FrozenInstanceError, replace

import numpy as np
import pytest

from lift.answers.encode import plain
from lift.answers.parts import curve_set_part
from lift.errors import LiftError
from lift.model.curves import FILLED, CurveSet, default_curves, load_curves
from lift.model.parameter import STATUSES, Parameter

CURVES = default_curves()


@pytest.fixture
def row():
    return Parameter("rate", 1.5, "1/min", 1.0, 2.0, "assumed", "nobody")


@pytest.mark.parametrize("name", [*CURVES])
def test_every_parameter_says_what_it_rests_on(name):
    parameter = CURVES[name]
    assert parameter.name == name
    assert parameter.low <= parameter.value <= parameter.high
    assert parameter.low < parameter.high
    assert parameter.unit.strip()
    assert parameter.status in STATUSES
    assert len(parameter.source) > 10
    assert not name.endswith(("_nm", "_um", "_c", "_min"))


def test_what_is_fitted_says_so():
    """Rates have no published value: none of them may claim one."""
    fitted = dict(CURVES.provenance)["fitted"].split(", ")
    assert "lightening_rate" in fitted
    assert {CURVES[name].status for name in fitted} == {"calibrated"}
    assert str(CURVES.standing) == "calibrated to common practice, not measured"


def test_parameter_is_checked(row):
    assert replace(row, value=2).value == 2.0
    for field, value, message in (
        ("value", 2.5, "rate 2.5 1/min is outside 1 to 2"),
        ("value", np.nan, "parameter rate nan"),
        ("value", np.inf, "parameter rate inf"),
        ("low", np.nan, "parameter rate nan"),
        ("high", "much", "high is 'much'; it takes a number"),
        ("value", [1.5], "takes a number"),
        ("value", True, "takes a number"),
        ("status", "measured", "status of rate 'measured' is not one of published"),
        ("source", "  ", "rate has no source"),
    ):
        with pytest.raises(LiftError, match=message):
            replace(row, **{field: value})
    with pytest.raises(FrozenInstanceError):
        row.value = 1.0


def test_set_is_frozen_and_knows_its_names(row):
    curves = CurveSet("mine", (row,))
    assert list(curves) == ["rate"]
    assert curves["rate"] is row
    assert dict(curves.values) == {"rate": 1.5}
    with pytest.raises(TypeError):
        curves.values["rate"] = 2.0
    with pytest.raises(FrozenInstanceError):
        curves.name = "yours"
    with pytest.raises(LiftError, match="parameter 'rat' is not one of rate; did you mean rate"):
        curves["rat"]
    with pytest.raises(LiftError, match="mine: a parameter appears twice"):
        CurveSet("mine", (row, row))


def test_equal_sets_share_their_tables():
    more = {"validity": CURVES.validity, "posterior": CURVES.posterior}
    copy = CurveSet(CURVES.name, CURVES.parameters, CURVES.provenance, **more)
    assert copy == CURVES
    assert hash(copy) == hash(CURVES)


def test_replace_changes_value_status_and_source_of_what_is_named():
    changed = CURVES.replace(fade_minutes=50)
    assert changed.name == "default*"
    assert changed["fade_minutes"].value == 50.0
    assert changed["fade_minutes"].status == "assumed"
    assert "default has 40" in changed["fade_minutes"].source
    assert changed["level_ratio"] == CURVES["level_ratio"]
    assert CURVES["fade_minutes"].value == 40.0
    named = CURVES.replace(name="lab", status="tuned", source="swatches", fade_minutes=50)
    assert named.name == "lab"
    assert named["fade_minutes"].source == "swatches"
    assert str(named.standing) == "tuned to measured swatches"
    for note, standing in (("invented", "INVENTED swatches"), ("tuned_to", "forty strands")):
        noted = CurveSet("lab", named.parameters, ((note, "forty strands"),))
        assert str(noted.standing) == f"tuned to {standing}"
    with pytest.raises(LiftError, match=r"parameter 'fade_minute'.*did you mean fade_minutes"):
        CURVES.replace(fade_minute=50)
    for bad in (4.9, 1000.1, np.nan, np.inf):
        with pytest.raises(LiftError, match="fade_minutes"):
            CURVES.replace(fade_minutes=bad)


def test_dictionary():
    shown = plain(curve_set_part(CURVES))
    assert shown["name"] == "default"
    assert shown["status"] == str(CURVES.standing)
    assert shown["provenance"] == dict(CURVES.provenance)


def test_file_reads_back_exactly(tmp_path):
    odd = CURVES.replace(name='a "quoted" \\ name', source="two\nlines", fade_minutes=1 / 3 + 40)
    odd.save(tmp_path / "odd.toml")
    assert load_curves(tmp_path / "odd.toml") == odd
    assert [p.name for p in tmp_path.iterdir()] == ["odd.toml"]


def test_nothing_is_left_behind_when_saving_fails(tmp_path):
    (tmp_path / "taken").mkdir()
    with pytest.raises(LiftError, match=r"cannot write curve set .*taken"):
        CURVES.save(tmp_path / "taken")
    with pytest.raises(LiftError, match="cannot write curve set"):
        CURVES.save(tmp_path / "missing" / "mine.toml")
    assert [p.name for p in tmp_path.iterdir()] == ["taken"]


def test_a_file_that_cannot_be_read(tmp_path):
    with pytest.raises(LiftError, match=r"cannot read curve set .*none.toml"):
        load_curves(tmp_path / "none.toml")
    with pytest.raises(LiftError, match="cannot read curve set"):
        load_curves(tmp_path)
    (tmp_path / "binary.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(LiftError, match="cannot read curve set"):
        load_curves(tmp_path / "binary.toml")


TEXT = CURVES.to_toml()


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("name =", "name", "is not valid TOML"),
        (TEXT, "name = 'empty'", r"has no \[parameters.NAME\] tables"),
        (TEXT, "parameters = 3", r"has no \[parameters.NAME\] tables"),
        ("value = 40.0\n", "", r"\[parameters.fade_minutes\] needs value, unit, low, high"),
        ("value = 40.0", "value = 4.0", "fade_minutes 4 min is outside 5 to 1000 min"),
        ("value = 40.0", "value = nan", "parameters.fade_minutes.value nan is outside"),
        ("value = 40.0", "value = inf", "parameters.fade_minutes.value inf is outside"),
        ("value = 40.0", "value = 'long'", "parameters.fade_minutes.value 'long' is not a number"),
        ("value = 40.0", "value = true", "parameters.fade_minutes.value True is not one number"),
        (
            "[parameters.reference_fibre]",
            "[parameters.reference_fiber]",
            "'reference_fiber' is not one of .*mean reference_fibre",
        ),
    ],
)
def test_a_file_that_is_wrong(tmp_path, old, new, message):
    assert old in TEXT
    path = tmp_path / "bad.toml"
    path.write_text(TEXT.replace(old, new, 1))
    with pytest.raises(LiftError, match=message) as caught:
        load_curves(path)
    assert "\n" not in str(caught.value)


def test_a_file_that_lacks_a_parameter(tmp_path):
    """It was written before the model had them, so the default set's stand in, and it is noted."""
    kept = tuple(p for p in CURVES.parameters if p.name not in ("fade_minutes", "level_sd"))
    CurveSet("short", kept, (("tuned_to", "x"),)).save(tmp_path / "short.toml")
    found = load_curves(tmp_path / "short.toml")
    assert found.parameters == CURVES.parameters
    assert found.provenance == (("tuned_to", "x"), (FILLED, "fade_minutes, level_sd"))
