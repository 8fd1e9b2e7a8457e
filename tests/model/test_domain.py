"""Within what an answer is given, where it comes with a warning, and what is refused."""

import pickle
from dataclasses import replace

import numpy as np
import pytest
from click.testing import CliRunner

from lift import (
    Hair,
    LiftError,
    Mixture,
    Observation,
    default_curves,
    ensemble,
    find_window,
    preview,
    simulate,
    strand_test,
)
from lift.cli import app as command_line
from lift.cli import main
from lift.model.bounds import DOMAIN
from lift.model.domain import OutsideError, bound_of, check_domain, edges, longest_minutes
from lift.model.mixtures import mixture_classes
from lift.model.validity import Validity
from lift.practice.goal import Blend, Lighten
from lift.practice.scenario.scenario import Placement, Salon, Scenario, Zone, ZoneGoal
from lift.practice.service.plan import plan
from lift.practice.toning.carried import carried_and_outrun
from lift.practice.toning.tone_report import Processed, tone_report
from lift.words import LAST_LEVEL

CURVES = default_curves()
BASE_BREAK = Mixture("base-break", 10.0)
HAIR = Hair(5.0)

OUTSIDE = {
    "base break, an hour": (HAIR, Mixture("base-break", 40.0), 60.0, "0 to 15 min; nearest: 15"),
    "base break, 35 min": (Hair(7.0), Mixture("base-break", 20.0), 35.0, "0 to 15 min; nearest"),
    "base break, 30 vol": (HAIR, Mixture("base-break", 30.0), 5.0, "0 to 20 vol; nearest: 20 vol"),
    "cream, 61 min": (HAIR, Mixture("cream", 20.0), 61.0, "0 to 60 min; nearest: 60"),
    "powder, 61 min": (HAIR, Mixture("powder", 20.0), 61.0, "0 to 60 min; nearest: 60"),
    "powder, 45 vol": (HAIR, Mixture("powder", 45.0), 30.0, "0 to 40 vol; nearest: 40 vol"),
    "pH 13": (
        HAIR,
        Mixture("cream", 20.0, ph=13.0),
        20.0,
        "pH 13 is outside 8 to 11.5",
    ),
    "pH 5": (HAIR, Mixture("powder", 20.0, ph=5.0), 20.0, "pH 5 is outside 8 to 11.5; nearest: 8"),
    "hot": (HAIR, Mixture("powder", 20.0, temperature_c=46.0), 20.0, "15 to 45 C; nearest: 45 C"),
    "cold": (HAIR, Mixture("cream", 20.0, temperature_c=12.0), 20.0, "15 to 45 C; nearest: 15 C"),
}
ASKS = {
    "simulate": lambda *asked: simulate(*asked),
    "ensemble": lambda *asked: ensemble(*asked, members=4),
    "preview": lambda *asked: preview(*asked, members=4),
    "strand test": lambda hair, mixture, minutes: strand_test(
        hair, mixture, rinse_minutes=minutes, members=8
    ),
    "tone report": lambda *asked: tone_report(Processed(*asked)),
}


@pytest.mark.parametrize("ask", ASKS)
@pytest.mark.parametrize("case", OUTSIDE)
def test_outside_is_refused_in_one_line_with_the_nearest_allowed(ask, case):
    *asked, said = OUTSIDE[case]
    with pytest.raises(LiftError, match="is outside") as caught:
        ASKS[ask](*asked)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)
    assert caught.value.note.code == "range.outside"


@pytest.mark.parametrize("case", ["base break, 30 vol", "pH 13", "hot"])
def test_a_window_of_what_is_outside_is_refused_too(case):
    hair, mixture, _, said = OUTSIDE[case]
    for ask in (find_window, carried_and_outrun):
        with pytest.raises(LiftError) as caught:
            ask(hair, mixture)
        assert said in str(caught.value)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            "--level 5 --volume 40 --minutes 60 --mixture base-break",
            "processing time 60 min is outside 0 to 15 min; nearest: 15 min; so a base-break",
        ),
        ("--level 7 --volume 20 --minutes 35 --mixture base-break", "outside 0 to 15 min"),
        ("--level 5 --volume 20 --minutes 30 --ph 13", "pH 13 is outside 8 to 11.5; nearest: 11.5"),
    ],
)
@pytest.mark.parametrize("command", ["preview", "strand", "record add", "tone"])
def test_command_line_refuses_as_it_does_other_bad_input(
    words, said, command, tmp_path, monkeypatch, capsys
):
    typed = {
        "preview": ["preview", *words.split()],
        "strand": ["strand", *words.split()],
        "record add": [
            *("record", "add", *words.split(), "--seen", "8"),
            *("--client", "qf4-mk7", "--file", str(tmp_path / "r.sqlite")),
        ],
        "tone": ["tone", *words.replace("--level", "--natural").replace("--ph 13", "").split()],
    }[command]
    if command == "tone" and "ph" in words:
        pytest.skip("lift tone has no option for pH")
    codes = []
    # The last is bad input of another kind.
    for asked in (typed, [*typed, "--volume", "lots"]):
        monkeypatch.setattr("sys.argv", ["lift", *asked])
        with pytest.raises(SystemExit) as stop:
            main()
        codes.append((stop.value.code, capsys.readouterr().err))
    (code, line), (other, _) = codes
    assert code == other != 0
    assert line.startswith("lift: ")
    assert said in line
    assert line.count("\n") == 1
    assert not (tmp_path / "r.sqlite").exists()


def test_the_error_travels_whole():
    with pytest.raises(OutsideError) as caught:
        check_domain(HAIR, BASE_BREAK, 20.0, CURVES)
    again = pickle.loads(pickle.dumps(caught.value))
    assert (again.property_name, str(again)) == ("minutes", str(caught.value))


@pytest.mark.parametrize("kind", mixture_classes())
@pytest.mark.parametrize("name", DOMAIN)
def test_every_bound_holds(kind, name):
    """Both ends are answered; past either end nothing is, where the quantity goes on at all."""
    bound = mixture_classes()[kind].bound(name)

    def asked(value):
        hair, mixture, minutes = Hair(5.0), Mixture(kind, 10.0), 5.0
        if name == "minutes":
            minutes = value
        elif name == "level":
            hair = Hair(value)
        else:
            mixture = mixture.replace(**{name: value})
        return hair, mixture, minutes, CURVES

    for end in (bound.low, bound.high):
        check_domain(*asked(end))
    for value in (bound.low - 0.1, bound.high + 0.1):
        with pytest.raises(LiftError, match="is outside"):
            check_domain(*asked(value))
    for value in (bound.usual_low, bound.usual_high):
        assert edges(*asked(value)) == ()
    for value, past in ((bound.low, bound.usual_low), (bound.high, bound.usual_high)):
        said = edges(*asked(value))
        assert len(said) == (value != past)
        for one in said:
            assert f"{value:g}" in str(one)


def test_arrays_are_checked_whole():
    check_domain(HAIR, Mixture("base-break", [[5.0], [20.0]]), np.linspace(0.0, 15.0, 4), CURVES)
    with pytest.raises(LiftError, match="processing time 16 min"):
        check_domain(HAIR, BASE_BREAK, [1.0, 16.0, 17.0], CURVES)
    with pytest.raises(LiftError, match="developer volume 21 vol"):
        simulate(HAIR, Mixture("base-break", [10.0, 21.0]), 5.0)
    said = edges(HAIR, BASE_BREAK, [1.0, 12.0, 14.0], CURVES)
    assert [str(each).split(";")[0] for each in said] == ["At the edge: processing time 14 min"]


def test_a_curve_sets_own_ph_counts():
    alkaline = CURVES.replace(cream_ph=11.0, name="alkaline")
    (said,) = edges(HAIR, Mixture("cream", 20.0), 10.0, alkaline)
    assert str(said).startswith("At the edge: pH 11; a cream is usually 9 to 10.8")
    assert edges(HAIR, Mixture("cream", 20.0, ph=10.0), 10.0, alkaline) == ()


# A measured set may hold more.


def measured(**changes):
    validity = Validity((("minutes", 0.0, 20.0),), ("base-break",))
    return replace(CURVES, name="mine", validity=replace(validity, **changes))


def test_a_measured_set_widens_the_time():
    held = measured()
    assert longest_minutes(BASE_BREAK, CURVES) == 15.0
    assert longest_minutes(BASE_BREAK, held) == 20.0
    assert simulate(Hair(7.0), BASE_BREAK, 20.0, held).lift > 0.0
    assert find_window(Hair(7.0), BASE_BREAK, Lighten(level=10), held).limit_minutes == 20.0
    assert edges(HAIR, BASE_BREAK, 19.0, held) == ()
    with pytest.raises(LiftError, match="outside 0 to 20 min"):
        simulate(Hair(7.0), BASE_BREAK, 21.0, held)


@pytest.mark.parametrize(
    "held",
    [
        measured(measured=False),
        measured(mixtures=("cream", "base-break")),
        measured(mixtures=("cream", "base-break"), longest=(("cream", 20.0), ("base-break", 10.0))),
        replace(measured(), provenance=(("invented", "made up"),)),
    ],
    ids=["rows of practice", "whose minutes these were is not told", "others lay long", "invented"],
)
def test_what_does_not_widen_it(held):
    assert longest_minutes(BASE_BREAK, held) == 15.0
    assert bound_of("volume", BASE_BREAK, held) == bound_of("volume", BASE_BREAK, CURVES)


def test_it_knows_whose_minutes_they_were():
    longest = (("cream", 40.0), ("base-break", 18.0))
    held = measured(mixtures=("cream", "base-break"), longest=longest)
    assert longest_minutes(BASE_BREAK, held) == 18.0
    assert longest_minutes(Mixture("cream", 20.0), held) == 60.0


# Windows, looks and plans end where the domain does.


@pytest.mark.parametrize("kind", mixture_classes())
def test_windows_end_with_the_domain(kind):
    end = longest_minutes(Mixture(kind, 10.0), CURVES)
    window = find_window(Hair(3.0), Mixture(kind, 10.0), Blend(warmth=60.0), members=4)
    assert window.minutes[-1] == window.limit_minutes == window.closes == end
    assert window.closes_by == "time limit"
    short = find_window(Hair(7.0), Mixture(kind, 10.0), limit_minutes=8.0, members=4)
    assert short.limit_minutes == 8.0


def test_looks_end_with_the_domain():
    test = strand_test(Hair(7.0), BASE_BREAK, [Observation(5.0, level=7.5)], members=40)
    assert test.looks.minutes[-1] == test.next_look.minutes[-1] <= 15.0


def late_plan(sections):
    zone = Zone(
        "base",
        Hair(7.0, "fine", damp=True),
        mixture="break",
        goal=ZoneGoal(Blend(warmth=60.0)),
        placement=Placement(sections, 120, 2),
    )
    return plan(Scenario("late", (zone,), {"break": BASE_BREAK}, Salon()), members=8)


def test_a_plan_keeps_every_section_within_the_domain():
    (base,) = late_plan(4).zones
    assert base.inside
    assert base.minutes <= 15.0


def test_a_section_that_lies_longer_is_told_and_shown_as_at_the_end():
    """Twenty sections of two minutes: the first lies on for forty, whatever is planned."""
    visit = late_plan(20)
    (base,) = visit.zones
    assert not visit.exists
    assert base.minutes > 15.0
    assert base.sections[0].closes <= 15.0
    said = [str(each) for each in visit.cautions if each.code == "plan.past_domain"]
    assert said == [
        f"base: a section would lie {round(base.minutes, 1):g} min, longer than is predicted of a "
        "base-break (15 min); its colour is shown as at 15 min."
    ]
    at_end = simulate(Hair(7.0, "fine", damp=True), BASE_BREAK, 15.0)
    assert base.sections[0].level == pytest.approx(float(at_end.level), abs=0.2)


# Risk.


@pytest.mark.parametrize(
    ("hair", "mixture", "minutes", "goal"),
    [
        (Hair(10.0, lightened_to=10.0), Mixture("powder", 30.0, temperature_c=45.0), 45.0, None),
        (Hair(7.0, lightened_to=10.0), Mixture("powder", 30.0, temperature_c=45.0), 45.0, None),
        (Hair(7.0), Mixture("powder", 40.0), 60.0, None),
        (Hair(5.0), Mixture("cream", 10.0), 2.0, Lighten(level=9.0)),
        (Hair(5.0, lightened_to=6.0), Mixture("cream", 10.0), 1.0, None),
        (Hair(9.5), Mixture("cream", 20.0), 2.0, None),
        (Hair(7.0), Mixture("cream", 10.0, ph=11.2), 1.0, None),
        (Hair(6.0), Mixture("cream", 10.0, temperature_c=16.0), 4.0, None),
    ],
    ids=["pale", "pale again", "far past", "out of reach", "again", "light", "alkaline", "cold"],
)
def test_no_low_risk_where_the_numbers_do_not_hold(hair, mixture, minutes, goal):
    from lift.show.said import risk_note

    result = preview(hair, mixture, minutes, goal or Blend(), members=40)
    assert "LOW RISK" not in str(risk_note(result))
    assert str(risk_note(result)).split(":")[0] in {
        *("GOAL MISSED", "NOT SURE", "WATCH", "HIGH RISK", "TOO WARM", "PAST THE GOAL"),
        *("TOO EARLY",),
    }


def test_a_low_risk_is_told_where_they_do():
    from lift.show.said import risk_note

    result = preview(Hair(7.0, "fine", damp=True), BASE_BREAK, 3.5, members=40)
    assert result.can_be_inside
    assert str(risk_note(result)).startswith("LOW RISK: ")
    early = preview(Hair(7.0, "fine", damp=True), BASE_BREAK, 0.0, members=40)
    assert early.can_be_inside
    late = preview(Hair(8.0), Mixture("powder", 40.0), 50.0, Blend(), members=40)
    assert not late.can_be_inside


def test_hair_lightened_to_the_end_of_the_scale_again():
    """Powder, 30 vol, 45 min, 45 C: no low risk, no level 16, and over-processed in plain words."""
    words = "preview --level 9 --lightened-to 10 --mixture powder --volume 30 --minutes 45"
    done = CliRunner().invoke(command_line, [*words.split(), "--temperature", "45"])
    assert done.exit_code == 0
    assert "LOW RISK" not in done.output
    assert "OVER-PROCESSED" in done.output
    assert "10+, past the scale" in done.output
    told = [line for line in done.output.splitlines() if "evel" in line and "!" not in line]
    assert any(line.startswith("Level ") for line in told)
    assert not any("16" in line for line in told)
    assert LAST_LEVEL == 10.0
