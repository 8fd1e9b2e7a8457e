"""Every public result says itself shortly, shows itself, is kept and is compared."""

import csv
import inspect
import io
import json
import re
from dataclasses import dataclass, fields, is_dataclass, replace
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import lift
from lift import lab, teach
from lift.answers import MAKERS
from lift.errors import LiftError
from lift.practice.stage_table import stage_table
from lift.results import Result
from lift.show.plots.shown import Picture, Sheet
from lift.show.results import facts, pictures, tabular
from lift.show.results.colours import ScreenColour, lab_of

PACKAGE = Path(lift.__file__).parent
HAIR, MIXTURE = lift.Hair(6), lift.Mixture("cream", 20)
SWATCHES = "shared/invented_swatches.csv"
PLAIN = {"Blend", "Lighten", "Match", "Tone", "Note"}
"""Goals, which say themselves as they are typed, and sentences."""

INPUTS = {"Hair", "Mixture", "Processed", "Observation", "Record", "Asked", "Structure", "Tie"}
"""What is typed in, and says itself as it is typed."""


@pytest.fixture(scope="module")
def results():
    curves = lift.default_curves()
    strand = lift.simulate(HAIR, MIXTURE, [0, 10, 20])
    report = lift.tone_report((56, 10, 30))
    base_break = lift.Mixture("base-break", 10)
    found = [
        *(curves, curves["melanin_at_level_3"], strand, strand.last, lift.natural_path(curves)),
        *(lift.ensemble(HAIR, MIXTURE, [0, 10, 20]), lift.underpigment_ladder(curves)),
        *(lift.find_window(HAIR, MIXTURE), lift.preview(HAIR, MIXTURE, 20), stage_table(curves)),
        *(lift.choose(HAIR, lift.Lighten(8)), lift.tone_direction([56, 10, 36]), report),
        *(report.answer, report.wheel_and_dye, report.light, report.partial, report.toner),
        *(report.fades["direct"], report.answer.inferred, teach.class_exercise()[0]),
        *(teach.carried_and_outrun(HAIR, base_break), teach.tone_over_level([5, 6, 7])),
        *(next(iter(lab.all_checks())), lab.near_bands()[0], lab.band_sensitivity()),
        *(
            lab.reading_sensitivity(HAIR, MIXTURE),
            lab.read_swatches("shared/invented_swatches.csv"),
        ),
        *(lab.check_swatches("shared/invented_swatches.csv"),),
        lift.load_scenario("shared/blonde_refresh.toml"),
        lift.strand_test(lift.Hair(7), base_break, [lift.Observation(8, level=7.4)], lift.Blend()),
    ]
    return {type(each).__name__: each for each in found}


def classes():
    """Every dataclass of the package by its name."""
    found: dict[str, list[type]] = {}
    for path in PACKAGE.rglob("*.py"):
        if {"make", "page", "cli"} & set(path.parts) or path.stem == "__main__":
            continue
        module = import_module(".".join(("lift", *path.relative_to(PACKAGE).with_suffix("").parts)))
        for thing in vars(module).values():
            if (
                inspect.isclass(thing)
                and is_dataclass(thing)
                and thing.__module__ == module.__name__
            ):
                found.setdefault(thing.__name__, []).append(thing)
    return found


def test_what_public_names_return_is_a_result():
    known, bare = classes(), {}
    for module in (lift, teach, lab):
        for name in set(module.__all__) - {"lab", "teach"}:
            thing = getattr(module, name)
            said = str(getattr(thing, "__annotations__", {}).get("return", ""))
            if not inspect.isfunction(thing) or name.startswith("plot_"):
                continue
            for word in set(re.findall(r"\w+", said)) & known.keys() - INPUTS:
                if not any(issubclass(each, Result) or "_repr_mimebundle_" in vars(each)
                           for each in known[word]):  # fmt: skip
                    bare[name] = word
    assert not {n: w for n, w in bare.items() if w not in PLAIN}


def test_a_result_s_class_keeps_the_short_repr():
    for same in classes().values():
        for each in same:
            if issubclass(each, Result):
                assert "dataclass" not in (each.__repr__.__qualname__), each


def test_registries_name_results():
    known = {name for name, same in classes().items() for c in same if issubclass(c, Result)}
    assert {*facts.SAID, *pictures.PICTURES, *tabular.MADE} <= known
    assert set(tabular.ROWS) <= known & set(MAKERS)


def test_every_repr_is_short(results):
    for name, each in results.items():
        text = repr(each)
        assert text.startswith(name)
        assert len(text.splitlines()) < 10, text
        assert len(text) < 1200, text
        assert "array(" not in text


def test_cautions_stand_where_a_mixture_or_a_time_is_shown(results):
    timed = {"Preview", "Choice", "StrandTest", "Window", "Trajectory", "Ensemble", "Scenario"}
    for name, each in results.items():
        if name in timed | {"ToneReport", "Carried", "Sensitivity", "TonerStep"}:
            assert "allergy" in repr(each).lower(), name
            assert (
                "allergy test" in each._repr_html_().lower() or "allergy and" in each._repr_html_()
            )
    assert "allergy" not in repr(results["Parameter"]).lower()


def test_every_result_shows_itself(results):
    for name, each in results.items():
        shown = each._repr_mimebundle_()
        assert set(shown) == {"text/html", "text/plain"}
        assert shown["text/plain"] == repr(each)
        html = shown["text/html"]
        assert html.startswith("<div>")
        assert "<script" not in html
        alts = re.findall(r'<img alt="([^"]+)"', html)
        lab = lab_of(each)
        lock = lab is not None and lab.shape == (3,)
        assert bool(alts) == (name in pictures.PICTURES or lock), name


@pytest.mark.parametrize(
    "make",
    [
        lambda: lift.simulate(HAIR, MIXTURE, 10),
        lambda: lift.simulate(lift.Hair([5, 6, 7]), MIXTURE, 10),
        lambda: lift.simulate(lift.Hair(level=np.array([[5.0], [6.0]])), MIXTURE, [0, 10]),
        lambda: lift.tone_report((44, 7, 18)),
        lambda: lift.tone_report((20, 2, 1)),
        lambda: lift.tone_report((56, 10, 30), (80, 0, 5)),
        lambda: lift.tone_report(lift.Processed(HAIR, MIXTURE, 20)),
        lambda: lift.tone_report((56, 10, 30)).answer.alone,
        lambda: lift.choose(lift.Hair(1), lift.Lighten(10)),
        lambda: lift.strand_test(lift.Hair(7), lift.Mixture("base-break", 10)),
        lambda: lift.preview(lift.Hair(7, grey_percent=40), MIXTURE, 0),
        lambda: lift.find_window(HAIR, lift.Mixture("cream", 0)),
        lambda: teach.carried_and_outrun(HAIR, MIXTURE),
    ],
)
def test_what_is_out_of_the_ordinary_shows_itself_too(make):
    made = make()
    shown = made._repr_mimebundle_()
    assert len(shown["text/plain"].splitlines()) < 10
    assert shown["text/html"].endswith("</div>")
    assert made.to_csv()


def test_a_result_that_is_still_being_made_can_be_printed():
    assert repr(object.__new__(type(lift.default_curves()))) == "CurveSet(...)"


def test_tables_are_rectangles_and_csv_says_the_same(results):
    pandas = pytest.importorskip("pandas")
    for name, each in results.items():
        rows = list(csv.reader(io.StringIO(each.to_csv())))
        frame = each.to_frame()
        assert isinstance(frame, pandas.DataFrame)
        assert rows[0] == list(frame.columns), name
        assert len(rows) - 1 == len(frame) >= 1, name
        assert all(len(row) == len(rows[0]) for row in rows), name


def test_columns_of_a_preview_are_its_bands(results):
    frame = results["Preview"].to_frame()
    assert list(frame.columns[:4]) == ["minutes", "level_low", "level_median", "level_high"]
    at = frame[frame.minutes == 20.0].iloc[0]
    assert at.warmth_median == pytest.approx(results["Preview"].band_at("warmth")[1])
    dyes = results["ToneReport"].to_frame().set_index("dye")
    assert dyes.laid["blue-violet"] == pytest.approx(
        results["ToneReport"].answer.tone["blue-violet"]
    )
    moved = results["BandSensitivity"].to_frame()
    assert set(moved.verdict[moved.bands == "as shipped"]) == {"differ"}


def test_without_pandas_it_says_what_to_do(results, monkeypatch):
    def missing(name):
        raise ModuleNotFoundError(name)

    monkeypatch.setattr(tabular, "import_module", missing)
    with pytest.raises(LiftError, match=r"to_csv.*pip install 'lift.frames.'"):
        results["Trajectory"].to_frame()


@pytest.mark.parametrize("ending", ["csv", "json", "html", "png", "svg", "pdf"])
def test_saved_by_its_ending(results, tmp_path, ending):
    path = tmp_path / f"found.{ending}"
    results["Preview"].save(path)
    data = path.read_bytes()
    heads = {
        "png": b"\x89PNG",
        "pdf": b"%PDF",
        "svg": b"<?xml",
        "html": b"<html",
        "csv": b"minutes",
    }
    assert data.startswith(heads.get(ending, b"{"))
    if ending == "json":
        assert json.loads(data)["inputs"]["volume"] == 20.0


@pytest.mark.parametrize(
    ("name", "ending", "message"),
    [
        ("Preview", "xls", r"'xls' is not one of csv, json"),
        ("Window", "json", r"Window has no JSON; nearest: .csv"),
        ("Window", "png", r"Window has no picture; nearest: .csv"),
    ],
)
def test_what_cannot_be_saved_is_refused(results, tmp_path, name, ending, message):
    with pytest.raises(LiftError, match=message):
        results[name].save(tmp_path / f"x.{ending}")
    assert not list(tmp_path.iterdir())


@dataclass(frozen=True, eq=False, repr=False)
class Vivid(Result):
    lab: Any


def test_screen_colours_say_where_the_screen_fails(results):
    assert re.fullmatch(r"#[0-9a-f]{6}", results["ToneReport"].hex)
    assert results["ToneReport"].hex.in_gamut
    vivid = Vivid(np.array([[50.0, 100.0, -100.0], [50.0, 0.0, 0.0]])).hex
    assert [each.in_gamut for each in vivid] == [False, True]
    assert vivid[1] == ScreenColour("#777777")
    assert len(lift.simulate(HAIR, MIXTURE, [0, 20]).hex) == 2
    with pytest.raises(LiftError, match="Window has no colour"):
        _ = results["Window"].hex


def test_strips_at_given_minutes(results):
    strip = results["Preview"].strip(0, 12.5, 40)
    assert [t.get_text().split("\n")[0] for t in strip.get_xticklabels()] == [
        *("0 min", "12.5 min", "40 min"),
    ]
    assert len(results["StrandTest"].strip().get_xticks()) == 5
    strand = lift.simulate(HAIR, MIXTURE, [0, 10, 20])
    assert len(strand.strip(10).get_xticks()) == 1
    for given, minutes, message in (
        (strand, (15,), "not computed at 15 min; nearest: 10 min"),
        (lift.simulate(HAIR, MIXTURE, 10), (), "compute it at several"),
        (results["ToneReport"], (), "ToneReport has no processing time"),
        (results["Preview"], (900,), "900"),
    ):
        with pytest.raises(LiftError, match=message):
            given.strip(*minutes)


def test_results_compared(results):
    first = results["Preview"]
    other = lift.preview(HAIR, MIXTURE.replace(volume=30), 20)
    both = first.compare(other, names=("20 vol", "30 vol"))
    assert both.dE00[0] == 0.0
    assert both.dE00[1] > 1.0
    labels = [row[0] for row in both.rows]
    assert "After" in labels
    assert labels[-1] == "colours apart [dE00]"
    assert "20 vol" in repr(both)
    html = both._repr_html_()
    assert html.count("<img") == 1
    assert "allergy" in html.lower()
    with pytest.raises(LiftError, match="Preview is compared with others of its kind"):
        first.compare(results["Window"])
    with pytest.raises(LiftError, match="1 different names for 2 results"):
        first.compare(other, names=("one",))


def test_pictures_show_themselves(results):
    shown = teach.plot_melanin()
    assert isinstance(shown, Picture)
    assert isinstance(shown.get_figure(), Sheet)
    bundle = shown._repr_mimebundle_()
    assert bundle["text/plain"] == shown.alt
    assert f'<img alt="{shown.alt[:30]}' in bundle["text/html"]
    assert repr(shown).startswith("Picture: ")
    sheet = lift.plot_preview(results["Preview"])
    assert "<img" in sheet._repr_html_()


def test_pictures_are_saved_and_drawn_on_axes_that_are_given(tmp_path):
    from matplotlib.figure import Figure

    teach.plot_melanin().save(tmp_path / "melanin.svg")
    assert (tmp_path / "melanin.svg").read_bytes().startswith(b"<?xml")
    mine = Figure().add_subplot()
    assert teach.plot_melanin(axes=mine) is mine


def test_own_measured_colours_on_any_picture(results):
    warmth = lift.plot_warmth(results["Preview"])
    before = len(warmth.texts)
    assert warmth.measured((44, 12, 26), "tress 1", minutes=20) is warmth
    assert [t.get_text() for t in warmth.texts[before:]] == ["tress 1"]
    x, y = warmth.texts[-1].xy
    assert x == 20.0
    assert y == pytest.approx(
        lift.natural_path(lift.default_curves()).warmth(np.array([44, 12, 26.0]))
    )
    plane = teach.plot_departure(HAIR, MIXTURE).measured((44, 12, 26), "tress 1")
    assert plane.texts[-1].xy == (12.0, 26.0)
    beside = teach.plot_melanin().measured((44, 12, 26), "tress 1").measured((50, 9, 24))
    assert [each.get_xlabel() for each in beside.child_axes] == ["tress 1", "measured"]
    with pytest.raises(LiftError):
        beside.measured((44, 12))


def test_fields_are_said_in_few_words(results):
    strand = results["Trajectory"]
    assert facts.value_of(np.array([1e-15, 2.0, 3.0, 4.0])) == "0 to 4 (4)"
    assert facts.value_of(True) == "yes"
    assert facts.value_of(None) == ""
    assert facts.value_of({}) == ""
    assert "violet 1" in facts.value_of({"violet": 1.0})
    assert len(fields(strand)) > 8
    assert "more" in repr(lift.simulate(HAIR, MIXTURE, [0, 10]))
    many = replace(results["CurveSet"], name="mine")
    assert "Curve set mine" in repr(many)
