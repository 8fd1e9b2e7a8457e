"""What is written down works: every public name has an example, and all examples run."""

import ast
import doctest
import inspect
from concurrent.futures import ThreadPoolExecutor
from importlib import import_module
from pathlib import Path

import lift
from lift.make import readme

PACKAGE = Path(lift.__file__).parent
PARTS = ("lift", "lift.teach", "lift.lab")
FLAGS = doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS


def public():
    """Functions and classes of every public part, by their full name."""
    found = {}
    for part in PARTS:
        module = import_module(part)
        for name in module.__all__:
            thing = getattr(module, name)
            if inspect.isfunction(thing) or inspect.isclass(thing):
                found[f"{part}.{name}"] = thing
    return found


def has_example(thing):
    """In its own docstring, or in that of a method: a class may show how it is come by."""
    texts = [inspect.getdoc(thing) or ""]
    if inspect.isclass(thing):
        texts += [inspect.getdoc(m) or "" for n, m in vars(thing).items() if inspect.isfunction(m)]
    return any(">>>" in text for text in texts)


def with_examples():
    """Modules that hold examples."""
    for path in sorted(PACKAGE.rglob("*.py")):
        text = path.read_text("utf-8")
        if ">>>" in text and any(">>>" in (ast.get_docstring(n) or "") for n in documented(text)):
            yield ".".join(("lift", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(
                ".__init__"
            )


def documented(text):
    kinds = ast.Module | ast.ClassDef | ast.FunctionDef
    return [node for node in ast.walk(ast.parse(text)) if isinstance(node, kinds)]


def test_every_public_name_has_an_example():
    lacking = {name for name, thing in public().items() if not has_example(thing)}
    assert sorted(lacking) == []


def test_all_examples_run(monkeypatch, tmp_path):
    """In a folder of their own beside the shared files; pictures are drawn and not shown."""
    monkeypatch.setenv("MPLBACKEND", "Agg")
    monkeypatch.chdir(tmp_path)
    (tmp_path / "shared").symlink_to(PACKAGE.parent / "shared")
    # In a thread: a browser that was tested before it keeps a loop in this one.
    with ThreadPoolExecutor(1) as pool:
        failures, tried, said = pool.submit(run_examples).result()
    assert failures == 0, said
    assert tried > 200


class Finder(doctest.DocTestFinder):
    """Finds examples behind doors, too (`lift.doors`)."""

    def _from_module(self, module, thing):
        return super()._from_module(module, inspect.unwrap(thing))


def run_examples():
    """How many failed, how many were run, and what was said of it."""
    runner, said, tried = doctest.DocTestRunner(optionflags=FLAGS), [], 0
    for name in with_examples():
        for test in Finder().find(import_module(name), name):
            tried += len(test.examples)
            runner.run(test, out=said.append)
    return runner.failures, tried, "".join(said)


def test_it_is_typed():
    """Type checkers of other programs look for this file."""
    assert (PACKAGE / "py.typed").exists()


def test_readme_shows_what_commands_print():
    """After a change: ``python -m lift.make.readme``."""
    text = readme.FILE.read_text("utf-8")
    assert [command.split()[0] for command in readme.shown(text)] == ["choose", "preview"]
    assert readme.renewed(text) == text
