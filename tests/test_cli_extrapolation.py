"""Every prediction with a tuned curve set says where it extrapolates."""

import dataclasses

import pytest

from lift import default_curves
from lift.cli import main
from lift.model.validity import Validity

HAIR = ("--volume", "20", "--minutes", "20")
COMMANDS = {
    "preview": ("preview", "--level", "5", *HAIR),
    "strand": ("strand", "--level", "5", *HAIR, "--seen", "10:5.6"),
    "tone": ("tone", "--natural", "5", *HAIR),
    "plan": ("plan", "shared/darker_base.toml"),
}


@pytest.fixture
def run(monkeypatch, capsys, tmp_path):
    from lift.reference import FOLDER

    monkeypatch.chdir(FOLDER.parent)

    def call(words, validity):
        curves = dataclasses.replace(default_curves(), name="mine", validity=validity)
        curves.save(tmp_path / "mine.toml")
        path = str(tmp_path / "mine.toml")
        monkeypatch.setattr("sys.argv", ["lift", *words, "--curves", path])
        with pytest.raises(SystemExit) as stop:
            main()
        printed = capsys.readouterr()
        assert stop.value.code == 0, printed.err
        return printed.out

    return call


@pytest.mark.parametrize("name", COMMANDS)
def test_outside_is_said(run, name):
    out = run(COMMANDS[name], Validity((("level", 9.0, 10.0),), ()))
    assert "Extrapolates: natural level" in out


@pytest.mark.parametrize("name", ["preview", "strand", "tone"])
def test_inside_is_not(run, name):
    assert "Extrapolates" not in run(COMMANDS[name], Validity((("level", 4.0, 6.0),), ("cream",)))
