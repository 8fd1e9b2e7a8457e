"""Hair as a toner finds it: predicted, or as it was seen, the mixture's tone still in it."""

import numpy as np
import pytest

from lift.answers import to_dict
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import path_of
from lift.model.strand import strand_lab
from lift.model.trajectory import simulate
from lift.optics.colorimetry import delta_e_2000
from lift.practice.toning.rinsed import course_of, rinsed
from lift.practice.toning.tone_report import tone_report

CURVES = default_curves()
HAIR, POWDER = Hair(6.0), Mixture("powder", 20.0)
BASE = Hair(7.0, "fine", damp=True)
TONED_BREAK = Mixture("base-break", 10.0, tone={"blue-violet": 1.5})


def lab_of(after):
    return strand_lab(after.state, CURVES.values, tone=after.in_hair)


def test_predicted_hair_has_the_colour_of_its_prediction_and_the_mixture_s_tone():
    after = rinsed(BASE, TONED_BREAK, 12.0, CURVES)
    predicted = simulate(BASE, TONED_BREAK, 12.0, CURVES)
    np.testing.assert_allclose(lab_of(after), predicted.pigmented, atol=1e-9)
    assert after.in_hair == pytest.approx({"blue-violet": 1.5 * (1.0 - np.exp(-1.5))})
    assert after.known_by == "predicted"
    assert rinsed(BASE, None, 0.0, CURVES).known_by == "before"


@pytest.mark.parametrize("mixture", [POWDER.replace(tone={}), TONED_BREAK])
@pytest.mark.parametrize("red", [None, 0.42])
def test_a_level_seen_is_the_level_that_this_hair_then_looks_like(mixture, red):
    hair = BASE.replace(pheomelanin_share=red)
    after = rinsed(hair, mixture, 8.0, CURVES, 7.6)
    read = path_of(hair, CURVES).level_of_lightness(lab_of(after)[0])
    assert float(read) == pytest.approx(7.6, abs=0.02)
    # Tone in the hair makes it look darker than it was lightened to.
    bare = path_of(hair, CURVES).level_of_lightness(strand_lab(after.state, CURVES.values)[0])
    assert (float(bare) > 7.65) == bool(after.in_hair)


def test_hair_seen_darker_than_it_was_is_refused_past_what_an_eye_is_good_for():
    assert rinsed(HAIR, POWDER, 5.0, CURVES, 5.6).known_by == "level"
    with pytest.raises(LiftError, match=r"level 5\.4 is darker than the hair was before"):
        rinsed(HAIR, POWDER, 5.0, CURVES, 5.4)


def test_a_measured_colour_is_told_as_measured_with_the_known_tone_taken_out():
    predicted = simulate(BASE, TONED_BREAK, 12.0, CURVES)
    after = rinsed(BASE, TONED_BREAK, 12.0, CURVES, tuple(predicted.lab))
    found = after.state
    np.testing.assert_allclose(
        strand_lab(found.pigment, CURVES.values, tone=after.in_hair), predicted.lab, atol=0.5
    )
    bare = tone_report(rinsed(BASE, TONED_BREAK.replace(tone={}), 12.0, CURVES))
    toned = tone_report(after)
    # With the mixture's own tone in it already, less is left to lay on.
    assert toned.answer.amount < bare.answer.amount - 0.5
    assert toned.lab == pytest.approx(tuple(predicted.lab), abs=0.01)


def test_what_is_laid_on_goes_on_top_of_what_is_in_the_hair():
    """Both together are as near natural hair as one answer to bare hair is."""
    after = rinsed(BASE, TONED_BREAK, 12.0, CURVES)
    report = tone_report(after, kind="direct")
    lab = strand_lab(
        after.state,
        CURVES.values,
        tone={
            dye: report.answer.tone.get(dye, 0.0) + after.in_hair.get(dye, 0.0)
            for dye in {**report.answer.tone, **after.in_hair}
        },
    )
    np.testing.assert_allclose(report.answer.lab, lab, atol=1e-9)
    assert delta_e_2000(lab, report.answer.path.lab_of_lightness(lab[0])) < 1.0
    # A direct toner washes out; the mixture's own tone loses a tenth in thirty washes.
    fade = report.fades["direct"]
    stays = {dye: dose * 0.9 ** (fade.washes[-1] / 30.0) for dye, dose in after.in_hair.items()}
    left = strand_lab(after.state, CURVES.values, tone=stays)
    np.testing.assert_allclose(fade.lab[-1], left, atol=1e-6)
    told = to_dict(report)["inputs"]
    assert (told["known_by"], told["minutes"]) == ("predicted", 12.0)
    assert told["in_hair"] == {"blue-violet": pytest.approx(1.1653, abs=1e-4)}


def test_a_course_is_this_hair_lightened_and_natural_hair_below_it():
    levels = np.arange(1.0, 11.0)
    course = course_of(HAIR, levels, CURVES)
    path = path_of(HAIR, CURVES)
    np.testing.assert_allclose(course[:6], path.lab_of_level(levels[:6]), atol=0.3)
    np.testing.assert_allclose(path.level_of_lightness(course[:, 0]), levels, atol=0.05)
    assert path.warmth(course)[7] > 4.0
