"""What a tuning tells: JSON without gaps, and notes for what to beware of."""

import json
from dataclasses import replace

import numpy as np
import pytest

from lift.answers import to_dict
from lift.research.tuning.findings import findings, series_of, strong
from lift.research.tuning.tune import tune


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
        assert p["standard_error"] > 0.0
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
    assert told["posterior"]["kept"] == 400
    assert told["findings_codes"][0]["code"] == "finding.invented"


def test_what_is_not_there_is_null(laboratory):
    found = tune(
        laboratory.swatches,
        free=("lightening_rate", "base_break_ph"),
        starts=1,
        leave_swatches_out=False,
    )
    told = to_dict(found)
    json.dumps(told, allow_nan=False)
    assert told["held_out"] is None
    assert told["posterior"]["rhat"] is None
    said = list(map(str, findings(found)))
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
    assert str(found[0].label) == "invented-01: cream 10 vol"


def changed(tuning, **changes):
    return [found.code for found in findings(replace(tuning, **changes))]


def of_posterior(tuning, **changes):
    return changed(tuning, posterior=replace(tuning.posterior, **changes))


def test_each_finding(tuning):
    posterior = tuning.posterior
    said = [found.code for found in findings(tuning)]
    assert said[0] == "finding.invented"
    assert "finding.unseen" in said
    lost = replace(posterior.mode, converged=False)
    assert "finding.no_top" in of_posterior(tuning, mode=lost)
    bad = replace(posterior.draws, pareto_k=1.0)
    assert "finding.not_converged" in of_posterior(tuning, draws=bad)
    short = replace(posterior.draws, reached=False)
    assert "finding.short" in of_posterior(tuning, draws=short)
    assert "finding.starts" in changed(tuning, tried=4, agreed=1)
    swapped = replace(tuning.held_out, tuned=tuning.held_out.default, default=tuning.held_out.tuned)
    assert "finding.shipped_better" in changed(tuning, held_out=swapped)
    assert "finding.none_left_out" in changed(tuning, held_out=None)
    assert "finding.scatter" in changed(tuning, scatter_scale=2.5)
    for verdict, words in (
        ("open", "not determined by these data"),
        ("no_high", "no upper end within its range"),
        ("no_low", "no lower end within its range"),
    ):
        first, *others = posterior.beliefs
        beliefs = (replace(first, verdict=verdict), *others)
        found = findings(replace(tuning, posterior=replace(posterior, beliefs=beliefs)))
        assert f"{first.name}: {words}." in map(str, found)


def test_strong_correlations_are_named(tuning, monkeypatch):
    monkeypatch.setattr("lift.research.tuning.findings.STRONG", 0.3)
    pairs = strong(tuning)
    assert pairs
    sizes = [abs(r) for _, _, r in pairs]
    assert sizes == sorted(sizes, reverse=True)
    a, b, r = pairs[0]
    names = list(tuning.problem.free)
    assert tuning.correlations[names.index(a), names.index(b)] == pytest.approx(r)
