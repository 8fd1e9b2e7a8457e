"""What importing loads, and which way imports point."""

import ast
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

import lift

PACKAGE = Path(lift.__file__).parent
MODULES = sorted(PACKAGE.rglob("*.py"))
HEAVY = ("colour", "matplotlib", "msgspec", "scipy")
FLOORS = (
    {"words"},
    {"errors", "quantities", "results", "tables", "files", "doors"},
    {"optics", "chemistry"},
    {"model"},
    {"photo"},
    {"reference"},
    {"practice"},
    {"research"},
    {"answers"},
    {"show"},
    {"cli"},
)
"""From the ground up; what is not named here stands on the roof."""

ASIDE = {("optics", "chemistry"), ("chemistry", "optics")}
"""Rooms of one floor that know nothing of each other."""

DRAWING = {"matplotlib", "rich", "click", "jinja2", "ipywidgets"}
DOORS = {"show", "cli", "make"}
REPORT = f"print('loaded', sorted(set({HEAVY!r}) & set(sys.modules)), file=sys.stderr)"


def name(path):
    return path.relative_to(PACKAGE).as_posix()


def floor(path):
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported(path):
    """Modules a file imports: at its head, inside a function, or by name."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name(path)} has a relative import"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Call) and getattr(node.func, "id", "") == "import_module":
            yield from (a.value for a in node.args if isinstance(a, ast.Constant))


@cache
def imports():
    return {path: tuple(imported(path)) for path in MODULES}


def test_the_parser_sees_imports(tmp_path):
    path = tmp_path / "module.py"
    path.write_text(
        "import rich.table\n"
        "def f():\n    from lift.show import plots\n    import_module('colour')\n"
    )
    assert set(imported(path)) == {"rich.table", "lift.show.plots", "colour"}


def run(code):
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)


def test_import_loads_nothing_heavy():
    done = run(f"import sys, lift; {REPORT}")
    assert done.returncode == 0, done.stderr
    assert done.stderr.strip() == "loaded []"


SLOW_TO_LOAD = ("importlib.resources", "numpy.polynomial", "rich._emoji_codes")
"""What no command has a use for that is worth the wait."""


@pytest.mark.parametrize(
    ("words", "without"),
    [
        ("--help", (*HEAVY, "numpy", "lift.cli.options")),
        ("stages --json", ("rich", "lift.model.mixture", "lift.model.ensemble")),
        ("preview --level 7 --volume 10 --minutes 5", HEAVY),
    ],
)
def test_commands_load_what_they_need(words, without):
    done = run(
        "import runpy, sys, atexit\n"
        f"without = {(*without, *SLOW_TO_LOAD)!r}\n"
        "atexit.register(lambda: print(sorted({*without} & {*sys.modules}), file=sys.stderr))\n"
        f"sys.argv = {['lift', *words.split()]!r}\n"
        "runpy.run_module('lift', run_name='__main__')"
    )
    assert done.returncode == 0, done.stderr
    assert "preview" in done.stdout or "level" in done.stdout.lower()
    assert done.stderr.strip() == "[]"


def test_colour_science_has_one_door():
    doors = {
        name(path)
        for path, modules in imports().items()
        if floor(path) != "make" and any(m.split(".")[0] == "colour" for m in modules)
    }
    assert doors == {"optics/adapter.py"}


def test_imports_point_downward():
    height = {room: level for level, rooms in enumerate(FLOORS) for room in rooms}
    upward = []
    for path, modules in imports().items():
        here = floor(path)
        for module in modules:
            root, _, rest = module.partition(".")
            there = rest.split(".")[0]
            if root != "lift" or there in ("", "__version__"):
                continue
            up = height.get(there, len(FLOORS)) > height.get(here, len(FLOORS))
            if up or (here, there) in ASIDE:
                upward.append(f"{name(path)} imports {module}")
    assert upward == []


def room(module):
    """Folder a module lies in, as ``practice.toning``."""
    parts = module.split(".")
    while parts and not PACKAGE.joinpath(*parts).is_dir():
        parts.pop()
    return ".".join(parts)


def test_rooms_do_not_need_each_other_in_a_circle():
    """Data flows one way between the rooms of a floor, too."""
    needs = {}
    for path, modules in imports().items():
        home = room(".".join(path.relative_to(PACKAGE).parent.parts))
        used = {room(m.removeprefix("lift.")) for m in modules if m.startswith("lift.")}
        needs.setdefault(home, set()).update(used - {home, ""})
    needs.pop("")
    while free := {home for home, used in needs.items() if not used & needs.keys()}:
        needs = {home: used for home, used in needs.items() if home not in free}
    assert needs == {}


def test_only_show_and_cli_draw_or_print():
    drawing = [
        f"{name(path)} imports {module}"
        for path, modules in imports().items()
        for module in modules
        if floor(path) not in DOORS and module.split(".")[0] in DRAWING
    ]
    assert drawing == []
    printing = [
        f"{name(path)}:{node.lineno} prints"
        for path in MODULES
        if floor(path) not in DOORS and path.name != "__main__.py"
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "print"
    ]
    assert printing == []
