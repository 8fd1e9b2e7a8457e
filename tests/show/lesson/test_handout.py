"""The handout: one A4 page, complete, the same bytes each time."""

import re

import pytest
from click.testing import CliRunner
from matplotlib.text import Text

from lift.cli import app
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.practice.cautions import ALWAYS
from lift.practice.exercise import class_exercise
from lift.show.lesson.handout import A4_INCHES, plot_handout


@pytest.fixture(scope="module")
def figure():
    return plot_handout()


def words(figure):
    return " ".join(" ".join(t.get_text().split()) for t in figure.findobj(Text))


def test_holds_questions_answers_and_cautions(figure):
    text = words(figure)
    for sentence in map(str, ALWAYS):
        assert str(sentence) in text
    for question in class_exercise():
        assert str(question.text) in text
        assert str(question.answer) in text
    assert str(default_curves().standing) in text


def test_answers_stand_upside_down(figure):
    first = str(class_exercise()[0].answer)
    (found,) = (t for t in figure.findobj(Text) if first in " ".join(t.get_text().split()))
    assert found.get_rotation() == 180.0


def test_nothing_runs_off_the_page(figure):
    figure.draw_without_rendering()
    page = figure.bbox
    for text in figure.findobj(Text):
        if text.get_text().strip() and text.get_visible():
            box = text.get_window_extent()
            assert page.x0 <= box.x0, text.get_text()
            assert box.x1 <= page.x1, text.get_text()
            assert page.y0 <= box.y0, text.get_text()
            assert box.y1 <= page.y1, text.get_text()


def test_no_panel_writes_over_another(figure):
    figure.draw_without_rendering()
    panels = [a for a in figure.get_axes() if a.get_xlabel()]
    written = [[t.get_window_extent() for t in figure.texts]]
    for axes in panels:
        parts = [axes._left_title, *axes.texts]
        boxes = [part.get_window_extent() for part in parts if part.get_text().strip()]
        boxes += [axis.get_tightbbox() for axis in (axes.xaxis, axes.yaxis)]
        written.append([axes.get_window_extent(), *boxes])
    for i, ours in enumerate(written):
        for theirs in written[i + 1 :]:
            for one in ours:
                for other in theirs:
                    width = min(one.x1, other.x1) - max(one.x0, other.x0)
                    height = min(one.y1, other.y1) - max(one.y0, other.y0)
                    assert min(width, height) <= 1.0


def test_command_writes_one_a4_page_twice_the_same(tmp_path):
    files = [tmp_path / "one.pdf", tmp_path / "two.pdf"]
    for file in files:
        done = CliRunner().invoke(app, ["handout", "-o", str(file)])
        assert done.exit_code == 0, done.output
    data = files[0].read_bytes()
    assert data == files[1].read_bytes()
    assert data.count(b"/Type /Page ") == 1
    box = [float(v) for v in re.search(rb"/MediaBox \[ ([^\]]+) \]", data)[1].split()]
    assert box[2:] == pytest.approx([72 * inches for inches in A4_INCHES])
    assert sorted(p.name for p in tmp_path.iterdir()) == ["one.pdf", "two.pdf"]


@pytest.mark.parametrize("name", ["handout.docx", "missing/handout.pdf"])
def test_command_refuses_before_it_draws(tmp_path, name):
    done = CliRunner().invoke(app, ["handout", "-o", str(tmp_path / name)])
    assert isinstance(done.exception, LiftError)
    assert list(tmp_path.iterdir()) == []
