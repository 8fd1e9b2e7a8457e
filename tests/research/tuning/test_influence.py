"""Influence of swatches and readings: against fits without them, and of a reading that is off."""

import numpy as np
import pytest

from lift.answers import to_dict
from lift.make.suspects_study import OFF_READING, spoilt
from lift.research.posterior.bayes import sample_posterior
from lift.research.posterior.problem import Problem
from lift.research.tuning.tune import tune
from lift.show.plots.influence_plots import plot_influence

FREE = ("lightening_rate", "persulfate_rate")


@pytest.fixture(scope="module")
def off(laboratory):
    """Tuning to swatches of which one reading is off, the swatch's name and when."""
    table, name = spoilt(laboratory.swatches, "reading", seed=1)
    row = np.flatnonzero(np.any(table.lab != laboratory.swatches.lab, axis=1))[0]
    return tune(table, free=FREE, starts=1), name, table.minutes[row]


def split(tuning):
    swatches = [each for each in tuning.influences if each.minutes is None]
    return swatches, [each for each in tuning.influences if each.minutes is not None]


def test_all_swatches_and_readings_are_ranked(tuning):
    swatches, readings = split(tuning)
    assert {each.name for each in swatches} == {*tuning.whole.names}
    assert len(readings) == len(tuning.whole)
    for group in (swatches, readings):
        pulls = [each.pull for each in group]
        assert pulls == sorted(pulls, reverse=True)
    assert all(each.counts and not each.might_be for each in tuning.influences)


def test_what_a_reading_moves_is_what_a_fit_without_it_finds(tuning):
    """One step of Newton's from the fit, against the fit itself without the most telling one."""
    _, readings = split(tuning)
    first, table = readings[0], tuning.whole
    row = (table.swatch == table.names.index(first.name)) & (table.minutes == first.minutes)
    without = Problem(table.rows(~row), tuning.problem.curves, tuning.problem.free)
    found = sample_posterior(without, wanted=2000.0)
    for i, (one, other) in enumerate(zip(found.beliefs, tuning.estimates, strict=False)):
        moved = (one.value - other.value) / other.standard_error
        assert first.moves[i] == pytest.approx(moved, abs=0.25), one.name
    assert first.pull > 0.3


def test_a_reading_that_is_off_comes_first_and_has_no_say(off):
    tuning, name, minutes = off
    swatches, readings = split(tuning)
    first = readings[0]
    assert (first.name, first.minutes, first.counts) == (name, minutes, False)
    assert first.left_out == pytest.approx(OFF_READING, abs=1.5)
    assert swatches[0].name == name
    assert swatches[0].counts
    assert not any(each.might_be for each in (*swatches[1:], *readings[1:]))
    told = to_dict(tuning)["influence"]
    assert len(told) == len(tuning.influences)
    assert told[0]["suspect"] is True
    assert f"{name} is " in told[0]["told"]
    assert set(told[0]["moves"]) == {*FREE}


def test_the_picture_names_what_it_might_be(off):
    tuning, name, minutes = off
    figure = plot_influence(tuning)
    names = [label.get_text() for label in figure.axes[0].get_yticklabels()]
    assert names[0] == name
    words = [text.get_text() for text in figure.axes[0].texts]
    assert len(words) == 1
    assert words[0].startswith(f"its reading at {minutes:g} min is off by ")
    assert figure.get_suptitle().startswith("1 swatch looks like a mistake")
