"""Conditions outside which a tuned curve set says that it extrapolates."""

import dataclasses
import re

import pytest

from lift import Hair, LiftError, Mixture, default_curves, load_curves, preview
from lift.answers import to_dict
from lift.model.curves import CurveSet
from lift.model.validity import SPANS, Validity

SPANS_MEASURED = (
    ("level", 3.0, 8.0),
    ("on_head_volume", 5.0, 20.0),
    ("minutes", 0.0, 35.0),
    ("ph", 9.5, 10.2),
    ("temperature_c", 28.0, 32.0),
    ("fibre_um", 60.0, 80.0),
)
INSIDE = (Hair(5.0), Mixture("cream", 20.0), 30.0)


@pytest.fixture
def curves():
    return dataclasses.replace(
        default_curves(), name="mine", validity=Validity(SPANS_MEASURED, ("cream",))
    )


def test_inside_nothing_is_said(curves):
    assert curves.extrapolations(*INSIDE) == ()
    assert (
        default_curves().extrapolations(Hair(1.0, damp=True), Mixture("powder", 60.0), 90.0) == ()
    )


@pytest.mark.parametrize(
    ("hair", "mixture", "minutes", "said"),
    [
        (Hair(2.0), None, 30.0, "natural level 2; swatches had 3 to 8."),
        (Hair(9.0), None, 30.0, "natural level 9; swatches had 3 to 8."),
        (Hair(5.0, fibre_um="fine"), None, 30.0, "fibre diameter 50 um; swatches had 60 to 80 um."),
        (Hair(5.0, damp=True), None, 30.0, "no swatch was damp."),
        (Hair(5.0, lightened_to=6.0), None, 30.0, "no swatch had been lightened before."),
        (Hair(5.0), Mixture("cream", 60.0), 30.0, "strength on the hair 30 vol; .* 5 to 20 vol."),
        (Hair(5.0), Mixture("cream", 20.0, ph=11.0), 30.0, "pH 11; swatches had 9.5 to 10.2."),
        (Hair(5.0), Mixture("cream", 20.0, temperature_c=40.0), 30.0, "temperature 40 C"),
        (Hair(5.0), Mixture("powder", 20.0), 30.0, "no swatch had powder."),
        (Hair(5.0), None, [30.0, 50.0, 40.0], "processing time 50 min; swatches had 0 to 35 min."),
    ],
)
def test_each_condition_outside_is_said(curves, hair, mixture, minutes, said):
    found = curves.extrapolations(hair, mixture or INSIDE[1], minutes)
    assert len(found) == 1
    assert str(found[0]).startswith("Extrapolates: ")
    assert re.search(said, str(found[0]))


def test_preview_says_it_in_cautions_and_json(curves):
    inside = preview(Hair(5.0), Mixture("cream", 20.0), 10.0, curves=curves, members=20)
    outside = preview(Hair(2.0), Mixture("cream", 20.0), 10.0, curves=curves, members=20)
    assert not any("natural level" in str(text) for text in inside.cautions)
    assert str(outside.cautions[0]).startswith("Extrapolates: natural level 2")
    told = to_dict(outside)["curve_set"]
    assert told["extrapolates"][0] == str(outside.cautions[0])
    assert told["validity"]["level"] == [3.0, 8.0]
    plain = to_dict(preview(*INSIDE, members=20))["curve_set"]
    assert plain["extrapolates"] == []
    assert plain["validity"] is None


def test_file_round_trip_and_replace(curves, tmp_path):
    curves.save(tmp_path / "mine.toml")
    loaded = load_curves(tmp_path / "mine.toml")
    assert loaded == curves
    assert loaded.replace(lightening_rate=0.2).validity == curves.validity
    assert isinstance(loaded, CurveSet)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('[validity]\nmixtures = "cream"', "validity.mixtures is not a list"),
        ("[validity]\nlevel = 3", r"validity.level is not \[lowest, highest\]"),
        ("[validity]\nlevel = [3, 'x']", "'x' is not a number"),
        ("[validity]\nlevel = [8, 3]", "validity of level 3 is outside 8 to"),
        ("[validity]\nlevle = [3, 8]", "did you mean level"),
    ],
)
def test_bad_table_is_refused(curves, tmp_path, text, message):
    path = tmp_path / "mine.toml"
    before, after = default_curves().to_toml().split("[parameters", 1)
    path.write_text(f"{before}{text}\n\n[parameters{after}", "utf-8")
    with pytest.raises(LiftError, match=message):
        load_curves(path)


def test_every_span_has_words():
    assert {name for name, _, _ in SPANS_MEASURED} == set(SPANS)
