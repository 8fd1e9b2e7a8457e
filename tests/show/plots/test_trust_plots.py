"""Pictures and tables of how far to trust: they count what is there."""

import re

import numpy as np
import pytest

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.research.evidence.checks import check
from lift.research.evidence.sensitivity import window_sensitivity
from lift.show.lesson.tables import curve_table, evidence_table
from lift.show.plots import trust_plots

CURVES = default_curves()
HAIR, MIXTURE = Hair(level=7.0, fibre_um="fine", damp=True), Mixture("base-break", 10.0)
CHECKS = (
    check("black_hair", "measured", True, measured=18.4, value=18.4),
    check("pka", "measured", True, fitted=True, half=0.5),
    check("xyz", "library", False, largest=1.0),
)


@pytest.fixture(scope="module")
def sensitivity():
    return window_sensitivity(HAIR, MIXTURE)


def test_standing_counts_every_number():
    axes = trust_plots.plot_standing()
    counts = [int(t.get_text()) for t in axes.texts]
    assert sum(counts) == len(tuple(CURVES))
    assert axes.get_title("left").startswith(f"{counts[0]} of {sum(counts)} numbers are published")


def test_checks_are_split_and_failures_counted():
    axes = trust_plots.plot_checks(CHECKS)
    assert axes.get_title("left") == "2 of 3 checks hold; 1 are measured and not fitted"
    rows = [t.get_text() for t in axes.get_yticklabels()]
    assert rows[:2] == ["measured, not fitted", "measured, fitted"]
    assert len(rows) == 6
    widths = [bar.get_width() for bar in axes.patches]
    assert sorted(widths) == [1, 1, 1]
    labels = [t.get_text() for t in axes.get_legend().get_texts()]
    assert "fails" in labels
    assert len(labels) == 3


def test_tornado_bars_run_from_one_closing_time_to_the_other(sensitivity):
    axes = trust_plots.plot_tornado(sensitivity, count=4)
    most = sensitivity.largest(4)
    for bar, pair in zip(axes.patches, most.closes, strict=False):
        assert bar.get_x() == pytest.approx(pair.min())
        assert bar.get_width() == pytest.approx(np.ptp(pair))
    assert trust_plots.spoken(most.names[0]) in axes.get_title("left")
    assert axes.get_xlim()[0] == 0.0


def test_tornado_keeps_never_inside_the_picture():
    wide = window_sensitivity(HAIR, MIXTURE, whole_range=True)
    axes = trust_plots.plot_tornado(wide, count=3)
    ends = [bar.get_x() + bar.get_width() for bar in axes.patches]
    assert np.all(np.isfinite(ends))
    assert max(ends) <= axes.get_xlim()[1]


def test_spread_bars_run_over_the_range():
    axes = trust_plots.plot_spread({"rate": (4.0, 8.0), "all": (3.5, 8.5)}, 6.0)
    assert [(bar.get_x(), bar.get_width()) for bar in axes.patches] == [(4.0, 4.0), (3.5, 5.0)]
    assert "rate of lightening spreads" in axes.get_title("left")


def test_statuses_differ_in_grey():
    assert len({hatch for _, hatch in trust_plots.LOOKS.values()}) == len(trust_plots.LOOKS)


def test_spoken_names():
    assert trust_plots.spoken("base_break_ph") == "base break pH"
    assert trust_plots.spoken("half_oxidised_slope") == "half-oxidised slope"
    assert trust_plots.spoken("fibre_um") == "fibre diameter"


def test_evidence_table_marks_what_fails_and_says_the_standing():
    measured = evidence_table(CHECKS, "measured", "measured_fitted").text
    assert measured.splitlines()[0].startswith("Measured and not fitted, measured and fitted: 2 of")
    assert "measured and fitted; HO2- fraction at the pKa" in measured
    assert evidence_table(CHECKS, "defined").text.splitlines()[-1] == (
        "apart: standards, definitions, other implementations; XYZ summation, 60 smooth spectra; "
        "colour-science, ASTM E308; dE00 at most 0.01; largest 1.0000; FAILS"
    )
    with pytest.raises(LiftError, match=r"standing of a check 'mesured'.*mean measured"):
        evidence_table(CHECKS, "mesured")


def test_curve_tables_hold_every_number_once(sensitivity):
    rows = []
    for status in dict.fromkeys(sensitivity.statuses):
        text = curve_table(CURVES, sensitivity, status).text.splitlines()
        assert re.match(rf"{status.capitalize()}: {len(text) - 2} numbers", text[0])
        rows += [line.split(";")[0] for line in text[2:]]
    assert sorted(rows) == sorted(trust_plots.spoken(n) for n in CURVES)


def test_curve_table_says_never():
    wide = window_sensitivity(HAIR, MIXTURE, whole_range=True)
    assert "never" in curve_table(CURVES, wide, "calibrated").text
