"""Suspects: one mistake in a laboratory is found and explained, and none where there is none.

The laboratory is invented, so this says how good the search is, and nothing about hair. What the
others tell of a swatch does not depend on its own mistake: the fit without it is made but once.
"""

from dataclasses import replace

import numpy as np
import pytest

from lift.answers import to_dict
from lift.make.suspects_study import KINDS, spoilt
from lift.research.tuning.findings import findings
from lift.research.tuning.suspects import mistakes, suspicions


def found_in(tuning, table):
    found = suspicions(replace(tuning.problem, swatches=table), tuning.held_out.draws)
    return replace(tuning, whole=table, suspicions=found)


def test_a_laboratory_without_a_mistake_has_no_suspect(tuning):
    assert tuning.suspects == ()
    assert tuning.aside == ()
    assert all(each.log_factor < each.limit for each in tuning.suspicions)


@pytest.mark.parametrize("kind", KINDS)
def test_a_mistake_is_found_and_explained(tuning, kind):
    table, name = spoilt(tuning.problem.swatches, kind, seed=3)
    first = found_in(tuning, table).suspects[0]
    assert first.name == name
    assert f"suspect.{kind}" in [each.code for each in first.might_be]
    assert first.log_factor > np.log(1000.0)


def test_what_it_might_be_is_said(tuning):
    table, name = spoilt(tuning.problem.swatches, "fraction", seed=1)
    found = found_in(tuning, table)
    said = [str(each) for each in findings(found) if each.code == "finding.suspect"]
    assert said[0].startswith(f"{name} does not go with the others: its L* seems to be 0 to 1.")
    assert f"--without {name}" in said[0]
    told = to_dict(found)["suspects"][0]
    assert told["name"] == name
    assert told["might_be"][0] == "its L* seems to be 0 to 1"
    assert told["left_out_dE00"] > 0.0


def test_only_what_could_be_is_tried(laboratory):
    table = laboratory.swatches
    one = table.only(0)
    strong = one.replace(developer_parts=2.0, volume=40.0)
    codes = [each.code for each in mistakes(one, table)]
    # Times to 50 min are no hours, lightness of hair no fraction.
    assert not {"hours", "fraction"} & {*codes}
    assert codes.count("reading") == len(one)
    tried = [each.told["volume"] for each in mistakes(strong, table) if each.code == "volume"]
    assert 40.0 not in tried
    assert min(tried) < 40.0
    unjudged = one.replace(level=np.nan)
    assert "level" not in [each.code for each in mistakes(unjudged, table)]
