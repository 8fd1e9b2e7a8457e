"""Wheel and sdist hold what they must and nothing else, and the wheel works elsewhere."""

import os
import re
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import zipfile
from pathlib import Path
from urllib.request import urlopen

import pytest

ROOT = Path(__file__).parents[1]
BESIDE = ("reference", "shared")
PREVIEW = ("preview", "--level", 7, "--volume", 10, "--minutes", 5, "--mixture", "base-break")

pytestmark = pytest.mark.slow


def kept_files(*folders):
    """Every file below these folders that is no leftover of a run."""
    found = (path for folder in folders for path in (ROOT / folder).rglob("*") if path.is_file())
    leftover = {"__pycache__", ".ipynb_checkpoints"}
    return {path.relative_to(ROOT).as_posix() for path in found if not leftover & {*path.parts}}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """Folder with sdist and the wheel that is made from it."""
    folder = tmp_path_factory.mktemp("built")
    hatchling = (sys.executable, "-m", "hatchling", "build", "-d", folder)
    subprocess.run([*hatchling, "-t", "sdist"], cwd=ROOT, check=True, capture_output=True)
    with tarfile.open(next(folder.glob("*.tar.gz"))) as sdist:
        sdist.extractall(folder, filter="data")
    sources = next(path for path in folder.iterdir() if path.is_dir())
    subprocess.run([*hatchling, "-t", "wheel"], cwd=sources, check=True, capture_output=True)
    return folder


@pytest.fixture(scope="module")
def elsewhere(built, tmp_path_factory):
    """Call a command of an environment that holds this wheel and, from here, what it needs."""
    home = tmp_path_factory.mktemp("elsewhere")
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", home / "env"], check=True)
    python = home / "env" / "bin" / "python"
    wheel = next(built.glob("*.whl"))
    subprocess.run(
        [
            *(sys.executable, "-m", "pip", "--python", python, "install", "--no-deps"),
            *("--no-index", "--disable-pip-version-check", wheel),
        ],
        check=True,
        capture_output=True,
    )
    site = next((home / "env").glob("lib/python*/site-packages"))
    (site / "needed.pth").write_text(sysconfig.get_path("purelib") + "\n")
    clean = {name: held for name, held in os.environ.items() if name != "PYTHONPATH"}
    work = home / "work"
    work.mkdir()

    def call(*words, run=subprocess.run, **more):
        return run(
            list(map(str, words)),
            cwd=work,
            env={**clean, "HOME": str(home), "XDG_DATA_HOME": str(home)},
            text=True,
            **more,
        )

    call.bin, call.work, call.site = python.parent, work, site
    return call


@pytest.fixture(scope="module")
def typed(elsewhere):
    """What the installed command prints, which must succeed."""

    def call(*words):
        done = elsewhere(elsewhere.bin / "lift", *words, capture_output=True)
        assert done.returncode == 0, done.stderr
        return done.stdout

    return call


def test_sdist_holds_every_source_and_nothing_else(built):
    with tarfile.open(next(built.glob("*.tar.gz"))) as sdist:
        names = {name.split("/", 1)[1] for name in sdist.getnames()}
    made = {"PKG-INFO", ".gitignore", "pyproject.toml", "Makefile", "README.md", "DEVELOPERS.md"}
    assert names == kept_files("lift", "notebooks", "tests", *BESIDE) | made


def test_wheel_holds_package_and_data_and_nothing_else(built):
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        names = {name for name in wheel.namelist() if ".dist-info/" not in name}
    assert names == kept_files("lift") | {f"lift/data/{name}" for name in kept_files(*BESIDE)}


def test_main_job_is_done_as_here(elsewhere, typed, answered):
    where = elsewhere(
        elsewhere.bin / "python", "-c", "import lift; print(lift.__file__)", capture_output=True
    )
    assert Path(where.stdout.strip()) == elsewhere.site / "lift" / "__init__.py"
    assert typed(*PREVIEW, "--json") == answered(*PREVIEW, "--json")


def test_evidence_is_as_here(elsewhere, lift):
    there = elsewhere(elsewhere.bin / "lift", "evidence", "--json", capture_output=True)
    assert (there.returncode, there.stdout, there.stderr) == lift("evidence", "--json")


def test_card_is_printed(typed, elsewhere):
    demo = elsewhere.site / "lift" / "data" / "shared" / "darker_base.toml"
    typed("card", demo, "-o", "card.html")
    assert "<svg" in (elsewhere.work / "card.html").read_text("utf-8")


def test_page_is_served_with_its_examples(elsewhere):
    serving = elsewhere(
        *(elsewhere.bin / "lift", "page", "--port", 0, "--data", elsewhere.work / "kept"),
        run=subprocess.Popen,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    try:
        said = iter(serving.stdout.readline, "")
        url = next(found[0] for line in said if (found := re.search(r"http://[\w.:]+", line)))
        page = urlopen(url).read().decode("utf-8")
        script = re.search(r'src="([^"]+\.js)"', page)[1]
        assert urlopen(f"{url}/{script.lstrip('/')}").status == 200
        assert "darker-base" in urlopen(f"{url}/api/visits").read().decode("utf-8")
    finally:
        serving.terminate()
        serving.communicate(timeout=20)


BARE = """
import sys
sys.modules.update(dict.fromkeys(sys.argv.pop(1).split(), None))
import lift
if sys.argv[1] == "python":
    try:
        exec(sys.argv[2])
    except lift.LiftError as error:
        sys.exit(f"lift: {error}")
else:
    from lift.cli import main
    main()
"""
"""Runs a command, or Python, as where these packages are not installed."""

EXPLORER = 'lift.teach.Explorer(lift.Hair(level=6), lift.Mixture("cream", 20), 10)'
FRAME = 'lift.preview(lift.Hair(level=6), lift.Mixture("cream", 20), 10).to_frame()'
HAIR = ("--hair", "1,1 9,9")
CHART = (*HAIR, "--chart", "1,1 9,1 9,9 1,9")


@pytest.mark.parametrize(
    ("gone", "words", "extra"),
    [
        ("starlette", ("page", "--port", 0), "page"),
        ("uvicorn", ("page", "--port", 0), "page"),
        ("cryptography", ("page", "--port", 0, "--tls"), "tls"),
        ("PIL", ("measure", "photo.png", *CHART), "photo"),
        ("pillow_heif", ("measure", "photo.heic", *CHART), "heic"),
        ("rawpy", ("measure", "photo.dng", *CHART), "raw"),
        ("cv2", ("measure", "photo.png", *HAIR), "chart"),
        ("openpyxl", ("swatches", "template", "-o", "lab.xlsx"), "sheet"),
        ("colour_cxf", ("tune", "lab.cxf"), "research"),
        ("emcee", ("tune", "swatches.csv", "--bayes"), "research"),
        ("arviz_stats", ("tune", "swatches.csv", "--bayes"), "research"),
        ("pandas", ("python", FRAME), "frames"),
        ("ipywidgets", ("python", EXPLORER), "notebooks"),
    ],
)
def test_what_needs_an_extra_names_it_in_one_sentence(elsewhere, gone, words, extra):
    for name in ("photo.heic", "photo.dng", "lab.cxf"):
        (elsewhere.work / name).write_bytes(b"not opened")
    shutil.copy(ROOT / "notebooks" / "pictures" / "preview.png", elsewhere.work / "photo.png")
    shutil.copy(ROOT / "shared" / "invented_swatches.csv", elsewhere.work / "swatches.csv")
    done = elsewhere(elsewhere.bin / "python", "-c", BARE, gone, *words, capture_output=True)
    assert done.returncode != 0
    last = done.stderr.splitlines()[-1]
    assert last.startswith("lift: ")
    assert f"pip install 'lift[{extra}]'" in last
    assert "Traceback" not in done.stderr
