"""Every prediction with a tuned curve set says where it extrapolates."""

import dataclasses

import pytest

from lift import default_curves
from lift.model.validity import Validity

HAIR = ("--volume", "20", "--minutes", "20")
COMMANDS = {
    "preview": ("preview", "--level", "5", *HAIR),
    "strand": ("strand", "--level", "5", *HAIR, "--goal", "6", "--seen", "10:5.6"),
    "tone": ("tone", "--natural", "5", *HAIR),
    "plan": ("plan", "shared/darker_base.toml"),
}


@pytest.fixture
def told(monkeypatch, answered, tmp_path):
    from lift.reference import FOLDER

    monkeypatch.chdir(FOLDER.parent)

    def call(words, validity):
        curves = dataclasses.replace(default_curves(), name="mine", validity=validity)
        curves.save(tmp_path / "mine.toml")
        return answered(*words, "--curves", tmp_path / "mine.toml")

    return call


@pytest.mark.parametrize("name", COMMANDS)
def test_outside_is_said(told, name):
    out = told(COMMANDS[name], Validity((("level", 9.0, 10.0),), ()))
    assert "Extrapolates: natural level" in out


@pytest.mark.parametrize("name", ["preview", "strand", "tone"])
def test_inside_is_not(told, name):
    assert "Extrapolates" not in told(COMMANDS[name], Validity((("level", 4.0, 6.0),), ("cream",)))
