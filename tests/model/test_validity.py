"""Conditions outside which a tuned curve set says that it extrapolates."""

import dataclasses
import re

import pytest

from lift import Hair, LiftError, Mixture, default_curves, load_curves, preview
from lift.answers import to_dict
from lift.make.valid_for import valid_for
from lift.model.curves import CurveSet
from lift.model.validity import SPANS, Validity
from lift.reference import load

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
    silent = dataclasses.replace(default_curves(), validity=None)
    assert silent.extrapolations(Hair(1.0, damp=True), Mixture("powder", 60.0), 90.0) == ()


@pytest.mark.parametrize(
    ("hair", "mixture", "minutes", "said"),
    [
        (Hair(5.0, damp=True), Mixture("cream", 40.0), 60.0, ()),
        (Hair(7.0, "fine", damp=True), Mixture("base-break", 10.0), 15.0, ()),
        (Hair(1.0, "coarse"), Mixture("powder", 40.0), 50.0, ()),
        (Hair(9.0), Mixture("cream", 20.0), 30.0, ("natural level 9; they are about 1 to 8.",)),
        (Hair(4.0), Mixture("powder", 20.0), 55.0, ("processing time 55 min; .* 0 to 50 min.",)),
        (Hair(5.0, lightened_to=6.0), Mixture("cream", 20.0), 30.0, ("hair lightened before.",)),
        (Hair(5.0), Mixture("cream", 20.0, temperature_c=40.0), 30.0, ("temperature 40 C",)),
        (Hair(5.0), Mixture("cream", 20.0, ph=11.0), 30.0, ("pH 11; they are about",)),
    ],
)
def test_the_default_set_says_beyond_what_it_was_fitted_to(hair, mixture, minutes, said):
    """Its rows are practice and no swatches, and each class has a longest time of its own."""
    found = list(map(str, default_curves().extrapolations(hair, mixture, minutes)))
    assert len(found) == len(said)
    for line, words in zip(found, said, strict=True):
        assert line.startswith("Beyond the rows behind these numbers: ")
        assert re.search(words, line)


def test_the_default_set_is_good_for_what_its_rows_speak_of():
    """The shipped file holds what the script makes, and no row lies outside."""
    curves, table = default_curves(), load("trade_lifts")
    numbers = table.numbers("volume", "level", "fibre_um", "minutes", "damp")
    for kind, row in zip(table.words("mixture"), numbers.tolist(), strict=True):
        volume, level, fibre, minutes, damp = row
        asked = Hair(level, fibre, damp=bool(damp)), Mixture(kind, volume), minutes
        assert curves.extrapolations(*asked) == ()
    assert curves.validity == valid_for(curves)
    assert not curves.validity.measured


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
    assert plain["validity"]["longest_minutes"]["base-break"] == 15.0
    assert plain["validity"]["measured"] is False


@pytest.mark.parametrize(
    "more",
    [
        {"longest": (("cream", 35.0),)},
        {"measured": False, "damp": True},
        {"lightened": True},
    ],
)
def test_file_round_trip_of_everything(curves, tmp_path, more):
    curves = dataclasses.replace(curves, validity=dataclasses.replace(curves.validity, **more))
    curves.save(tmp_path / "mine.toml")
    assert load_curves(tmp_path / "mine.toml") == curves


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
        ("[validity]\nlongest_minutes = 5", "validity.longest_minutes is not a table"),
        ("[validity]\nlongest_minutes = { cream = 5 }", "mixture of validity 'cream'"),
        (
            '[validity]\nmixtures = ["cream"]\nlongest_minutes = { cream = -5 }',
            "longest_minutes -5 is outside",
        ),
        ("[validity]\ndamp = 1", "validity.damp 1 is not true or false"),
    ],
)
def test_bad_table_is_refused(curves, tmp_path, text, message):
    path = tmp_path / "mine.toml"
    silent = dataclasses.replace(default_curves(), validity=None)
    before, after = silent.to_toml().split("[parameters", 1)
    path.write_text(f"{before}{text}\n\n[parameters{after}", "utf-8")
    with pytest.raises(LiftError, match=message):
        load_curves(path)


def test_every_span_has_words():
    assert {name for name, _, _ in SPANS_MEASURED} == set(SPANS)
