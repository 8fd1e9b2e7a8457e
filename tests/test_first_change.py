"""The first change of DEVELOPERS.md, made by following its text in a copy of the package."""

import json
import os
import re
import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import pytest

import lift

ROOT = Path(lift.__file__).parent.parent
GUIDE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
FENCE = r"\n\n?```\w+\n(.*?)```"
EDIT = re.compile(r"^`([\w/.]+)`, (before|in place of) `(.+?)`:" + FENCE, re.M | re.S)


def section(title):
    return re.search(rf"^### {title}.*?(?=^##)", GUIDE, re.M | re.S)[0]


@pytest.fixture
def copy(tmp_path):
    ignore = shutil.ignore_patterns("__pycache__")
    shutil.copytree(ROOT / "lift", tmp_path / "lift", ignore=ignore)
    (tmp_path / "reference").symlink_to(ROOT / "reference")
    return tmp_path


def run(folder, *words):
    env = {**os.environ, "PYTHONPATH": str(folder), "XDG_DATA_HOME": str(folder), "COLUMNS": "100"}
    done = subprocess.run(
        [sys.executable, *words], cwd=folder, env=env, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def command(folder, text):
    return run(folder, "-m", *text.split())


def apply_edits(folder, text):
    """Make the edits of a recipe; the files touched."""
    touched = []
    for file, how, anchor, piece in EDIT.findall(text):
        path = folder / file
        lines = path.read_text("utf-8").splitlines(keepends=True)
        (at,) = [i for i, line in enumerate(lines) if line.strip() == anchor]
        lines[at : at + (how == "in place of")] = [piece]
        path.write_text("".join(lines), "utf-8")
        touched.append(file)
    return touched


def test_a_mixture_class_is_one_file(copy):
    text = section("A mixture class")
    table, shell = re.findall(FENCE, text, re.S)
    (copy / "oil.toml").write_text(table, "utf-8")
    assert "oil, 20 vol on natural level 6" in command(copy, shell.strip())
    answer = json.loads(command(copy, f"{shell.strip()} --json"))
    assert (answer["inputs"]["mixture"], answer["inputs"]["ph"]) == ("oil", 9.3)


SLIDERS = """
import lift
print("porosity" in lift.teach.Explorer(lift.Hair(6), lift.Mixture("cream", 20), 5).controls)
"""

PAGE = """
from lift.model.mixtures import mixture_classes
from lift.show.page.app import page_text
from lift.show.page.openapi import description
print('id="exact-porosity"' in page_text(mixture_classes(), ""), "porosity" in str(description()))
"""


@pytest.mark.slow
def test_a_property_of_hair_is_four_files(copy):
    text = section("A property of hair")
    touched = apply_edits(copy, text)
    assert len(touched) == 6
    assert len(set(touched)) == 4
    run(copy, "-m", "lift.make.curves", "--keep-draws")
    _, asked, helped = re.findall(FENCE, text, re.S)[-1].strip().splitlines()
    assert "porosity 0.6" in command(copy, asked).splitlines()[0]
    assert "How open the fibre is, 0 (as grown) to 1" in " ".join(command(copy, helped).split())
    assert json.loads(command(copy, f"{asked} --json"))["inputs"]["porosity"] == 0.6
    assert run(copy, "-c", PAGE).strip() == "True True"
    if find_spec("ipywidgets"):
        assert run(copy, "-c", SLIDERS).strip() == "True"
    command(
        copy,
        "lift record add --level 5 --volume 20 --minutes 20 --seen 7 --porosity 0.4 --invented",
    )
    head, row = command(copy, "lift record export").splitlines()
    assert dict(zip(head.split(","), row.split(","), strict=True))["porosity"] == "0.4"
