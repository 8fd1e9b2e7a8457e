"""Hair is shown as a lock, never as a flat patch: only the lock's room may turn it to a colour."""

import ast
import re
from pathlib import Path

import pytest

import lift

SHOW = Path(lift.__file__).parent / "show"
MODULES = sorted(SHOW.rglob("*.py"))
TO_A_SCREEN = {
    *("lab_to_srgb", "xyz_to_srgb", "reflectance_to_srgb", "lab_to_linear", "encode_srgb"),
    "srgb_to_hex",
}
"""All that turns a colour into one of a screen; see `lift.optics.colorimetry`."""

MAY = {"lock", "terminal/foot.py", "plots/paint.py", "card/photo_guide.py", "results/colours.py"}
"""The lock itself; a terminal, which has only blocks; paints and patches of a chart, no hair; and
the colour that is asked for as a text, which is shown nowhere."""

SCRIPTS = sorted((SHOW / "page" / "static").glob("*.js"))


def name(path):
    return path.relative_to(SHOW).as_posix()


def borrowed(text):
    """What a module takes from colorimetry to make screen colours, by name or by the module."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("lift.optics"):
            yield from (alias.name for alias in node.names if alias.name in TO_A_SCREEN)
            yield from (alias.name for alias in node.names if alias.name == "colorimetry")
        elif isinstance(node, ast.Import):
            yield from (a.name for a in node.names if a.name.startswith("lift.optics"))


def test_what_makes_screen_colours_is_there_and_seen():
    from lift.optics import colorimetry

    assert all(callable(getattr(colorimetry, each)) for each in TO_A_SCREEN)
    found = {n for n in vars(colorimetry) if "srgb" in n.lower() and n.islower()}
    assert found <= TO_A_SCREEN
    assert list(borrowed("from lift.optics.colorimetry import chroma, lab_to_srgb")) == [
        "lab_to_srgb"
    ]
    assert list(borrowed("from lift.optics import colorimetry")) == ["colorimetry"]
    assert list(borrowed("import lift.optics.colorimetry as c")) == ["lift.optics.colorimetry"]


@pytest.mark.parametrize("path", MODULES, ids=name)
def test_only_the_lock_turns_hair_into_screen_colours(path):
    here = name(path)
    if here.partition("/")[0] in MAY or here in MAY:
        return
    assert list(borrowed(path.read_text("utf-8"))) == []


def test_what_may_does():
    for allowed in MAY:
        files = sorted((SHOW / allowed).glob("*.py")) or [SHOW / allowed]
        assert any(list(borrowed(path.read_text("utf-8"))) for path in files)


def test_paints_are_given_no_colour_of_hair():
    """A hue, a family or a dye: nothing with which a flat patch of hair could be painted."""
    tree = ast.parse((SHOW / "plots" / "paint.py").read_text("utf-8"))
    functions = [node for node in tree.body if isinstance(node, ast.FunctionDef)]
    taken = {ast.unparse(f.args) for f in functions}
    assert taken == {"hue_deg: float", "family: str", "dye: str"}


FILLED = re.compile(r"\bfill: *([^,}\n]+)")
NO_HAIR = re.compile(r'GROUND|PATTERNS\[|"none"|[`"]url\(#')
"""The ground, a hatch, nothing, or a gradient, which only the lock's script makes."""

PAINTED = re.compile(
    r"stop-color|backgroundColor|\.style\b(?!\.(?:left|top|width|height)\b)|"
    r"\"(?:fill|stroke|style)\"|\b(?:style|stroke):"
)


def painted(text):
    """Where a script gives something a colour that is not the look's own."""
    found = PAINTED.findall(text)
    return [*found, *(fill for fill in FILLED.findall(text) if not NO_HAIR.match(fill))]


def test_the_scan_of_scripts_sees_patches():
    assert painted("chip.style.backgroundColor = row.colour") == [".style", "backgroundColor"]
    # Where something lies is no colour of it.
    assert painted("handle.style.left = x") == []
    assert painted('svg("rect", { fill: shown.colour, x })') == ["shown.colour"]
    assert painted('svg("rect", { x, fill: `url(#${id})` }), svg("rect", { fill: GROUND })') == []


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_only_the_lock_gives_the_page_colours(path):
    found = painted(path.read_text("utf-8"))
    assert bool(found) == (path.name == "lock.js"), found
