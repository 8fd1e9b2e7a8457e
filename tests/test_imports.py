"""What importing loads, and which way imports point."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import lift

PACKAGE = Path(lift.__file__).parent
HEAVY = ("colour", "matplotlib", "scipy")
FLOORS = (
    {"words"},
    {"errors", "quantities", "tables", "files", "reference"},
    {"optics", "chemistry"},
    {"model"},
    {"practice", "research"},
    {"answers"},
    {"show"},
    {"cli"},
)
REPORT = f"print('loaded', sorted(set({HEAVY!r}) & set(sys.modules)), file=sys.stderr)"


def run(code):
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)


def test_import_loads_nothing_heavy():
    done = run(f"import sys, lift; {REPORT}")
    assert done.returncode == 0, done.stderr
    assert done.stderr.strip() == "loaded []"


def test_help_loads_nothing_heavy():
    done = run(
        "import runpy, sys, atexit\n"
        f"atexit.register(lambda: {REPORT})\n"
        "sys.argv = ['lift', '--help']\n"
        "runpy.run_module('lift', run_name='__main__')"
    )
    assert done.returncode == 0, done.stderr
    assert "preview" in done.stdout
    assert done.stderr.strip() == "loaded []"


def imported(path):
    """Names of all modules a file imports, at its head or inside a function."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module
        elif isinstance(node, ast.Call) and getattr(node.func, "id", "") == "import_module":
            yield from (a.value for a in node.args if isinstance(a, ast.Constant))


def modules():
    return [p for p in sorted(PACKAGE.rglob("*.py")) if p.relative_to(PACKAGE).parts[0] != "make"]


def test_colour_science_has_one_door():
    doors = [p for p in modules() if any(m.split(".")[0] == "colour" for m in imported(p))]
    assert doors == [PACKAGE / "optics" / "adapter.py"]


@pytest.mark.parametrize("path", modules(), ids=lambda p: p.relative_to(PACKAGE).as_posix())
def test_imports_point_downward(path):
    floor = {name: level for level, names in enumerate(FLOORS) for name in names}
    top = len(FLOORS)
    here = floor.get(path.relative_to(PACKAGE).parts[0].removesuffix(".py"), top)
    for module in imported(path):
        root, _, rest = module.partition(".")
        if root == "lift" and rest:
            assert floor.get(rest.split(".")[0], top) <= here, f"{path.name} imports {module}"
