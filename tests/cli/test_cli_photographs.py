"""Photographs with a colour chart in place of typed colours, on computed pictures."""

import json

import numpy as np
import pytest
from PIL import Image

from lift import default_curves
from lift.make.photograph import Scene, photograph
from lift.model.strand import lightened, natural_pigment, strand_reflectance
from lift.photo.measure import measure
from lift.practice.trial.photographed import photographed

HAIR = ("--level", "7", "--volume", "10", "--fibre", "fine", "--damp", "--mixture", "base-break")


def typed(points):
    return " ".join(f"{x:g},{y:g}" for x, y in np.asarray(points))


@pytest.fixture(scope="module")
def taken():
    """Two locks beside a chart: hair of level 7 soon after the mixture went on."""
    values = default_curves().values
    natural = natural_pigment(np.array([7.0, 7.0]), values["pheomelanin_share"], values)
    locks = strand_reflectance(lightened(natural, np.array([0.1, 0.2]), values), values)
    return photograph(Scene(locks))


@pytest.fixture(scope="module")
def lock(taken, tmp_path_factory):
    path = tmp_path_factory.mktemp("photographs") / "lock.png"
    Image.fromarray(taken.pixels).save(path)
    return path


@pytest.fixture(scope="module")
def where(taken):
    return "--chart", typed(taken.chart), "--hair", typed(taken.hair[0])


@pytest.fixture(scope="module")
def measured(taken):
    return measure(taken.pixels, taken.chart, taken.hair[0])


def told(lift, *words):
    """Call with photographs: the answer, and what is said of them beside it."""
    code, out, err = lift(*words, "--json")
    assert code == 0, err
    assert "give or take" in err
    assert "ask before you take it" in err
    return json.loads(out)


def test_a_strand_is_seen_in_photographs_as_surely_as_they_tell(lift, lock, taken, where, measured):
    looks = ("--seen", f"3:{lock}", "--seen", f"4:{lock}", "--hair", typed(taken.hair[1]))
    first, second = told(lift, "strand", *HAIR, *where, *looks)["observations"]
    assert first["lab"] == pytest.approx(measured.lab, abs=0.006)
    assert first["sd"] == pytest.approx(photographed(3, measured).sd, abs=1e-3)
    assert second["lab"][0] > first["lab"][0]


def test_a_tone_answers_a_photograph(lift, lock, where, measured):
    found = told(lift, "tone", "--photo", lock, *where)
    assert found["inputs"]["lab"] == pytest.approx(measured.lab, abs=1e-4)
    assert found["at"]["level"] == pytest.approx(measured.level, abs=1e-3)


def test_a_record_keeps_what_a_photograph_told(answered, lift, lock, where, measured, tmp_path):
    file = ("--file", tmp_path / "records.sqlite")
    done = (*HAIR, "--minutes", "3", "--invented", *file)
    told(lift, "record", "add", *done, "--photo", lock, *where)
    (kept,) = json.loads(answered("record", "list", *file, "--json"))["records"]
    assert kept["seen_b"] == pytest.approx(measured.lab[2], abs=0.006)
    assert kept["seen_sd_b"] == pytest.approx(measured.sd[2], abs=0.006)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("tone", "--photo", "{lock}", "--chart", "1,2 3,4"), "a photograph needs --hair: a box"),
        (("tone", "--lab", "50,8,22", "--hair", "1,2 3,4"), "1 of --hair for 0 photographs"),
        (("tone", "--photo", "{lock}", "--chart", "a", "--hair", "b"), "chart corners 'a' are not"),
        (("strand", *HAIR, "--seen", "3:none.jpg", "--chart", "a", "--hair", "b"), "none.jpg"),
        (("record", "add", *HAIR, "--minutes", "3"), "one of --seen WHAT or --photo PHOTO"),
    ],
)
def test_what_a_photograph_lacks_is_named(refused, lock, words, said):
    assert said in refused(*(word.format(lock=lock) for word in words))


def test_without_corners_the_chart_is_looked_for(lift, refused, monkeypatch, lock, taken, where):
    asked = ("tone", "--photo", lock, "--hair", typed(taken.hair[0]))
    try:
        import cv2.mcc  # noqa: F401
    except ImportError:
        assert "pip install 'lift[chart]'" in refused(*asked)
    else:
        found, known = told(lift, *asked), told(lift, "tone", "--photo", lock, *where)
        assert found["inputs"]["lab"] == pytest.approx(known["inputs"]["lab"], abs=0.4)
