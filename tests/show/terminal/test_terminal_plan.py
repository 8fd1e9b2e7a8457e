"""Words of a plan in the terminal."""

import pytest

from lift.practice.service.changes import Change
from lift.show.terminal.plan import gain


@pytest.mark.parametrize(
    ("cost", "work"),
    [(-0.8, "1 min of work less"), (12.6, "13 min of work more"), (0.3, "no more work")],
)
def test_a_change_says_what_it_gives_and_costs(cost, work):
    change = Change(("weaker",), (), True, 0.52, 23.6, cost)
    assert gain(change) == f"Then 52 in 100 inside, 24 min in all, {work}."
