"""A curve-set file that was changed since it was sealed is noticed, however little."""

import re

import pytest

from lift import LiftError, default_curves, load_curves
from lift.answers.parts import curve_set_part
from lift.model.sealed import seal_of

CURVES = default_curves().replace(cream_ph=9.5, name="milder")


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "milder.toml"
    CURVES.save(path)
    return path


def edited(path, old, new):
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    return path


def test_what_was_not_changed_opens_and_tells_its_seal(file):
    found = load_curves(file)
    assert found == CURVES
    assert re.fullmatch("[0-9a-f]{64}", found.seal)
    assert curve_set_part(found).seal == found.seal
    found.save(file)
    assert load_curves(file).seal == found.seal


def test_another_way_of_typing_it_breaks_no_seal(file):
    text = file.read_text("utf-8").replace("\n", "\r\n").replace("value = 9.5\r", "value = 9.50\r")
    file.write_text("# checked\r\n" + text, "utf-8")
    assert load_curves(file) == CURVES


def test_a_digit_of_any_number_or_word_breaks_it(file):
    draw = re.search(r"\[posterior\]\n.*\ndraws = \[\n  \[([0-9.]+)", file.read_text("utf-8"))[1]
    for old, new in (
        ("value = 9.5", "value = 9.4"),
        (draw, f"{draw}1"),
        ('name = "milder"', 'name = "mild"'),
        ("assumed", "published"),
    ):
        CURVES.save(file)
        with pytest.raises(LiftError, match=r"changed since it was sealed.*--unsealed") as refused:
            load_curves(edited(file, old, new))
        assert len(str(refused.value).splitlines()) == 1


def test_taken_all_the_same_it_says_so_for_good(file):
    found = load_curves(edited(file, "value = 9.5", "value = 9.4"), unsealed=True)
    assert found["cream_ph"].value == 9.4
    assert found.seal == ""
    assert "CHANGED since it was sealed" in str(found.standing)
    found.save(file)
    assert "CHANGED since it was sealed" in str(load_curves(file).standing)
    assert curve_set_part(found).seal is None
    assert "unsealed" in curve_set_part(found).provenance


def test_a_set_that_was_changed_in_memory_has_no_seal(file):
    assert load_curves(file).replace(cream_ph=9.6).seal == ""


def test_older_files_carry_none(file):
    text = file.read_text("utf-8")
    file.write_text(re.sub("seal = .*\n", "", text), "utf-8")
    found = load_curves(file)
    assert found == CURVES
    assert found.seal == ""
    assert "CHANGED" not in str(found.standing)


def test_order_does_not_matter_and_content_does():
    assert seal_of({"a": 1, "b": [2.0]}) == seal_of({"b": [2.0], "a": 1, "seal": "x"})
    assert seal_of({"a": 1}) != seal_of({"a": 1.5})
