"""A table over strength against simulating each strength."""

from dataclasses import replace

import numpy as np
import pytest

from lift.model.course import paced
from lift.model.curves import default_curves
from lift.model.ensemble import LATENT, apply_latent, draw_latent
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.goal import Blend, Lighten
from lift.practice.inside import crossings
from lift.practice.schedule.response import Asked, respond
from lift.practice.target import resolve_goal
from lift.practice.window import find_window, time_grid

CURVES = default_curves()
FINE = Hair(7, "fine", damp=True)
DECK = np.concatenate([np.zeros((1, len(LATENT))), draw_latent(40)])


def table(mixture, target, limit_minutes, span, latent):
    temperature = float(mixture.temperature_c)
    asked = Asked(FINE, mixture, temperature, target, limit_minutes, span)
    return respond(asked, CURVES, latent)


@pytest.mark.parametrize("mixture", [Mixture("base-break", 10), Mixture("powder", 15)])
def test_response_at_full_strength_is_the_window(mixture):
    goal = Lighten(level=7.4, warmth=6)
    target = resolve_goal(goal, FINE, CURVES)
    window = find_window(FINE, mixture, goal, CURVES, limit_minutes=50, members=40)
    answer = table(mixture, target, window.limit_minutes, (-0.5, 0.0), DECK)
    full = np.zeros(1)
    reached, warm = answer.times(answer.reached, full), answer.times(answer.too_warm, full)
    # Without tone, times are read off exposures that stand for every mixture.
    near = 1e-6 if mixture.kind == "base-break" else 0.02
    assert reached[0, 0] == pytest.approx(window.reached_at, abs=near)
    expected = np.inf if window.too_warm_at is None else window.too_warm_at
    assert warm[0, 0] == pytest.approx(expected, abs=near)
    assert np.mean(reached[1:] <= 10.0) == pytest.approx(
        np.interp(10.0, window.minutes, window.p_reached), abs=0.03
    )


@pytest.mark.parametrize("log_strength", [-0.9, -0.61, -0.3, -0.13, 0.0, 0.17])
def test_response_between_its_nodes_is_the_simulation(log_strength):
    """A table over strength stands for simulating each strength; within 1 % of the time."""
    mixture, target = Mixture("powder", 20), resolve_goal(Lighten(level=8, warmth=60), FINE, CURVES)
    answer = table(mixture, target, 60, (-1.0, 0.25), DECK[:1])
    minutes = np.linspace(0, 60, 6001)
    values = paced(CURVES.values, np.exp(log_strength))
    exact = simulate(FINE, mixture, minutes, CURVES, values=values)
    reached = np.interp(8.0, exact.level, minutes)
    got = answer.times(answer.reached, np.array([log_strength]))[0, 0]
    assert got == pytest.approx(reached, rel=0.01)
    lab, level, warmth = answer.course(log_strength, 20.0)
    at = np.argmin(np.abs(minutes - 20.0))
    assert lab == pytest.approx(exact.lab[at], abs=0.15)
    assert level == pytest.approx(exact.level[at], abs=0.02)
    assert warmth == pytest.approx(exact.warmth[at], abs=0.15)


@pytest.mark.parametrize(
    "goal", [Lighten(level=8, warmth=20), Lighten(level=9), Blend(level=8), Blend(lab=(58, 6, 19))]
)
def test_exposures_stand_for_every_mixture(goal):
    """What is read off exposures against the course of each strand, for a mixture without tone."""
    target, mixture = resolve_goal(goal, FINE, CURVES), Mixture("powder", 20)
    answer = table(mixture, target, 50, (-0.25, 0.0), DECK)
    varied, values = apply_latent(FINE, CURVES, DECK)
    course = simulate(varied, mixture, answer.minutes, CURVES, values=values)
    exact = crossings(course, answer.minutes, target)
    for name in ("reached", "too_warm", "too_light"):
        got = answer.times(getattr(answer, name), np.zeros(1))[:, 0]
        wanted = getattr(exact, name)
        both = np.isfinite(got) & np.isfinite(wanted)
        assert np.mean(np.isfinite(got) == np.isfinite(wanted)) > 0.93
        if both.any():
            # Toning is computed at few times, or exposures, and interpolated.
            assert np.median(np.abs(got[both] - wanted[both])) < (0.5 if target.toned else 0.1)


def test_mixtures_without_tone_share_their_exposures():
    target = resolve_goal(Lighten(level=8), FINE, CURVES)
    known = {}
    for volume in (10, 15, 20):
        asked = Asked(FINE, Mixture("powder", volume), 30.0, target, 50, (-0.25, 0.0))
        once = respond(asked, CURVES, DECK, known)
        assert np.array_equal(once.reached, respond(asked, CURVES, DECK).reached)
    assert len(known) <= 3


def test_weaker_is_later_for_every_strand():
    lift = resolve_goal(None, FINE, CURVES)
    answer = table(Mixture("base-break", 10), lift, 15, (-1.0, 0.25), DECK)
    steps = np.linspace(-1.0, 0.25, 60)
    for rows in (answer.reached, answer.too_warm):
        times = answer.times(rows, steps)
        finite = np.where(np.isfinite(times), times, 1e9)
        assert np.all(np.diff(finite, axis=1) <= 1e-9)


def test_too_light_closes_a_window():
    target = replace(resolve_goal(Lighten(level=8, warmth=20), FINE, CURVES), past_level=8.5)
    answer = table(Mixture("powder", 20), target, 50, (-0.2, 0.0), DECK[:1])
    minutes = np.linspace(0, 50, 5001)
    level = simulate(FINE, Mixture("powder", 20), minutes, CURVES).level
    got = answer.times(answer.closes, np.zeros(1))[0, 0]
    assert got == pytest.approx(np.interp(8.5, level, minutes), abs=0.05)


def test_grid_is_the_window_s_own():
    answer = table(Mixture(), resolve_goal(None, FINE, CURVES), 30, (0.0, 0.0), DECK[:1])
    assert answer.minutes == pytest.approx(time_grid(30))
