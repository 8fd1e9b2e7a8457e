"""What a screen can and cannot show is said once wherever hair is shown, and in the same words."""

import json
from pathlib import Path

import pytest

import lift
from lift.model.mixtures import mixture_classes
from lift.practice.toning.tone_report import tone_report
from lift.show.lesson.handout import plot_handout
from lift.show.page.app import page_text
from lift.show.plots.circle_plots import plot_tone
from lift.words import say

NOTEBOOKS = sorted((Path(lift.__file__).parents[1] / "notebooks").glob("*.ipynb"))
WITHOUT_HAIR = {"how_far_to_trust_this"}


def flat(text):
    return " ".join(text.split())


def times(text):
    return flat(text).count(say("lock.screen"))


def words(figure):
    axes = [text.get_text() for ax in figure.axes for text in ax.texts]
    return " | ".join([*axes, *(text.get_text() for text in figure.texts)])


def test_it_says_what_a_screen_can_and_cannot_show_in_one_sentence():
    said = say("lock.screen")
    assert " can show " in said
    assert " cannot show " in said
    assert said.count(".") == 1


def test_once_on_the_page():
    assert times(page_text(mixture_classes(), "")) == 1


def test_once_on_the_sheets_for_paper():
    assert times(words(plot_handout())) == 1
    assert times(words(plot_tone(tone_report((60.0, 10.0, 30.0))))) == 1


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_once_in_each_notebook_that_shows_hair(path):
    cells = json.loads(path.read_text("utf-8"))["cells"]
    written = "\n\n".join("".join(cell["source"]) for cell in cells)
    assert times(written) == (0 if path.stem in WITHOUT_HAIR else 1)
