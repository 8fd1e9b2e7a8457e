"""`lift swatches`, `lift tune` and `lift curves`."""

import json
import subprocess
import sys

import pytest

from lift import load_curves

pytestmark = pytest.mark.slow


@pytest.fixture(autouse=True)
def there(monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def lab(answered):
    out = answered("swatches", "make", "-o", "lab.csv", "--swatches", "5", "--seed", "3")
    assert out == "lab.csv: 30 INVENTED readings of 5 swatches\n"
    return "lab.csv"


def test_make_is_repeatable_and_marked(lift, lab, tmp_path):
    first = (tmp_path / lab).read_bytes()
    assert first.startswith(b"# INVENTED")
    lift("swatches", "make", "-o", "again.csv", "--swatches", "5", "--seed", "3")
    assert (tmp_path / "again.csv").read_bytes() == first
    lift("swatches", "make", "-o", "other.csv", "--swatches", "5", "--seed", "4")
    assert (tmp_path / "other.csv").read_bytes() != first


def test_make_takes_a_design(answered, tmp_path):
    answered(
        *("swatches", "make", "-o", "own.csv", "--swatches", "2", "--minutes", "0,7"),
        *("--volumes", "15", "--kinds", "base-break", "--levels", "6,7", "--repeats", "2"),
        *("--rate-spread", "0"),
    )
    rows = [r for r in (tmp_path / "own.csv").read_text("utf-8").splitlines() if r[:3] == "inv"]
    assert len(rows) == 4
    assert all(",base-break,15," in r for r in rows)


def test_make_knows_classes_of_ones_own(answered, tmp_path):
    (tmp_path / "own.toml").write_text(
        '[oil]\nabout = "made up for a test"\noxidant = "peroxide"\ndeveloper_parts = 1.5\n'
        'ph = 9.3\nstanding = "assumed"\nsource = "made up for a test"\n',
        "utf-8",
    )
    own = ("--mixtures", "own.toml")
    answered(
        *("swatches", "make", "-o", "oil.csv", "--swatches", "2", "--volumes", "10"),
        *("--kinds", "oil,cream", *own),
    )
    text = (tmp_path / "oil.csv").read_text("utf-8")
    assert "# mixture: what lay on it: cream, base-break, powder, oil " in text
    rows = [row.split(",") for row in text.splitlines() if row.startswith("invented")]
    assert {(row[1], row[6]) for row in rows} == {("oil", "1.5"), ("cream", "1")}
    assert "12 of 2 swatches" in answered("swatches", "check", "oil.csv", *own)


def test_make_cxf(lift, answered, tmp_path):
    pytest.importorskip("colour_cxf")
    answered("swatches", "make", "-o", "lab.cxf", "--swatches", "2")
    out = answered("swatches", "check", "lab.cxf")
    assert "12 of 2 swatches" in out


def test_check_good(answered, lab):
    out = answered("swatches", "check", lab)
    assert "30 of 5 swatches" in out
    assert "nothing wrong" in out
    assert "invented" in out


def test_check_names_every_bad_row(lift, refused, lab, tmp_path):
    text = (tmp_path / lab).read_text("utf-8")
    bad = text.replace(",cream,10,5,", ",cream,10,[red],").replace(",cream,20,5,", ",creme,20,5,")
    (tmp_path / "bad.csv").write_text(bad, "utf-8")
    code, out, _ = lift("swatches", "check", "bad.csv")
    assert code == 2
    assert "[red]" in out
    assert "not a number" in out
    assert "creme" in out
    assert "2 faults in 2 of 30 rows; nothing was read" in out
    code, out, _ = lift("swatches", "check", "bad.csv", "--json")
    assert code == 2
    told = json.loads(out)
    assert [f["column"] for f in told["faults"]] == ["minutes", "mixture"]
    assert [f["reason_code"]["code"] for f in told["faults"]] == [
        "cell.no_number",
        "cell.no_choice",
    ]
    assert refused("tune", "bad.csv").startswith("lift: bad.csv, line ")


def test_columns_are_listed(answered):
    out = answered("swatches", "columns")
    for word in ("swatch", "temperature_c", "measured_with", "R400", "required"):
        assert word in out


def test_tune_writes_everything(lift, answered, lab, tmp_path):
    out = answered(
        *("tune", lab, "-o", "mine.toml", "--html", "mine.html", "--plot", "mine.png"),
        *("--starts", "1", "--free", "lightening_rate,half_oxidised_yield"),
    )
    for words in (
        *("lightening_rate", "90% interval", "Pareto shape", "Converged", "AICc", "Left out"),
        *("determined", "invented", "Curve set: mine.toml", "Picture: mine.png"),
        "Page: mine.html",
    ):
        assert words in out, words
    assert {p.name for p in tmp_path.iterdir()} == {
        *("lab.csv", "mine.toml", "mine.html", "mine.png"),
    }
    curves = load_curves(tmp_path / "mine.toml")
    assert curves.name == "mine"
    assert curves["lightening_rate"].status == "tuned"
    hair = ("--level", "4", "--volume", "20", "--minutes")
    out = answered("preview", *hair, "30", "--curves", "mine.toml")
    assert "tuned to INVENTED swatches" in out
    assert "Extrapolates" not in out
    out = answered("preview", *hair, "55", "--fibre", "fine", "--curves", "mine.toml")
    assert "Extrapolates: processing time 55 min; swatches had 0 to 50 min." in out
    out = answered("preview", *hair, "55", "--curves", "mine.toml", "--json")
    assert json.loads(out)["curve_set"]["extrapolates"]


def test_tune_json(answered, lab):
    out = answered(
        *("tune", lab, "--json", "--starts", "1", "--free", "lightening_rate", "--skip-left-out"),
        *("--without", "invented-02", "--without", "invented-04"),
    )
    told = json.loads(out)
    assert [s["name"] for s in told["swatches"]] == ["invented-01", "invented-03", "invented-05"]
    assert told["parameters"][0]["name"] == "lightening_rate"
    assert told["held_out"] is None


def test_fix_tie_and_plain_squares(answered, lab):
    out = answered(
        *("tune", lab, "--starts", "1", "--skip-left-out", "--squares", "--one-rate"),
        *("--fix", "half_oxidised_slope", "--fix", "half_oxidised_rate_ratio=0.5"),
        *("--fix", "half_oxidised_yield", "--tie", "persulfate_rate=12*lightening_rate"),
        *("--json", "--coverage", "0.8"),
    )
    told = json.loads(out)
    assert [p["name"] for p in told["parameters"]] == ["lightening_rate"]
    assert told["tied"] == [{"name": "persulfate_rate", "factor": 12.0, "other": "lightening_rate"}]
    assert told["loss"] == "linear"
    assert told["parameters"][0]["coverage"] == 0.8
    assert told["misfit"]["rate_spread"] is None


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--free", "lightning_rate"), "did you mean lightening_rate"),
        (("--free", "warmth_allowance"), "colours do not depend on it"),
        (("--fix", "lightening_rate=9"), "fixed lightening_rate 9 L/(mol min) is outside"),
        (("--fix", "nothing"), "fixed parameter 'nothing' is not one of"),
        (("--tie", "cream_ph"), "is not NAME=OTHER"),
        (("--without", "invented-9"), "did you mean invented-0"),
        (("--starts", "x"), "starts 'x' is not a number"),
        (("--coverage", "1"), "coverage 1 is outside"),
        (("--plot", "a.gif"), "does not end in"),
        (("-o", "none/a.toml"), "does not exist"),
        (("--html", "none/a.html"), "does not exist"),
        (("--curves", "none.toml"), "cannot read curve set"),
        (("--conditions", "lab.csv"), "conditions go with a CxF file"),
    ],
)
def test_bad_input_is_one_line(refused, lab, tmp_path, words, message):
    assert message in refused("tune", lab, *words)
    assert [p.name for p in tmp_path.iterdir()] == [lab]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("make", "-o", "lab.txt"), "does not end in .csv, .xlsx, .cxf"),
        (("make", "-o", "a.csv", "--swatches", "0"), "number of swatches 0"),
        (("make", "-o", "a.csv", "--levels", "8,2"), "not LOW,HIGH"),
        (("make", "-o", "a.csv", "--minutes", "0,x"), "processing time 'x' is not a number"),
        (("make", "-o", "a.csv", "--volumes", "90"), "12 % H2O2"),
        (("make", "-o", "a.csv", "--kinds", "creme"), "did you mean cream"),
        (("make", "-o", "a.csv", "--mixtures", "cream,powder"), "typed after --kinds"),
        (("make", "-o", "a.csv", "--seed", "-1"), "seed -1"),
        (("check", "none.csv"), "cannot read swatches none.csv"),
    ],
)
def test_bad_swatch_commands_are_one_line(refused, tmp_path, words, message):
    assert message in refused("swatches", *words)
    assert list(tmp_path.iterdir()) == []


def test_curves_show(lift, answered):
    out = answered("curves", "show")
    assert "calibrated to common practice, not measured" in out
    assert "activation_energy" in out
    assert "10 to 120" in out
    assert "no published value for melanin in hair" in out
    out = answered("curves", "show", "--json")
    told = json.loads(out)
    assert len(told["parameters"]) > 30
    assert all(p["source"] for p in told["parameters"])


def test_curves_compare(lift, answered, tmp_path, tuning):
    from lift.research.tuning.curve_files import tuned_curves

    tuned_curves(tuning, "mine").save(tmp_path / "mine.toml")
    out = answered("curves", "show", "mine.toml", "--plot", "mine.png")
    assert "holds for" in out
    assert (tmp_path / "mine.png").exists()
    out = answered("curves", "compare", "default", "mine.toml", "--plot", "both.png")
    assert "calibrated, tuned" in out
    assert "Largest dE00" in out
    assert (tmp_path / "both.png").exists()
    out = answered("curves", "compare", "mine.toml", "mine.toml")
    assert "No parameter differs" in out
    out = answered("curves", "compare", "default", "mine.toml", "--json")
    assert {c["name"] for c in json.loads(out)["changed"]} >= {"lightening_rate"}


def test_fit_that_does_not_converge_is_exit_1(lift, monkeypatch, lab):
    from dataclasses import replace

    from lift.research.tuning import tune

    real = tune.tune

    def stopped(*args, **options):
        found = real(*args, **options)
        mode = replace(found.posterior.mode, converged=False, steps=7)
        return replace(found, posterior=replace(found.posterior, mode=mode))

    monkeypatch.setattr(tune, "tune", stopped)
    code, out, _ = lift(
        "tune", lab, "--starts", "1", "--free", "lightening_rate", "--skip-left-out"
    )
    assert code == 1
    assert "The fit did not converge in 7 steps." in out


@pytest.mark.slow
def test_a_laboratory_of_12_fits_from_a_shell(lift, tmp_path):

    from lift.reference import FOLDER

    lift("swatches", "make", "-o", "lab.csv")
    command = [
        sys.executable,
        "-m",
        "lift",
        "tune",
        tmp_path / "lab.csv",
        "-o",
        tmp_path / "m.toml",
    ]
    done = subprocess.run(command, capture_output=True, text=True, cwd=FOLDER.parent)
    assert done.returncode == 0, done.stderr
