"""Foot of every answer in the terminal: what is special first and apart, then what always holds."""

import io

import pytest
from rich.console import Console

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import ALWAYS, UNMIXED, cautions
from lift.practice.overprocessing import overprocessed
from lift.show.terminal.foot import print_foot
from lift.words import note

CURVES = default_curves()
PALE, POWDER = Hair(6.0, lightened_to=9.0), Mixture("powder", 20.0)
SAID = (*overprocessed(PALE, POWDER, [10.4]), *cautions(POWDER, 20.0, PALE))


def printed(said, curves=None, width=200, **how):
    to = Console(file=io.StringIO(), width=width, highlight=False)
    print_foot(to, said, curves, **how)
    return [line.rstrip() for line in to.file.getvalue().split("\n")]


def test_special_cautions_stand_first_and_apart():
    lines = printed(SAID, CURVES, width=400)
    gaps = [i for i, line in enumerate(lines) if not line]
    special, standing = lines[gaps[0] + 1 : gaps[1]], lines[gaps[1] + 1 : gaps[1] + 6]
    assert [line[:17] for line in special] == [
        "  ! OVER-PROCESSE",
        "  ! OVER-PROCESSE",
        "  ! Persulfate: k",
        "  ! Hair lightene",
    ]
    assert standing == [f"  ! {each}" for each in ALWAYS]
    # What is known besides comes after what is to be done, as no caution of its own.
    assert lines[gaps[1] + 6].startswith("Known of damage: cysteic acid")


def test_a_brief_foot_holds_cautions_and_nothing_else():
    lines = printed(SAID, CURVES, brief=True, width=400)
    assert not any("Known of damage" in line or "Curve set" in line for line in lines)
    assert [line for line in lines if line] == [
        line for line in printed(SAID, CURVES, width=400) if line.startswith("  ! ")
    ]


@pytest.mark.parametrize("width", [40, 80])
def test_a_long_caution_keeps_clear_of_its_mark(width):
    lines = [line for line in printed(ALWAYS, width=width) if line]
    assert sum(line.startswith("  ! ") for line in lines) == len(ALWAYS) < len(lines)
    assert all(line.startswith(("  ! ", "    ")) and len(line) <= width for line in lines)


def test_where_nothing_is_mixed_one_sentence_says_them_all():
    lines = [line for line in printed(UNMIXED, CURVES, width=400) if line]
    assert len(lines) == 2
    for word in ("allergy", "strand", "maker", "pain", "scalp", "gloves", "eyes", "local rules"):
        assert word in lines[0]


def test_a_curve_sets_name_is_not_markup():
    marked = CURVES.replace(name="[bold]mine[/x]")
    lines = printed((note("text", text="wait [/] here"),), marked)
    assert lines == [
        *("", "  ! wait [/] here"),
        *(f"Curve set [bold]mine[/x]: {CURVES.standing}.", ""),
    ]
