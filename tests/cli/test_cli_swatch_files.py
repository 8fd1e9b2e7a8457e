"""How a command takes a swatch file: what it says of it, and what it does not begin."""

from pathlib import Path

import pytest

from lift.research.swatches.generate import design
from lift.research.swatches.written import write_swatches


@pytest.fixture(autouse=True)
def there(monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)


@pytest.fixture(scope="module")
def small():
    return design(3, minutes=(0.0, 20.0))


def test_what_would_take_long_is_estimated_and_not_begun(refused):
    """Ten thousand readings are read at once, and refused with how long they would take."""
    write_swatches(design(500, minutes=tuple(float(t) for t in range(0, 60, 3))), "much.csv")
    said = refused("tune", "much.csv")
    assert "10000 readings of 500 swatches take about 5 min, more than 60 s: --long" in said


def test_how_a_file_was_read_is_said_beside_the_answer(lift, small):
    write_swatches(small, "lab.csv")
    text = Path("lab.csv").read_text("utf-8").replace(",", ";")
    Path("lab.csv").write_text(text, "utf-8")
    options = ("--free", "lightening_rate", "--starts", "1", "--skip-left-out")
    code, out, err = lift("tune", "lab.csv", *options)
    assert code == 0
    assert err.startswith("  Read as: cells are parted by semicolons\n")
    assert "lightening_rate" in out


def test_a_doubtful_file_is_refused_and_taken_as_read(lift, refused, small):
    write_swatches(small.replace(minutes=small.minutes / 60.0), "hours.csv")
    asked = ("next", "hours.csv", "--level", "5", "--volume", "20", "--minutes", "20")
    assert "minutes look like hours" in refused(*asked)
    code, out, err = lift("swatches", "check", "hours.csv")
    assert (code, err) == (0, "")
    assert "Doubt: minutes look like hours" in out
    assert "nothing wrong" not in out


def test_templates_are_written_once(answered, refused):
    assert answered("swatches", "template", "-o", "lab.csv") == "To be filled in: lab.csv\n"
    assert "is there already" in refused("swatches", "template", "-o", "lab.csv")
    assert "nothing wrong" in answered("swatches", "check", "lab.csv")
