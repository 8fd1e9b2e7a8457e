"""When to look: only times that can still serve, or a strand laid ahead."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lift.answers import to_dict
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Blend, Lighten, Match
from lift.practice.preview import preview
from lift.practice.trial.look import LEAD_MINUTES, LEAST_GAIN, LEAST_RISE, look_times
from lift.practice.trial.observation import READINGS, Observation
from lift.practice.trial.strand_test import strand_test
from lift.show.said_strand import first_notes, look_notes
from lift.words import say, says

CURVES = default_curves()
FINE, BASE_BREAK = Hair(7.0, "fine", damp=True), Mixture("base-break", 10.0)


@pytest.fixture(scope="module")
def base_break():
    return strand_test(FINE, BASE_BREAK)


@pytest.fixture(scope="module")
def powder():
    return strand_test(Hair(6.0), Mixture("powder", 20.0), goal=Lighten(8))


services = st.sampled_from(
    [
        (FINE, BASE_BREAK, None),
        (FINE, BASE_BREAK, Blend(7.6)),
        (Hair(5.0), Mixture("cream", 20.0), Lighten(6)),
        (Hair(5.0), Mixture("cream", 40.0), Lighten(8, warmth=12)),
        (Hair(6.0), Mixture("powder", 20.0), Lighten(8)),
        (Hair(3.0, 90.0), Mixture("powder", 40.0), Match((60.0, 5.0, 20.0))),
        (Hair(9.0, "fine"), Mixture("powder", 30.0), Lighten(10)),
        (Hair(1.0), Mixture("cream", 0.0), Lighten(8)),
    ]
)


@settings(max_examples=25, deadline=None)
@given(
    services,
    st.sampled_from([*READINGS]),
    st.none() | st.floats(0.0, 50.0),
    st.floats(0.0, 12.0),
)
def test_no_look_comes_after_the_rinse_or_lowers_the_chance(service, reading, planned, looked):
    hair, mixture, goal = service
    asked = 10.0 if planned is None else min(planned, 15.0)
    before = preview(hair, mixture, asked, goal or Blend(), members=120)
    looks = look_times(
        hair, mixture, before.drawn, before.window, CURVES,
        reading=reading, act_by=planned, looked=looked,
    )  # fmt: skip
    rinse = min([before.window.best_minutes, *([] if planned is None else [planned])])
    assert looks.act_by == rinse
    times = looks.minutes[looks.serves]
    assert np.all(times + LEAD_MINUTES <= rinse + 1e-9)
    assert np.all(times > looked)
    assert np.all(looks.p_inside[looks.serves] >= looks.p_inside_now)
    assert np.all(looks.p_ahead >= looks.p_inside_now)
    assert np.all(looks.p_ahead >= looks.p_inside)
    for look in filter(None, (looks.same, looks.best, looks.ahead, looks.advised)):
        if look.ahead == 0.0:
            assert look.minutes in times
        else:
            # The strand laid ahead is looked at before the first good minute of the rest.
            on_the_rest = look.minutes - look.ahead
            assert on_the_rest + LEAD_MINUTES == pytest.approx(before.window.rinse[0])
            assert look.tells
            assert look.minutes <= looks.usual_minutes <= 60.0
        if look.tells:
            assert look.gain >= LEAST_GAIN
            assert look.p_inside >= looks.p_inside_now + LEAST_RISE - 1e-9


def test_a_look_of_a_base_break_keeps_to_its_window(base_break):
    """It closes within minutes: no look at 15 or 26 min is one of hair laid with the rest."""
    looks, window = base_break.next_look, base_break.before.window
    assert window.reached_at <= looks.same.minutes <= window.rinse[1] - LEAD_MINUTES
    assert looks.same.minutes < window.closes
    # That soon the eye cannot tell half a level from none, and is told so, in one line.
    assert not looks.same.tells
    told = says(look_notes(base_break))
    line = next(line for line in told if "CANNOT TELL" in line)
    assert line.startswith(f"{looks.same.minutes:g} min, by eye")
    assert "a photograph or an instrument" in line
    ahead = looks.ahead
    assert looks.advised == ahead
    assert ahead.gain > 2.0 * looks.same.gain
    for words in (say(first_notes(base_break)["look"]), told[2]):
        assert f"second strand laid {ahead.ahead:g} min before the rest" in words
    assert "its own rinse" in told[3]
    # Nor does the strand ahead stay on longer than a base break usually does.
    assert ahead.minutes <= 10.0
    assert "At the edge" not in " ".join(says(base_break.cautions))


def test_what_could_tell_is_named():
    """Where the eye cannot tell in time and an instrument can, that is what is said."""
    dark = strand_test(Hair(5.0), BASE_BREAK)
    assert not dark.next_look.same.tells
    able = [o.reading for o in dark.others if o.same.tells]
    assert able == ["swatch", "photograph", "instrument"]
    line = next(line for line in says(look_notes(dark)) if "CANNOT TELL" in line)
    low, high = dark.swatches(dark.others[0].same.minutes)
    assert f"against natural swatches of levels {low:g} and {high:g}" in line
    assert "one could" in line


def test_a_lightening_is_looked_at_before_it_is_rinsed(powder):
    looks = powder.next_look
    assert looks.advised == looks.same
    assert looks.same.tells
    assert looks.ahead is None
    assert powder.others == ()
    assert looks.same.minutes < powder.before.window.best_minutes


def test_a_strand_that_was_looked_at_is_looked_at_later():
    level = 7.5
    seen = strand_test(Hair(6.0), Mixture("powder", 20.0), [Observation(12.0, level)], Lighten(8))
    assert seen.next_look.looked_minutes == 12.0
    assert seen.next_look.same.minutes > 12.0
    # What was looked at past the rinse was a trial strand: hair of this service is to come.
    past = strand_test(FINE, BASE_BREAK, [Observation(12.0, 7.5)])
    assert past.next_look.looked_minutes == 0.0
    assert past.next_look.same.minutes < 12.0


def test_finer_readings_tell_more(powder):
    before = powder.before
    gains = [
        look_times(
            before.hair, before.mixture, before.drawn, before.window, CURVES, reading=reading
        ).at(12.0)
        for reading in READINGS
    ]
    assert gains == sorted(gains)
    assert gains[0] < gains[-1] - 0.05


def test_json_tells_what_serves_and_what_lies_ahead(base_break, powder):
    given = to_dict(base_break)
    looks = given["next_look"]
    assert looks["serves"][1] <= looks["act_by"] - LEAD_MINUTES
    assert looks["tells"] is False
    assert looks["best_minutes"] == looks["same"]["minutes"]
    assert looks["ahead"]["ahead"] > 0.0
    assert [by["same"]["tells"] for by in given["by"]] == [False, False, False]
    low, high = given["by"][0]["natural_levels"]
    assert high == low + 0.5
    assert 7.0 <= low <= 8.0
    assert len(looks["curve"]["p_ahead"]) == len(looks["curve"]["minutes"])
    assert (to_dict(powder)["by"], to_dict(powder)["next_look"]["ahead"]) == ([], None)
