"""What looks like a mistake has no say in the fit, and that is said wherever the fit is used.

The laboratories are invented: this says what the fit does with mistakes, and nothing about hair.
"""

from dataclasses import replace

import numpy as np
import pytest

from lift.answers import to_dict
from lift.make.suspects_study import spoilt
from lift.model.curves import load_curves
from lift.research.tuning.aside import aside_notes, without_suspects
from lift.research.tuning.curve_files import tuned_curves
from lift.research.tuning.findings import findings
from lift.research.tuning.suspects import Suspicion
from lift.research.tuning.tune import tune

FREE = ("lightening_rate", "persulfate_rate")


@pytest.fixture(scope="module")
def wrong(laboratory):
    """Eight swatches, of one of which a* and b* are swapped, and its index."""
    table, name = spoilt(laboratory.swatches, "swapped", seed=1)
    return table, table.names.index(name)


@pytest.fixture(scope="module")
def robust(wrong):
    return tune(wrong[0], free=FREE, starts=1)


def test_a_suspect_has_no_say(wrong, robust):
    table, swatch = wrong
    name = table.names[swatch]
    assert [each.name for each in robust.suspects] == [name]
    np.testing.assert_array_equal(robust.counts, table.swatch != swatch)
    without = tune(table.without(swatch), free=FREE, starts=1, leave_swatches_out=False)
    assert robust.estimates == without.estimates
    with_it = tune(table, free=FREE, starts=1, keep_suspects=True)
    assert with_it.counts.all()
    assert [each.name for each in with_it.suspects] == [name]
    assert not any(
        a.value == b.value for a, b in zip(with_it.estimates, robust.estimates, strict=True)
    )
    said = [str(each) for each in findings(with_it)]
    assert any(f"--without {name} fits without it" in each for each in said)


def test_that_it_has_none_is_said(wrong, robust, tmp_path):
    table, swatch = wrong
    name = table.names[swatch]
    said = [str(each) for each in findings(robust)]
    assert any(
        each.startswith(f"What looks like a mistake has no say in the fit: {name}.")
        for each in said
    )
    told = to_dict(robust)
    assert told["left_aside"] == [name]
    assert told["data"]["sha256"] == table.sha256
    tuned_curves(robust, "robust").save(tmp_path / "robust.toml")
    assert f"without what looks like a mistake ({name})" in str(
        load_curves(tmp_path / "robust.toml").standing
    )


def test_without_suspects_the_fit_is_the_plain_one(tuning, laboratory):
    assert tuning.counts.all()
    assert tuning.whole is tuning.problem.swatches is laboratory.swatches
    assert "left_aside" not in dict(tuned_curves(tuning, "clean").provenance)


def suspicions_of(table, *suspect, row=None):
    plain = Suspicion(
        name="", might_be=(), log_factor=0.0, limit=5.0, left_out=1.0, level=5.0, rate=1.0, row=None
    )
    return tuple(
        replace(
            plain, name=name, log_factor=9.0 * (i in suspect), row=row if i in suspect else None
        )
        for i, name in enumerate(table.names)
    )


def test_one_reading_that_is_off_leaves_the_others_of_its_swatch(laboratory):
    table = laboratory.swatches
    row = int(np.flatnonzero(table.swatch == 2)[3])
    counts = without_suspects(table, suspicions_of(table, 2, row=row))
    np.testing.assert_array_equal(np.flatnonzero(~counts), [row])
    assert str(aside_notes(table, counts)[0]) == f"{table.names[2]} at {table.minutes[row]:g} min"


def test_too_many_suspects_all_count(tuning, laboratory):
    table = laboratory.swatches
    assert without_suspects(table, suspicions_of(table, 0, 1)) is not None
    assert without_suspects(table, suspicions_of(table, 0, 1, 2)) is None
    few = table.rows(table.swatch < 3)
    assert without_suspects(few, suspicions_of(few, 0)) is None
    found = replace(tuning, suspicions=suspicions_of(table, 0, 1, 2))
    assert any(
        "3 of 8 swatches look like mistakes: too many" in str(each) for each in findings(found)
    )
