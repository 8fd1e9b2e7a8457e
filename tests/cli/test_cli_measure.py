"""`lift measure`: what it answers, draws and refuses, of a computed photograph."""

import json
import sys

import numpy as np
import pytest
from PIL import Image

from lift.answers import to_dict
from lift.answers.encode import schemas
from lift.answers.measure import MeasureAnswer
from lift.make.photograph import Scene, as_jpeg, photograph, some_hair
from lift.photo.measure import measure, measure_difference

TAKEN = photograph(Scene(some_hair(2, seed=3), noise=0.002, seed=1))


def typed(points):
    return " ".join("{:.1f},{:.1f}".format(*pair) for pair in points)


CHART, HAIR, OTHER = map(typed, (TAKEN.chart, *TAKEN.hair))
CORNERS = TAKEN.chart.round(1)


@pytest.fixture
def photo(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "photo.jpg").write_bytes(as_jpeg(TAKEN.pixels, 92))
    return "photo.jpg"


@pytest.fixture
def asked(photo):
    return ("measure", photo, "--chart", CHART, "--hair", HAIR)


def test_as_json(answered, asked, photo):
    found = json.loads(answered(*asked, "--json"))
    assert found == json.loads(json.dumps(to_dict(measure(photo, CORNERS, TAKEN.hair[0]))))
    assert {"lab", "sd", "level", "pigment", "chart", "taken", "warnings", "cautions"} <= {*found}
    assert set(found["pigment"]) >= {"lab", "sd", "level", "stage", "left"}
    assert set(found["chart"]["left_out"]) == {"median", "worst"}
    assert set(found["taken"]) == {"pixels", "share"}
    assert "other" not in found
    low, high = found["level_interval"]
    assert low < found["level"] < high


def test_two_regions_as_json(answered, asked, photo):
    found = json.loads(answered(*asked, "--other", OTHER, "--json"))
    known = measure_difference(photo, CORNERS, *TAKEN.hair)
    assert found == json.loads(json.dumps(to_dict(known)))
    apart = np.subtract(found["other"]["lab"], found["lab"])
    np.testing.assert_allclose(found["difference"]["lab"], apart, atol=2e-4)


def test_in_the_terminal(answered, asked):
    out = answered(*asked)
    for word in ("L*", "Level", "As hair", "Pigment left", "Taken", "Chart", "edition ohta", " s"):
        assert word in out
    assert "keep the face out" in out
    brief = answered(*asked, "--brief")
    assert "L*" in brief
    assert "keep the face out" in brief
    assert len(brief) < 0.7 * len(out)


def test_what_is_doubted_is_told(answered, photo):
    (strong := Image.open(photo)).save("strong.jpg", quality=30)
    strong.close()
    asked = ("measure", "strong.jpg", "--chart", CHART, "--hair", HAIR)
    assert "strongly compressed" in answered(*asked)
    assert json.loads(answered(*asked, "--json"))["warnings_codes"][0]["code"] == (
        "photo.warning.compressed"
    )


@pytest.mark.parametrize("more", [(), ("--other", OTHER)])
def test_a_picture_of_what_was_taken(answered, asked, more):
    out = answered(*asked, *more, "--plot", "taken.png")
    assert "taken.png" in out
    with Image.open("taken.png") as drawn:
        assert min(drawn.size) > 500


def test_another_edition(answered, asked):
    first, second = (
        json.loads(answered(*asked, "--edition", edition, "--json"))
        for edition in ("ohta", "average")
    )
    assert second["chart"]["edition"] == "average"
    assert first["lab"] != second["lab"]


@pytest.mark.parametrize(
    "change",
    [
        {"--chart": "1,2 3,4"},
        {"--chart": "here"},
        {"--chart": "0,0 900,0 900,900 0,900"},
        {"--chart": typed(TAKEN.chart[::-1])},
        {"--hair": "1,2,3 4,5,6"},
        {"--hair": "5,5"},
        {"--hair": CHART},
        {"--other": "-5,5 9,9"},
        {"--edition": "mine"},
        {"--plot": "taken.gif"},
        {"--curves": "missing.toml"},
    ],
    ids=str,
)
def test_refusals_are_one_line(refused, photo, change):
    options = {"--chart": CHART, "--hair": HAIR} | change
    refused("measure", photo, *(word for pair in options.items() for word in pair))


def test_what_is_missing_is_said(refused, photo):
    assert "cannot read photograph missing.jpg" in refused(
        "measure", "missing.jpg", "--chart", CHART, "--hair", HAIR
    )
    refused("measure", photo, "--chart", CHART)
    refused("measure")


def test_without_corners_the_chart_is_looked_for_by_its_extra(refused, photo, monkeypatch):
    monkeypatch.setitem(sys.modules, "cv2", None)
    said = refused("measure", photo, "--hair", HAIR)
    assert "--chart may give instead, needs the extra 'chart': pip install 'lift[chart]'" in said


def test_the_chart_is_found(lift, photo):
    pytest.importorskip("cv2.mcc")
    code, out, err = lift("measure", photo, "--hair", HAIR, "--json")
    assert code == 0
    corners = err.split("'")[1]
    code, again, _ = lift("measure", photo, "--hair", HAIR, "--json", "--chart", corners)
    assert code == 0
    np.testing.assert_allclose(json.loads(out)["lab"], json.loads(again)["lab"], atol=0.05)
    np.testing.assert_allclose(
        [[*map(float, each.split(","))] for each in corners.split()], CORNERS, atol=4.0
    )


def test_the_answer_is_described():
    _, parts = schemas([MeasureAnswer])
    described = parts["MeasureAnswer"]["properties"]
    assert {"lab", "sd", "pigment", "other", "difference", "cautions_codes"} <= set(described)
    assert "other" not in parts["MeasureAnswer"]["required"]


def test_the_guide_is_written_without_a_photograph(answered, tmp_path):
    target = tmp_path / "guide.html"
    assert str(target) in answered("measure", "--guide", str(target))
    assert "<svg" in target.read_text("utf-8")
