"""Many zones: what is found against every order and time of a coarser grid, and what must hold."""

from itertools import combinations, permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Blend, Lighten
from lift.practice.scenario.laid_out import MAX_TREATED
from lift.practice.scenario.scenario import Placement, Salon, Scenario, Zone, ZoneGoal
from lift.practice.schedule.arrange import TOUCHING, arrange
from lift.practice.schedule.search import COARSE, FINE, NEAR, search
from lift.practice.schedule.task import Task
from lift.practice.service.plan import plan

CHANGEOVER = 1.0


def invented_tasks(seed, count, members=60):
    """Zones as they are: a head is quick or slow all over, a zone a little besides."""
    random = np.random.default_rng(seed)
    head = 0.25 * random.standard_normal(1 + members)
    head[0] = 0.0
    found = []
    for place in range(count):
        laying = random.uniform(1.0, 4.0)
        opens = laying + random.uniform(3.0, 25.0)
        pace = np.exp(head * random.uniform(0.4, 1.0))
        closes = (opens + random.uniform(5.0, 14.0)) * pace
        found.append(Task(f"z{place}", laying, 3.0, opens * pace, closes))
    return found


def chance(tasks, minutes):
    inside = np.all(
        [t.inside(np.array([x]))[0] for t, x in zip(tasks, minutes, strict=True)], axis=0
    )
    return bool(inside[0]), float(inside[1:].mean())


def own_minutes(tasks, found):
    return [found.rinses[t.name] - found.starts[t.name] for t in tasks]


@pytest.mark.parametrize("seed", range(4))
def test_of_four_zones_no_order_and_times_of_a_coarser_grid_are_better(seed):
    tasks = invented_tasks(seed, 4)
    best = (False, 0.0)
    for order in permutations(range(4)):
        for times in product(*(tasks[place].candidates(6) for place in order)):
            # Each is all on, and a bowl mixed, before the next is begun.
            gaps = [
                one - two >= tasks[place].laying + CHANGEOVER
                for place, one, two in zip(order, times, times[1:], strict=False)
            ]
            if all(gaps):
                found = dict(zip(order, times, strict=True))
                best = max(best, chance(tasks, [found[place] for place in range(4)]))
    found = search(tasks, True, changeover=CHANGEOVER)
    assert (found.expected_inside, found.p_inside) >= (best[0], best[1] - NEAR)


@settings(max_examples=12, deadline=None)
@given(
    seed=st.integers(0, 1000),
    count=st.integers(3, MAX_TREATED),
    together=st.booleans(),
    efforts=st.sampled_from([FINE, COARSE]),
)
def test_hands_do_one_thing_at_a_time(seed, count, together, efforts):
    tasks = invented_tasks(seed, count, members=20)
    found = search(tasks, together, changeover=CHANGEOVER, efforts=efforts)
    minutes = own_minutes(tasks, found)
    assert (found.expected_inside, found.p_inside) == chance(tasks, minutes)
    assert min(found.starts.values()) == pytest.approx(0.0)
    spans = []
    for task, x in zip(tasks, minutes, strict=True):
        assert x >= task.laying - 1e-9
        start = found.starts[task.name]
        spans.append([(start, start + task.laying + CHANGEOVER)])
        if not together:
            spans[-1].append((start + x, start + x + task.rinsing))
    for one, two in combinations(spans, 2):
        for low, high in one:
            for from_, to in two:
                assert high <= from_ + 1e-6 or to <= low + 1e-6
    if together:
        assert max(found.rinses.values()) == pytest.approx(min(found.rinses.values()))
    else:
        # Where the waiting times are of no use it takes as long as one zone after the other.
        assert found.total <= sum(x + t.rinsing for t, x in zip(tasks, minutes, strict=True)) + 1e-6


@pytest.mark.parametrize("seed", range(3))
def test_a_sequence_that_is_given_is_kept(seed):
    tasks = invented_tasks(seed, 5)
    order = [t.name for t in tasks][::-1]
    for together in (True, False):
        found = search(tasks, together, changeover=CHANGEOVER, order=order)
        assert list(found.order) == order


@pytest.mark.parametrize("seed", range(3))
def test_four_zones_rinsed_one_by_one_are_nearly_as_short_as_any_sequence_makes_them(seed):
    tasks = invented_tasks(seed, 4)
    minutes = [t.laying + 8.0 + 4.0 * place for place, t in enumerate(tasks)]

    def total(starts):
        each = zip(tasks, minutes, starts, strict=True)
        return max(s + x + t.rinsing for t, x, s in each)

    every = [arrange(tasks, minutes, CHANGEOVER, order) for order in permutations(range(4))]
    found = arrange(tasks, minutes, CHANGEOVER, ())
    assert total(found) <= min(map(total, every)) + 1.0 + TOUCHING


def test_a_plan_of_eight_zones():
    """They go on with two mixtures, one with a developer that is chosen; what is cut is said."""
    zones = [
        Zone(
            f"z{place}",
            Hair(6.0 + 0.2 * place, "fine"),
            mixture=("light", "break")[place % 2],
            goal=ZoneGoal((Lighten(level=8.5), Blend(level=8.0))[place % 2]),
            placement=Placement(3, 20, 2),
        )
        for place in range(MAX_TREATED)
    ]
    mixtures = {"light": Mixture("cream", 20), "break": Mixture("base-break", 10, tone={})}
    to_choose = {"light": ("volume",)}
    asked = Scenario("", tuple(zones), mixtures, Salon(), to_choose=to_choose)
    done = plan(asked, members=8)
    assert {z.zone.name for z in done.zones} == {z.name for z in zones}
    assert len({round(z.rinsed, 6) for z in done.zones}) == 1
    assert set(done.chosen.developers) == {"light"}
    assert "plan.assumed.many" in [said.code for said in done.assumed]
    few = plan(asked.replace(zones=tuple(zones[:2])), members=8)
    assert "plan.assumed.many" not in [said.code for said in few.assumed]
