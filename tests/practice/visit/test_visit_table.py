"""Tables of visits: what is written is read as what it was, and what is wrong says where."""

import json
import tomllib
from dataclasses import fields, is_dataclass
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lift.errors import LiftError, LimitError
from lift.model.hair import FIBRES_UM, Hair
from lift.model.mixture import Mixture
from lift.model.mixtures import mixture_classes
from lift.optics.dyes import palette
from lift.practice.goal import Blend, Lighten, Match, Tone
from lift.practice.scenario.scenario import (
    ALONG,
    CHOOSE,
    HEAD,
    Placement,
    Salon,
    Scenario,
    Toner,
    Zone,
    ZoneGoal,
)
from lift.practice.scenario.scenario_file import load_scenario, scenario_of
from lift.practice.scenario.scenario_table import scenario_table
from lift.practice.visit.visit import STEPS, ClockMarks, Seen, Visit, ZoneMarks
from lift.practice.visit.visit_file import to_toml
from lift.practice.visit.visit_table import visit_of, visit_table

DEMOS = sorted((Path(__file__).parents[3] / "shared").glob("*.toml"))


def same(a, b):
    """Whether two things are field by field the same, whatever they call equal."""
    if is_dataclass(a):
        names = [f.name for f in fields(a) if f.compare and f.name not in ("where", "chemistry")]
        return type(a) is type(b) and all(same(getattr(a, n), getattr(b, n)) for n in names)
    if isinstance(a, tuple | list):
        return len(a) == len(b) and all(map(same, a, b))
    if hasattr(a, "items"):
        return a.keys() == b.keys() and all(same(a[k], b[k]) for k in a)
    if isinstance(a, np.ndarray):
        return np.array_equal(a, b)
    return a == b


def numbers(low, high):
    return st.floats(low, high, allow_nan=False).map(lambda x: round(x, 3))


LABS = st.tuples(numbers(20, 80), numbers(1, 15), numbers(5, 40))
DOSES = st.dictionaries(st.sampled_from(sorted(palette())), numbers(0, 20), max_size=2)
MAYBE = st.none()


@st.composite
def hairs(draw):
    level = draw(numbers(1, 9))
    return Hair(
        level,
        draw(st.sampled_from([*FIBRES_UM.values(), 62.5])),
        damp=draw(st.booleans()),
        pheomelanin_share=draw(st.sampled_from([None, 0.42, 0.35])),
        grey_percent=draw(numbers(0, 100)),
        lightened_to=draw(MAYBE | numbers(level, 10)),
    )


GOALS = st.one_of(
    st.just(ZoneGoal(said=False)),
    st.just(ZoneGoal(leave=True)),
    st.builds(ZoneGoal, st.builds(Blend, warmth=MAYBE | numbers(0, 20))),
    st.builds(ZoneGoal, st.builds(Blend, lab=LABS, tolerance=MAYBE | numbers(1, 9))),
    st.builds(ZoneGoal, st.builds(Lighten, numbers(9, 10)), lighter_by=MAYBE | numbers(1, 2)),
    st.builds(ZoneGoal, st.builds(Lighten, stage=st.just("pale yellow"))),
    st.builds(ZoneGoal, st.builds(Match, LABS, tolerance=MAYBE | numbers(1, 9))),
    st.builds(ZoneGoal, st.builds(Tone, MAYBE | numbers(9, 10))),
    st.builds(
        ZoneGoal,
        st.builds(Blend, tolerance=MAYBE | numbers(1, 9)),
        st.just(("darkest", "ends")),
        MAYBE | numbers(1, 2),
    ),
)
VOLUMES = numbers(0, 40) | st.just(((10.0, 2.0), (20.0, 1.0)))


@st.composite
def mixtures(draw):
    kind = draw(st.sampled_from(sorted(mixture_classes())))
    to_choose = draw(st.sampled_from([(), ("volume",), ("tone",), ("volume", "tone")]))
    tone = None if "tone" in to_choose else draw(MAYBE | DOSES)
    volume = 20.0 if "volume" in to_choose else draw(VOLUMES)
    return Mixture(kind, volume, tone=tone, ph=draw(MAYBE | numbers(8, 11))), to_choose


@st.composite
def scenarios(draw):
    made = {name: draw(mixtures()) for name in draw(st.sets(st.sampled_from("xyz")))}
    zones = [Zone("ends", draw(hairs()), head=(), along="ends")]
    for place in range(draw(st.integers(0, 3))):
        goal = draw(GOALS)
        mixture = draw(MAYBE | st.sampled_from(sorted(made))) if made else None
        toners = [CHOOSE, None]
        if mixture is not None or isinstance(goal.goal, Tone):
            toners += [Toner(), Toner("permanent", {"violet": 2.0})]
        zones.append(
            Zone(
                f"zone {place}",
                draw(hairs()),
                head=tuple(draw(st.lists(st.sampled_from(HEAD), unique=True))),
                along=draw(MAYBE | st.sampled_from(ALONG)),
                colour=None if mixture else draw(MAYBE | LABS | numbers(1, 10)),
                beside=draw(st.sampled_from([(), ("ends",)])),
                mixture=mixture,
                minutes=draw(MAYBE | numbers(1, 50)) if mixture else None,
                goal=goal,
                placement=Placement(
                    draw(st.integers(1, 20)), grams_per_section=draw(numbers(1, 9))
                ),
                toner=draw(st.sampled_from(toners)),
            )
        )
    return Scenario(
        draw(st.text(max_size=20)),
        tuple(zones),
        {name: mixture for name, (mixture, _) in made.items()},
        Salon(
            room_c=draw(numbers(15, 30)), rinse=draw(st.sampled_from(["zone by zone", "together"]))
        ),
        assumptions=draw(st.sampled_from([{}, {"scalp_c": 34.0}])),
        to_choose={name: some for name, (_, some) in made.items() if some},
    )


@st.composite
def visits(draw):
    scenario = draw(scenarios())
    names = st.lists(st.sampled_from([z.name for z in scenario.zones]), unique=True, max_size=3)
    at = st.lists(numbers(0, 90), max_size=4).map(lambda t: tuple(sorted(t)))
    seen = st.sampled_from(["7.5", "48,8,22"])
    days = st.none() | st.dates().map(str)
    return Visit(
        scenario,
        draw(st.sampled_from(["k7f-m3q", "a"])),
        client=draw(st.sampled_from([None, "qf4-mk7"])),
        date=draw(days),
        invented=draw(st.booleans()),
        step=draw(st.sampled_from(STEPS)),
        next_date=draw(days),
        clock=ClockMarks(
            draw(st.sampled_from([None, "2026-11-27T10:03:22.120Z"])),
            tuple(
                ZoneMarks(
                    n,
                    draw(MAYBE | numbers(0, 9)),
                    draw(at),
                    draw(MAYBE | numbers(0, 90)),
                    looked=draw(at),
                )
                for n in draw(names)
            ),
            draw(st.sampled_from([(), ((3.1, 4.0),), ((3.1, 4.0), (5.0, None))])),
            *draw(st.sampled_from([(), (scenario.zones[0].name, "2026-11-27T09:40:00Z")])),
        ),
        looks=tuple(
            Seen(n, draw(numbers(0, 60)), draw(seen), draw(st.booleans()), draw(st.booleans()))
            for n in draw(names)
        ),
        came_out=tuple(Seen(n, draw(numbers(0, 60)), draw(seen)) for n in draw(names)),
    )


@settings(max_examples=60, deadline=None)
@given(visits())
def test_what_is_written_is_read_as_what_it_was(visit):
    text = json.dumps(visit_table(visit), allow_nan=False)
    assert same(visit_of(json.loads(text)), visit)
    assert same(visit_of(tomllib.loads(to_toml(visit))), visit)


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_a_scenario_file_is_a_visit_that_is_not_done(path):
    scenario = load_scenario(path)
    visit = visit_of(scenario_table(scenario))
    assert visit.state == "planned"
    assert same(visit.scenario, scenario)
    written = {key: table for key, table in visit_table(visit).items() if key != "version"}
    assert same(scenario_of(written), scenario)


def test_a_visit_begins_with_nothing():
    visit = visit_of({})
    assert visit.scenario.zones == ()
    assert visit_table(visit).keys() == {"version", "title", "visit"}


@pytest.mark.parametrize(
    ("changes", "state"),
    [
        ({}, "planned"),
        ({"clock": {"started": "2026-11-27T10:03:22Z"}}, "started"),
        ({"looks": [{"zone": "a", "minutes": 3, "seen": "7"}]}, "started"),
        ({"came_out": [{"zone": "a", "minutes": 3, "seen": "7"}]}, "done"),
    ],
)
def test_how_far_it_is(changes, state):
    assert visit_of({"zones": [{"name": "a", "natural_level": 7}], **changes}).state == state


ZONE = {"zones": [{"name": "a", "natural_level": 7}]}
BAD = {
    "zones.0.natural_level": ({"zones": [{"name": "a", "natural_level": 12}]}, "outside 1 to 10"),
    "zones.0.head": ({"zones": [{"name": "a", "natural_level": 7, "head": ["tip"]}]}, "mean top"),
    "zones.0.toner": ({"zones": [{"name": "a", "natural_level": 7, "toner": {}}]}, "no mixture"),
    "clock.zones.0.zone": (ZONE | {"clock": {"zones": [{"zone": "b"}]}}, "not one of a"),
    "clock.zones.0": (
        ZONE | {"clock": {"zones": [{"zone": "a", "laid": [3, 2]}]}},
        "2 min is before 3 min",
    ),
    "clock.strand": (ZONE | {"clock": {"strand": "b"}}, "not one of a"),
    "clock.pauses": ({"clock": {"pauses": [3]}}, "not a pause"),
    "clock.started": ({"clock": {"started": "2026-11-27T10:03:22"}}, "not a moment"),
    "looks.0.seen": (ZONE | {"looks": [{"zone": "a", "minutes": 3, "seen": "x"}]}, "'x'"),
    "came_out.1.zone": (
        ZONE | {"came_out": [{"zone": "a", "minutes": 3, "seen": "7"}] * 2},
        "appears twice",
    ),
    "visit.name": ({"visit": {"name": "../x"}}, "letters, digits"),
    "visit.date": ({"visit": {"date": "27.11.2026"}}, "not a day"),
    "visit.client": ({"visit": {"client": "me@home"}}, "address"),
    "visit.step": ({"visit": {"step": "hare"}}, "did you mean hair?"),
    "version": ({"version": 2}, "newer than 1"),
}


@pytest.mark.parametrize("path", BAD)
def test_what_is_wrong_says_where(path):
    table, piece = BAD[path]
    with pytest.raises(LiftError, match=piece) as caught:
        visit_of(table)
    assert ".".join(map(str, caught.value.path)) == path


def test_too_strong_is_refused_as_a_limit():
    with pytest.raises(LimitError, match="12 % H2O2") as caught:
        visit_of({"mixtures": {"x": {"kind": "powder", "volume": 90}}})
    assert caught.value.path == ("mixtures", "x")


def test_toning_needs_no_mixture():
    toned = {"name": "a", "natural_level": 7, "goal": "tone", "toner": {"doses": {"violet": 2}}}
    (zone,) = visit_of({"zones": [toned]}).scenario.zones
    assert zone.toner.doses == {"violet": 2.0}
    assert not zone.treated


def test_hair_that_is_left_alone_is_not_treated_whatever_stood_there():
    left = {"name": "a", "natural_level": 7, "goal": "leave", "mixture": "x"}
    visit = visit_of({"mixtures": {"x": {"kind": "powder"}}, "zones": [left]})
    assert visit.scenario.treated == ()
