"""The class exercise: its answers are those of the model."""

import numpy as np
import pytest

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.exercise import class_exercise
from lift.practice.window import find_window

HAIR = Hair(level=6.0)


def numbers(text):
    words = (w.strip(",.:;+()").rstrip(".") for w in str(text).split())
    return [float(w) for w in words if w.replace(".", "", 1).isdigit()]


@pytest.fixture(scope="module")
def questions():
    return class_exercise()


def test_every_question_has_an_answer_and_a_reason(questions):
    assert len(questions) == 6
    assert all(
        str(q.text).endswith("?") and str(q.answer).endswith(".") and str(q.why) for q in questions
    )


def test_level_reached(questions):
    strand = simulate(HAIR, Mixture("cream", 20.0), 30.0)
    assert numbers(questions[0].answer)[0] == round(float(strand.level), 1)
    assert strand.stage in str(questions[0].answer)


def test_stronger_strand_is_as_light_at_the_time_given(questions):
    (minutes,) = numbers(questions[1].answer)
    strong = simulate(HAIR, Mixture("cream", 40.0), minutes)
    weak = simulate(HAIR, Mixture("cream", 20.0), 30.0)
    assert float(strong.lift) == pytest.approx(float(weak.lift), abs=0.02)
    assert float(strong.warmth) == pytest.approx(float(weak.warmth), abs=0.1)
    assert "Neither" in str(questions[2].answer)


def test_fine_before_coarse(questions):
    fine, coarse = numbers(questions[3].answer)
    assert fine < coarse
    window = find_window(HAIR.replace(fibre_um="fine"), Mixture("cream", 20.0))
    assert fine == round(window.too_warm_at, 1)


def test_base_break_is_the_window(questions):
    window = find_window(Hair(level=7.0, fibre_um="fine", damp=True), Mixture("base-break", 10.0))
    opens, closes = numbers(questions[4].answer)
    assert (opens, closes) == (round(window.opens, 1), round(window.closes, 1))
    told = [t for t in window.closes_range if np.isfinite(t)]
    assert np.allclose(numbers(questions[4].why), told, atol=0.051)


def test_answers_change_with_the_curve_set(questions):
    slow = default_curves().replace(lightening_rate=0.06, fade_minutes=8.0)
    changed = class_exercise(slow)
    assert all(a.text == b.text for a, b in zip(changed, questions, strict=True))
    assert all(a.answer != b.answer for a, b in list(zip(changed, questions, strict=True))[:2])
    assert numbers(changed[1].answer)[0] < 15.0
    assert "half the time off, and more" in str(changed[1].why)


def test_no_window_is_said():
    blunt = default_curves().replace(lightening_rate=0.01, base_break_violet_dose=0.0)
    texts = " ".join(str(q.answer) for q in class_exercise(blunt))
    assert "There is no window" in texts or "never" in texts
