"""`lift tune`, `lift next`, `lift structures` and `lift calibration`."""

import json

import numpy as np
import pytest

from lift import load_curves
from lift.cli import main

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("laboratory")


@pytest.fixture
def run(monkeypatch, capsys, folder):
    monkeypatch.chdir(folder)

    def call(*words):
        monkeypatch.setattr("sys.argv", ["lift", *map(str, words)])
        with pytest.raises(SystemExit) as stop:
            main()
        printed = capsys.readouterr()
        return stop.value.code, printed.out, printed.err

    return call


@pytest.fixture
def lab(run, folder):
    if not (folder / "lab.csv").exists():
        run(
            *("swatches", "make", "-o", "lab.csv", "--swatches", "4", "--minutes", "0,10,30"),
            *("--mixtures", "cream", "--rate-spread", "0.05", "--seed", "3"),
        )
    return "lab.csv"


@pytest.fixture
def own(run, lab, folder):
    """Curve set with a posterior, and what was printed when it was made."""
    if not (folder / "own.toml").exists():
        code, out, err = run(
            *("tune", lab, "-o", "own.toml", "--bayes", "--free", "lightening_rate"),
            *("--free", "half_oxidised_yield", "--starts", "1", "--skip-left-out"),
            *("--bands", "bands.png", "--draws", "draws.svg"),
        )
        assert (code, err) == (0, "--bayes is what tune does now; the option will go.\n")
        (folder / "said.txt").write_text(out, "utf-8")
    return "own.toml"


def test_tune_bayes_writes_a_posterior_and_says_how_well(own, folder):
    said = (folder / "said.txt").read_text("utf-8")
    assert "Pareto shape" in said
    assert "Readings inside their 90 % band" in said
    assert "The readings are invented" in said
    curves = load_curves(folder / own)
    assert curves.posterior.names == ("lightening_rate", "half_oxidised_yield", "rate_log_sd")
    assert curves["lightening_rate"].status == "tuned"
    assert len(set(curves.posterior.rows)) == len(curves.posterior.rows) == 400
    assert (folder / "bands.png").stat().st_size > 10_000
    assert (folder / "draws.svg").read_text("utf-8").startswith("<?xml")


def test_a_preview_draws_from_it(run, own):
    asked = ("preview", "--level", "5", "--volume", "30", "--minutes", "30", "--json")
    code, before, _ = run(*asked)
    assert code == 0
    code, after, _ = run(*asked, "--curves", own)
    assert code == 0
    width = [
        np.subtract(*(json.loads(text)["at"]["lift"][end] for end in ("high", "low")))
        for text in (before, after)
    ]
    assert width[1] < width[0]
    assert json.loads(after)["curve_set"]["posterior"][0] == "lightening_rate"


def test_next_names_a_swatch(run, lab, own, folder):
    asked = ("next", lab, "--curves", own, "--level", "5", "--volume", "20", "--minutes", "30")
    code, out, err = run(*asked, "--count", "2", "--plot", "plan.png")
    assert (code, err) == (0, "")
    assert "90 % interval of the warmth of level 5" in out
    assert "strand test" in out
    assert "INVENTED" in out
    assert (folder / "plan.png").stat().st_size > 10_000
    code, out, _ = run(*asked, "--quantity", "lift", "--try-levels", "3,7", "--json")
    found = json.loads(out)
    assert code == 0
    assert found["unit"] == "levels"
    assert found["next"][0]["width_after"] < found["width_now"]
    assert {row["kind"] for row in found["alone"]} == {"cream"}
    assert {row["level"] for row in found["alone"]} == {3.0, 7.0}


def test_next_samples_a_posterior_when_there_is_none(run, lab):
    code, out, err = run(
        *("next", lab, "--level", "5", "--volume", "20", "--minutes", "30", "--repeats", "1"),
        *("--try-mixtures", "powder", "--json"),
    )
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert found["next"][0]["kind"] == "powder"


def test_next_says_when_the_swatches_are_others(run, own):
    run("swatches", "make", "-o", "other.csv", "--swatches", "2", "--seed", "9")
    code, out, _ = run(
        *("next", "other.csv", "--curves", own, "--level", "5", "--volume", "20"),
        *("--minutes", "30"),
    )
    assert code == 0
    assert out.startswith("Note: these curves were tuned to other swatches")


def test_structures_says_which_physics_is_needed(run, lab, folder):
    code, out, err = run("structures", lab, "--starts", "1", "--plot", "structures.png")
    assert (code, err) == (0, "")
    assert "half-oxidised melanin" in out
    assert "essentially none" in out
    assert (folder / "structures.png").stat().st_size > 10_000
    code, out, _ = run("structures", lab, "--starts", "1", "--free", "lightening_rate", "--json")
    found = json.loads(out)
    assert code == 0
    assert found["structures"][0]["free"] == ["lightening_rate"]
    assert found["invented"] is True


def test_calibration_says_and_exits_by_its_verdict(run, folder, monkeypatch):
    from lift.research.posterior import sbc

    random = np.random.default_rng(2)
    flat = random.integers(0, 100, (400, 3))
    for ranks, expected in ((flat, 0), (flat // 2, 1)):
        inside = (ranks >= 5) & (ranks <= 94)
        made = sbc.RankCheck(("a", "b", "c"), ranks, inside, np.full(400, 300.0), 7)
        assert made.passed == (expected == 0)
        monkeypatch.setattr(sbc, "calibrate", lambda *a, made=made, **k: made)
        code, out, err = run("calibration", "--plot", "made.png")
        assert (code, err) == (expected, "")
        assert "400 INVENTED laboratories, seed 7" in out
        assert ("NOT as wide" in out) == (expected == 1)
        assert (folder / "made.png").stat().st_size > 10_000


@pytest.mark.slow
def test_calibration_reports_and_draws(run, folder):
    code, out, err = run(
        *("calibration", "--laboratories", "20", "--processes", "1", "--seed", "4"),
        *("--plot", "ranks.png", "--json"),
    )
    found = json.loads(out)
    assert err == ""
    assert code == (0 if found["passed"] else 1)
    assert found["laboratories"] == 20
    assert all(sum(q["histogram"]) == 20 for q in found["quantities"])
    assert (folder / "ranks.png").stat().st_size > 10_000


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("tune", "lab.csv", "--bayes", "--bands", "x.tiff"), "does not end in"),
        (("next", "none.csv", "--level", "5", "--volume", "20", "--minutes", "30"), "none.csv"),
        (("next", "lab.csv", "--level", "5", "--volume", "20", "--minutes", "300"), "300 min"),
        (
            ("next", "lab.csv", "--level", "5", "--volume", "20", "--minutes", "9", "--count", "x"),
            "number of swatches",
        ),
        (
            (
                *("next", "lab.csv", "--level", "5", "--volume", "20", "--minutes", "9"),
                *("--quantity", "heat"),
            ),
            "quantity 'heat'",
        ),
        (
            (
                *("next", "lab.csv", "--level", "5", "--volume", "20", "--minutes", "9"),
                *("--try-volumes", "10,1000"),
            ),
            "developer volume 1000",
        ),
        (("structures", "lab.csv", "--starts", "0"), "starts 0"),
        (("structures", "lab.csv", "--free", "speed"), "speed"),
        (("calibration", "--laboratories", "3"), "laboratories 3"),
        (("calibration", "--processes", "0"), "processes 0"),
    ],
)
def test_bad_input_is_one_line(run, lab, words, says):
    code, out, err = run(*words)
    assert code == 2
    assert out == ""
    assert err.count("\n") == 1
    assert says in err


def test_missing_sampler_is_one_line(run, lab, monkeypatch):
    from lift.research.posterior import sampling

    monkeypatch.setattr(sampling, "find_spec", lambda name: None)
    code, _, err = run("tune", lab, "--bayes")
    assert code == 2
    assert "lift[research]" in err
