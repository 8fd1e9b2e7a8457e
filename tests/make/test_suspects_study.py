"""A small study of seeded mistakes, as the large one that `make suspects` runs."""

import pytest

from lift.make.suspects_study import CLEAN, KINDS, runs_of, study

pytestmark = [pytest.mark.slow, pytest.mark.no_cover]


def test_runs_are_of_every_kind_and_no_laboratory_is_twice():
    runs = runs_of(14, first=5)
    assert [kind for kind, _ in runs].count(CLEAN) == 7
    assert {kind for kind, _ in runs} == {*KINDS, CLEAN}
    assert len({seed for _, seed in runs}) == len(runs)


def test_mistakes_are_caught_and_none_is_seen_where_there_is_none():
    """Mistakes that leave a swatch nothing like what it says; for others see the large study."""
    gross = ("level", "hours", "fraction", "swapped", "reading")
    found = study(
        [*((kind, i) for i, kind in enumerate(gross)), *((CLEAN, 90 + i) for i in (0, 1))]
    )
    for kind in gross:
        assert found[kind]["named"] == 1, kind
    assert found[CLEAN]["nothing"] == 2
