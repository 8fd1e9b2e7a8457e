"""Rules of the house: what docstrings and data say, how large modules are, what lies where."""

import ast
import re
import subprocess
import tomllib
from collections import Counter
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import lift
from lift.answers import to_dict
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.parameter import STATUSES
from lift.practice.goal import Blend
from lift.practice.preview import preview

PACKAGE = Path(lift.__file__).parent
ROOT = PACKAGE.parent
MODULES = sorted(PACKAGE.rglob("*.py"))

WORKING_STATE = {"research/planning/information.py.Together"}
"""Arrays that a loop brings down in place."""

TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "pyproject.toml", "Makefile"),
    *("lift", "notebooks", "tests", "reference", "shared", ".ci", ".gitignore"),
}


def name(path):
    return path.relative_to(PACKAGE).as_posix()


def floor(path):
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@cache
def tree(path):
    return ast.parse(path.read_text("utf-8"))


# Docstrings.

QUANTITY = re.compile(r"(?:^|_)(nm|um|minutes|deg|volumes?|percent|mm|weeks|days)$|_c$")
ENTRY = re.compile(r"^(\w[\w, *]*?)(?: : .*)?$")


def parameters(docstring):
    """Names and description of each entry of a numpydoc "Parameters" section."""
    lines = docstring.splitlines()
    heads = [i for i, line in enumerate(lines) if line.strip() == "Parameters"]
    if not heads or heads[0] + 1 >= len(lines):
        return
    start = heads[0] + 2
    indent = len(lines[start - 1]) - len(lines[start - 1].lstrip())
    names, text = [], []
    for i, line in enumerate(lines[start:], start):
        here = len(line) - len(line.lstrip())
        if i + 1 < len(lines) and set(lines[i + 1].strip()) == {"-"}:
            break
        if line.strip() and here == indent:
            if names:
                yield names, " ".join(text)
            entry = ENTRY.match(line.strip())
            names = [n.strip() for n in entry[1].split(",")] if entry else []
            text = [line.strip()]
        else:
            text.append(line.strip())
    if names:
        yield names, " ".join(text)


def documented(path):
    """Every public class and function with a docstring, methods included."""

    def walk(node, inside):
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.ClassDef | ast.FunctionDef) and not child.name.startswith("_"):
                yield f"{inside}.{child.name}", child
                if isinstance(child, ast.ClassDef):
                    yield from walk(child, f"{inside}.{child.name}")

    yield from walk(tree(path), name(path))


def test_the_parser_reads_numpydoc():
    text = (
        "Do it.\n\n    Parameters\n    ----------\n    low, high : float\n        Range [nm].\n"
        "    minutes : float\n        Time,\n        long [min].\n\n"
        "    Returns\n    -------\n    x_nm : float\n        No unit.\n"
    )
    assert list(parameters(text)) == [
        (["low", "high"], "low, high : float Range [nm]."),
        (["minutes"], "minutes : float Time, long [min]. "),
    ]
    assert list(parameters("One line.")) == []
    for quantity in ("wavelength_nm", "minutes", "limit_minutes", "temperature_c", "grey_percent"):
        assert QUANTITY.search(quantity)
    for other in ("mixture", "columns", "music", "basic", "magic"):
        assert not QUANTITY.search(other)


def test_quantities_have_their_unit_in_brackets():
    """Or a reference to where they are said to have it."""
    lacking = [
        f"{where}: {', '.join(names)}"
        for path in MODULES
        for where, node in documented(path)
        for names, text in parameters(ast.get_docstring(node, clean=False) or "")
        if any(QUANTITY.search(n) for n in names) and not re.search(r"\[[^\]]+\]|`lift\.", text)
    ]
    assert lacking == []


def test_functions_of_arrays_say_their_shapes():
    """A "Parameters" section, or a shape or a unit in the one line that there is."""
    silent = {}
    for path in MODULES:
        lacking = []
        for where, node in documented(path):
            if isinstance(node, ast.FunctionDef) and "ArrayLike" in ast.unparse(node.args):
                text = ast.get_docstring(node) or ""
                if not ("Parameters\n---" in text or "shape" in text or "[" in text):
                    lacking.append(where)
        if len(lacking) > 0.2 * max(1, len(list(documented(path)))):
            silent[name(path)] = lacking
    assert silent == {}


# Data.


def shipped(pattern):
    return sorted((PACKAGE / "data").glob(pattern))


def test_every_parameter_has_value_unit_range_status_and_source():
    """In the file itself, whatever the code would fill in."""
    (path,) = shipped("*curves*.toml")
    rows = tomllib.loads(path.read_text("utf-8"))["parameters"]
    assert len(rows) >= 40
    for parameter, row in rows.items():
        assert set(row) == {"value", "unit", "low", "high", "status", "source"}, parameter
        assert row["low"] <= row["value"] <= row["high"], parameter
        assert row["unit"].strip(), parameter
        assert row["status"] in STATUSES, parameter
        assert len(row["source"].split()) >= 2, parameter


def test_every_dye_has_status_and_source():
    dyes = tomllib.loads((PACKAGE / "data" / "dye_bands.toml").read_text("utf-8"))
    assert dyes
    for dye, row in dyes.items():
        assert row["status"] in STATUSES, dye
        assert len(row["source"].split()) >= 3, dye


CURVES = default_curves()
SCENES = (
    (Hair(5.0, lightened_to=6.0, damp=True), Mixture("base-break", 10.0, temperature_c=33.0), 10.0),
    (Hair(4.0, fibre_um=60.0), Mixture("cream", 30.0), 20.0),
    (Hair(5.0, pheomelanin_share=0.42), Mixture("cream", 30.0), 20.0),
    (Hair(6.0), Mixture("powder", 20.0), 20.0),
)


def outcome(curves):
    """Figures of some previews, and the names they carry."""
    numbers, words = [], []
    for hair, mixture, minutes in SCENES:
        shown = to_dict(preview(hair, mixture, minutes, Blend(), curves, members=2))
        at, window = shown["at"], shown["window"]
        for value in (at["lab"], at["level"], at["lift"], at["warmth"]):
            numbers += [value["low"], value["median"], value["high"]]
        numbers += [window[key] for key in ("reached_at", "too_warm_at", "warmth_limit")]
        words += [at["stage"], shown["tone"]["wheel"]]
    flat = [np.nan if n is None else n for row in numbers for n in np.ravel([row])]
    return np.array(flat, dtype=float), words


def test_every_parameter_acts():
    """Moved to an end of its range it changes some figure or name: none is there for show."""
    numbers, words = outcome(CURVES)

    def acts(parameter, value):
        n, w = outcome(CURVES.replace(**{parameter: value}))
        return w != words or not np.allclose(n, numbers, atol=1e-3, equal_nan=True)

    idle = [p for p in CURVES if not (acts(p, CURVES[p].high) or acts(p, CURVES[p].low))]
    assert idle == []


# Sizes and places.


def lines_of_code(path):
    """Lines that are neither empty nor a comment nor part of a docstring."""
    texts = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            texts.update(range(node.lineno, node.end_lineno + 1))
    lines = enumerate(map(str.strip, path.read_text("utf-8").splitlines()), 1)
    return sum(bool(line) and line[0] != "#" and i not in texts for i, line in lines)


def test_modules_are_small():
    """None is longer than 400 lines and most have less than 200, nine in ten without what is
    said in docstrings."""
    code = [path for path in MODULES if path != PACKAGE / "words" / "english.py"]
    lines = {name(path): len(path.read_text("utf-8").splitlines()) for path in code}
    assert max(lines.values()) <= 400, Counter(lines).most_common(3)
    assert np.mean([n < 200 for n in lines.values()]) > 2 / 3
    assert np.mean([lines_of_code(path) < 200 for path in code]) > 0.9


def dataclasses(path):
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.ClassDef):
            for mark in node.decorator_list:
                if ast.unparse(mark).partition("(")[0] == "dataclass":
                    yield f"{name(path)}.{node.name}", ast.unparse(mark)


def test_dataclasses_are_frozen():
    changing = {
        where
        for path in MODULES
        if floor(path) not in {"show", "cli", "make"}
        for where, mark in dataclasses(path)
        if "frozen=True" not in mark
    }
    assert changing <= WORKING_STATE


def tracked():
    done = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if done.returncode != 0:
        pytest.skip("not a git checkout")
    return [Path(line) for line in done.stdout.splitlines()]


def test_nothing_else_lies_at_the_top():
    assert {path.parts[0] for path in tracked()} <= TOP_LEVEL


def test_nothing_generated_is_kept():
    generated = {".part", ".pyc", ".coverage", ".egg-info"}
    assert [p for p in tracked() if p.suffix in generated or "__pycache__" in p.parts] == []


def test_test_files_have_names_of_their_own():
    names = Counter(path.name for path in (ROOT / "tests").rglob("test_*.py"))
    assert [n for n, count in names.items() if count > 1] == []
    assert list((ROOT / "tests").rglob("__init__.py")) == []
