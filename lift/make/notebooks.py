"""Run the notebooks and save what they show: ``python -m lift.make.notebooks``.

Each runs from a clean kernel; an error, a warning or anything else on stderr fails it, and its
file is then left as it was.
"""

from __future__ import annotations

import os
import re
import sys
import time
from pathlib import Path
from typing import Any

from lift.errors import LiftError
from lift.files import write_whole

FOLDER = Path(__file__).parents[2] / "notebooks"
MOST_BYTES = 2_000_000
"""A notebook stays small enough to send by mail."""

COLOURS = re.compile(r"\x1b\[[0-9;]*m")
STATE = "application/vnd.jupyter.widget-state+json"


def notebook_files() -> tuple[Path, ...]:
    """Every notebook, in the order in which they are read."""
    return tuple(sorted(FOLDER.glob("*.ipynb")))


def run(path: Path, seconds: int = 600) -> Any:
    """Execute a notebook from a clean kernel.

    Parameters
    ----------
    path : pathlib.Path
        The notebook; it is not changed.
    seconds : int
        Longest time for one cell [s].

    Returns
    -------
    nbformat.NotebookNode
        With its outputs, free of anything that differs from run to run.

    Raises
    ------
    LiftError
        When a cell raises, warns or writes to stderr.
    """
    from nbclient import NotebookClient
    from nbclient.exceptions import CellExecutionError

    notebook = _nbformat().read(path, as_version=4)
    client = NotebookClient(
        notebook,
        timeout=seconds,
        record_timing=False,
        resources={"metadata": {"path": str(path.parent)}},
        # The kernel's own remarks on how it is reached are not the notebook's.
        extra_arguments=["--IPKernelApp.log_level=40"],
    )
    packages = os.pathsep.join(p for p in (str(FOLDER.parent), os.environ.get("PYTHONPATH")) if p)
    try:
        # Warnings that Python hides by default count as well.
        client.execute(env={**os.environ, "PYTHONWARNINGS": "default", "PYTHONPATH": packages})
    except CellExecutionError as error:
        # What went wrong, without the way there, which is longer than an error may be.
        said = COLOURS.sub("", f"{error.ename}: {error.evalue}")
        raise LiftError(f"{path.name}: {said}") from None
    _refuse_stderr(notebook, path.name)
    _settle(notebook)
    _nbformat().validate(notebook)
    return notebook


def _refuse_stderr(notebook: Any, name: str) -> None:
    for number, cell in enumerate(notebook.cells, 1):
        for output in cell.get("outputs", ()):
            if output.get("name") == "stderr":
                raise LiftError(f"{name}, cell {number}: {output['text'].strip()}")


def _settle(notebook: Any) -> None:
    """Take out what differs from run to run or from machine to machine."""
    notebook.metadata["kernelspec"] = {
        "display_name": "Python 3",
        "language": "python",
        "name": "python3",
    }
    notebook.metadata["language_info"] = {"name": "python"}
    for number, cell in enumerate(notebook.cells, 1):
        cell["id"] = f"cell-{number:02d}"


def _nbformat() -> Any:
    import nbformat

    return nbformat


def text_of(notebook: Any) -> str:
    """Text of the file; widgets, which are born with random names, are counted instead."""
    nbformat = _nbformat()
    text: str = nbformat.writes(notebook)
    born = notebook.metadata.get("widgets", {}).get(STATE, {}).get("state", ())
    for number, name in enumerate(born):
        text = text.replace(name, f"{number:032x}")
    # Read and written once more, because keys are sorted by name.
    return str(nbformat.writes(nbformat.reads(text, as_version=4))) + "\n"


def save(notebook: Any, path: Path) -> None:
    """Write a notebook.

    Raises
    ------
    LiftError
        When it is too large, or names a folder of this machine.
    """
    text = text_of(notebook)
    if len(text.encode()) > MOST_BYTES:
        raise LiftError(f"{path.name} has {len(text.encode())} bytes; allowed: {MOST_BYTES}")
    for folder in {str(Path.home()), str(FOLDER.parent), sys.prefix} - {"/"}:
        if re.search(re.escape(folder) + r"(?![\w-])", text):
            raise LiftError(f"{path.name} names a folder of this machine: {folder}")
    write_whole(path, text, "file.notebook")


def main(names: list[str]) -> None:
    """Run the named notebooks, or all, and save them with their outputs."""
    for path in notebook_files():
        if names and path.stem not in names:
            continue
        start = time.perf_counter()
        save(run(path), path)
        took = time.perf_counter() - start
        print(f"{path.name}: {took:.0f} s, {path.stat().st_size / 1e6:.2f} MB")


if __name__ == "__main__":
    try:
        main(sys.argv[1:])
    except LiftError as error:
        sys.exit(str(error))
