"""Warmth of red hair counts from natural red hair, and the words say so wherever it is shown."""

import io
import json
import re
from pathlib import Path

import pytest
from rich.console import Console

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.practice.goal import Lighten
from lift.practice.preview import preview
from lift.practice.scenario.scenario_file import parse_scenario
from lift.practice.service.plan import plan
from lift.practice.trial.strand_test import strand_test
from lift.show.card.html import card_html
from lift.show.lesson.live import moment
from lift.show.lesson.tables import plan_table, preview_table
from lift.show.page import plans
from lift.show.plots.preview_plots import plot_warmth
from lift.show.plots.strand_plots import plot_moved
from lift.show.said import warmth_note
from lift.show.said_plan import red_notes
from lift.show.said_strand import moved_note
from lift.show.terminal.plan import print_plan
from lift.show.terminal.preview import print_preview
from lift.words import say

DEMO = Path(__file__).parents[2] / "shared" / "blonde_refresh.toml"
BROWN, CREAM = Hair(level=6.0), Mixture("cream", 20.0)
RED = BROWN.replace(pheomelanin_share=0.4)
COUNTED = "counted from natural red hair as light (pheomelanin {share}%)"


def printed(show, thing):
    to = Console(file=io.StringIO(), width=200, highlight=False)
    show(thing, to)
    return to.file.getvalue()


@pytest.fixture(scope="module")
def red():
    return preview(RED, CREAM, 20.0, members=40)


@pytest.fixture(scope="module")
def brown():
    return preview(BROWN, CREAM, 20.0, members=40)


def test_the_number_said_is_the_one_counted_from_natural_red_hair(red):
    lab = red.drawn.central.pigmented[-1]
    own = natural_path(red.curves, 0.4).warmth(lab)
    assert red.drawn.central.warmth[-1] == pytest.approx(own, abs=1e-9)
    assert own < natural_path(red.curves).warmth(lab) - 1.0
    assert str(warmth_note(red)).endswith(COUNTED.format(share=40))
    assert warmth_note(red).to_dict()["red"] == {"code": "warmth.red", "share": 0.4}


def test_a_preview_says_so_of_red_hair_only(red, brown):
    for say_it in (
        lambda result: printed(print_preview, result),
        lambda result: preview_table(result).text,
        lambda result: moment(result.hair, CREAM, 20.0).words,
    ):
        assert say_it(red).count(COUNTED.format(share=40)) == 1
        assert "counted from" not in say_it(brown)
    assert plot_warmth(red).get_ylabel() == "warmth over natural red hair [dC*]"
    assert plot_warmth(brown).get_ylabel() == "warmth [dC*]"


def test_a_strand_test_says_so_beside_its_warmth():
    test = strand_test(RED, CREAM, goal=Lighten(RED.level + 1.0), rinse_minutes=20.0, members=40)
    assert COUNTED.format(share=40) in str(moved_note(test, "warmth"))
    assert "counted from" not in str(moved_note(test, "level"))
    assert plot_moved(test, "warmth").get_ylabel() == say("axis.warmth.red")
    assert plot_moved(test, "level").get_ylabel() == "level"


def scenario(*red):
    """Text of the demo, in each of its treated zones what stands behind ``red``."""
    flags = iter(red)
    mark = re.compile(r'mixture = "\w+"')
    return mark.sub(lambda m: f"{m[0]}\nred = {next(flags)}", DEMO.read_text("utf-8"))


@pytest.mark.parametrize(
    ("red", "told"),
    [
        (("false", "false"), []),
        (("false", "true"), [("base", 42)]),
        (("0.42", "true"), [("foils, base", 42)]),
        (("0.35", "0.5"), [("foils", 35), ("base", 50)]),
    ],
)
def test_a_plan_says_it_of_its_red_zones_everywhere(red, told):
    result = plan(parse_scenario(scenario(*red)), members=10)
    lines = [f"{zones}: warmth is {COUNTED.format(share=share)}." for zones, share in told]
    # In the order in which the zones go on.
    assert sorted(str(each) for each in red_notes(result)) == sorted(lines)
    for shown in (printed(print_plan, result), card_html(result), plan_table(result).text):
        assert shown.count("counted from") == len(lines)
        assert all(line in " ".join(shown.split()) for line in lines)


def test_the_page_says_it_below_its_zones(monkeypatch):
    red = plan(parse_scenario(scenario("false", "true")), members=10)
    monkeypatch.setattr(plans, "planned", lambda text, packed: red)
    answer = plans.answer_plan("{}", b"")
    shown = json.loads(answer.shown)["shown"]
    assert shown["red"] == [f"base: warmth is {COUNTED.format(share=42)}."]
    assert [code["code"] for code in shown["red_codes"]] == ["plan.red"]
