"""What came out is compared with what was expected, and the next visit follows from it."""

import numpy as np
import pytest

from lift.model.curves import default_curves
from lift.practice.records.what_came import what_came
from lift.practice.schedule.work import MIDDLE
from lift.practice.service.plan import plan
from lift.practice.visit.after_care import done_at
from lift.practice.visit.marks import clocked_minutes
from lift.practice.visit.next_after import come_again, faded_weeks, next_after, rinse_that_shows
from lift.practice.visit.visit import Seen
from lift.practice.visit.visit_table import visit_of

CURVES = default_curves()
BASE = {"name": "base", "natural_level": 6, "along": "regrowth", "regrowth_mm": 15}
LENGTHS = {"name": "lengths", "along": "mid-lengths", "natural_level": 6, "lightened_to": 7.5}
CREAM = {"m": {"kind": "cream", "volume": 20, "tone": {}}}


def visit(came_out=(), marks=None, minutes=30, **base):
    zone = {**BASE, "mixture": "m", "goal": "lighten 7.5", "toner": "none", **base}
    if minutes is not None:
        zone["minutes"] = minutes
    seen = [{"zone": "base", "minutes": 30, "seen": text} for text in came_out]
    clock = {} if marks is None else {"zones": [{"zone": "base", **marks}]}
    table = {"zones": [zone, LENGTHS], "mixtures": CREAM, "came_out": seen, "clock": clock}
    return visit_of(table)


def test_minutes_are_the_clocks_then_the_plans():
    assert clocked_minutes(visit(marks={"begun": 2.0, "rinsed": 33.5}), "base") == 31.5
    assert clocked_minutes(visit(marks={"laid": [3.0], "rinsed": 33.5}), "base") == 30.5
    assert clocked_minutes(visit(marks={"begun": 2.0}), "base") is None
    for found, minutes, said_by in (
        (visit(marks={"begun": 2.0, "rinsed": 33.5}), 31.5, "clock"),
        # Laid within a minute: the middle of it at 2.5 min.
        (visit(marks={"begun": 2.0, "laid": [3.0], "rinsed": 33.5}), 31.0, "clock"),
        (visit(), 30.0, "plan"),
        (visit(minutes=None), None, ""),
        (visit(["7.0"], marks={"begun": 2.0, "rinsed": 33.5}), 30.0, "told"),
        (visit(["7.0"], marks={"begun": 2.0, "rinsed": 32.0}), 30.0, "clock"),
    ):
        (came,) = what_came(found, CURVES)
        assert (came.minutes, came.said_by) == (minutes, said_by)
        assert (came.expected is None) == (minutes is None)


def test_who_saw_it_without_saying_when_is_taken_by_the_clock():
    unsaid = visit(["7.0"], marks={"begun": 2.0, "rinsed": 33.5})
    unsaid = unsaid.replace(came_out=(Seen("base", 0.0, "7.0"),))
    (came,) = what_came(unsaid, CURVES)
    assert (came.minutes, came.said_by, came.level) == (31.5, "clock", 7.0)


def test_what_came_out_lies_inside_or_beside_what_was_expected():
    (open_,) = what_came(visit(), CURVES)
    low, level, high = open_.expected.low, open_.expected.level, open_.expected.high
    assert low < level < high
    assert open_.against == "open"
    # More than the eye errs by, half a level nine times in ten, and less than a stage and a half.
    assert 0.5 < high - level < 1.5
    for seen, against in (
        (low - 0.1, "darker"),
        (low + 0.1, "as_expected"),
        (high - 0.1, "as_expected"),
        (high + 0.1, "lighter"),
    ):
        (came,) = what_came(visit([f"{seen:.2f}"]), CURVES)
        assert came.against == against


def test_a_measured_colour_is_put_on_the_scale():
    (open_,) = what_came(visit(), CURVES)
    lab = ",".join(f"{axis:.1f}" for axis in open_.expected.lab)
    (came,) = what_came(visit([lab]), CURVES)
    assert came.level == pytest.approx(open_.expected.level, abs=0.6)


def test_hair_left_on_past_the_domain_is_expected_as_at_its_end():
    late, end = (visit(marks={"begun": 0.0, "rinsed": t}) for t in (75.0, 60.0))
    (past,), (last,) = what_came(late, CURVES), what_came(end, CURVES)
    assert past.minutes == 75.0
    assert past.expected == last.expected


def test_a_rinse_is_found_that_shows_what_came_out():
    work = plan(visit().scenario, CURVES, members=10).service.works["base"]
    for level in (6.5, 7.2, 8.0):
        at = rinse_that_shows(work, level)
        assert np.mean(work.strands(at).level[:, MIDDLE]) == pytest.approx(level, abs=0.01)
    assert rinse_that_shows(work, 3.0) < 0.01
    assert rinse_that_shows(work, 10.0) > 45.0


def test_the_lighter_it_came_out_the_sooner_regrowth_shows():
    weeks = [next_after(visit([seen]), CURVES).due_weeks for seen in ("7.0", "8.0", "9.0")]
    assert weeks[0] > weeks[1] > weeks[2]
    # Nothing told: as planned, unless the clock knows better.
    planned = next_after(visit(), CURVES).due_weeks
    late = next_after(visit(marks={"begun": 0.0, "rinsed": 45.0}), CURVES).due_weeks
    assert late < planned


def test_a_toner_counts_where_it_was_laid():
    toned = {"toner": "choose"}
    laid = {"begun": 0.0, "rinsed": 30.0, "toned": 35.0}
    without = visit(["8.0"], **toned)
    assert next_after(without, CURVES).tone_passes == {}
    assert done_at(without).toned == frozenset()
    with_it = visit(["8.0"], marks=laid, **toned)
    assert done_at(with_it).toned == {"direct"}
    assert faded_weeks(without, CURVES) == {}
    assert [*faded_weeks(with_it, CURVES)] == ["base"]
    named = visit(toner={"kind": "permanent", "doses": {"violet": 2.0}})
    assert done_at(named).toned == {"permanent"}


def test_hair_that_is_toned_and_nothing_else_comes_again_when_that_has_faded():
    tone = {"kind": "permanent", "doses": {"violet": 6.0}}
    ends = {"name": "ends", "natural_level": 6, "lightened_to": 9, "goal": "tone", "toner": tone}
    found = come_again(visit_of({"zones": [ends]}), CURVES)
    weeks = faded_weeks(visit_of({"zones": [ends]}), CURVES)["ends"]
    assert (found.weeks, [due.where for due in found.due]) == (
        (10, []) if weeks is None or weeks > 10.2 else (int(weeks), ["ends"])
    )
    direct = {**ends, "toner": {**tone, "kind": "direct"}}
    sooner = faded_weeks(visit_of({"zones": [direct]}), CURVES)["ends"]
    assert sooner is not None
    assert weeks is None or sooner < weeks
