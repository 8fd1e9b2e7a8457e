"""The time line: every minute has a name."""

import json
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift.answers import to_dict
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Blend, Lighten
from lift.practice.preview import preview
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import plan
from lift.practice.time_line import PLACES, place_at, time_line
from lift.practice.window import find_window
from lift.words import say

MINUTES = st.floats(0.0, 200.0)
MAYBE = st.none() | MINUTES
END, LIMIT = st.floats(0.1, 200.0), st.floats(1.0, 120.0)
PASSED = st.fixed_dictionaries({}, optional={"too_warm": MAYBE, "too_light": MAYBE})


def tiles(spans, end):
    """Spans lie side by side from 0 to the end, none empty, each of another name than the next."""
    assert spans[0].starts == 0.0
    assert spans[-1].ends == end
    assert all(s.ends > s.starts and s.place in PLACES for s in spans)
    assert all(a.ends == b.starts and a.place != b.place for a, b in pairwise(spans))
    return True


@given(END, LIMIT, MAYBE, PASSED)
def test_no_minute_is_without_a_name(end, limit, reached, passed):
    assert tiles(time_line(end, limit, reached, passed), end)


@given(END, LIMIT, MAYBE, PASSED, st.floats(0.0, 0.999))
def test_each_minute_has_the_name_that_its_times_give(end, limit, reached, passed, share):
    t = share * end
    closes = min((at for at in passed.values() if at is not None), default=np.inf)
    place = place_at(time_line(end, limit, reached, passed), t)
    if t >= limit:
        assert place == "past_limit"
    elif t >= closes:
        assert passed[place] == closes
    else:
        assert place == ("inside" if reached is not None and t >= reached else "not_lifted")


def test_the_end_belongs_to_the_last_span():
    line = time_line(20.0, 60.0, 5.0, {"too_warm": 8.0})
    assert place_at(line, 20.0) == place_at(line, 99.0) == "too_warm"


@pytest.mark.parametrize(
    ("mixture", "goal", "places"),
    [
        (Mixture("cream", 20), Blend(), ["not_lifted", "inside", "too_warm", "past_limit"]),
        (
            Mixture("cream", 20),
            Lighten(level=9, warmth=3),
            ["not_lifted", "too_warm", "past_limit"],
        ),
        (Mixture("cream", 0), Blend(), ["not_lifted", "past_limit"]),
        (Mixture("cream", 20), Blend(warmth=60), ["not_lifted", "inside", "past_limit"]),
        (Mixture("cream", 20), Lighten(level=6, warmth=3), ["inside", "too_warm", "past_limit"]),
    ],
)
def test_a_window_tells_its_time_line(mixture, goal, places):
    """Untouched hair, and what never is lifted enough, have their name too."""
    window = find_window(Hair(6), mixture, goal, members=2)
    spans = window.spans(90.0)
    assert [s.place for s in spans] == places
    assert tiles(spans, 90.0)
    inside = [(s.starts, s.ends) for s in spans if s.place == "inside"]
    assert inside == ([(window.opens, window.closes)] if window.exists else [])


@pytest.fixture(scope="module", params=["blonde_refresh", "darker_base", "fine_and_coarse"])
def planned(request):
    return plan(load_scenario(f"shared/{request.param}.toml"), members=10)


def test_sections_tell_theirs_on_the_clock(planned):
    end = planned.total_minutes + 120.0
    for section in (s for z in planned.zones for s in z.sections):
        spans = section.spans(end)
        assert tiles(spans, end)
        assert spans[-1].place == "past_limit"
        assert spans[-1].starts == section.starts + section.limit_minutes
        # Before anything lies on it, and at its rinse.
        assert place_at(spans, 0.5 * section.starts) == "not_lifted"
        assert (place_at(spans, section.starts + section.minutes) == "inside") == section.inside
        closed = {"warmth": "too_warm", "lightness": "too_light", "time_limit": "past_limit"}
        assert place_at(spans, section.starts + section.closes) == closed[section.closes_by]


def test_json_names_every_minute(planned):
    shown = to_dict(preview(Hair(6), Mixture("cream", 20), 50.0, Blend(), members=2))["window"][
        "time_line"
    ]
    lines = [shown]
    for zone in to_dict(planned)["zones"]:
        lines += [s["time_line"] for s in zone["sections"]]
    for line in json.loads(json.dumps(lines)):
        assert [set(span) for span in line] == [
            {"place", "place_code", "starts", "ends"} for _ in line
        ]
        assert line[0]["starts"] == 0.0
        assert all(a["ends"] == b["starts"] for a, b in pairwise(line))
        assert all(span["place"] == say(span["place_code"]["code"]) for span in line)
    assert shown[-1]["ends"] == 120.0
