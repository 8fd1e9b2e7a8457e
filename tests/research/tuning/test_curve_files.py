"""Tuned curve sets as files, and one set against another."""

import json
import re
from dataclasses import replace

import numpy as np
import pytest

from lift import Hair, LiftError, Mixture, __version__, default_curves, load_curves, preview
from lift.answers import to_dict
from lift.model.course import Structure
from lift.model.draws import ParameterDraws
from lift.research.posterior.problem import FREE, Tie
from lift.research.tuning.curve_files import (
    COMPARED,
    STEPS,
    compare,
    named_after,
    table_of,
    tuned_curves,
)
from lift.research.tuning.tune import tune


@pytest.fixture(scope="module")
def tuned(tuning):
    return tuned_curves(tuning, "mine")


def test_values_status_and_source(tuned, tuning):
    for e in tuning.estimates:
        p = tuned[e.name]
        assert p.value == e.value
        assert p.status == "tuned"
        assert "tuned to INVENTED" in p.source
        assert f"{e.low:.4g} to {e.high:.4g}" in p.source
    assert tuned["rate_log_sd"].value == tuning.spread
    assert tuned["rate_log_sd"].status == "tuned"
    untouched = set(tuned) - set(FREE) - {"rate_log_sd"}
    assert all(tuned[n] == default_curves()[n] for n in untouched)


def test_provenance(tuned, laboratory, tuning):
    told = dict(tuned.provenance)
    assert told["made_by"] == f"lift tune, lift {__version__}"
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", told["date"])
    assert told["data_sha256"] == laboratory.swatches.sha256
    assert told["fitted"] == ", ".join(FREE)
    assert f"mean dE00 {tuning.difference.mean():.2f}" in told["misfit"]
    assert "swatches left out" in told["held_out"]
    assert "invented" in told
    said = "tuned to INVENTED swatches, which the model misses by 0."
    assert str(tuned.standing).startswith(said)


def test_validity_is_the_range_of_the_readings(tuned, laboratory, tuning):
    told = tuned.validity.to_dict()
    table = laboratory.swatches
    assert told["mixtures"] == ["cream", "powder"]
    assert told["minutes"] == [0.0, 50.0]
    assert told["on_head_volume"] == pytest.approx([5.0, 80.0 / 3.0])
    values = default_curves().values
    assert told["ph"] == [values["cream_ph"], values["powder_ph"]]
    assert told["temperature_c"] == [30.0, 30.0]
    assert told["fibre_um"] == [70.0, 70.0]
    low, high = told["level"]
    assert low <= tuning.starts.min() < low + 0.1
    assert high - 0.1 < tuning.starts.max() <= high
    assert len(table.names) == 8


def test_file_round_trip_and_extrapolation(tuned, tmp_path):
    tuned.save(tmp_path / "mine.toml")
    loaded = load_curves(tmp_path / "mine.toml")
    assert loaded == tuned
    inside = preview(Hair(5.0), Mixture("cream", 20.0), 20.0, curves=loaded, members=20)
    outside = preview(Hair(5.0, "coarse"), Mixture("cream", 20.0), 55.0, curves=loaded, members=20)
    assert to_dict(inside)["curve_set"]["extrapolates"] == []
    said = to_dict(outside)["curve_set"]["extrapolates"]
    assert any("processing time 55 min" in line for line in said)
    assert any("fibre diameter 90 um" in line for line in said)
    told = list(map(str, outside.cautions))
    assert [line for line in told if line.startswith("Extrapolates")] == said


def test_unmoved_and_tied_parameters(laboratory):
    tie = Tie("cream_ph", "powder_ph", 0.98)
    found = tune(
        laboratory.swatches,
        free=("powder_ph", "base_break_ph"),
        ties=(tie,),
        starts=1,
        leave_swatches_out=False,
        own_rates=False,
    )
    curves = tuned_curves(found, "tied")
    assert curves["base_break_ph"] == default_curves()["base_break_ph"]
    assert curves["cream_ph"].value == pytest.approx(0.98 * curves["powder_ph"].value)
    assert "tied: 0.98 times powder_ph" in curves["cream_ph"].source
    assert curves["rate_log_sd"] == default_curves()["rate_log_sd"]
    assert dict(curves.provenance)["tied"] == "cream_ph = 0.98 * powder_ph"


@pytest.mark.parametrize("structure", [Structure(half_oxidised=False), Structure(uptake=False)])
def test_other_physics_are_no_curve_set(laboratory, structure):
    asked = {"free": ("lightening_rate",), "structure": structure}
    found = tune(laboratory.swatches, starts=1, leave_swatches_out=False, **asked)
    with pytest.raises(LiftError, match="standard structure only"):
        tuned_curves(found, "other")


def test_comparison(tuned):
    found = compare(default_curves(), tuned)
    assert {each.second.name for each in found.changed} == {*FREE, "rate_log_sd"}
    off = found.differences()
    assert off.shape == (len(COMPARED), STEPS)
    assert np.all(off[:, 0] == 0.0)
    assert off.max() > 2.0
    told = json.loads(json.dumps(to_dict(found), allow_nan=False))
    assert told["second"]["name"] == "mine"
    assert len(told["changed"]) == 6
    row = told["strands"][2]
    assert row["dE00_largest"] == pytest.approx(off[2].max(), abs=1e-4)
    assert row["mixture"] == "powder"
    same = compare(tuned, tuned)
    # Of one set against itself nothing is known to differ.
    low, middle, high = np.moveaxis(same.apart, 1, 0)
    assert (low < 0.0).all()
    assert (high > 0.0).all()
    assert np.abs(middle).max() < 1.0
    assert same.changed == ()
    assert same.differences().max() == 0.0


def test_a_difference_carries_what_the_draws_leave_open(tuned):
    shipped = default_curves()
    found = compare(shipped, tuned)
    by_name = {each.first.name: each for each in found.changed}
    rate = by_name["lightening_rate"]
    first, second = (c.posterior.column("lightening_rate") for c in (shipped, tuned))
    assert rate.by == tuned["lightening_rate"].value - shipped["lightening_rate"].value
    assert rate.sd == pytest.approx(np.sqrt(np.var(first) + np.var(second)))
    # Draws that leave nothing open leave the difference of the sets themselves.
    bare = [replace(c, posterior=None) for c in (shipped, tuned)]
    assert np.isnan(compare(*bare).apart).all()
    sure = [
        replace(c, posterior=ParameterDraws(("cream_ph",), ((c["cream_ph"].value,),) * 50))
        for c in (shipped, tuned)
    ]
    ends = [b.lab[-1] - a.lab[-1] for a, b in found.trajectories]
    np.testing.assert_allclose(compare(*sure).apart[:, 1], ends, atol=1e-9)
    told = to_dict(found)["strands"][0]["apart"]
    assert told["low"][0] < told["median"][0] < told["high"][0]


def test_table_and_name():
    rows = table_of(default_curves())
    assert len(rows) == len(default_curves().parameters)
    assert set(rows[0]) == {"name", "value", "unit", "low", "high", "status", "source"}
    assert named_after("some/where/my-curves.toml") == "my-curves"
