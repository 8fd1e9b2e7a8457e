"""Tuning for a lesson: the file, the verdicts, the next swatch."""

from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure

from lift.make import demo
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.research.planning.choice import choices
from lift.research.planning.next_swatch import Asked, NextPlan
from lift.research.swatches.swatch_file import read_swatches
from lift.research.tuning.tune import tune
from lift.show.lesson import tables
from lift.show.plots.design_plots import plot_worth

FILE = Path(__file__).parents[3] / "shared" / "invented_swatches.csv"


@pytest.fixture(scope="module")
def swatches():
    return read_swatches(FILE)


def made_up_plan(widths, width=2.0):
    weighed = choices(("cream",), (5.0,), (20.0,), tuple(float(10 * i) for i in range(1, 9)))
    asked = Asked(Hair(level=6.0), Mixture("cream", 20.0), 20.0)
    best = int(np.argmin(widths))
    worth = np.array(widths)
    return NextPlan(
        asked, default_curves(), weighed, width, worth, worth, (best,), worth[[best]], (best,)
    )


def test_shared_file_is_marked_as_invented(swatches):
    assert swatches.invented
    assert FILE.read_text("utf-8").startswith("# INVENTED")
    assert len(swatches.names) == demo.SWATCHES


def test_demo_writes_a_file_that_reads(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(demo, "FILE", tmp_path / "invented_swatches.csv")
    demo.main()
    made = read_swatches(demo.FILE)
    assert made.invented
    assert f"{len(made)} invented readings" in capsys.readouterr().out
    assert [p.name for p in tmp_path.iterdir()] == ["invented_swatches.csv"]


def test_swatch_table_says_that_nothing_was_measured(swatches):
    text = tables.swatch_table(swatches, rows=2).text.splitlines()
    assert text[0].startswith("INVENTED, nothing was measured: first 2 of ")
    assert len(text) == 4
    assert float(text[2].split("; ")[5]) == pytest.approx(swatches.lab[0, 0], abs=1e-3)


def test_estimate_table_gives_each_verdict(swatches):
    cream = swatches.rows([k == "cream" for k in swatches.kind])
    free = ("lightening_rate", "persulfate_rate")
    tuning = tune(cream, free=free, starts=1, leave_swatches_out=False)
    text = tables.estimate_table(tuning).text
    assert text.startswith("1 of 2 numbers are determined")
    assert "no reading depends on it" in text


def test_worth_shows_the_best_and_the_worst():
    widths = [1.9, 1.5, 1.99, 1.7, 1.6, 1.8, 1.95, 1.85]
    axes = Figure().add_subplot()
    assert plot_worth(made_up_plan(widths), axes, count=3) is axes
    assert [bar.get_width() for bar in axes.patches] == [1.5, 1.6, 1.7, 1.99]
    labels = [t.get_text() for t in axes.get_yticklabels()]
    assert labels[0].endswith("20 min")
    assert labels[-1].startswith("least useful: ")
    assert axes.get_title("left") == "The best next swatch takes 25 % off the interval"
    assert "[dC*]" in axes.get_xlabel()
