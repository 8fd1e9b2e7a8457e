"""`lift tune`, `lift next`, `lift structures` and `lift calibration`."""

import json
from functools import partial

import numpy as np
import pytest

from lift import load_curves
from lift.model import misfit

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("laboratory")


@pytest.fixture(autouse=True)
def there(monkeypatch, folder):
    monkeypatch.chdir(folder)


@pytest.fixture
def lab(lift, folder):
    if not (folder / "lab.csv").exists():
        lift(
            *("swatches", "make", "-o", "lab.csv", "--swatches", "4", "--minutes", "0,10,30"),
            *("--kinds", "cream", "--rate-spread", "0.05", "--seed", "3"),
        )
    return "lab.csv"


@pytest.fixture
def own(lift, lab, folder):
    """Curve set with a posterior, and what was printed when it was made."""
    if not (folder / "own.toml").exists():
        code, out, err = lift(
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
    fitted = ("lightening_rate", "half_oxidised_yield", "rate_log_sd")
    assert curves.posterior.names == (*fitted, *misfit.NAMES)
    assert curves["lightening_rate"].status == "tuned"
    assert len(set(curves.posterior.rows)) == len(curves.posterior.rows) == 400
    assert (folder / "bands.png").stat().st_size > 10_000
    assert (folder / "draws.svg").read_text("utf-8").startswith("<?xml")


def test_a_preview_draws_from_it(answered, own):
    asked = ("preview", "--level", "5", "--volume", "30", "--minutes", "30", "--json")
    before, after = answered(*asked), answered(*asked, "--curves", own)
    width = [
        np.subtract(*(json.loads(text)["at"]["lift"][end] for end in ("high", "low")))
        for text in (before, after)
    ]
    assert width[1] < width[0]
    assert json.loads(after)["curve_set"]["posterior"][0] == "lightening_rate"


def test_next_names_a_swatch(lift, answered, lab, own, folder):
    asked = ("next", lab, "--curves", own, "--level", "5", "--volume", "20", "--minutes", "30")
    out = answered(*asked, "--count", "2", "--plot", "plan.png")
    assert "90 % interval of the warmth of level 5" in out
    assert "strand test" in out
    assert "INVENTED" in out
    assert (folder / "plan.png").stat().st_size > 10_000
    out = answered(*asked, "--quantity", "lift", "--try-levels", "3,7", "--json")
    found = json.loads(out)
    assert found["unit"] == "levels"
    assert found["next"][0]["width_after"] < found["width_now"]
    assert {row["kind"] for row in found["alone"]} == {"cream"}
    assert {row["level"] for row in found["alone"]} == {3.0, 7.0}


def test_next_samples_a_posterior_when_there_is_none(answered, lab):
    out = answered(
        *("next", lab, "--level", "5", "--volume", "20", "--minutes", "30", "--repeats", "1"),
        *("--try-mixtures", "powder", "--json"),
    )
    found = json.loads(out)
    assert found["next"][0]["kind"] == "powder"


def test_next_says_when_the_swatches_are_others(lift, answered, own):
    lift("swatches", "make", "-o", "other.csv", "--swatches", "2", "--seed", "9")
    out = answered(
        *("next", "other.csv", "--curves", own, "--level", "5", "--volume", "20"),
        *("--minutes", "30"),
    )
    assert out.startswith("Note: these curves were tuned to other swatches")


def test_structures_says_which_physics_is_needed(lift, answered, lab, folder):
    out = answered("structures", lab, "--starts", "1", "--plot", "structures.png")
    assert "half-oxidised melanin" in out
    assert "essentially none" in out
    assert (folder / "structures.png").stat().st_size > 10_000
    out = answered("structures", lab, "--starts", "1", "--free", "lightening_rate", "--json")
    found = json.loads(out)
    assert found["structures"][0]["free"] == ["lightening_rate"]
    assert found["invented"] is True


def test_calibration_says_and_exits_by_its_verdict(lift, monkeypatch, folder):
    from lift.research.posterior import sbc

    random = np.random.default_rng(2)
    flat = random.integers(0, 100, (400, 3))
    for ranks, expected in ((flat, 0), (flat // 2, 1)):
        inside = (ranks >= 5) & (ranks <= 94)
        made = sbc.RankCheck(("a", "b", "c"), ranks, inside, np.full(400, 300.0), 7)
        assert made.passed == (expected == 0)
        monkeypatch.setattr(sbc, "check_calibration", lambda *a, made=made, **k: made)
        code, out, err = lift("calibration", "--plot", "made.png")
        assert (code, err) == (expected, "")
        assert "400 INVENTED laboratories, seed 7" in out
        assert ("NOT as wide" in out) == (expected == 1)
        assert (folder / "made.png").stat().st_size > 10_000


@pytest.mark.slow
def test_calibration_reports_and_draws(lift, monkeypatch, folder):
    from lift.research.posterior import sbc

    monkeypatch.setattr(
        sbc, "check_calibration", partial(sbc.check_calibration, free=("lightening_rate",))
    )
    code, out, err = lift(
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
def test_bad_input_is_one_line(refused, lab, words, says):
    assert says in refused(*words)


def test_missing_sampler_is_one_line(refused, monkeypatch, lab):
    from lift.research.posterior import drawn

    monkeypatch.setattr(drawn, "find_spec", lambda name: None)
    assert "lift[research]" in refused("tune", lab, "--bayes")
