import numpy as np
import pytest

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.records.learned import learn_from_records
from lift.practice.records.record import Record
from lift.practice.trial.observation import Observation
from lift.show.plots.strand_plots import plot_errors, plot_learned


@pytest.fixture(scope="module")
def learned():
    records = [
        Record(
            f"aa-{number}",
            "2024-05-17",
            Hair(5.0),
            Mixture("powder", 20.0),
            Observation(minutes, level),
            invented=True,
            number=number,
        )
        for number, (minutes, level) in enumerate([(15, 7.5), (20, 8.5), (10, 6.7), (20, 3.5)], 1)
    ]
    return learn_from_records(records, draws=256)


def test_errors_are_drawn_as_they_are(learned):
    axes = plot_errors(learned)
    bars = [box for box in axes.containers if box.has_yerr]
    for box, errors in zip(bars, (learned.before, learned.after), strict=True):
        np.testing.assert_allclose(box.lines[0].get_ydata(), errors.error)
    assert f"{learned.after.rms:.2f}" in (axes.get_title(loc="left") or axes.get_title())
    assert "[levels]" in axes.get_ylabel()
    assert learned.suspects == (3,)
    crosses = [line for line in axes.lines if line.get_marker() == "x"]
    assert list(crosses[0].get_xdata()) == [3]


def test_sheet_says_what_it_rests_on(learned):
    text = plot_learned(learned)._suptitle.get_text()
    assert "INVENTED" in text
    assert "strand test first" in text
