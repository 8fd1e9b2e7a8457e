"""Mixture classes: what holds for one holds for every one, a made-up one included."""

import io
import json
import pickle
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from rich.console import Console

from lift import Hair, LiftError, Mixture, default_curves, load_mixtures, preview, simulate
from lift.model.bounds import DOMAIN
from lift.model.mixtures import MixtureClass, MixtureClasses, mixture_classes
from lift.model.parameter import STATUSES
from lift.practice.cautions import cautions
from lift.practice.records.record import Record
from lift.practice.records.record_store import RecordStore
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import plan
from lift.practice.trial.observation import Observation
from lift.research.posterior.problem import Problem
from lift.research.swatches.forward import predict
from lift.research.swatches.generate import design
from lift.research.swatches.swatch_file import read_swatches
from lift.research.swatches.written import write_swatches
from lift.show.page.question import RefusedError, read_question
from lift.show.terminal.plan import print_plan

SCENARIO = Path(__file__).parents[2] / "shared" / "blonde_refresh.toml"
OIL = """
[oil]
about = "oil lightener, made up for a test"
oxidant = "peroxide"
developer_parts = 1.5
ph = 9.3
boost = 1.2
tone = { blue = 0.5 }
cautions = ["persulfate"]
standing = "assumed"
source = "made up for a test"

[oil.domain]
minutes = [0.0, 40.0]
volume = [0.0, 20.0]
"""


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    path = tmp_path_factory.mktemp("mine") / "mine.toml"
    path.write_text(OIL, "utf-8")
    return path


@pytest.fixture(scope="module")
def classes(path):
    return load_mixtures(path)


@pytest.fixture(scope="module")
def curves(classes):
    return default_curves().with_mixtures(classes)


EVERY = pytest.mark.parametrize("kind", [*mixture_classes(), "oil"])


@EVERY
def test_preview(curves, kind):
    """Its pH, oxidant and tone act, and its cautions stand beside it."""
    chemistry = curves.mixtures[kind]
    mixture = Mixture(chemistry, 10.0)
    assert (mixture.kind, mixture.chemistry) == (kind, chemistry)
    assert mixture.replace(volume=20.0).chemistry == chemistry
    assert mixture.developer_parts == chemistry.developer_parts
    found = preview(Hair(7.0), mixture, 10.0, curves=curves, members=8)
    assert found.mixture.chemistry == chemistry
    own = mixture.properties(curves.values)
    plain = {name: own[name] for name in ("ph", "boost", "persulfate", "film_ratio")}
    numbers = replace(chemistry, tone=tuple(own["tone"].items()), **plain)
    expected = simulate(Hair(7.0), Mixture(numbers, 10.0), 10.0)
    np.testing.assert_allclose(simulate(Hair(7.0), mixture, 10.0).lab, expected.lab, atol=1e-12)
    said = {caution.code for caution in cautions(mixture)}
    assert {f"caution.{code}" for code in chemistry.cautions} <= said


@EVERY
def test_research_predicts_what_simulate_does(curves, kind):
    table = design(2, minutes=(0.0, 5.0, 15.0), kinds=(kind,), classes=curves.mixtures)
    found = predict(table, curves.values, table.level)
    expected = [
        simulate(Hair(table.level[swatch]), Mixture(curves.mixtures[kind], volume), minutes).lab
        for swatch, volume, minutes in zip(table.swatch, table.volume, table.minutes, strict=True)
    ]
    np.testing.assert_allclose(found, expected, atol=1e-9)
    assert len(Problem(table, curves).swatches) == len(table)


def test_classes_in_one_table_do_not_mix(curves):
    table = design(
        4, kinds=("oil", "powder", "base-break"), volumes=(10.0,), classes=curves.mixtures
    )
    together = predict(table, curves.values, table.level)
    for i in range(len(table.names)):
        alone = predict(table.only(i), curves.values, table.level[[i]])
        np.testing.assert_allclose(together[table.swatch == i], alone, atol=1e-9)


@EVERY
def test_a_swatch_file_is_read_back(curves, kind, tmp_path):
    table = design(2, minutes=(0.0, 20.0), kinds=(kind,), classes=curves.mixtures)
    write_swatches(table, tmp_path / "s.csv")
    read = read_swatches(tmp_path / "s.csv", classes=curves.mixtures)
    assert read.kind == table.kind
    np.testing.assert_array_equal(read.developer_parts, table.developer_parts)
    np.testing.assert_allclose(
        predict(read, curves.values, read.level), predict(table, curves.values, table.level)
    )


@EVERY
def test_a_record_is_read_back(curves, kind, tmp_path):
    mixture = Mixture(curves.mixtures[kind], 10.0)
    record = Record("qf4-mk7", "2024-05-17", Hair(6.0), mixture, Observation(10.0, 7.0, None))
    with RecordStore(tmp_path / "r.sqlite", create=True, classes=curves.mixtures) as store:
        store.add(record)
        (kept,) = store.records()
    assert kept.mixture.chemistry == mixture.chemistry
    assert kept.mixture.properties(curves.values) == mixture.properties(curves.values)


@EVERY
def test_a_scenario_is_planned(curves, kind, tmp_path):
    text = SCENARIO.read_text("utf-8")
    (tmp_path / "s.toml").write_text(text.replace('"powder"', f'"{kind}"'), "utf-8")
    scenario = load_scenario(tmp_path / "s.toml", curves.mixtures)
    assert scenario.mixtures["lightener"].chemistry == curves.mixtures[kind]
    found = plan(scenario, curves, members=4)
    said = io.StringIO()
    print_plan(found, Console(file=said, width=200))
    name = next(iter(found.chosen.developers))
    volume = found.chosen.developers[name].volume
    assert name == "lightener"
    assert f"{kind} {volume:g} vol" in said.getvalue()


@EVERY
def test_the_page_answers(curves, kind):
    typed = {"level": "6", "minutes": "10", "volume": "10", "mixture": kind}
    question = read_question(typed, curves)
    assert question.mixture.chemistry == curves.mixtures[kind]
    # It travels to other processes as it is, and so does the curve set.
    again = pickle.loads(pickle.dumps(question))
    assert again.mixture.chemistry == question.mixture.chemistry


@EVERY
def test_the_command_line_answers(path, kind):
    asked = ["--level", "6", "--volume", "10", "--minutes", "10", "--mixture", kind, "--json"]
    done = subprocess.run(
        [sys.executable, "-m", "lift", "preview", *asked, "--mixtures", str(path)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["inputs"]["mixture"] == kind


def test_a_class_that_is_not_known_is_refused_everywhere(tmp_path):
    """An unknown class is never taken for another."""
    known = r"'oil' is not one of cream, base-break, powder"
    with pytest.raises(LiftError, match=known):
        Mixture("oil")
    with pytest.raises(LiftError, match=known):
        design(1, kinds=("oil",))
    with pytest.raises(RefusedError, match=known):
        read_question({"level": "6", "minutes": "10", "mixture": "oil"}, default_curves())
    text = SCENARIO.read_text("utf-8")
    (tmp_path / "s.toml").write_text(text.replace('"powder"', '"oil"'), "utf-8")
    with pytest.raises(LiftError, match=known):
        load_scenario(tmp_path / "s.toml")


def test_curve_sets_made_of_a_curve_set_keep_its_classes(curves, classes):
    assert default_curves().mixtures == mixture_classes()
    assert curves.mixtures == classes
    assert curves.replace(cream_ph=9.5).mixtures == classes
    assert pickle.loads(pickle.dumps(curves)) == curves
    assert curves != default_curves()


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("[oil]", "[oil.deep]\n[oil]", "is not valid TOML|'deep' is not one of"),
        ("[oil]", "[Oil]", "'Oil'.*lower-case"),
        ("oil", "cream", "'cream' is there already"),
        ('oxidant = "peroxide"', 'oxidant = "air"', "oxidant 'air'"),
        ("developer_parts = 1.5", "developer_parts = 11", "outside 0.1 to 10"),
        ("developer_parts = 1.5", "", "lacks developer_parts"),
        ("ph = 9.3", "ph = 1.0", "pH 1 is outside 2 to 13"),
        ("ph = 9.3", 'ph = "oil_ph"', "parameter 'oil_ph'"),
        ("boost = 1.2", "boots = 1.2", "key 'boots'.*did you mean boost"),
        ("blue = 0.5", "blu = 0.5", "dye 'blu'.*did you mean blue"),
        ("blue = 0.5", "blue = 61", "dose of blue 61"),
        ('["persulfate"]', '["ghosts"]', "caution 'ghosts'"),
        ("boost = 1.2", 'intent = "blendd"', "intent 'blendd'.*blend, lighten.*did you mean blend"),
        ("boost = 1.2", "intent = 5", "intent 5 is not one of"),
        ('standing = "assumed"', 'standing = "sure"', "standing 'sure'"),
        ('source = "made up for a test"', 'source = " "', "no source"),
        ("minutes = [0.0, 40.0]", "minutes = [40.0, 0.0]", "domain 0 is outside 40"),
        ("minutes = [0.0, 40.0]", "hours = [0.0, 40.0]", "domain 'hours'"),
        ("minutes = [0.0, 40.0]", "minutes = 40.0", "oil"),
        ("minutes = [0.0, 40.0]", "minutes = { usual = [0, 5] }", "lacks range"),
        ("minutes = [0.0, 40.0]", "minutes = { range = [0, 5], usul = [0, 5] }", "key 'usul'"),
        (
            "minutes = [0.0, 40.0]",
            "minutes = { range = [0, 5], usual = [0, 6] }",
            "domain 6 is outside 0 to 5",
        ),
        (
            "minutes = [0.0, 40.0]",
            'minutes = { range = [0, 5], standing = "sure" }',
            "standing 'sure'",
        ),
        (
            "minutes = [0.0, 40.0]",
            'minutes = { range = [0, 5], source = "" }',
            "no source",
        ),
    ],
)
def test_a_bad_class_is_refused(tmp_path, old, new, why):
    assert old in OIL
    (tmp_path / "m.toml").write_text(OIL.replace(old, new), "utf-8")
    with pytest.raises(LiftError, match=why) as caught:
        load_mixtures(tmp_path / "m.toml")
    assert "\n" not in str(caught.value)


def test_shipped_classes_name_parameters_of_the_curve_set():
    for each in mixture_classes().values():
        assert set(each.parameters) <= set(default_curves())
        ph = each.bound("ph")
        assert ph.usual_low <= each.properties(default_curves().values)["ph"] <= ph.usual_high


@pytest.mark.parametrize("kind", mixture_classes())
@pytest.mark.parametrize("name", DOMAIN)
def test_every_bound_of_a_shipped_class_has_standing_and_source(kind, name):
    bound = mixture_classes()[kind].bound(name)
    assert bound.standing in STATUSES
    assert len(bound.source.split()) >= 4
    assert bound.low <= bound.usual_low < bound.usual_high <= bound.high


def test_what_a_class_means_without_a_goal(classes):
    """Who says nothing lightens."""
    meant = {name: each.intent for name, each in classes.items()}
    assert meant == {
        "cream": "lighten",
        "base-break": "blend",
        "powder": "lighten",
        "oil": "lighten",
    }


def test_a_file_may_say_what_its_class_means(tmp_path):
    said = OIL.replace("boost = 1.2", 'intent = "blend"')
    (tmp_path / "m.toml").write_text(said, "utf-8")
    assert load_mixtures(tmp_path / "m.toml")["oil"].intent == "blend"


SOLD = """
[developers]
volumes = [6, 12, 18]
standing = "assumed"
source = "made up for a test"
"""


def test_the_shipped_list_of_developers_travels_with_a_curve_set(classes, curves):
    sold = default_curves().mixtures.developers
    assert list(sold) == [5.0, 10.0, 20.0, 30.0, 40.0]
    assert (sold.standing, sold.source) == ("common practice", "common practice (no source)")
    # A file without a list leaves it, and a set changed by hand keeps it.
    assert classes.developers == sold
    assert curves.replace(cream_ph=9.5).mixtures.developers == sold


@pytest.mark.parametrize("text", [SOLD, SOLD + OIL])
def test_a_file_may_have_a_list_of_its_own(tmp_path, text):
    (tmp_path / "m.toml").write_text(text, "utf-8")
    found = load_mixtures(tmp_path / "m.toml")
    assert list(found.developers) == [6.0, 12.0, 18.0]
    assert found.developers.source == "made up for a test"
    assert ("oil" in found) == (text != SOLD)
    assert "cream" in found
    curves = default_curves().with_mixtures(found)
    assert pickle.loads(pickle.dumps(curves)).mixtures.developers == found.developers
    assert curves != default_curves()


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("18", "41", r"developer that can be bought 41 vol is outside 1 to 40 vol; nearest: 40"),
        ("6, ", "0, ", "developer that can be bought 0 vol is outside 1 to 40 vol; nearest: 1 vol"),
        ("6, ", "nan, ", "nan"),
        ("6, ", "true, ", "True is not one number"),
        ("6, ", '"six", ', "'six' is not a number; allowed: 1 to 40"),
        ("18", "12", "12 vol behind 12 vol is not above 12 to 40 vol"),
        ("18", "9", "9 vol behind 12 vol is not above 12 to 40 vol"),
        ("[6, 12, 18]", "[]", "0 developers.*allowed: 1 to 20"),
        ("[6, 12, 18]", str([1 + i for i in range(21)]), "21 developers.*allowed: 1 to 20"),
        ("[6, 12, 18]", "12", "12 are not a list"),
        ("volumes", "volume", "key 'volume'.*did you mean volumes"),
        ('standing = "assumed"', "", "lacks standing"),
        ('standing = "assumed"', 'standing = "sure"', "standing 'sure'"),
        ('source = "made up for a test"', "source = 5", "no source"),
        ("[developers]", "developers = 5\n[oil]", r"\[developers\]: it is not a table"),
    ],
)
def test_a_bad_list_of_developers_is_refused(tmp_path, old, new, why):
    assert old in SOLD
    (tmp_path / "m.toml").write_text(SOLD.replace(old, new), "utf-8")
    with pytest.raises(LiftError, match=why) as caught:
        load_mixtures(tmp_path / "m.toml")
    assert str(caught.value).startswith("[developers]: ")
    assert "\n" not in str(caught.value)


def test_what_a_class_does_not_say_is_what_every_class_is_used_within(classes):
    own, cream = classes["oil"], classes["cream"]
    volume = own.bound("volume")
    assert (volume.low, volume.high) == (0.0, 20.0)
    assert (volume.standing, volume.source) == ("assumed", "made up for a test")
    # Its last sixth is the edge where nothing else is said.
    assert volume.usual_high == pytest.approx(20.0 * 5.0 / 6.0)
    for name in ("level", "ph", "temperature_c"):
        assert own.bound(name) == cream.bound(name)
    with pytest.raises(LiftError, match="did you mean minutes"):
        own.bound("minuts")


def test_a_class_made_in_python_needs_no_file():
    oil = MixtureClass("oil", "oil lightener", "peroxide", 1.0, 9.3, "assumed", "made up")
    assert simulate(Hair(6.0), Mixture(oil, 20.0), 20.0).lift > 0.0
    both = MixtureClasses((*mixture_classes().classes, oil))
    assert list(both) == ["cream", "base-break", "powder", "oil"]
    with pytest.raises(LiftError, match="there already"):
        MixtureClasses((oil, replace(oil, ph=9.0)))
