"""What a tuning tells: JSON without gaps, and sentences for what to beware of."""

import json
from dataclasses import replace

import numpy as np
import pytest

from lift.research.tuning.tune import tune
from lift.research.tuning.tune_report import findings, series_of, strong, to_dict

pytestmark = pytest.mark.slow


def test_json_form(tuning, laboratory):
    told = json.loads(json.dumps(to_dict(tuning), allow_nan=False))
    table = laboratory.swatches
    assert told["converged"] is True
    assert told["data"] == {
        "source": table.source,
        "sha256": table.sha256,
        "invented": True,
        "readings": 48,
        "swatches": 8,
    }
    assert [p["name"] for p in told["parameters"]] == list(tuning.problem.free)
    for p, e in zip(told["parameters"], tuning.estimates, strict=True):
        assert p["value"] == pytest.approx(e.value, rel=1e-6)
        assert p["interval"] == pytest.approx([e.low, e.high], rel=1e-6)
        assert p["verdict"] == "determined"
        assert p["jackknife_error"] > 0.0
    assert np.shape(told["correlations"]) == (5, 5)
    assert told["misfit"]["dE00"]["mean"] == pytest.approx(tuning.difference.mean(), abs=1e-4)
    assert told["misfit"]["rate_spread"] == pytest.approx(tuning.spread, rel=1e-6)
    assert [s["name"] for s in told["swatches"]] == list(table.names)
    worst = max(s["dE00"]["largest"] for s in told["swatches"])
    assert worst == pytest.approx(tuning.difference.max(), abs=1e-4)
    assert len(told["readings"]) == 48
    assert told["readings"][7]["measured"] == pytest.approx(table.lab[7], abs=1e-4)
    assert told["held_out"]["folds"] == 8
    assert [s["name"] for s in told["held_out"]["swatches"]] == list(table.names)


def test_what_is_not_finite_is_null(laboratory):
    found = tune(
        laboratory.swatches,
        free=("lightening_rate", "base_break_ph"),
        starts=1,
        leave_swatches_out=False,
    )
    told = to_dict(found)
    json.dumps(told, allow_nan=False)
    assert told["parameters"][1]["standard_error"] is None
    assert told["parameters"][1]["jackknife_error"] is None
    assert told["held_out"] is None
    said = findings(found)
    assert "base_break_ph: no reading depends on it." in said
    assert any("No swatch was left out" in line for line in said)


def test_series_go_through_the_readings(tuning):
    found = series_of(tuning)
    assert len(found) == 8
    for series in found:
        at = np.stack(
            [np.interp(series.minutes, series.fine_minutes, c) for c in series.fine_lab.T], axis=1
        )
        assert np.abs(at - series.lab).max() < 4.0
        assert np.median(np.abs(at - series.lab)) < 0.6
    assert found[0].label == "invented-01: cream 10 vol"


def changed(tuning, **changes):
    return findings(replace(tuning, **changes))


def test_each_finding(tuning):
    first = tuning.estimates[0]
    assert findings(tuning)[0].startswith("The readings are invented")
    assert any("Unseen swatches: mean dE00" in line for line in findings(tuning))
    failed = replace(tuning.fit, converged=False, message="no more steps")
    assert "The fit did not converge: no more steps" in changed(tuning, fit=failed)
    assert any(line.startswith("Only 1 of 4 starts") for line in changed(tuning, tried=4, agreed=1))
    swapped = replace(tuning.held_out, tuned=tuning.held_out.default, default=tuning.held_out.tuned)
    assert any("is as good or better" in line for line in changed(tuning, held_out=swapped))
    wide = replace(tuning.problem, scatter_scale=2.5)
    assert any("2.5 times the expected scatter" in s for s in changed(tuning, problem=wide))
    differs = replace(first, jackknife_error=3.0 * first.standard_error)
    said = changed(tuning, estimates=(differs, *tuning.estimates[1:]))
    assert any("Which swatches are there moves lightening_rate more" in line for line in said)
    for change, verdict in (
        ({"low_open": True, "high_open": True}, "not determined by these data"),
        ({"high_open": True}, "no upper end within its range"),
        ({"low_open": True}, "no lower end within its range"),
        ({"at_bound": True, "low_open": True}, "at its bound"),
    ):
        estimates = (replace(first, **change), *tuning.estimates[1:])
        assert f"{first.name}: {verdict}." in changed(tuning, estimates=estimates)


def test_strong_correlations_are_named(tuning, monkeypatch):
    monkeypatch.setattr("lift.research.tuning.tune_report.STRONG", 0.3)
    pairs = strong(tuning)
    assert pairs
    sizes = [abs(r) for _, _, r in pairs]
    assert sizes == sorted(sizes, reverse=True)
    a, b, r = pairs[0]
    names = list(tuning.problem.free)
    assert tuning.correlations[names.index(a), names.index(b)] == pytest.approx(r)
    assert any(f"{a} and {b} are hard to tell apart" in line for line in findings(tuning))
