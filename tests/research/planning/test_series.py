"""The lightening series: its layout, its protocol, and the file that is filled in."""

import csv
import io

import numpy as np
import pytest

from lift import LiftError, Mixture, default_curves, load_mixtures
from lift.answers import to_dict
from lift.errors import LimitError
from lift.model.hair import RED_SHARE
from lift.research.planning.series import (
    MINUTES,
    STEPS,
    lightening_series,
    template,
    write_template,
)
from lift.research.posterior.problem import Problem
from lift.research.swatches.forward import predict
from lift.research.swatches.swatch_file import check_swatches, read_swatches
from lift.research.swatches.written import in_form

SERIES = lightening_series()


def filled(series):
    """Text of the template with the colours that the model expects, rounded as one would."""
    text = in_form("series.csv", [], template(series), series.swatches.classes)
    lines = text.decode().splitlines()
    notes = [line for line in lines if line.startswith("#")]
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    labs = predict(series.swatches, default_curves().values, series.swatches.level)
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0].keys(), lineterminator="\n")
    writer.writeheader()
    for row, lab in zip(rows, labs[[run.strand for run in series.runs]], strict=True):
        writer.writerow(row | dict(zip("Lab", np.round(lab, 2).tolist(), strict=True)))
    return "\n".join([*notes, out.getvalue()])


def test_six_tresses_of_dark_brown_and_red_hair():
    table = SERIES.swatches
    assert SERIES.names == ("brown-1", "brown-2", "brown-3", "red-1", "red-2", "red-3")
    assert np.isnan(table.pheomelanin_share).tolist() == [True] * 3 + [False] * 3
    assert set(table.pheomelanin_share[3:]) == {RED_SHARE}
    assert sorted(set(table.minutes)) == list(MINUTES)
    assert MINUTES[0] == 0.0
    assert MINUTES[-1] == 45.0
    assert len(table) == 36
    assert (table.illuminant, table.observer) == ("D65", 10)
    assert table.on_head_volume[0] == pytest.approx(20.0 * 2.0 / 3.0)


def test_times_are_put_in_order_with_the_hair_before():
    assert lightening_series(minutes=(20, 5, 20)).minutes == (0.0, 5.0, 20.0)


def test_the_hair_spans_the_scale_in_that_time():
    """Both hairs pass the lightness at which their chroma is in doubt, or near it."""
    table = SERIES.swatches
    lightness = predict(table, default_curves().values, table.level)[:, 0]
    for swatch in (0, 3):
        mine = lightness[table.swatch == swatch]
        assert np.all(np.diff(mine) > 0.5)
        assert mine[0] < 45.0
        assert mine[-1] > 50.0


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"minutes": (0.0,)}, "at least one time"),
        ({"minutes": (0.0, 300.0)}, "300 min"),
        ({"tresses": 0}, "tresses of each hair 0"),
        ({"tresses": 51}, "nearest: 50"),
        ({"repeats": 0.0}, "repeats 0"),
    ],
)
def test_refusals(given, says):
    with pytest.raises(LiftError, match=says):
        lightening_series(**given)


def test_outside_the_domain_of_its_mixture_is_refused():
    with pytest.raises(LiftError, match="nearest: 15 min"):
        lightening_series(Mixture("base-break", 20.0))
    assert lightening_series(Mixture("base-break", 20.0), (5, 15)).minutes[-1] == 15.0
    late = lightening_series(minutes=(10, 55))
    assert [each.code for each in late.cautions[:2]] == ["caution.persulfate", "domain.edge"]


def test_too_strong_is_refused():
    with pytest.raises(LimitError, match="12 %"):
        lightening_series(Mixture("powder", 70.0))


def test_what_is_filled_in_is_read_as_it_was_planned(tmp_path):
    path = tmp_path / "series.csv"
    path.write_text(filled(SERIES), "utf-8")
    found = read_swatches(path)
    plan = SERIES.swatches
    assert (sorted(found.names), found.kind) == (sorted(plan.names), plan.kind)
    # Rows stand in the order in which the strands are begun.
    strands = [run.strand for run in SERIES.runs]
    for name in ("volume", "minutes", "developer_parts", "temperature_c", "repeats"):
        np.testing.assert_array_equal(getattr(found, name), getattr(plan, name)[strands])
    assert [found.names[i] for i in found.swatch] == [plan.names[plan.swatch[i]] for i in strands]
    np.testing.assert_array_equal(
        found.pheomelanin_share[found.swatch], plan.pheomelanin_share[plan.swatch][strands]
    )
    assert found.carried["note"][0].startswith("run 1: day 1, ")
    assert np.isnan(found.level).all()
    assert not found.invented
    problem = Problem(found, default_curves(), SERIES.freed)
    assert problem.free == SERIES.freed
    assert "pheomelanin_rate_ratio" in problem.free


def test_until_then_every_colour_is_missed(tmp_path):
    write_template(SERIES, tmp_path / "series.csv")
    found = check_swatches(tmp_path / "series.csv")
    assert found.swatches is None
    assert [f.column for f in found.faults] == ["L", "a", "b"] * 36
    assert {f.reason.code for f in found.faults} == {"fault.cell_empty"}


def test_a_file_that_is_there_is_kept(tmp_path):
    path = tmp_path / "series.csv"
    path.write_text("readings", "utf-8")
    with pytest.raises(LiftError, match="may hold readings"):
        write_template(SERIES, path)
    with pytest.raises(LiftError, match=r"does not end in \.csv, \.xlsx"):
        write_template(SERIES, tmp_path / "series.txt")
    with pytest.raises(LiftError, match="cannot write"):
        write_template(SERIES, tmp_path / "none" / "series.csv")
    assert [p.read_text("utf-8") for p in tmp_path.iterdir()] == ["readings"]


def test_a_mixture_of_ones_own(tmp_path):
    path = tmp_path / "oil.toml"
    path.write_text(
        '[oil]\nabout = "oil"\noxidant = "peroxide"\ndeveloper_parts = 1.0\nph = 9.3\n'
        'standing = "assumed"\nsource = "invented here"\n',
        "utf-8",
    )
    classes = load_mixtures(path)
    series = lightening_series(
        Mixture(classes["oil"], 30.0), curves=default_curves().with_mixtures(classes)
    )
    assert set(series.swatches.kind) == {"oil"}
    assert "oil" in str(series.steps[4])


def test_protocol_tells_the_numbers_and_the_safety():
    said = dict(zip(STEPS, map(str, SERIES.steps), strict=True))
    assert "5, 10, 20, 30, 45 min" in said["times"]
    assert "2 parts of 20 vol developer" in said["mixture"]
    assert "D65 with the 10 degree observer" in said["measure"]
    assert "mean of 5 readings" in said["measure"]
    assert said["safety"].startswith("On cut hair only, never on a head.")
    assert "from memory" in said["standing"]
    codes = {each.code for each in SERIES.cautions}
    assert {"caution.gloves", "caution.pain", "caution.maker"} <= codes


def test_json_form():
    shown = to_dict(SERIES)
    assert [tress["pheomelanin_share"] for tress in shown["tresses"]] == [None] * 3 + [
        RED_SHARE
    ] * 3
    assert shown["readings"] == 36
    assert shown["columns"][:2] == ["swatch", "mixture"]
    assert shown["columns"][-3:] == ["L", "a", "b"]
    assert len(shown["steps"]) == len(shown["steps_codes"]) == len(STEPS)
    assert shown["free"] == list(SERIES.freed)
    assert {row["name"] for row in shown["narrowed"]} >= {"chroma_brown", "half_oxidised_slope"}
