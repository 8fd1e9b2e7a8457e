"""Notebooks: each runs from a clean kernel, and reads well without one."""

import ast
import json
import re

import pytest

pytest.importorskip("nbclient")
import nbformat

import lift
from lift.errors import LiftError
from lift.make import notebooks

FILES = notebooks.notebook_files()
NUMBER = re.compile(r"\d+(?:\.\d+)?")
MOST_LINES = 14
"""Lines of code in a cell, its words for the reader left out."""


def pages(path):
    return nbformat.read(path, as_version=4)


def code_cells(path):
    return [c for c in pages(path).cells if c.cell_type == "code"]


def outputs(path):
    return [o for cell in code_cells(path) for o in cell.outputs]


def html(path):
    return "".join(o.data.get("text/html", "") for o in outputs(path) if "data" in o)


def by_name(path):
    return path.stem


each = pytest.mark.parametrize("path", FILES, ids=by_name)


def test_all_five_are_here():
    assert {p.stem for p in FILES} == {
        "why_it_turns_orange",
        "preview_at_the_chair",
        "which_tone_answers_it",
        "tune_the_stage_curves",
        "how_far_to_trust_this",
    }


@each
def test_saved_with_its_outputs(path):
    cells = code_cells(path)
    assert [c.execution_count for c in cells] == list(range(1, len(cells) + 1))
    assert all(o.output_type in {"execute_result", "display_data"} for o in outputs(path))


@each
def test_small_and_free_of_this_machine(path):
    text = path.read_text("utf-8")
    assert len(text.encode()) <= notebooks.MOST_BYTES
    # Pixels as text may spell a folder by chance.
    text = re.sub(r"base64,[\w+/=]+", "", text)
    assert not re.search(r"/(home|root|tmp|work|usr|Users)/", text)
    assert not re.search(r"\b0x[0-9a-f]{6,}\b", text)


@each
def test_every_picture_has_words(path):
    shown = html(path)
    pictures = re.findall(r"<img [^>]*>", shown)
    assert pictures
    for picture in pictures:
        alt = re.search(r'alt="([^"]*)"', picture)
        assert alt
        assert len(alt[1]) > 60, alt[1]
    assert not any("image/png" in o.get("data", {}) for o in outputs(path))


@each
def test_cells_are_short_and_define_nothing(path):
    for cell in code_cells(path):
        tree = ast.parse(cell.source)
        words = {
            line
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
            for line in range(node.lineno, node.end_lineno + 1)
        }
        lines = [i for i, line in enumerate(cell.source.splitlines(), 1) if line.strip()]
        assert len(set(lines) - words) <= MOST_LINES, cell.source
        for node in ast.walk(tree):
            assert not isinstance(node, ast.FunctionDef | ast.Lambda | ast.ClassDef), cell.source
            if isinstance(node, ast.Import):
                assert [a.name for a in node.names] == ["lift"], cell.source
            if isinstance(node, ast.ImportFrom):
                assert node.module == "lift", cell.source
                assert {a.name for a in node.names} <= {"lab", "teach"}, cell.source


@each
def test_uses_public_names_only(path):
    public = {"lift": lift, "lab": lift.lab, "teach": lift.teach}
    for cell in code_cells(path):
        for node in ast.walk(ast.parse(cell.source)):
            if isinstance(node, ast.Attribute) and getattr(node.value, "id", "") in public:
                assert node.attr in public[node.value.id].__all__, node.attr


@each
def test_safety_stands_in_it(path):
    words = " ".join(c.source for c in pages(path).cells if c.cell_type == "markdown")
    for word in ("Allergy test", "strand test", "maker's directions", "pain", "gloves", "eyes"):
        assert word.lower() in words.lower()
    assert pages(path).cells[0].source.startswith("# ")


@pytest.mark.slow
@each
def test_runs_from_a_clean_kernel_and_shows_what_is_saved(path):
    fresh = notebooks.run(path)
    for saved, new in zip(pages(path).cells, fresh.cells, strict=True):
        words = [[o.data["text/plain"] for o in c.get("outputs", ())] for c in (saved, new)]
        assert len(words[0]) == len(words[1])
        for before, after in zip(*words, strict=True):
            assert NUMBER.sub("#", before) == NUMBER.sub("#", after)
            # Sampled numbers differ a little from one machine to the next.
            numbers = [[float(n) for n in NUMBER.findall(text)] for text in (before, after)]
            assert numbers[1] == pytest.approx(numbers[0], rel=0.1, abs=0.15)


def written(folder, *sources):
    notebook = nbformat.v4.new_notebook()
    notebook.cells = [nbformat.v4.new_code_cell(source) for source in sources]
    path = folder / "trial.ipynb"
    nbformat.write(notebook, path)
    return path


@pytest.mark.slow
@pytest.mark.parametrize(
    ("source", "message"),
    [
        ("import warnings\nwarnings.warn('look out')", "look out"),
        ("import warnings\nwarnings.warn('old', DeprecationWarning)", "DeprecationWarning"),
        ("import sys\nprint('aside', file=sys.stderr)", "aside"),
        ("1 / 0", "ZeroDivisionError"),
        ("import lift\nlift.Hair(level=99)", "natural level 99 is outside 1 to 10"),
    ],
)
def test_error_or_warning_fails(tmp_path, source, message):
    path = written(tmp_path, "1 + 1", source)
    before = path.read_bytes()
    with pytest.raises(LiftError, match=r"trial\.ipynb") as caught:
        notebooks.run(path)
    assert message in str(caught.value)
    assert path.read_bytes() == before


@pytest.mark.slow
def test_two_runs_give_the_same_file(tmp_path):
    pytest.importorskip("ipywidgets")
    sources = (
        "import lift",
        "lift.teach.Explorer(lift.Hair(level=6), lift.Mixture('cream', 20), 5)",
    )
    path = written(tmp_path, *sources)
    first, second = (notebooks.text_of(notebooks.run(path)) for _ in range(2))
    assert first == second
    views = [o for o in json.loads(first)["cells"][1]["outputs"] if "text/html" in o["data"]]
    assert len(views) == 1


def test_a_large_notebook_is_refused_and_nothing_is_left(tmp_path):
    path = written(tmp_path, "1")
    large = pages(path)
    large.cells[0].source = "x" * notebooks.MOST_BYTES
    with pytest.raises(LiftError, match="bytes"):
        notebooks.save(large, path)
    assert [p.name for p in tmp_path.iterdir()] == ["trial.ipynb"]
    assert "xxx" not in path.read_text("utf-8")


def test_a_folder_of_this_machine_is_refused(tmp_path):
    path = written(tmp_path, f"open('{notebooks.FOLDER.parent}/x')")
    with pytest.raises(LiftError, match="names a folder of this machine"):
        notebooks.save(pages(path), path)


def test_save_replaces_the_file(tmp_path):
    path = written(tmp_path, "1")
    changed = pages(path)
    changed.cells[0].source = "2"
    notebooks.save(changed, path)
    assert pages(path).cells[0].source == "2"
    assert [p.name for p in tmp_path.iterdir()] == ["trial.ipynb"]
